// Whether the programs are safe to run as they stand: units said, spindle turning, no fast move through the board,
// nothing beyond the sheet or into the table, a clean end.

import { fact, measuredBy } from "../../0-ground/figure.ts"
import { described, practice } from "../../0-ground/source.ts"
import type { CutterProgram } from "../../6-copper/artefact.ts"
import { proof } from "../proof-findings.ts"
import { nothingTold, readOff, type Told, tell } from "../told.ts"
import type { ProgramReading } from "./read-cut-program.ts"

export interface Bench {
  /** Sheet thickness, mm. */
  readonly thickness: number
  readonly sheet: { readonly w: number; readonly h: number }
  /** Furthest a move may go outside the board for the outline, mm. */
  readonly margin: number
  readonly clearHeight: number
  /** Described feeds, mm/min, sideways and straight down, by purpose. */
  readonly feeds: Readonly<
    Record<CutterProgram["purpose"], { readonly along: number; readonly down: number }>
  >
}

/** How far below the board a tool may go, mm: a millimetre, and for large drills the length of their point. */
export const deepestBelow = (program: CutterProgram): number =>
  program.purpose === "drill" ? Math.max(1, 0.3 + 0.3 * program.toolDiameter) : 1

function checkProgram(program: CutterProgram, read: ProgramReading, bench: Bench): ProgramChecked {
  const told = nothingTold()
  const { findings } = told
  const at = (line?: number, x?: number, y?: number) => ({
    text: line === undefined ? program.file : `${program.file}, line ${line}`,
    file: program.file,
    board: program.board,
    ...(line === undefined ? {} : { line }),
    ...(x === undefined || y === undefined ? {} : { x, y, frame: "board" as const }),
  })
  for (const f of read.faults.slice(0, 20)) {
    findings.push(
      proof.state("program-unreadable", {
        severity: "red",
        title: `${program.file} line ${f.line} cannot be read: ${f.reason}`,
        where: at(f.line),
      }),
    )
  }
  const red = (line: number | undefined, title: string, x?: number, y?: number) =>
    findings.push(proof.state("program-unsafe", { severity: "red", title, where: at(line, x, y) }))
  const amber = (line: number | undefined, title: string) =>
    findings.push(proof.state("program-unsafe", { severity: "amber", title, where: at(line) }))

  if (!read.said.units) red(undefined, `${program.file} moves before it says G21 or G20`)
  if (!read.said.distance) red(undefined, `${program.file} moves before it says G90 or G91`)
  if (!read.said.plane) amber(undefined, `${program.file} moves before it says G17`)
  if (read.inches) amber(undefined, `${program.file} works in inches`)
  if (read.moves.length === 0) red(undefined, `${program.file} moves nothing`)
  const first = read.moves[0]
  if (
    first &&
    (first.kind !== "rapid" || first.x0 !== first.x1 || first.y0 !== first.y1 || first.z1 <= first.z0)
  )
    amber(first.line, `${program.file} does not lift the tool before its first move`)

  const floor = -(bench.thickness + deepestBelow(program))
  let fast = 0
  let cold = 0
  let deep = 0
  let outside = 0
  let low: Deepest = { z: Number.POSITIVE_INFINITY, line: 0 }
  let lowest: Deepest = { z: 0, line: 0 }
  let backward = 0
  let inside = { left: Number.POSITIVE_INFINITY, line: 0 }
  const radius = program.toolDiameter / 2
  let hasty = { share: 0, feed: 0, limit: 0, line: 0 }
  for (const m of read.moves) {
    const down = Math.min(m.z0, m.z1)
    if (down < lowest.z) lowest = { z: down, line: m.line }
    const across = m.x0 !== m.x1 || m.y0 !== m.y1
    if (m.kind === "rapid") {
      // Straight up out of a cut is what a retract is; anything else below the surface breaks tool or board.
      const through = down < 0 && (across || m.z1 < m.z0) && !m.inOwnHole
      if (through && fast++ < 3)
        red(m.line, `a rapid goes through the board, down to ${down.toFixed(2)} mm`, m.x1, m.y1)
      if (across && !through && down < low.z) low = { z: down, line: m.line }
    } else if (down < 0 && m.spindle === 0 && cold++ < 1) {
      red(m.line, "the tool goes into the board with the spindle standing", m.x1, m.y1)
    }
    if (m.kind === "feed" && down < 0) {
      if (m.spindle < 0 && backward++ < 1) amber(m.line, "the spindle turns counter-clockwise (M4)")
      const asked = bench.feeds[program.purpose]
      const limit = across ? asked.along : m.z1 < m.z0 ? asked.down : Number.POSITIVE_INFINITY
      if (m.feed / limit > hasty.share) hasty = { share: m.feed / limit, feed: m.feed, limit, line: m.line }
    }
    if (m.z1 < floor - 1e-9 && deep++ < 3)
      red(m.line, `the tool goes to ${m.z1.toFixed(2)} mm, into the table`, m.x1, m.y1)
    const beyond = Math.max(
      -bench.margin - m.x1,
      -bench.margin - m.y1,
      m.x1 - bench.sheet.w - bench.margin,
      m.y1 - bench.sheet.h - bench.margin,
    )
    if (down < 0) {
      const left =
        Math.min(
          m.x0,
          m.x1,
          m.y0,
          m.y1,
          bench.sheet.w - Math.max(m.x0, m.x1),
          bench.sheet.h - Math.max(m.y0, m.y1),
        ) - radius
      if (left < inside.left) inside = { left, line: m.line }
    }
    if (beyond > 1e-6 && outside++ < 3)
      red(m.line, `the tool leaves the sheet by ${beyond.toFixed(2)} mm`, m.x1, m.y1)
  }
  if (read.end !== "M30" && read.end !== "M2") {
    if (read.faults.length === 0) amber(read.endLine, `${program.file} does not end with M30`)
  } else if (!(read.at[2] > 0)) red(read.endLine, `${program.file} ends with the tool in the board`)
  if (read.spindleAtEnd !== 0) amber(read.endLine, `${program.file} ends with the spindle turning`)
  for (const s of read.stops) {
    if (s.word === "M6") amber(s.line, `${program.file} asks for a tool change inside the program`)
  }
  for (const n of read.notes.slice(0, 10)) amber(n.line, `${program.file} line ${n.line}: ${n.reason}`)

  // Ten decimals of a long program must not make a caution of a feed that is met.
  if (hasty.share > 1.0001) {
    const feed = fact(
      `proof.${program.file}.feed`,
      `feed of ${program.file} furthest beyond the description`,
      hasty.feed,
      "mm/min",
      readOff(program.file, `line ${hasty.line}`),
    )
    told.figures.push(feed)
    findings.push(
      proof.judge("program-feed", {
        title: `${program.file}: fastest feed in the board against the description`,
        where: at(hasty.line),
        ...measuredBy(feed),
        limit: { value: hasty.limit, unit: "mm/min", kind: "at most" },
        atWorst: "amber",
        source: described("cutter"),
      }),
    )
  }
  return { told, file: program.file, lowest, floor, low, inside }
}

