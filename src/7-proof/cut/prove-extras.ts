// The programs beside those that make boards, read again by the proof's own reader: test grooves, probing, and one
// file with tool stops, which must make exactly the moves of the programs it is put together from.

import type { Lamp } from "../../2-lamp/artefact.ts"
import type { CutterProgram, ExtraProgram } from "../../6-copper/artefact.ts"
import { proof } from "../proof-findings.ts"
import { nothingTold, type Told } from "../told.ts"
import { type ProgramReading, readCutProgram, type ToolMove } from "./read-cut-program.ts"

/** Deeper than this no test groove and no probing move may go, mm. */
const deepest = { coupon: 0.5, probe: 1.5, "one-file": Number.POSITIVE_INFINITY } as const

export function proveExtras(
  lamp: Lamp,
  extras: readonly ExtraProgram[],
  programs: readonly CutterProgram[],
): Told {
  const told = nothingTold()
  for (const extra of extras) {
    const read = readCutProgram(extra.text, { probing: extra.kind === "probe" })
    const where = (line?: number) => ({
      text: line === undefined ? extra.file : `${extra.file}, line ${line}`,
      file: extra.file,
      ...(line === undefined ? {} : { line }),
      ...(extra.board === undefined ? {} : { board: extra.board }),
    })
    const red = (code: "program-unreadable" | "program-unsafe" | "one-file", title: string, line?: number) =>
      told.findings.push(proof.state(code, { severity: "red", title, where: where(line) }))
    for (const f of read.faults.slice(0, 5))
      red("program-unreadable", `${extra.file} line ${f.line} cannot be read: ${f.reason}`, f.line)
    const bad = unsafe(lamp, extra, read)
    if (bad) red("program-unsafe", bad.why, bad.line)
    if (extra.kind !== "one-file") continue
    const parts = programs.filter((p) => p.board === extra.board)
    const differs = firstDifference(read, parts)
    if (differs) red("one-file", `${extra.file}: ${differs.why}`, differs.line)
    else
      told.findings.push(
        proof.state("one-file", {
          severity: "green",
          title: `${extra.file} makes the very moves of its ${parts.length} programs, with ${read.stops.length} stops to change the tool`,
          where: where(),
          measured: { value: 0, unit: "" },
          limit: { value: 0, unit: "", kind: "exactly" },
          margin: 0,
        }),
      )
  }
  if (extras.length > 0 && told.findings.every((f) => f.severity !== "red"))
    told.findings.push(
      proof.state("program-unsafe", {
        severity: "green",
        title: `all ${extras.length} further programs (${kinds(extras)}) can be read and are safe to run as they stand`,
        where: { text: "test grooves, probing, tool stops" },
        measured: { value: 0, unit: "" },
        limit: { value: 0, unit: "", kind: "exactly" },
        margin: 0,
        advice: "Wear eye protection at the mill whatever the report says.",
      }),
    )
  return told
}

function kinds(extras: readonly ExtraProgram[]): string {
  const words = { coupon: "test grooves", probe: "probing", "one-file": "one file a board" } as const
  return [...new Set(extras.map((e) => words[e.kind]))].join(", ")
}

function unsafe(
  lamp: Lamp,
  { kind }: ExtraProgram,
  read: ProgramReading,
): { why: string; line: number } | undefined {
  for (const m of read.moves) {
    const low = Math.min(m.z0, m.z1)
    const across = m.x0 !== m.x1 || m.y0 !== m.y1
    if (m.kind === "rapid" && low < 0 && (across || m.z1 < m.z0))
      return { why: `a rapid goes through the board, down to ${low.toFixed(2)} mm`, line: m.line }
    if (-low > deepest[kind]) return { why: `the tool goes to ${low.toFixed(2)} mm`, line: m.line }
    if (kind === "probe" && m.spindle !== 0) return { why: "the probe turns with the spindle", line: m.line }
    if (kind === "probe" && m.kind === "feed" && across)
      return { why: "the probe is dragged aside", line: m.line }
    if (kind !== "probe" && m.kind === "feed" && low < 0 && m.spindle === 0)
      return { why: "the tool goes into the board with the spindle standing", line: m.line }
    const { w, h } = lamp.copperClad.sheet
    const side = Math.max(w, h)
    if (Math.min(m.x1, m.y1) < 0 || Math.max(m.x1, m.y1) > side)
      return { why: "the tool leaves the sheet", line: m.line }
  }
  if (!read.said.units || !read.said.distance) return { why: "it moves before it says its units", line: 1 }
  if (read.spindleAtEnd !== 0) return { why: "it ends with the spindle turning", line: read.endLine }
  return undefined
}

/** Cutting moves only: between the parts the tool may go home another way. */
function firstDifference(
  read: ProgramReading,
  parts: readonly CutterProgram[],
): { why: string; line?: number } | undefined {
  const cuts = (moves: readonly ToolMove[]) => moves.filter((m) => m.kind === "feed")
  const own = cuts(read.moves)
  const want = parts.flatMap((p) => cuts(readCutProgram(p.text).moves))
  if (read.stops.length !== parts.length - 1)
    return { why: `${read.stops.length} stops for ${parts.length} tools` }
  for (let k = 0; k < Math.max(own.length, want.length); k++) {
    const a = own[k]
    const b = want[k]
    if (!a || !b)
      return {
        why: `${own.length} cutting moves, ${want.length} in its parts`,
        ...(a ? { line: a.line } : {}),
      }
    if (a.x1 !== b.x1 || a.y1 !== b.y1 || a.z1 !== b.z1 || a.feed !== b.feed)
      return { why: `a cutting move differs from its part`, line: a.line }
  }
  return undefined
}
