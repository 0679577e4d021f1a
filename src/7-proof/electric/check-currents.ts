// Solved currents against bounds, and bounds against what the LEDs stand.

import { type Figure, fact, measuredBy } from "../../0-ground/figure.ts"
import type { Finding } from "../../0-ground/finding.ts"
import type { Work } from "../../0-ground/progress.ts"
import { computed } from "../../0-ground/source.ts"
import { leds } from "../../1-stock/leds.ts"
import { wireOhm } from "../../1-stock/wire.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit, CornerState } from "../../3-drive/artefact.ts"
import { proof } from "../proof-findings.ts"
import { measuredOn } from "../told.ts"
import { boundCurrents, type Conditions, type Interval } from "./bound-currents.ts"
import { boundFigure } from "./bound-figure.ts"

const stage = "proving currents"
/** Current below this is no light: leakage of a switch that is off. */
const dark = 2e-4
/**
 * With usual parts the bounds have no room for what they leave out (set pin, base and bleed currents of a regulator
 * near its dropout); one step of a series is at least sixteen times as much.
 */
const usualSlack = 0.003
/** What other parts of the lamp may draw over the same wires, A. */
const otherCurrent = 1

export function* checkCurrents(
  lamp: Lamp,
  circuit: Circuit,
): Work<{ readonly findings: Finding[]; readonly figures: Figure[] }> {
  const findings: Finding[] = []
  const figures: Figure[] = []
  let checked = 0
  const outside: { corner: CornerState; led: string; current: number; bound: Interval }[] = []
  // Corners differ in their parts, the bounds hold for all parts: most corners share them.
  const known = new Map<string, ReadonlyMap<string, Interval>>()
  for (const corner of circuit.corners) {
    const usual = corner.parts === "usual"
    const key = `${[...corner.live].sort().join("+")} ${corner.supply} ${corner.temperature} ${usual}`
    const at = conditions(lamp, corner.live, point(corner.supply), point(corner.temperature))
    // With usual parts the bounds are narrow: a part that is one step of its series off falls outside.
    const drawn = Object.values(corner.wireCurrent).reduce((a, b) => a + b, 0)
    const bounds =
      known.get(key) ??
      boundCurrents(
        circuit,
        usual ? { ...at, usualParts: true, otherCurrent: Math.min(otherCurrent, 1.05 * drawn + 0.01) } : at,
      )
    if (!known.has(key)) yield { stage, done: (0.7 * known.size) / circuit.corners.length }
    known.set(key, bounds)
    for (const s of circuit.strings) {
      const bound = bounds.get(s.name)
      for (const led of s.leds) {
        const current = corner.ledCurrent[led]
        if (current === undefined || !bound) continue
        checked++
        // A switched string that the programme keeps dark has no lower bound.
        const low = s.channel !== undefined && current < dark ? 0 : bound.low
        const slack = 1e-5 + (usual ? usualSlack * bound.high : 0)
        if (!(current >= low - slack && current <= bound.high + slack))
          outside.push({ corner, led, current, bound })
      }
    }
  }
  for (const [k, o] of outside.slice(0, 6).entries()) {
    const current = fact(
      `proof.current-outside.${k + 1}`,
      `solved current of ${o.led}`,
      1000 * o.current,
      "mA",
      measuredOn("circuit solved", o.corner.corner),
    )
    const above = o.current > o.bound.high
    figures.push(current)
    findings.push(
      proof.state("current-disagrees", {
        severity: "red",
        title: `Solved current of ${o.led} lies outside ${(o.bound.low * 1000).toFixed(2)}…${(o.bound.high * 1000).toFixed(2)} mA`,
        where: { text: o.led, part: o.led },
        ...measuredBy(current),
        limit: {
          value: 1000 * (above ? o.bound.high : o.bound.low),
          unit: "mA",
          kind: above ? "at most" : "at least",
        },
        corner: o.corner.corner,
      }),
    )
  }
  if (checked > 0 && outside.length === 0) {
    findings.push(
      proof.state("current-disagrees", {
        severity: "green",
        title: `All ${checked} solved LED currents lie inside their interval bounds`,
        where: { text: "circuit" },
        measured: { value: 0, unit: "" },
        limit: { value: 0, unit: "", kind: "exactly" },
        margin: 0,
        advice: "Nothing to do.",
        source: computed("intervals over supply, resistors, diodes and LEDs"),
      }),
    )
  }
  for (const [group, worst] of yield* strongest(lamp, circuit)) {
    const led = leds.find(lamp.groups.find((g) => g.name === group)?.led ?? "")
    if (!led) continue
    const current = boundFigure(lamp, circuit, group, led, worst.string, worst.at)
    if (!current) continue
    figures.push(current)
    findings.push(
      proof.judge("led-current-bound", {
        title: `Greatest current any LED of ${group} can get`,
        where: { text: `groups ${group}`, group, path: `groups.${group}` },
        ...measuredBy(current),
        limit: { value: 1000 * led.maximumCurrent, unit: "mA", kind: "at most" },
        corner: `${worst.at.live.join(" + ")} at ${lamp.vehicle.supply.highest} V, any temperature, any parts`,
        source: led.source,
      }),
    )
  }
  return { findings, figures }
}

const point = (v: number): Interval => ({ low: v, high: v })

export function conditions(
  lamp: Lamp,
  live: readonly string[],
  supply: Interval,
  temperature: Interval,
): Conditions {
  const ohms = lamp.vehicle.wires.map((w) => wireOhm(w.size ?? 0.75, w.length ?? 3))
  const earth = lamp.vehicle.wires.find((w) => w.role === "earth")
  return {
    supply,
    temperature,
    live,
    // Half as much again for warm copper.
    wireOhm: 1.5 * (Math.max(...ohms, 0) + wireOhm(earth?.size ?? 0.75, earth?.length ?? 3)),
    otherCurrent,
  }
}

interface Strongest {
  readonly current: number
  readonly string: string
  readonly at: Conditions
}

/** The highest bound of each group over all sets of live wires that the corners know. */
function* strongest(lamp: Lamp, circuit: Circuit): Work<ReadonlyMap<string, Strongest>> {
  const { supply, ambient } = lamp.vehicle
  const sets = new Map(circuit.corners.map((c) => [[...c.live].sort().join("+"), c.live]))
  const worst = new Map<string, Strongest>()
  let done = 0
  for (const live of sets.values()) {
    yield { stage, done: 0.7 + (0.3 * done++) / sets.size }
    const at = conditions(
      lamp,
      live,
      { low: supply.lowest, high: supply.highest },
      { low: ambient.lowest, high: ambient.highest },
    )
    const bounds = boundCurrents(circuit, at)
    for (const s of circuit.strings) {
      const current = bounds.get(s.name)!.high
      const known = worst.get(s.group)
      if (!known || current > known.current) worst.set(s.group, { current, string: s.name, at })
    }
  }
  return worst
}