interface Deepest {
  /** mm above the surface. */
  readonly z: number
  readonly line: number
}

interface ProgramChecked {
  /** What is wrong with it; empty when nothing is. */
  readonly told: Told
  readonly file: string
  readonly lowest: Deepest
  /** How far down it may go, mm above the surface (negative). */
  readonly floor: number
  /** Lowest fast move across the board; infinite when there is none. */
  readonly low: Deepest
  /** Least room between a cutting tool's edge and the sheet's, mm; infinite when nothing is cut. */
  readonly inside: { readonly left: number; readonly line: number }
}

/** All programs of a board in a few lines: what is wrong, or that nothing is and by how much. */
export function checkPrograms(
  board: string,
  programs: readonly (readonly [CutterProgram, ProgramReading])[],
  bench: Bench,
): Told {
  const checked = programs.map(([p, read]) => checkProgram(p, read, bench))
  const told = nothingTold()
  for (const c of checked) tell(told, c.told)
  const sound = told.findings.length === 0
  if (checked.length === 0) return told
  const where = (file: string) => ({ text: file, file, board })
  const spare = (c: ProgramChecked) => c.lowest.z - c.floor
  const deep = checked.reduce((a, c) => (spare(c) < spare(a) ? c : a))
  const low = checked.reduce((a, c) => (c.low.z < a.low.z ? c : a))
  const deepest = fact(
    `proof.${board}.program-depth`,
    `deepest point of all programs of ${board}, by what is left to its limit`,
    -deep.lowest.z,
    "mm",
    readOff(deep.file, `line ${deep.lowest.line}`),
  )
  told.figures.push(deepest)
  told.findings.push(
    proof.judge("program-depth", {
      title: `Deepest point of all programs of ${board}`,
      where: where(deep.file),
      ...measuredBy(deepest),
      limit: { value: -deep.floor, unit: "mm", kind: "at most" },
      amberBelow: 0,
      source: practice(
        "board thickness and 1 mm of waste board, or the point of a large drill: common practice, no source",
      ),
    }),
  )
  const edge = checked.reduce((a, c) => (c.inside.left < a.inside.left ? c : a))
  if (Number.isFinite(edge.inside.left)) {
    const room = fact(
      `proof.${board}.sheet-room`,
      `least room between a cutting tool and the sheet's edge, ${board}`,
      // Six decimals: what adding and taking off a radius leaves behind is no overhang.
      Math.round(edge.inside.left * 1e6) / 1e6,
      "mm",
      readOff(edge.file, `line ${edge.inside.line}`),
    )
    told.figures.push(room)
    told.findings.push(
      proof.judge("program-sheet", {
        title: `Room between cutting tools and the edge of the ${bench.sheet.w} × ${bench.sheet.h} mm sheet, ${board}`,
        where: where(edge.file),
        ...measuredBy(room),
        limit: { value: 0, unit: "mm", kind: "at least" },
        amberBelow: 0,
        atWorst: edge.inside.left < -2 * bench.margin ? "red" : "amber",
      }),
    )
  }
  if (Number.isFinite(low.low.z)) {
    const lowest = fact(
      `proof.${board}.lowest-rapid`,
      `lowest fast move across ${board}`,
      low.low.z,
      "mm",
      readOff(low.file, `line ${low.low.line}`),
    )
    told.figures.push(lowest)
    told.findings.push(
      proof.judge("program-clear-height", {
        title: `Lowest fast move across ${board}`,
        where: where(low.file),
        ...measuredBy(lowest),
        limit: { value: Math.min(1, bench.clearHeight), unit: "mm", kind: "at least" },
        atWorst: "amber",
        amberBelow: 0,
        source: practice(),
      }),
    )
  }
  if (sound) {
    told.findings.push(
      proof.state("program-unsafe", {
        severity: "green",
        title: `${board}: all ${checked.length} programs can be read and are safe to run as they stand`,
        where: { text: board, board },
        measured: { value: 0, unit: "" },
        limit: { value: 0, unit: "", kind: "exactly" },
        margin: 0,
        advice: "Wear eye protection at the mill whatever the report says.",
      }),
    )
  }
  return told
}
