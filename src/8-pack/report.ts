// report.json: the verdict, every finding, every figure with the ids of what it was worked out from.

import type { Figure } from "../0-ground/figure.ts"
import type { PackInput } from "./artefact.ts"
import type { BuiltLamp } from "./as-built/compare-built.ts"
import { bringUpReport } from "./bring-up/bring-up-table.ts"
import type { BringUpPlan } from "./bring-up/plan-bring-up.ts"
import { partLines } from "./parts-list.ts"

export function reportJson(design: PackInput, plan: BringUpPlan, built: readonly BuiltLamp[]): string {
  return `${JSON.stringify(report(design, plan, built), null, 2)}\n`
}

/** What is in it, to be written as JSON. */
export function report(design: PackInput, bringUp: BringUpPlan, asBuilt: readonly BuiltLamp[]) {
  const { lamp, boards, plan, proof, firmware, findings, verdict, stages } = design
  const figures = flatten(design)
  return {
    lamp: lamp.name,
    verdict,
    findings,
    figures,
    drives: design.circuit.drives,
    candidates: design.circuit.candidates ?? [],
    boards: boards.boards.map((b) => {
      const programs = plan.programs.filter((p) => p.board === b.name)
      const sum = (of: (p: (typeof programs)[number]) => number) =>
        round(programs.reduce((s, p) => s + of(p), 0))
      const proven = proof.boards.find((p) => p.board === b.name)
      return {
        name: b.name,
        size: { w: round(b.size.w), h: round(b.size.h) },
        parts: b.parts.filter((p) => p.kind !== "pad").length,
        pads: b.parts.filter((p) => p.kind === "pad").length,
        nets: new Set(b.lands.flatMap((l) => (l.net === undefined ? [] : [l.net]))).size,
        links: b.links.length,
        linksLowerBound: b.linksLowerBound,
        unrouted: b.unrouted,
        cutLength: sum((p) => p.cutLength),
        cutTime: sum((p) => p.time),
        travel: sum((p) => p.travel),
        plunges: sum((p) => p.plunges),
        depthWindow: depthWindow(figures, b.name),
        narrowestTrack: round(proven?.narrowestCopper ?? b.trackWidth),
        programs: programs.map((p) => p.file),
      }
    }),
    ...(plan.sheets
      ? {
          sheets: plan.sheets.map((s) => ({
            name: s.name,
            size: s.size,
            boards: s.places.map(({ board, turn, x, y }) => ({ board, turn, x: round(x), y: round(y) })),
            cutTime: round(s.programs.reduce((sum, p) => sum + p.time, 0)),
            programs: s.programs.map((p) => p.file),
          })),
        }
      : {}),
    parts: partLines(design).map(({ refs, value, label, board }) => ({ refs, value, label, board })),
    firmware:
      firmware === undefined
        ? null
        : {
            bytes: firmware.codeBytes + firmware.tableBytes,
            codeBytes: firmware.codeBytes,
            tableBytes: firmware.tableBytes,
            pwmFrequency: firmware.pwmFrequency,
            tickLoad: firmware.tickLoad,
            latency: latencies(design),
            buildId: firmware.buildId,
            clockHz: firmware.clockHz,
            fuses: firmware.fuses,
            pinOf: firmware.pinOf,
          },
    bringUp: bringUpReport(bringUp),
    asBuilt,
    stages: Object.fromEntries(stages.map((s) => [s, null])),
    units: {
      size: "mm",
      cutLength: "mm",
      travel: "mm",
      narrowestTrack: "mm",
      depthWindow: "mm",
      cutTime: "s",
      pwmFrequency: "Hz",
    },
    notes: [
      "Stage times are null: the same description gives the same bytes, so no file tells how long a machine took.",
      "depthWindow is bounded from the foil, the height error and the narrowest copper; null where it was not proven.",
    ],
  }
}

/** Set depths that part every net and leave enough copper, mm; null for a board the proof did not reach. */
function depthWindow(figures: ReturnType<typeof flatten>, board: string) {
  const low = figures[`proof.${board}.depth-low`]
  const high = figures[`proof.${board}.depth-high`]
  return low && high ? { low: round(low.value), high: round(high.value) } : null
}

/** Figures of behaviour and proof that tell how long light takes to follow its wire: id → value in its unit. */
function latencies(design: PackInput): Record<string, { value: number; unit: string }> {
  const out: Record<string, { value: number; unit: string }> = {}
  for (const [id, f] of Object.entries(flatten(design)))
    if (/latency|first-light/.test(id)) out[id] = { value: f.value, unit: f.unit }
  return out
}

interface FlatFigure {
  readonly name: string
  readonly value: number
  readonly unit: string
  readonly formula?: string
  readonly inputs?: readonly string[]
  readonly source?: Figure["source"]
  readonly corner?: string
}

/** Every figure once, by id, inputs as ids. Where two share an id the first stands. */
export function flatten({ figures }: PackInput): Record<string, FlatFigure> {
  const out = new Map<string, FlatFigure>()
  const open = [...figures].reverse()
  while (open.length > 0) {
    const f = open.pop()!
    if (out.has(f.id)) continue
    out.set(f.id, {
      name: f.name,
      value: f.value,
      unit: f.unit,
      ...(f.formula === undefined ? {} : { formula: f.formula }),
      ...(f.inputs === undefined ? {} : { inputs: f.inputs.map((i) => i.id) }),
      ...(f.source === undefined ? {} : { source: f.source }),
      ...(f.corner === undefined ? {} : { corner: f.corner }),
    })
    open.push(...[...(f.inputs ?? [])].reverse())
  }
  return Object.fromEntries([...out].sort(([a], [b]) => (a < b ? -1 : 1)))
}

const round = (n: number) => Math.round(n * 1e3) / 1e3
