// What the wires do while the bench watches: flashers of every kind at the ends of what rules allow, with the
// voltages the solved circuit gives them, and bad ones; brake taps, key-on, an engine being started.

import { flashers, flashLimits } from "../../1-stock/flashers.ts"
import { vehicleSupply } from "../../1-stock/vehicle-supply.ts"
import { defaultStimulus, demonstrationSeconds } from "./default-stimulus.ts"
import { type FlasherKind, flasherOf, habits } from "./flasher-kinds.ts"
import type { Made } from "./lamp-on-bench.ts"
import { type WireLevels, wireLevels } from "./wire-levels.ts"
import type { WireVolts } from "./wire-volts.ts"
import { type Flasher, type Stimulus, steady, taps, tidy, type WireEdge } from "./wires.ts"

export interface Scenario {
  readonly name: string
  readonly stimulus: Stimulus
  readonly seconds: number
  /** Whole flashes, their contacts bouncing at the ends at most: sweeps are measured in them. */
  readonly clean: boolean
}

type Wires = Readonly<Record<string, readonly WireEdge[]>>
type Supply = Exclude<keyof WireLevels, "dead">
type Dips = NonNullable<WireVolts["dips"]>
/** Rate in flashes a minute and on-share, both as rules limit them. */
const slowest = { rate: flashLimits.rate.low / 60, onShare: flashLimits.onShare.high }
const fastest = { rate: flashLimits.rate.high / 60, onShare: flashLimits.onShare.low }
const perMinute = (rate: number) => `${Math.round(60 * rate)} /min`
const percent = (share: number) => `${Math.round(100 * share)} %`
/** Nobody's two contacts close in the same millisecond. */
const contactsApart = 0.004

/** Name of the scenario with every flasher as described. */
export const demonstrated = "demonstration"

