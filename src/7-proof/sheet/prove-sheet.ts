// The proof of a sheet that several boards share: its programs are read as text, every board is looked for on it, and
// what is cut there is judged like the board's own programs, netlists included. Besides, no board's cut may touch
// another board, and all of it must stay off the clamps.

import { type Figure, fact, measuredBy } from "../../0-ground/figure.ts"
import type { Finding } from "../../0-ground/finding.ts"
import type { Work } from "../../0-ground/progress.ts"
import { computed, described } from "../../0-ground/source.ts"
import type { PackageType } from "../../1-stock/artefact.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import type { CutterProgram, SheetPlan } from "../../6-copper/artefact.ts"
import type { BoardProof, SheetProof } from "../artefact.ts"
import { checkPrograms } from "../cut/check-programs.ts"
import { judgeCount } from "../cut/judge-count.ts"
import { benchOf, proveCut } from "../cut/prove-cut.ts"
import { type ProgramReading, readCutProgram, type ToolMove } from "../cut/read-cut-program.ts"
import { type Heights, onSurface } from "../cut/read-heights.ts"
import { drilledHoles, engraverOf, milledHoles, widthAt } from "../cut/simulate-cut.ts"
import type { WantedNetlist } from "../cut/wanted-netlist.ts"
import { proof } from "../proof-findings.ts"
import { given, measuredOn, nothingTold, type Told, tell } from "../told.ts"
import { type FoundBoard, findBoards, toSheet } from "./find-boards.ts"
import { type Island, islandOf, movesOf, placeStroke, strokesOf } from "./sheet-strokes.ts"

export interface SheetEvidence {
  readonly proof: SheetProof
  readonly findings: readonly Finding[]
  readonly figures: readonly Figure[]
}

/** A drawing that is off by more than this shows another place than the one that is cut, mm. */
const drawnOff = 0.01

/** `boards`: all of the lamp. With `heights` the surface is as measured on the sheet. */
export function* proveSheet(
  lamp: Lamp,
  boards: readonly Board[],
  sheet: SheetPlan,
  wanted: WantedNetlist,
  packages: (name: string) => PackageType | undefined,
  earth: string,
  heights?: Heights,
): Work<SheetEvidence> {
  const told = nothingTold()
  const readings = new Map(sheet.programs.map((p) => [p, readCutProgram(p.text)]))
  tell(
    told,
    ofSheet(checkPrograms(sheet.name, [...readings], benchOf(lamp, sheet.size))),
    ofSheet(judgeCount(lamp, sheet.name, readings)),
  )
  const found = findBoards(boards, holesOn(readings), movesFor(readings, "engrave"), (f) =>
    offDrawn(sheet, f),
  )
  tell(told, judgePlaces(sheet, boards, found))
  const islands = found.map(islandOf)
  tell(told, judgeStrokes(lamp, sheet, islands, readings))
  yield { stage: `proving ${sheet.name}`, done: 0.2, note: "boards found" }

  const bent = heights ? onSheetSurface(readings, heights) : readings
  const proofs: BoardProof[] = []
  for (const [k, island] of islands.entries()) {
    const { board } = island.found
    const parts = new Map(
      [...bent].map(([p, read]) => [p, movesOf(island, read, radiusOf(lamp, p, read))] as const),
    )
    const name = `${board.name} on ${sheet.name}`
    const pads = new Map(
      [...wanted.pads].map(([key, net]) => {
        const own = key.startsWith(`${board.name}/`)
        return [own ? `${name}${key.slice(board.name.length)}` : key, net]
      }),
    )
    const named = { ...board, name }
    const seen = yield* proveCut(lamp, named, { ...wanted, pads }, sheet.programs, packages, earth, {
      readings: parts,
      heights,
    })
    proofs.push({ ...seen.proof, board: board.name })
    tell(told, {
      findings: seen.findings.map((f) => ofBoard(f, board.name, name, sheet.name)),
      figures: seen.figures.map((f) => renamed(f, board.name, name, sheet.name)),
    })
    yield { stage: `proving ${sheet.name}`, done: 0.2 + (0.8 * (k + 1)) / islands.length, note: board.name }
  }
  return { proof: { sheet: sheet.name, boards: proofs }, ...told }
}

const movesFor = (readings: ReadonlyMap<CutterProgram, ProgramReading>, purpose: CutterProgram["purpose"]) =>
  [...readings].filter(([p]) => p.purpose === purpose).flatMap(([, r]) => r.moves)

