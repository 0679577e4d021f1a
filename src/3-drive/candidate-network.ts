// One group by itself as a small network, for each way to drive it. At a corner every part of a kind stands at the
// same end of its tolerance, so equal strings carry equal currents and are solved as one.

import type { LedType } from "../1-stock/artefact.ts"
import { adjustable, relayCoil, sinkPair } from "../1-stock/drive-options.ts"
import { modelThermalVoltage } from "../1-stock/leds.ts"
import { modelOf } from "../1-stock/parts.ts"
import type { Candidate } from "./artefact.ts"
import type { CornerCase } from "./corners.ts"
import { Network } from "./solver/network.ts"
import { type OperatingPoint, operatingPoint, real } from "./solver/operating-point.ts"
import type { End } from "./string-current.ts"

/** LEDs in series, and how many strings are like that. */
export interface StringKind {
  readonly length: number
  readonly count: number
  /** One resistor for each feed, brightest first; for a sink its sense resistor. */
  readonly ohms: readonly number[]
}

export interface GroupMake {
  readonly kind: Candidate["kind"]
  readonly led: LedType
  readonly diode: string
  readonly strings: readonly StringKind[]
  /** Feed and earth wire together. */
  readonly wireOhm: number
  /** LEDs hang on an array section. */
  readonly section: boolean
  /** Strings on one section. */
  readonly onSection: number
  /** Regulated rail: lower set resistor for the full and, where it is switched, the lower level. */
  readonly set?: { readonly full: number; readonly low?: number }
  /** Lower level of a pulsed group. */
  readonly level?: number
}

export interface Bench {
  readonly supply: number
  readonly celsius: number
  readonly parts: CornerCase["parts"]
}

export interface Outcome {
  readonly converged: boolean
  /** Mean current of one LED in each kind of string. */
  readonly led: readonly number[]
  /** Out of the battery, watt, and into LEDs. */
  readonly taken: number
  readonly light: number
}

const endOf = { weakest: "high", usual: "usual", strongest: "low" } as const
const signOf = { weakest: 1, usual: 0, strongest: -1 } as const
const spreadOf = { low: -1, usual: 0, high: 1 } as const

/** `live`: numbers of the feeds whose wire is live, 0 the brightest. */
export function solveMake(make: GroupMake, at: Bench, live: readonly number[]): Outcome {
  const cold = outcome(make, at, live, 0)
  if (at.parts !== "strongest" || !cold.converged) return cold
  // Warm LEDs drop less: once more with the heat of the first answer.
  const most = Math.max(...cold.led)
  return outcome(make, at, live, make.led.thermalResistance * most * make.led.forwardVoltage.usual)
}

/** Output of the adjustable regulator with that lower set resistor. */
export function railVolt(lower: number, parts: Bench["parts"]): number {
  const end = parts === "weakest" ? "low" : parts === "strongest" ? "high" : "usual"
  const sign = -signOf[parts]
  const upper = adjustable.upperOhm * (1 - sign * 0.01)
  const set = lower * (1 + sign * 0.01)
  return adjustable.reference[end] * (1 + set / upper) + adjustable.adjustCurrent[end] * set
}

