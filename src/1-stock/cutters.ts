// Cutting practice on copper-clad: what a groove does and the ranges that work. The lamp's own description names the
// cutter; these are the values a beginner starts from and the limits that raise a caution.

import { type Figure, fact } from "../0-ground/figure.ts"
import type { Source } from "../0-ground/source.ts"

const habit: Source = {
  document: "cutting practice on copper-clad, recalled",
  known: "memory",
  confidence: "M",
}
const spacing: Source = { document: "common practice for engraved boards in wet vehicles", known: "practice" }
const ipc: Source = {
  document: "IPC-2221A/B table 6-1, column B2, recalled",
  known: "memory",
  confidence: "M",
}

/** Width removed at the copper surface with the tip `depth` below it; angle is the full included angle in degrees. */
export const grooveWidth = (tip: number, angle: number, depth: number): number =>
  tip + 2 * depth * Math.tan((angle * Math.PI) / 360)

export const cutting = {
  /** Depth that surely parts 35 µm of copper on a levelled board. */
  isolationDepth: { low: 0.05, high: 0.12 },
  engraverAngles: [20, 30, 45, 60, 90],
  drills: [0.8, 1.0, 1.3, 3.2],
  /** Bare board in a wet vehicle, then lacquered. */
  clearance: { any: 0.3, battery: 0.6 },
  /** Least ring of copper round a hole. */
  ring: { least: 0.3, wanted: 0.5 },
} as const

/** Electric clearance on bare outer copper, millimetres, for volts up to 100. */
export const spacingFor = (volt: number): number => (volt <= 30 ? 0.1 : 0.6)

export const cutterFacts: readonly Figure[] = [
  fact("stock.cut.depth-low", "least engraving depth", cutting.isolationDepth.low, "mm", habit),
  fact("stock.cut.depth-high", "greatest engraving depth in use", cutting.isolationDepth.high, "mm", habit),
  fact(
    "stock.cut.clearance",
    "clearance between any nets, bare board, then lacquered",
    cutting.clearance.any,
    "mm",
    spacing,
  ),
  fact(
    "stock.cut.clearance-battery",
    "clearance of the battery feed to everything",
    cutting.clearance.battery,
    "mm",
    spacing,
  ),
  fact("stock.cut.ring-least", "least ring of copper round a hole", cutting.ring.least, "mm", spacing),
  fact("stock.cut.ring", "wanted ring of copper round a hole", cutting.ring.wanted, "mm", spacing),
  fact("stock.cut.spacing-30", "clearance up to 30 V", 0.1, "mm", ipc),
  fact("stock.cut.spacing-100", "clearance from 31 V to 100 V", 0.6, "mm", ipc),
]
