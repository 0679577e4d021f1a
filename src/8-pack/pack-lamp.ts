// The way in: a designed lamp → everything the workshop needs, as files in memory. Same lamp, same bytes.

import { contentHash } from "../0-ground/numbers/hash.ts"
import { seeBoard } from "../7-proof/see-board.ts"
import type { Pack, PackFile, PackInput, PackOptions } from "./artefact.ts"
import { compareBuilt } from "./as-built/compare-built.ts"
import { bringUpCsv } from "./bring-up/bring-up-table.ts"
import { planBringUp } from "./bring-up/plan-bring-up.ts"
import { buildSheet, doNotCut } from "./build-sheet.ts"
import { circuitSvg } from "./circuit-drawing.ts"
import { depthPlot } from "./depth-plot.ts"
import { drawComponentSide, drawCopperSide, drawCut, drawDrills, drawFace, drawSolderSide } from "./draw.ts"
import { drawAsCut } from "./draw-as-cut.ts"
import { drawSheet } from "./draw-sheet.ts"
import { beamSvg } from "./light/beam-drawing.ts"
import { photometricFile } from "./light/photometric-file.ts"
import { seenSvg } from "./light/seen-drawing.ts"
import { orderFiles } from "./order/order-files.ts"
import { partsCsv } from "./parts-list.ts"
import { pulsesCsv } from "./pulses-table.ts"
import { report, reportJson } from "./report.ts"
import { sceneSvg } from "./scene.ts"
import { firmwareFile } from "./sheet-testing.ts"
import { linksCsv, wiringCsv } from "./wiring-list.ts"

export { findFaults } from "./bring-up/find-fault.ts"
export { solveFaults } from "./bring-up/plan-bring-up.ts"
export { readReadings } from "./bring-up/read-readings.ts"
export { whyReading } from "./bring-up/why-reading.ts"
export { doNotCut } from "./build-sheet.ts"
export { compareRevisions, isSame } from "./compare/compare-revisions.ts"
export { type Revision, readRevision } from "./compare/revision.ts"
export { tellComparison } from "./compare/tell-comparison.ts"
export { columnGap, type SheetDocument, sheetDocument } from "./pdf/sheet-document.ts"

/**
 * Packs a designed lamp. With `withhold`, cutter programs and firmware stay out.
 * A lamp with a red finding is marked on every sheet, drawing and program.
 */
export function packLamp(design: PackInput, { withhold = false, bringUp }: PackOptions = {}): Pack {
  const red = design.verdict === "do not cut"
  const plan = bringUp ?? planBringUp(design)
  const built = compareBuilt(design, plan)
  const files: PackFile[] = [
    ...(red ? [{ path: "DO-NOT-CUT.txt", text: reasons(design) }] : []),
    { path: "build-sheet.html", text: buildSheet(design, withhold, plan, built) },
    { path: "report.json", text: reportJson(design, plan, built) },
    { path: "parts.csv", text: partsCsv(design) },
    { path: "wiring.csv", text: wiringCsv(design) },
    { path: "pulses.csv", text: pulsesCsv(design) },
    { path: "links.csv", text: linksCsv(design) },
    { path: "bring-up.csv", text: bringUpCsv(plan) },
    { path: "description.yaml", text: design.text },
    ...drawings(design, red ? doNotCut : undefined),
    ...lightFiles(design, red ? doNotCut : undefined),
    ...(withhold ? [] : programs(design, red)),
    // A board that must not be cut must not be ordered either.
    ...(red ? [] : ordering(design)),
  ]
  return { files: [...files, { path: "manifest.json", text: manifest(design, files, withhold) }] }
}

/** What report.json holds, without the rest of the pack. */
export function packReport(design: PackInput, { bringUp }: Pick<PackOptions, "bringUp"> = {}) {
  const plan = bringUp ?? planBringUp(design)
  return report(design, plan, compareBuilt(design, plan))
}

function drawings(
  { lamp, circuit, boards, copper, plan, proof, findings }: PackInput,
  warning: string | undefined,
): PackFile[] {
  const file = (name: string, scene: Parameters<typeof sceneSvg>[0]): PackFile => ({
    path: `drawings/${name}.svg`,
    text: sceneSvg(scene, warning),
  })
  return [
    {
      path: "drawings/circuit.svg",
      text: circuitSvg(lamp.name, circuit, warning, boards.pinChoice),
    },
    ...lamp.faces.map((f) => file(`face-${f.name}`, drawFace(f, lamp.groups))),
    ...boards.boards.flatMap((b) => {
      const cut = copper.boards.find((c) => c.board === b.name)
      return [
        file(`${b.name}-copper`, drawCopperSide(b, cut)),
        file(`${b.name}-components`, drawComponentSide(b)),
        file(`${b.name}-solder-side`, drawSolderSide(b)),
        file(`${b.name}-drill`, drawDrills(b)),
        ...(cut ? [file(`${b.name}-grooves`, drawCut(b, cut))] : []),
        file(`${b.name}-as-cut`, drawAsCut(b, seeBoard(lamp, b, programsOf(plan, b.name)), findings)),
        ...windowPlot(proof, b.name),
      ]
    }),
    ...(plan.sheets ?? []).map((s) => file(s.name, drawSheet(lamp, s, boards.boards, copper.boards))),
  ]
}

