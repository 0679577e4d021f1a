// Bench against model: every frame of every channel must lie in the band the model allows.
//
// The model works in the controller's own looks, so nothing is allowed in time: each frame shows the decision of
// one known look. Allowed in level are 3 of 255 codes while an LED is changing (the model's band) and 8 of 4000
// cycles for interrupts that begin a little late: the instruction under way or waking delays each by up to 4
// cycles, and a level's light begins and ends with two of them.

import type { Work } from "../../0-ground/progress.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import { dutyOf, frameCycles } from "./model/timing.ts"
import { ReferenceModel } from "./reference-model.ts"
import { type BenchRun, edgesAt } from "./run-bench.ts"

/** A decision shows one millisecond after its look; a frame begins at most this much before that. */
const showsAfter = 0.875
/** Below the shortest slot, so that a lost one is seen. */
const cyclesAlways = 8
/** The ports are written one after the other: where a level changes, that much of it may fall into the next frame. */
const cyclesBetweenPorts = 6

export interface Comparison {
  /** Frame-codes compared. */
  readonly compared: number
  readonly mismatches: number
  /** Greatest departure from the band, as a share of full light; 0 when inside everywhere. */
  readonly worst: number
  /** Greatest departure from the model's own value while the LED is not changing, share of full light. */
  readonly worstSteady: number
  readonly first?: {
    readonly seconds: number
    readonly channel: number
    readonly duty: number
    readonly low: number
    readonly high: number
  }
}

/** `told` is given the model after each look. */
export function* compareWithModel(
  lamp: Lamp,
  run: BenchRun,
  told?: (look: number, model: ReferenceModel) => void,
): Work<Comparison> {
  const { channels } = run.bench
  const model = modelCodes(lamp, run, told)
  const looks = run.looks.length
  const before = { low: new Float64Array(channels.length), high: new Float64Array(channels.length) }
  const tally: Tally = { compared: 0, mismatches: 0, worst: 0, worstSteady: 0 }
  let shown = 0
  let reset = 0
  const resets = run.chip.resets.map((r) => r.cycle)
  const delay = showsAfter * 1e-3 * run.clockHz
  for (let frame = 1; frame < run.frames; frame++) {
    if (frame % 4000 === 0)
      yield { stage: "bench", done: frame / run.frames, note: "comparing with the model" }
    if (!run.timed[frame] || !run.timed[frame + 1]) continue
    const start = run.frameStart[frame]!
    while (shown + 1 < looks && run.looks[shown + 1]!.cycle <= start - delay) shown++
    // The first look after a reset shows at once.
    while (reset < resets.length && resets[reset]! <= start) {
      const first = run.looks.findIndex((l) => l.cycle >= resets[reset]!)
      if (first >= 0 && run.looks[first]!.cycle < start) shown = Math.max(shown, first)
      reset++
    }
    compareFrame(run, frame, model, shown, before, tally)
  }
  return tally
}

type Tally = { -readonly [K in keyof Comparison]: Comparison[K] }

function compareFrame(
  run: BenchRun,
  frame: number,
  model: ModelCodes,
  shown: number,
  before: ModelCodes,
  tally: Tally,
): void {
  const count = run.bench.channels.length
  for (let c = 0; c < count; c++) {
    const low = model.low[shown * count + c]!
    const high = model.high[shown * count + c]!
    const changes = before.low[c] !== low || before.high[c] !== high
    before.low[c] = low
    before.high[c] = high
    const slack = (cyclesAlways + (changes ? cyclesBetweenPorts : 0)) / frameCycles
    const from = dutyOf(low) - slack
    const to = dutyOf(high) + slack
    const duty = run.duty(frame, c)
    const off = duty < from ? from - duty : duty > to ? duty - to : 0
    tally.compared++
    if (low === high) tally.worstSteady = Math.max(tally.worstSteady, Math.abs(duty - dutyOf(low)))
    if (off === 0) continue
    tally.mismatches++
    if (off > tally.worst) tally.worst = off
    tally.first ??= {
      seconds: run.frameStart[frame]! / run.clockHz,
      channel: c,
      duty,
      low: from,
      high: to,
    }
  }
}

/** The band of the model's codes. */
export interface ModelCodes {
  /** After every look of the run: look × channels + channel. */
  readonly low: Float64Array
  readonly high: Float64Array
}

export function modelCodes(
  lamp: Lamp,
  run: BenchRun,
  told?: (look: number, model: ReferenceModel) => void,
): ModelCodes {
  const { channels, inputs } = run.bench
  const groups = lamp.groups
    .map((group) => {
      const place = new Map(group.leds.map((led, i) => [led.ref, i]))
      const own = channels
        .map((c, at) => ({ at, group: c.group, first: Math.min(...c.leds.map((l) => place.get(l) ?? 1e9)) }))
        .filter((c) => c.group === group.name)
        .sort((a, b) => a.first - b.first)
      return { group: group.name, channels: own.map((c) => c.at), places: own.map((c) => c.first) }
    })
    .filter((g) => g.channels.length > 0)
  let model = new ReferenceModel(lamp, groups)
  let reset = 0
  const levels = inputs.map((input) => {
    const edges = edgesAt(input, run.stimulus)
    return { input, edges: edges.map((e) => ({ at: Math.round(e.t * run.clockHz), live: e.live })), next: 0 }
  })
  const width = channels.length
  const low = new Float64Array(run.looks.length * width)
  const high = new Float64Array(run.looks.length * width)
  for (let k = 0; k < run.looks.length; k++) {
    const look = run.looks[k]!
    const reads: Record<string, boolean> = {}
    // A reset forgets everything.
    const began = run.chip.resets[reset + 1]
    if (began && look.cycle >= began.cycle) {
      reset++
      model = new ReferenceModel(lamp, groups)
    }
    for (const l of levels) {
      const at = look.read[l.input.port]!
      while (l.next < l.edges.length && l.edges[l.next]!.at <= (at < 0 ? look.cycle : at)) l.next++
      reads[l.input.wire] = l.next > 0 && l.edges[l.next - 1]!.live
    }
    model.step(reads, low.subarray(k * width, (k + 1) * width), high.subarray(k * width, (k + 1) * width))
    told?.(k, model)
  }
  return { low, high }
}
