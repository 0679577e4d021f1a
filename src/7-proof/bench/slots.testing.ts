// When the ports change, against the slots of a frame (SEMANTICS.md section 8).

import { slots } from "./model/timing.ts"
import type { BenchRun } from "./run-bench.ts"

/** Runs on; for every change of a port the cycles to the nearest start of a slot, the way to the port apart. */
export function slotMisses(run: BenchRun, seconds: number): number[] {
  const starts = slots.map((_, i) => slots.slice(0, i).reduce((a, b) => a + b, 0))
  const ends = [...starts, 4000]
  const changes: { at: number; port: number }[] = []
  const seen = [-1, -1, -1]
  const watch = run.chip.ports.onChange
  run.chip.ports.onChange = (cycle, port) => {
    watch(cycle, port)
    const wrap = run.chip.timer.lastWrap
    const now = run.chip.ports.latch[port]!
    if (wrap >= 0 && now !== seen[port]) changes.push({ at: cycle - wrap, port })
    seen[port] = now
  }
  run.advance(seconds)
  return [0, 1, 2].flatMap((port) => {
    const own = changes.filter((c) => c.port === port).map((c) => c.at)
    if (own.length === 0) return []
    // The interrupt's way to the port: the shift at which most changes lie on a slot.
    const misses = (shift: number) => own.map((at) => Math.min(...ends.map((s) => Math.abs(at - shift - s))))
    const hits = (shift: number) => misses(shift).filter((m) => m === 0).length
    return misses(Array.from({ length: 80 }, (_, i) => i).reduce((a, b) => (hits(b) > hits(a) ? b : a)))
  })
}
