// The limits of the light, held against a run by another road than the model's: from the wires' voltages alone,
// wherever these leave no doubt which line decides. Light within 5 ms of a settled wire, a level without rise in full
// by then, dark within 20 ms and the fall, a sweep over 3 ms before every fall.

import type { ProgrammeLine } from "../../../2-lamp/artefact.ts"
import type { Made } from "../lamp-on-bench.ts"
import { frameAt } from "../measure-flashes.ts"
import { codeOf, dutyOf } from "../model/timing.ts"
import type { BenchRun } from "../run-bench.ts"
import { liveSpans, type WireEdge } from "../wires.ts"

const litWithin = 0.005
const darkWithin = 0.02
const spare = 0.003
/** A resonator, oscillator start and fuse delay: nothing is claimed for so long after power-on. */
const startUp = 0.015
/** Fades are a little late where they are long. */
const late = 1.02
/** Two codes. */
const either = 0.008

export interface LimitsKept {
  /** In words, the first of each kind. */
  readonly broken: readonly string[]
  /** What was looked at: instants of light, instants of darkness, whole sweeps. */
  readonly lit: number
  readonly full: number
  readonly dark: number
  readonly sweeps: number
}

export function holdLimits({ lamp }: Made, run: BenchRun): LimitsKept {
  const { channels } = run.bench
  const end = run.frameStart[run.frames]! / run.clockHz
  const wireOf = new Map(lamp.vehicle.wires.map((w) => [w.name, w]))
  const flashes = (l: ProgrammeLine) => l.when.some((w) => wireOf.get(w)?.role === "flashing")
  const broken = new Map<string, string>()
  const breaks = (kind: string, told: string) => {
    if (!broken.has(kind)) broken.set(kind, `${kind}: ${told}`)
  }
  let [lit, full, dark, sweeps] = [0, 0, 0, 0]
  const resets = run.chip.resets.map((r) => r.cycle / run.clockHz)
  const restarted = (t: number) => resets.findLast((r) => r <= t) ?? 0
  const states = new Map(
    lamp.vehicle.wires.map((w) => [w.name, new Since(run.wires[w.name] ?? [], run.perhaps[w.name] ?? [])]),
  )
  const liveFor = (name: string) => litWithin + Math.max(0, (wireOf.get(name)?.liveAfter ?? 0) - 0.003)
  const deadFor = (name: string) => darkWithin + Math.max(0, (wireOf.get(name)?.deadAfter ?? 0) - 0.01)
  const groups = lamp.groups.flatMap((group) => {
    const lines = lamp.programme
      .map((line, order) => ({ line, order, flashing: flashes(line) }))
      .filter(({ line }) => line.light === group.name)
      .sort(
        (a, b) =>
          Number(b.flashing) - Number(a.flashing) ||
          b.line.when.length - a.line.when.length ||
          b.line.level - a.line.level ||
          b.order - a.order,
      )
    const own = [...channels.keys()].filter((c) => channels[c]!.group === group.name)
    const falls = Math.max(0, ...lines.map((l) => l.line.fall))
    const decides = undefined as ProgrammeLine | undefined
    // Groups without an output are the circuit's.
    return own.length > 0 ? [{ name: group.name, lines, own, falls, decides, since: 0 }] : []
  })
  const holding = lamp.flashing?.heldBackFor ?? 0.75
  /** What decided a group, and since when without doubt, at every instant that was looked at. */
  const history: { t: number; decides: (ProgrammeLine | undefined)[] }[] = []

  for (let f = 4; f < run.frames; f += 4) {
    const t = run.frameStart[f]! / run.clockHz
    for (const s of states.values()) s.advance(t)
    const running = run.timed[f] === 1 && run.timed[f + 1] === 1 && t - restarted(t + 0.001) > startUp
    const active = (l: ProgrammeLine) => l.when.every((w) => t - states.get(w)!.live > liveFor(w))
    const gone = (l: ProgrammeLine, more = 0) =>
      l.when.some((w) => t - states.get(w)!.dead > deadFor(w) + more)
    for (const g of groups) {
      const first = g.lines.find((l) => !gone(l.line))
      let decides = first && active(first.line) ? first.line : undefined
      if (decides && !first!.flashing) {
        const back = g.lines.some(
          (l) =>
            l.flashing &&
            l.line.betweenFlashes !== "other-lines" &&
            l.line.when.every((w) =>
              wireOf.get(w)?.role === "flashing"
                ? t - states.get(w)!.dead <= holding + 0.03 + (wireOf.get(w)?.deadAfter ?? 0)
                : t - states.get(w)!.dead <= deadFor(w),
            ),
        )
        if (back) decides = undefined
      }
      if (!running) decides = undefined
      if (decides !== g.decides) g.since = t
      g.decides = decides
      const duty = (c: number) => run.duty(f, c)
      const place = `${g.name} at ${t.toFixed(4)} s`
      if (decides && decides.level > 0) {
        lit++
        if (!g.own.some((c) => duty(c) > 0.02)) breaks("not lit within 5 ms of a settled wire", place)
        const { sweep, rise, level } = decides
        const sweepMost = sweep ? (sweep.share === undefined ? sweep.within : (sweep.atMost ?? 5)) : 0
        const wanted = dutyOf(codeOf(level))
        const begins = sweep ? sweepMost : rise
        if (t - g.since >= late * begins) {
          full++
          if (g.own.some((c) => duty(c) < wanted - either)) breaks("not at its level in time", place)
          const settles = late * Math.max(begins, g.falls) + 0.002
          if (t - g.since > settles && g.own.some((c) => Math.abs(duty(c) - wanted) > either))
            breaks("not at its level for good", place)
        }
      }
      if (running && g.lines.every((l) => gone(l.line, late * g.falls))) {
        dark++
        if (g.own.some((c) => duty(c) > 0)) breaks("not dark within 20 ms and its fall", place)
      }
    }
    history.push({ t, decides: groups.map((g) => g.decides) })
  }

  for (const [i, g] of groups.entries())
    for (const { line, flashing } of g.lines) {
      if (!flashing || !line.sweep || line.level === 0) continue
      const flasher = line.when.filter((w) => wireOf.get(w)?.role === "flashing")
      if (flasher.length !== 1) continue
      const spans = liveSpans(run.wires[flasher[0]!] ?? [], end)
      const wanted = dutyOf(codeOf(line.level))
      for (const [n, [rise, fall]] of spans.entries()) {
        const before = spans.slice(Math.max(0, n - 3), n).map(([a, b]) => b - a)
        const shortest = Math.max(lamp.flashing?.shortestOn ?? 0.1, 0.95 * Math.max(0, ...before))
        if (fall >= end || fall - rise < shortest + 0.001 || restarted(fall) > rise - 0.02) continue
        const late = liveFor(flasher[0]!) - litWithin
        const from = rise + litWithin + late + 0.002
        const seen = history.filter((h) => h.t >= from && h.t <= fall - spare)
        if (late > 0 || seen.length === 0 || seen.some((h) => h.decides[i] !== line)) continue
        // It became active with this very rise: its steady wires were live well before.
        if (!line.when.every((w) => w === flasher[0] || liveAt(run.wires[w] ?? [], rise - 0.03))) continue
        sweeps++
        const f = frameAt(run, fall - spare)
        if (g.own.some((c) => run.duty(f, c) < wanted - either))
          breaks(
            "sweep not over 3 ms before the fall",
            `${g.name}, flash from ${rise.toFixed(4)} to ${fall.toFixed(4)} s`,
          )
      }
    }
  return { broken: [...broken.values()], lit, full, dark, sweeps }
}

/** Live all the time since `t`. */
const liveAt = (edges: readonly WireEdge[], t: number): boolean => {
  const last = edges.findLast((e) => e.t <= t)
  return last?.live === true
}

/** From when on a wire has been surely live or surely dead without a break; infinite while it is not. */
class Since {
  live = Number.POSITIVE_INFINITY
  dead = Number.NEGATIVE_INFINITY
  private nextSure = 0
  private nextMaybe = 0
  private readonly sure: readonly WireEdge[]
  private readonly maybe: readonly WireEdge[]
  constructor(sure: readonly WireEdge[], maybe: readonly WireEdge[]) {
    this.sure = sure
    this.maybe = maybe
  }

  advance(t: number): void {
    for (; this.nextSure < this.sure.length && this.sure[this.nextSure]!.t <= t; this.nextSure++) {
      const e = this.sure[this.nextSure]!
      this.live = e.live ? e.t : Number.POSITIVE_INFINITY
    }
    for (; this.nextMaybe < this.maybe.length && this.maybe[this.nextMaybe]!.t <= t; this.nextMaybe++) {
      const e = this.maybe[this.nextMaybe]!
      this.dead = e.live ? Number.POSITIVE_INFINITY : e.t
    }
  }
}