/** Beams as pictures and as photometric files, and the lamp as it looks from afar. */
function lightFiles({ lamp, proof }: PackInput, warning: string | undefined): PackFile[] {
  if (proof.beams.length === 0) return []
  return [
    { path: "drawings/seen-from-25-m.svg", text: seenSvg(lamp, proof.beams, warning) },
    ...proof.beams.flatMap((b) => [
      { path: `drawings/beam-${b.group}-${b.function}.svg`, text: beamSvg(lamp.name, b, warning) },
      { path: `light/${b.group}-${b.function}.ies`, text: photometricFile(lamp, b) },
    ]),
  ]
}

const programsOf = ({ programs }: PackInput["plan"], board: string) =>
  programs.filter((p) => p.board === board)

function windowPlot({ boards }: PackInput["proof"], board: string): PackFile[] {
  const window = boards.find((b) => b.board === board)?.depthWindow
  if (!window) return []
  return [
    {
      path: `drawings/${board}-depth-window.svg`,
      text: `<?xml version="1.0" encoding="UTF-8"?>\n${depthPlot(board, window)}\n`,
    },
  ]
}

const ordering = ({ lamp, boards, copper }: PackInput): PackFile[] =>
  boards.boards.flatMap((b) =>
    orderFiles(
      lamp.name,
      b,
      copper.boards.find((c) => c.board === b.name),
    ),
  )

function programs({ lamp, plan, firmware }: PackInput, red: boolean): PackFile[] {
  const extras = plan.extras ?? []
  const inOneFile = new Set(extras.filter((e) => e.kind === "one-file").map((e) => e.board))
  const text = (p: { readonly text: string }) => (red ? marked(p.text) : p.text)
  return [
    ...[...plan.programs, ...(plan.sheets ?? []).flatMap((s) => s.programs)]
      .filter((p) => !inOneFile.has(p.board))
      .map((p) => ({ path: `cut/${p.board}/${p.file}`, text: text(p) })),
    ...extras.map((p) => ({
      path: `cut/${p.board === undefined ? "" : `${p.board}/`}${p.file}`,
      text: text(p),
    })),
    ...(firmware ? [{ path: `firmware/${firmwareFile(lamp.name)}`, text: firmware.hex }] : []),
    ...(firmware?.source ?? []).map(({ name, text }) => ({ path: `firmware/source/${name}`, text })),
  ]
}

/** A program with its warning as the first comment; a tape mark stays the first line (ISO 6983). */
export function marked(program: string): string {
  const comment = "(DO NOT CUT - AT LEAST ONE FINDING IS RED)\n"
  return /^%[^\n]*\n/.test(program)
    ? program.replace(/^%[^\n]*\n/, (tape) => tape + comment)
    : comment + program
}

function reasons({ lamp, findings }: PackInput): string {
  const reds = findings.filter((f) => f.severity === "red")
  return [
    `${lamp.name}: ${doNotCut}`,
    "",
    ...reds.flatMap((f) => [`${f.title}`, `  where: ${f.where.text}`, `  what to do: ${f.advice}`, ""]),
  ].join("\n")
}

function manifest(
  { lamp, text, verdict, stages }: PackInput,
  files: readonly PackFile[],
  withheld: boolean,
): string {
  // Places tell where the description says a thing, not what it says; a comment must not change the lamp's hash.
  const plain = JSON.stringify(lamp, (key, value: unknown) =>
    key === "places" || key === "built" ? undefined : value,
  )
  const content = {
    pack: 1,
    lamp: lamp.name,
    verdict,
    withheld,
    description: contentHash(text),
    lampContent: contentHash(plain),
    seed: lamp.seed,
    stages,
    hash: "two 32-bit sums over the text, 16 hex digits; for comparing, not for secrets",
    files: files.map((f) => ({ path: f.path, characters: f.text.length, hash: contentHash(f.text) })),
  }
  return `${JSON.stringify(content, null, 2)}\n`
}