const holesOn = (readings: ReadonlyMap<CutterProgram, ProgramReading>) =>
  [...readings].flatMap(([p, r]) =>
    p.purpose === "drill"
      ? drilledHoles(r.moves, p.toolDiameter)
      : p.purpose === "outline"
        ? milledHoles(r.moves, p.toolDiameter, () => true)
        : [],
  )

function onSheetSurface(readings: ReadonlyMap<CutterProgram, ProgramReading>, heights: Heights) {
  return new Map(
    [...readings].map(([p, r]) => [
      p,
      p.purpose === "engrave" || p.purpose === "clear" ? { ...r, moves: onSurface(r.moves, heights) } : r,
    ]),
  )
}

/** Half the width the tool takes at most. */
function radiusOf(lamp: Lamp, p: CutterProgram, read: ProgramReading): number {
  if (p.purpose !== "engrave") return p.toolDiameter / 2
  const low = read.moves.reduce((z, m) => (m.kind === "feed" ? Math.min(z, m.z1) : z), 0)
  return Math.max(0, grooveRadius(lamp, low))
}

const grooveRadius = (lamp: Lamp, z: number): number => {
  const engraver = engraverOf(lamp)
  return widthAt({ ...engraver, tip: engraver.swept ?? engraver.tip }, Math.min(0, z), 0) / 2
}

/** How far a board's edge lies from where it is drawn, mm; far off where it is drawn on no such sheet. */
function offDrawn(sheet: SheetPlan, f: FoundBoard): number {
  const said = sheet.places.find((p) => p.board === f.board.name)
  if (!said) return Number.MAX_VALUE
  return Math.max(
    ...f.board.outline.map((p) => {
      const drawn = toSheet(p, { quarters: said.turn / 90, x: said.x, y: said.y })
      const cut = toSheet(p, f)
      return Math.hypot(drawn.x - cut.x, drawn.y - cut.y)
    }),
  )
}

/** Every board that is said to lie on the sheet is found there, where the drawing shows it, and no other. */
function judgePlaces(sheet: SheetPlan, boards: readonly Board[], found: readonly FoundBoard[]): Told {
  const told = nothingTold()
  const red = (title: string, board: string) =>
    told.findings.push(
      proof.state("sheet-boards", {
        severity: "red",
        title,
        where: { text: `${board} on ${sheet.name}`, board },
      }),
    )
  for (const { board } of sheet.places) {
    if (!found.some((f) => f.board.name === board))
      red(`${board} is not found in the drill programs of ${sheet.name}`, board)
  }
  let off = 0
  for (const f of found) {
    const { name } = f.board
    const said = sheet.places.find((p) => p.board === name)
    if (!said) {
      red(`${name} is drilled on ${sheet.name} and stands in no drawing of it`, name)
      continue
    }
    const apart = offDrawn(sheet, f)
    const turned = said.turn / 90 !== f.quarters
    off = Math.max(off, apart)
    if (apart > drawnOff || turned)
      red(
        `${name} lies ${turned ? "turned otherwise" : `${apart.toFixed(2)} mm off`} on ${sheet.name} than its drawing shows`,
        name,
      )
  }
  if (told.findings.length === 0 && found.length > 0) {
    const figure = fact(
      `proof.${sheet.name}.drawn-off`,
      `boards of ${sheet.name}, found by their holes, off the places drawn`,
      Math.round(off * 1e4) / 1e4,
      "mm",
      measuredOn(
        `drill programs of ${sheet.name}`,
        "every board's lands and screws looked for, turned each way",
      ),
    )
    told.figures.push(figure)
    told.findings.push(
      proof.judge("sheet-boards", {
        title: `${sheet.name}: all ${found.length} of its ${boards.length === found.length ? "" : `(of ${boards.length}) `}boards are found by their holes; furthest off the place drawn`,
        where: { text: sheet.name },
        ...measuredBy(figure),
        limit: { kind: "at most", value: drawnOff, unit: "mm" },
        amberBelow: 0,
        source: {
          document: "0.01 mm",
          place:
            "a drawing at true size and the programs are written from the same places, to the micrometre",
          known: "chosen",
        },
      }),
    )
  }
  return told
}

