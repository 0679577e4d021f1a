// lampwright inspect: any cutter programs of one board or of a shared sheet, ours, edited or made elsewhere, against the lamp's netlist.

import { basename } from "node:path"
import type { Work } from "../../0-ground/progress.ts"
import { nearMatch } from "../../0-ground/text/near-match.ts"
import { show } from "../../0-ground/text/show.ts"
import { readLamp } from "../../2-lamp/read-lamp.ts"
import { designDrive } from "../../3-drive/design-drive.ts"
import { designBoards } from "../../5-board/design-boards.ts"
import type { CutterProgram } from "../../6-copper/artefact.ts"
import { designCut } from "../../6-copper/design-cut.ts"
import { type ProgramUse, programParts, readUse, recogniseProgram } from "../../6-copper/recognise-program.ts"
import { inspectBoard, inspectSheet, readHeights } from "../../7-proof/prove-lamp.ts"
import { seeBoard } from "../../7-proof/see-board.ts"
import { drawAsCut, sceneSvg } from "../../8-pack/draw.ts"
import { exitCode, listing, summary } from "./check-command.ts"
import { nodeCrew } from "./crew.ts"
import { readLampSource, writeText } from "./files.ts"
import { Refusal } from "./refusal.ts"
import { firstPlace } from "./warp-command.ts"

export interface InspectOptions {
  readonly heights?: string
  /** Where the first place of the heights lies, `X,Y` or `X,Y,Z`. */
  readonly first?: string
  /** `FILE=engrave`, `FILE=drill:0.8`, `FILE=outline`. */
  readonly tool?: readonly string[]
  /** Where the result is drawn as SVG. */
  readonly picture?: string
  readonly json?: boolean
}

export async function inspectPrograms(
  lampPath: string,
  boardName: string,
  paths: readonly string[],
  o: InspectOptions,
): Promise<number> {
  const source = readLampSource(lampPath)
  const said = saidTools(o.tool ?? [], paths)
  const texts = paths.map((path) => ({ path, text: readLampSource(path).text }))
  const heights = o.heights === undefined ? undefined : heightsOf(o.heights, o.first)

  const { lamp, findings: read } = readLamp(source.text, source.drawing)
  if (!lamp || read.some((f) => f.severity === "red")) {
    process.stderr.write(`${listing(read, lampPath, source.text)}${summary(read)}\n`)
    return 1
  }
  const names = lamp.boards.map((b) => b.name)
  // Which sheets there are is known only when the boards are laid.
  const onSheet = lamp.cutting?.shared !== undefined && /^(whole-)*sheet-\d+$/.test(boardName)
  if (onSheet && o.picture !== undefined)
    throw new Refusal("--picture draws one board; a shared sheet's drawing is in the pack")
  if (!names.includes(boardName) && !onSheet) {
    const near = nearMatch(boardName, names)
    throw new Refusal(
      `${lamp.name} has no board ${boardName}${near ? `; did you mean ${near}?` : ""} (${names.join(", ")})`,
    )
  }
  const given = texts.flatMap(({ path, text }) => {
    const parts = said.has(path) ? undefined : programParts(text)
    if (parts) return parts.map((part) => asProgram(boardName, path, part.text, part, lamp.cutter))
    const use = said.get(path) ?? recogniseProgram(path, text)
    if (!use)
      throw new Refusal(
        `cannot tell which tool ${path} is for; say --tool ${path}=engrave, =drill:0.8 (its diameter) or =outline`,
      )
    return asProgram(boardName, path, text, use, lamp.cutter)
  })

  const crew = nodeCrew(new URL("./crew-hand.js", import.meta.url))
  try {
    const circuit = designDrive(lamp)
    const boards = watch(designBoards(lamp, circuit, crew))
    const { plan } = watch(designCut(lamp, boards))
    const sheet = names.includes(boardName) ? undefined : plan.sheets?.find((s) => s.name === boardName)
    const designed = sheet?.programs ?? plan.programs.filter((p) => p.board === boardName)
    const own = designed.filter((p) => !given.some((g) => replaces(g, p)))
    const made = { lamp, circuit, boards }
    const seen = sheet
      ? watch(inspectSheet(made, { ...sheet, programs: [...given, ...own] }, heights))
      : watch(inspectBoard(made, boardName, [...given, ...own], heights))
    if (onSheet && !sheet && !names.includes(boardName))
      throw new Refusal(
        `there is no ${boardName} (${(plan.sheets ?? []).map((s) => s.name).join(", ") || "no board fits a shared sheet"})`,
      )
    if (!seen) throw new Refusal(`${boardName} could not be laid out`)
    if (o.picture !== undefined) {
      const board = boards.boards.find((b) => b.name === boardName)!
      const drawn = seeBoard(lamp, board, [...given, ...own], heights)
      const scene = drawAsCut(board, drawn, seen.findings, `Board ${boardName} as these programs cut it, 1:1`)
      writeText(o.picture, sceneSvg(scene))
    }
    if (o.json) {
      const { proof, findings } = seen
      process.stdout.write(`${JSON.stringify({ board: boardName, proof, findings }, null, 2)}\n`)
      return exitCode(true, seen.findings)
    }
    for (const p of given) process.stdout.write(`${p.file}: judged as ${p.tool}\n`)
    for (const p of own) process.stdout.write(`${p.file}: not given, taken as designed\n`)
    process.stdout.write(
      heights
        ? `surface: measured at ${heights.probes} places, at most ${show(heights.spacing, "mm")} apart; between them it may be off by ${show(heights.residual, "mm")}\n\n`
        : `surface: flat within ${show(lamp.cutter.machine.flatness, "mm")} as described\n\n`,
    )
    process.stdout.write(listing(seen.findings, lampPath, source.text))
    process.stdout.write(`${summary(seen.findings)}\n`)
    return exitCode(true, seen.findings)
  } finally {
    crew?.dismiss()
  }
}