/** `inputs`: wires that reach the controller. The first scenario is the demonstration, whose light is shown. */
export function scenarios(made: Pick<Made, "lamp" | "circuit">, inputs: readonly string[]): Scenario[] {
  const { lamp, circuit } = made
  const read = lamp.vehicle.wires.filter((w) => inputs.includes(w.name))
  const flashing = read.filter((w) => w.role === "flashing")
  const still = read.filter((w) => w.role !== "flashing").map((w) => w.name)
  const levels = new Map(read.map((w) => [w.name, wireLevels(lamp, circuit, w)]))
  const out: Scenario[] = []
  const add = (
    name: string,
    seconds: number,
    clean: boolean,
    wires: Wires,
    { kind, supply = "usual", dips }: { kind?: FlasherKind; supply?: Supply; dips?: Dips } = {},
  ) => {
    if (Object.keys(wires).length === 0) return
    const volts: Record<string, WireVolts> = {}
    for (const [i, wire] of read.entries()) {
      const at = levels.get(wire.name)!
      const own = wire.role === "flashing" ? (kind ?? wire.flasher ?? "electronic") : undefined
      volts[wire.name] = {
        live: at[supply],
        dead: at.dead,
        ramp: own ? habits[own].ramp : 0,
        ...(dips ? { dips } : {}),
        seed: lamp.seed + i,
      }
    }
    out.push({ name, stimulus: { wires, volts }, seconds, clean })
  }
  const background = Object.fromEntries(still.map((w) => [w, steady(0.02)]))
  /** Each flashing wire with its own seed and start, over steady wires held live. */
  const each = (
    kind: FlasherKind,
    f: Omit<Flasher, "from" | "seed" | "rate" | "onShare"> & Partial<Flasher>,
    apart = 0.037,
  ): Wires => ({
    ...background,
    ...Object.fromEntries(
      flashing.map((w, i) => [
        w.name,
        flasherOf(kind, { from: 0.05 + i * apart, seed: lamp.seed + i, ...f }),
      ]),
    ),
  })

  add(demonstrated, demonstrationSeconds, true, defaultStimulus(lamp).wires)
  if (out.length === 0)
    out.push({
      name: demonstrated,
      stimulus: defaultStimulus(lamp),
      seconds: demonstrationSeconds,
      clean: true,
    })
  if (flashing.length > 0) {
    add(
      `${label("thermal")}, slow and cold, all sides at once (${perMinute(slowest.rate)}, ${percent(slowest.onShare)}), lowest supply`,
      3.1,
      true,
      each("thermal", { until: 2.5, ...slowest, firstFlash: 1 }, contactsApart),
      { kind: "thermal", supply: "lowest" },
    )
    add(
      `${label("electronic")}, fastest (${perMinute(fastest.rate)}, ${percent(fastest.onShare)}), highest supply`,
      2.3,
      true,
      each("electronic", { until: 2, ...fastest }),
      { kind: "electronic", supply: "highest" },
    )
    add(
      `${label("thermal")}, long first flash (${perMinute(fastest.rate)}, 40 %)`,
      2.3,
      true,
      each("thermal", { until: 2, rate: fastest.rate, onShare: 0.4, jitter: 0.004 }, 0.25),
      { kind: "thermal" },
    )
    const out = flashLimits.outage
    const told = flashing[0]!.rate ?? habits["load-sensing"].rate
    const lampOut = { rate: out.rateFactor * told, onShare: out.onShare }
    add(
      `${label("load-sensing")}, a lamp out (${perMinute(lampOut.rate)}, ${percent(lampOut.onShare)})`,
      1.7,
      true,
      each("load-sensing", { until: 1.4, ...lampOut, jitter: 0.002 }),
      { kind: "load-sensing" },
    )
    add(
      `${label("thermal")}, wandering, let go in mid-flash`,
      2.6,
      true,
      each("thermal", { until: 2.3, cut: true, rate: told, jitter: 0.03, firstFlash: 1 }),
      { kind: "thermal" },
    )
    for (const [gap, seconds] of [
      [0.012, 1.5],
      [0.045, 1.5],
    ] as const)
      add(
        `contact lets go for ${1000 * gap} ms`,
        seconds,
        false,
        each("load-sensing", { until: 1, onShare: 0.6, dropOut: { chance: 1, length: gap } }, 0.11),
        { kind: "load-sensing" },
      )
    add("flashes too short", 1.4, false, {
      ...Object.fromEntries(
        flashing.map((w, i) => [
          w.name,
          flasherOf("electronic", {
            from: 0.05 + 0.05 * i,
            until: 1.2,
            rate: 2.5,
            onShare: 0.18,
            seed: lamp.seed + i,
          }),
        ]),
      ),
    })
    add("live at power-on: one side steady, the next in the middle of a flash", 2, false, {
      ...Object.fromEntries(still.map((w) => [w, steady(0)])),
      ...Object.fromEntries(
        flashing.map((w, i) => [
          w.name,
          i % 2 === 0 ? steady(0, 1.9) : tidy([...steady(0, 0.13), ...steady(0.46, 0.79), ...steady(1.1)]),
        ]),
      ),
    })
  }
  if (still.length > 0) {
    const tap = Object.fromEntries(
      still.map((w, i) => [w, taps([0.05 + 0.1 * i, 0.6], [0.65, 0.7], [0.71, 0.9], [1, 1.4 - 0.1 * i])]),
    )
    add("taps on the steady wires, lowest supply", 1.6, false, tap, { supply: "lowest" })
  }
  const { name, dip, seconds } = vehicleSupply.starting.levels.at(-1)!
  add(
    `the engine is started (${dip} V, level ${name})`,
    0.9,
    false,
    {
      ...background,
      ...Object.fromEntries(flashing.map((w, i) => [w.name, taps([0.05 + 0.003 * i, 0.5], [0.6, 0.8])])),
    },
    { dips: [{ from: 0.2, until: 0.2 + seconds.fall + seconds.dip + seconds.rise, volt: dip }] },
  )
  return out
}

const label = (kind: FlasherKind) => flashers[kind].label