/** No board's cut reaches another, none lies beside all of them, and all stay off the clamps. */
function judgeStrokes(
  lamp: Lamp,
  sheet: SheetPlan,
  islands: readonly Island[],
  readings: ReadonlyMap<CutterProgram, ProgramReading>,
): Told {
  const told = nothingTold()
  let least: { room: number; title: string; file: string; m: ToolMove; board: string } | undefined
  let edge: { room: number; file: string; m: ToolMove } | undefined
  let strays = 0
  for (const [p, read] of readings) {
    const radius = (m: ToolMove) =>
      p.purpose === "engrave" ? Math.max(0, grooveRadius(lamp, Math.min(m.z0, m.z1))) : p.toolDiameter / 2
    for (const stroke of strokesOf(read.moves, radius)) {
      const place = placeStroke(stroke, islands)
      const first = stroke.moves[0]!
      if (!place.owner && strays++ < 3)
        told.findings.push(
          proof.state("sheet-stray", {
            severity: "amber",
            title: `${p.file} cuts beside every board, from x ${first.x0.toFixed(1)}, y ${first.y0.toFixed(1)} mm of ${sheet.name}`,
            where: { text: `${p.file}, line ${first.line}`, file: p.file, line: first.line },
          }),
        )
      if (place.next && (!least || place.room < least.room)) {
        const own = place.owner?.found.board.name ?? "no board"
        const board = place.next.found.board.name
        least = { room: place.room, title: `${own} and ${board}`, file: p.file, m: place.at, board }
      }
      for (const m of stroke.moves) {
        const low = Math.min(m.x0, m.x1, m.y0, m.y1)
        const high = Math.min(sheet.size.w - Math.max(m.x0, m.x1), sheet.size.h - Math.max(m.y0, m.y1))
        const room = Math.min(low, high) - stroke.radius
        if (!edge || room < edge.room) edge = { room, file: p.file, m }
      }
    }
  }
  const tidy = (v: number) => Math.round(v * 1e4) / 1e4
  if (least && Number.isFinite(least.room)) {
    const { file, m, board } = least
    const room = fact(
      `proof.${sheet.name}.apart`,
      `least room on ${sheet.name} between a cut of one board and another board: ${least.title}`,
      tidy(least.room),
      "mm",
      measuredOn(file, `line ${m.line}: tool's edge against the other board's outline, in place`),
    )
    told.figures.push(room)
    told.findings.push(
      proof.judge("sheet-apart", {
        title: `Least room on ${sheet.name} between a cut of one board and another board: ${least.title}`,
        where: { text: `${file}, line ${m.line}`, file, line: m.line, board },
        ...measuredBy(room),
        limit: { kind: "at least", value: 0, unit: "mm" },
        source: computed("no tool, with the whole width it sweeps, may reach into another board's outline"),
      }),
    )
  }
  if (edge) {
    const clamps = lamp.cutting?.shared?.clampingEdge ?? 0
    const room = fact(
      `proof.${sheet.name}.edge`,
      `least room between a cut of ${sheet.name} and the sheet's edge`,
      tidy(edge.room),
      "mm",
      measuredOn(edge.file, `line ${edge.m.line}: tool's edge against the sheet's edge`),
    )
    told.figures.push(room, given("cutting.clamping-edge", "edge left to the clamps", clamps, "mm"))
    told.findings.push(
      proof.judge("sheet-clamps", {
        title: `Least room between a cut of ${sheet.name} and the sheet's edge`,
        where: { text: `${edge.file}, line ${edge.m.line}`, file: edge.file, line: edge.m.line },
        ...measuredBy(room),
        limit: { kind: "at least", value: clamps, unit: "mm" },
        amberBelow: -1e-6,
        atWorst: edge.room > 0 ? "amber" : "red",
        source: described("cutting.clamping-edge"),
      }),
    )
  }
  return told
}

/** The sheet is no board: what is told of it as a whole points at none. */
const ofSheet = ({ findings, figures }: Told): Told => ({
  figures,
  findings: findings.map((f) => {
    const { board, ...where } = f.where
    return { ...f, where }
  }),
})

/** Told of the board under its own name, with figures of its own. */
function ofBoard(f: Finding, board: string, name: string, sheet: string): Finding {
  const { where } = f
  return {
    ...f,
    where: {
      ...where,
      ...(where.board === name ? { board } : {}),
      ...(where.path === undefined ? {} : { path: where.path.replace(name, board) }),
    },
    ...(f.figure === undefined ? {} : { figure: idOn(f.figure, board, name, sheet) }),
  }
}

const renamed = (f: Figure, board: string, name: string, sheet: string): Figure => ({
  ...f,
  id: idOn(f.id, board, name, sheet),
  ...(f.inputs ? { inputs: f.inputs.map((i) => renamed(i, board, name, sheet)) } : {}),
})

const idOn = (id: string, board: string, name: string, sheet: string): string =>
  id.startsWith("proof.") ? `proof.${sheet}.${board}.${id.slice(6).replace(`${name}.`, "")}` : id