/** A given program stands in for the designed one of its name, else of its purpose and, for drills, diameter. */
function replaces(given: CutterProgram, own: CutterProgram): boolean {
  if (given.file === own.file) return true
  return (
    given.purpose === own.purpose &&
    ((own.purpose !== "drill" && own.purpose !== "clear") || given.toolDiameter === own.toolDiameter)
  )
}

function asProgram(
  board: string,
  path: string,
  text: string,
  { purpose, diameter }: ProgramUse,
  { engraver, router }: { readonly engraver: { tip: number }; readonly router: { diameter: number } },
): CutterProgram {
  const toolDiameter =
    purpose === "drill" || purpose === "clear"
      ? diameter!
      : purpose === "outline"
        ? (diameter ?? router.diameter)
        : engraver.tip
  const tool = { engrave: "engraver", clear: "end mill", drill: "drill", outline: "router" }[purpose]
  return {
    board,
    file: basename(path),
    purpose,
    tool: `${tool} ${show(toolDiameter, "mm")}`,
    toolDiameter,
    text,
    cutLength: 0,
    travel: 0,
    plunges: 0,
    time: 0,
  }
}

function saidTools(options: readonly string[], paths: readonly string[]): Map<string, ProgramUse> {
  const said = new Map<string, ProgramUse>()
  for (const option of options) {
    const cut = option.lastIndexOf("=")
    const path = option.slice(0, cut)
    if (cut < 1 || !paths.includes(path))
      throw new Refusal(`--tool ${option} names no program of this call; write FILE=engrave`)
    const use = readUse(option.slice(cut + 1))
    if (!use)
      throw new Refusal(`--tool ${option}: the tool is engrave, drill:DIAMETER in mm, or outline[:DIAMETER]`)
    said.set(path, use)
  }
  return said
}

function heightsOf(path: string, first: string | undefined) {
  const read = readHeights(readLampSource(path).text, firstPlace(first))
  if (!read.heights) throw new Refusal(`${path}, line ${read.fault.line}: ${read.fault.reason}`)
  return read.heights
}

/** Runs long work and tells its progress on a terminal. */
function watch<T>(work: Work<T>): T {
  const show = process.stderr.isTTY === true
  let shown = 0
  for (;;) {
    const step = work.next()
    if (step.done) {
      if (show) process.stderr.write("\r\x1b[K")
      return step.value
    }
    if (show && performance.now() - shown > 100) {
      shown = performance.now()
      const { stage, done, note } = step.value
      process.stderr.write(`\r\x1b[K${stage} ${Math.round(done * 100)} %${note ? ` · ${note}` : ""}`)
    }
  }
}