function outcome(make: GroupMake, at: Bench, live: readonly number[], rise: number): Outcome {
  const network = new Network()
  const end: End = endOf[at.parts]
  const diode = modelOf(make.diode, "diode")
  const shift = spreadOf[end] * diode.spread + diode.voltagePerKelvin * (at.celsius - 25)
  const nVt = diode.law.emission * modelThermalVoltage
  const law = { saturation: diode.law.saturation * Math.exp(-shift / nVt), nVt, series: diode.law.series }
  const feeds = Math.max(...make.strings.map((s) => s.ohms.length))
  const bright = live.includes(0)
  // Two feeds have a net each; everything else hangs on one, which any live wire feeds.
  const split = make.kind === "two-feed"
  for (let f = 0; f < (split ? feeds : 1); f++) {
    const on = split ? live.includes(f) : live.length > 0
    network.source(`wire${f}`, `wire${f}`, "0", on ? at.supply : 0, on ? Math.max(make.wireOhm, 1e-3) : 1e6)
    // The brighter feeds are split by string length, as in the circuit; the dimmest is common.
    for (const [k] of make.strings.entries())
      if (split && f < feeds - 1) network.diode(`D${f}.${k}`, `wire${f}`, `feed${f}.${k}`, law)
    if (!split || f === feeds - 1) network.diode(`D${f}`, `wire${f}`, `feed${f}`, law)
  }
  let top = (f: number, k: number) => (split && f < feeds - 1 ? `feed${f}.${k}` : `feed${f}`)
  if (make.set) {
    const lower = !bright && make.set.low !== undefined ? make.set.low : make.set.full
    network.regulator("U", "feed0", "rail", "0", {
      volt: railVolt(lower, at.parts),
      ohm: 0.02,
      dropout: adjustable.dropout,
      headroom: adjustable.headroom,
      quiescent: adjustable.reference.usual / adjustable.upperOhm,
    })
    if (make.kind === "rail-switched" && bright) network.resistor("coil", "feed0", "0", relayCoil.ohm)
    top = () => "rail"
  }
  make.strings.forEach((s, k) => {
    const ledEnd = addSink(network, make, s, k, at, end)
    const model = make.led.model[end]
    const ledVt = model.emission * modelThermalVoltage
    const warm = make.led.voltagePerKelvin * (at.celsius + rise - 25)
    const head = make.kind === "current-sinks" ? top(0, k) : `top${k}`
    if (make.kind !== "current-sinks")
      s.ohms.forEach((ohm, f) => {
        if (!split && f > 0) return
        const value = ohm * (1 + 0.01 * signOf[at.parts])
        network.resistor(`R${f}.${k}`, top(f, k), `top${k}`, value / s.count)
      })
    network.diode(`L${k}`, head, ledEnd, {
      saturation: model.saturation * Math.exp(-warm / ledVt) * s.count,
      nVt: s.length * ledVt,
      series: (s.length * model.series) / s.count,
    })
  })
  const point = operatingPoint(network, real)
  const led = make.strings.map((s, k) => point.current(`L${k}`) / s.count)
  const duty = make.level !== undefined && !bright ? make.level : 1
  return {
    converged: point.converged,
    led: led.map((i) => i * duty),
    taken: duty * (split ? range(feeds) : [0]).reduce((w, f) => w + drawn(point, f, at.supply), 0),
    light: duty * led.reduce((w, i, k) => w + i * make.strings[k]!.count * ledVoltage(make, point, k), 0),
  }
}

/** What the string's lower end hangs on: earth, an array section or a current sink; its node. */
function addSink(network: Network, make: GroupMake, s: StringKind, k: number, at: Bench, end: End): string {
  if (make.kind === "current-sinks") {
    const part = at.parts === "weakest" ? "low" : at.parts === "strongest" ? "high" : "usual"
    const volt = sinkPair.baseEmitter[part] + sinkPair.perKelvin * (at.celsius - 25)
    const amps = (s.count * volt) / (s.ohms[0]! * (1 + 0.01 * signOf[at.parts]))
    const opens = volt + sinkPair.saturation
    network.curve(
      `S${k}`,
      `low${k}`,
      "0",
      [
        [-1, -1e-6],
        [0, 0],
        [0.5 * opens, 1e-5 * amps],
        [opens, amps],
        [opens + 40, amps * (1 + 40 * sinkPair.perVolt)],
      ],
      opens,
    )
    return `low${k}`
  }
  if (!make.section) return "0"
  // Strings that share a section see its voltage at their common current.
  const times = s.count / Math.max(1, Math.min(make.onSection, s.count))
  const { dropAt } = modelOf("array-uln2803a", "low-side-array")
  const points = dropAt.map((d): [number, number] => [d[end], d.current * times])
  network.curve(
    `S${k}`,
    `low${k}`,
    "0",
    [[-0.6, -1e-3], [0, 0], [points[0]![0] * 0.9, 1e-4 * times], ...points],
    points[1]![0],
  )
  return `low${k}`
}

const range = (n: number) => Array.from({ length: n }, (_, i) => i)

function drawn(point: OperatingPoint, f: number, supply: number): number {
  const i = point.current(`wire${f}`)
  return Number.isFinite(i) && i > 0 ? i * supply : 0
}

function ledVoltage(make: GroupMake, point: OperatingPoint, k: number): number {
  const head = make.kind === "current-sinks" ? "feed0" : `top${k}`
  const foot = make.kind === "current-sinks" || make.section ? point.voltage(`low${k}`) : 0
  return point.voltage(head) - foot
}
