// Judges what the vehicle may do to the lamp: surge, a reversed battery, a leaking flasher; and what the lamp does
// to the vehicle: wires, fuses, flasher.

import { fact, measuredBy } from "../0-ground/figure.ts"
import type { Finding, Where } from "../0-ground/finding.ts"
import { described } from "../0-ground/source.ts"
import { show } from "../0-ground/text/show.ts"
import { flashers } from "../1-stock/flashers.ts"
import { modelOf, partType } from "../1-stock/parts.ts"
import { vehicleSupply } from "../1-stock/vehicle-supply.ts"
import { capacityOf, capacitySource } from "../1-stock/wire.ts"
import type { Wire } from "../2-lamp/artefact.ts"
import type { CornerCase } from "./corners.ts"
import { type Figures, limitFigures, solvedAs, stockFact } from "./drive-figures.ts"
import { report } from "./drive-findings.ts"
import { smallestFuse, thickerWire } from "./drive-remedies.ts"
import { conductorOhm, earthWire } from "./feed-wires.ts"
import { fittedResistor, resistorsOf } from "./group-figures.ts"
import { bleedFigure, dividerFigures } from "./input-figures.ts"
import {
  dumpPulse,
  fuseShare,
  pinDiodeVolt,
  surgeVolt,
  unclampedVolt,
  usualWire,
  wireDrop,
} from "./limits.ts"
import { extreme, groupPlace, ledsOf, type MadeCircuit, solveUnder, wirePlace } from "./made-circuit.ts"

const round = (v: number) => Number(v.toPrecision(4))

export function judgeAbuse(made: MadeCircuit, figures: Figures): Finding[] {
  return [
    ...judgeSurge(made, figures),
    ...judgeReverse(made, figures),
    ...judgeLeak(made, figures),
    ...judgeWires(made, figures),
  ]
}

const liveWires = (made: MadeCircuit) => made.lamp.vehicle.wires.filter((w) => w.role !== "earth")

function judgeSurge(made: MadeCircuit, figures: Figures): Finding[] {
  const { supply, ambient } = made.lamp.vehicle
  const clamped = supply.surge === "clamped"
  const pulse = clamped ? limitFigures.surgeVolt : limitFigures.unclampedVolt
  const volt = clamped ? surgeVolt.value : unclampedVolt.value
  const wires = new Map(liveWires(made).map((w) => [w.name, volt]))
  const corner = `all wires at ${volt} V, ${ambient.highest} °C, strongest parts`
  const findings: Finding[] = []
  // LEDs: controller still driving everything on, the worse case for them.
  const on = solveUnder(made, {
    wires,
    parts: "strongest",
    celsius: ambient.highest,
    drive: (s) => (s.direction === "output" ? "high" : "open"),
  })
  if (!on.converged) return [notSolved(corner)]
  for (const group of made.groups) {
    let most = { value: 0, ref: "" }
    for (const ref of ledsOf(group)) {
      const value = on.current(ref)
      if (value > most.value) most = { value, ref }
    }
    const figure = figures.solved(
      `drive.${group.plan.group.name}.surge-current`,
      `LED current of ${group.plan.group.name} in the surge`,
      most.value * 1000,
      "mA",
      [
        pulse,
        ...resistorsOf(made, group, figures, most.ref),
        stockFact(fittedResistor(made, group, most.ref), "tolerance"),
        stockFact(group.led.key, "forward-voltage-low"),
        stockFact("diode-1n4007", "forward-voltage"),
        figures.ambient("highest"),
      ],
      corner,
    )
    findings.push(
      report.judge("surge-led", {
        title: `${group.plan.group.name}: ${show(figure.value, "mA")} for a moment in a ${volt} V surge`,
        where: groupPlace(made, group, `LED ${most.ref}`, { part: most.ref }),
        ...measuredBy(figure),
        limit: { value: group.led.peakCurrent * 1000, unit: "mA", kind: "at most" },
        corner,
        source: clamped ? surgeVolt.source : unclampedVolt.source,
        // The resistor was chosen with a reserve to the pulse rating.
        amberBelow: 0,
      }),
    )
  }
  const { controller } = made
  if (!controller) return findings

  // Supply: the regulator shuts itself down, which leaves the rail highest.
  const off = solveUnder(made, { wires, parts: "strongest", celsius: ambient.highest, regulatorOff: true })
  const rail = off.voltage(controller.rail) - off.voltage(made.body.earth)
  const regulator = modelOf("regulator-lm2940", "regulator")
  const figure = figures.solved(
    "drive.supply.surge-rail",
    "controller's supply rail in the surge",
    rail,
    "V",
    [
      pulse,
      stockFact("diode-1n4007", "forward-voltage"),
      stockFact(made.part.get(controller.clamp)!.stock, "breakdown-low"),
    ],
    corner,
  )
  findings.push(
    report.judge("surge-supply", {
      title: `the regulator sees ${show(figure.value, "V")} in a ${volt} V surge and shuts down until it is over`,
      where: { text: `regulator ${controller.regulator}`, part: controller.regulator },
      ...measuredBy(figure),
      limit: { value: regulator.maximumSurge, unit: "V", kind: "at most" },
      corner,
      source: partType("regulator-lm2940").source,
    }),
  )
  const arrayModel = modelOf("array-uln2803a", "low-side-array")
  const outputs = made.body.parts
    .filter((p) => p.kind === "low-side-array")
    .flatMap((p) => arrayModel.sectionPins.map(([, o]) => p.pins[o]).filter((n) => n !== undefined))
  const open = Math.max(0, ...outputs.map((net) => off.voltage(net) - off.voltage(made.body.earth)))
  const held = figures.solved(
    "drive.array.surge-voltage",
    "greatest voltage an open array section holds off in the surge",
    open,
    "V",
    [pulse, stockFact("diode-1n4007", "forward-voltage")],
    corner,
  )
  findings.push(
    report.judge("array-voltage", {
      title: `open array sections hold off ${show(held.value, "V")} in the surge`,
      where: { text: "low-side arrays" },
      ...measuredBy(held),
      limit: { value: arrayModel.maximumVoltage, unit: "V", kind: "at most" },
      corner,
      source: partType("array-uln2803a").source,
    }),
  )
  for (const part of made.body.parts) {
    if (part.kind !== "capacitor" || part.pins["+"] === undefined) continue
    const model = modelOf(part.stock, "capacitor")
    if (part.pins["+"] !== controller.rail) continue
    findings.push(
      report.judge("surge-supply", {
        title: `${part.ref} sees ${show(figure.value, "V")} in the surge`,
        where: { text: `capacitor ${part.ref}`, part: part.ref },
        ...measuredBy(figure),
        limit: { value: model.working, unit: "V", kind: "at most" },
        corner,
        source: partType(part.stock).source,
      }),
    )
  }
  const clamp = modelOf(made.part.get(controller.clamp)!.stock, "clamp")
  if (clamped) {
    const amps = Math.max(0, off.current(controller.clamp))
    const energy = figures.result(
      "drive.supply.clamp-energy",
      "energy the clamp takes from the clamped load dump",
      amps * rail * limitFigures.surgeTime.value,
      "mJ",
      "its current × the rail's voltage × length of the pulse",
      [
        solvedAs(
          "drive.supply.clamp-current",
          "current through the clamp in the surge",
          amps * 1000,
          "mA",
          [pulse, stockFact(made.part.get(controller.clamp)!.stock, "breakdown-low")],
          corner,
        ),
        figure,
        limitFigures.surgeTime,
      ],
      corner,
    )
    findings.push(
      report.judge("surge-supply", {
        title: `the clamp stays out of the long pulse (${show(energy.value, "mJ")} in ${show(limitFigures.surgeTime.value, "ms")})`,
        where: { text: `clamp ${controller.clamp}`, part: controller.clamp },
        ...measuredBy(energy),
        limit: { value: clamp.energy * 1000, unit: "mJ", kind: "at most" },
        corner,
        source: partType(made.part.get(controller.clamp)!.stock).source,
      }),
    )
  } else {
    const { rest, ohm, seconds } = dumpPulse
    const energy = figures.result(
      "drive.supply.dump-energy",
      "energy an unclamped load dump puts into the clamp",
      dumpEnergy(unclampedVolt.value, rest, ohm, seconds, clamp.clampAt),
      "J",
      "V ÷ R × ((U − rest) × τ × (1 − e^(−t ÷ τ)) − (V − rest) × t): clamping voltage V, pulse U decaying with τ = length ÷ ln 10, t until it has fallen to V",
      [
        pulse,
        stockFact(made.part.get(controller.clamp)!.stock, "clamp"),
        limitFigures.dumpRest,
        limitFigures.dumpOhm,
        limitFigures.dumpTime,
      ],
    )
    findings.push(
      report.judge("surge-unclamped", {
        title: `an unclamped load dump puts ${show(energy.value, "J")} into the clamp`,
        where: { text: `clamp ${controller.clamp}`, part: controller.clamp },
        ...measuredBy(energy),
        limit: { value: clamp.energy, unit: "J", kind: "at most" },
        corner: "79 V, 0.5 Ω, 40 ms",
        source: unclampedVolt.source,
      }),
    )
  }
  return findings
}

/**
 * Energy a clamp at `clampVolt` takes from a decaying load dump, joule (ISO 16750-2 pulse shape, U from `rest` to
 * `peak`, 10 % after `seconds`): E = V/R·[(U−rest)·τ·(1−e^(−t/τ)) − (V−rest)·t].
 */
export function dumpEnergy(
  peak: number,
  rest: number,
  ohm: number,
  seconds: number,
  clampVolt: number,
): number {
  if (clampVolt >= peak || clampVolt <= rest) return 0
  const tau = seconds / Math.LN10
  const t = tau * Math.log((peak - rest) / (clampVolt - rest))
  return (clampVolt / ohm) * ((peak - rest) * tau * (1 - Math.exp(-t / tau)) - (clampVolt - rest) * t)
}

function judgeReverse(made: MadeCircuit, figures: Figures): Finding[] {
  const volt = vehicleSupply.reversed.volt
  const wires = new Map(liveWires(made).map((w) => [w.name, volt]))
  const corner = "battery reversed, −14 V on every wire"
  const point = solveUnder(made, { wires, parts: "strongest", celsius: 25, leaky: true })
  if (!point.converged) return [notSolved(corner)]
  const findings: Finding[] = made.groups.map((group) => {
    let most = { value: 0, ref: group.plan.group.leds[0]!.ref }
    for (const ref of ledsOf(group)) {
      const value = -(point.current(ref) + point.current(`${ref}.reverse`))
      if (value > most.value) most = { value, ref }
    }
    const figure = figures.solved(
      `drive.${group.plan.group.name}.reverse-current`,
      `greatest current backwards through an LED of ${group.plan.group.name}`,
      most.value * 1e6,
      "µA",
      [
        stockFact("supply", "reversed"),
        stockFact("diode-1n4007", "leakage"),
        stockFact(group.led.key, "maximum-reverse"),
        stockFact(group.led.key, "reverse-current"),
      ],
      corner,
    )
    return report.judge("reverse-led", {
      title: `${group.plan.group.name}: ${show(figure.value, "µA")} backwards through the LEDs with the battery reversed`,
      where: groupPlace(made, group, `LED ${most.ref}`, { part: most.ref }),
      ...measuredBy(figure),
      limit: { value: group.led.reverseCurrent * 1e6, unit: "µA", kind: "at most" },
      corner,
      source: {
        document: "LED data sheets: 5 V reverse is tested at 100 µA",
        known: "memory",
        confidence: "M",
      },
    })
  })
  const chipKey = made.controller?.stock ?? "controller-atmega328p"
  const chip = modelOf(chipKey, "controller")
  for (const input of made.controller?.inputs ?? []) {
    // The pin's own diode to earth holds the divider's middle at −0.6 V.
    const upper = made.part.get(input.upper)!
    const { tolerance } = modelOf(upper.stock, "resistor")
    const figure = figures.result(
      `drive.input.${input.wire}.reverse-current`,
      `current out of the controller pin of ${input.wire} with the battery reversed`,
      ((-volt - pinDiodeVolt.value) / (upper.amount! * (1 - tolerance))) * 1000,
      "mA",
      "(battery − the pin's own diode) ÷ (upper resistor of the divider × (1 − tolerance))",
      [
        stockFact("supply", "reversed"),
        limitFigures.pinDiode,
        dividerFigures.upper,
        stockFact(upper.stock, "tolerance"),
      ],
      corner,
    )
    findings.push(
      report.judge("reverse-input", {
        title: `${input.wire} draws ${show(figure.value, "mA")} out of its controller pin with the battery reversed`,
        where: { text: `input of ${input.wire}`, part: input.upper, wire: input.wire },
        ...measuredBy(figure),
        limit: { value: chip.clampCurrent * 1000, unit: "mA", kind: "at most" },
        corner,
        source: partType(chipKey).source,
      }),
    )
  }
  return findings
}

/** Flashing wires while their flasher is off, with the controller silent: the worst for a glow. */
function judgeLeak(made: MadeCircuit, figures: Figures): Finding[] {
  const findings: Finding[] = []
  for (const group of made.groups) {
    const flashing = group.plan.feeds.flatMap((f) => f.wires).filter((w) => w.role === "flashing")
    if (flashing.length === 0) continue
    const { supply } = made.lamp.vehicle
    const extra = new Map<string, number>()
    for (const w of made.lamp.vehicle.wires) if (w.role === "supply") extra.set(w.name, supply.usual)
    for (const w of flashing) extra.set(w.name, flashers[w.flasher ?? "electronic"].off.volt)
    const behind = new Map(flashing.map((w) => [w.name, flashers[w.flasher ?? "electronic"].off.ohm]))
    const point = solveUnder(made, {
      wires: extra,
      behind,
      parts: "strongest",
      celsius: 25,
      drive: (s) => (s.direction === "output" ? "low" : "open"),
    })
    let most = { value: 0, ref: group.plan.group.leds[0]!.ref }
    for (const ref of ledsOf(group))
      if (point.current(ref) > most.value) most = { value: point.current(ref), ref }
    const corner = `flasher off, ${flashing.map((w) => `${flashers[w.flasher ?? "electronic"].off.volt} V behind ${flashers[w.flasher ?? "electronic"].off.ohm} Ω`)[0]}`
    const kinds = [...new Set(flashing.map((w) => w.flasher ?? "electronic"))]
    const figure = figures.solved(
      `drive.${group.plan.group.name}.leak-current`,
      `greatest LED current of ${group.plan.group.name} while the flasher is off`,
      most.value * 1e6,
      "µA",
      [
        ...kinds.flatMap((k) => [
          stockFact(`flasher.${k}`, "off-volt"),
          stockFact(`flasher.${k}`, "off-ohm"),
        ]),
        ...flashing.map(bleedFigure),
        stockFact(group.led.key, "forward-voltage-low"),
      ],
      corner,
    )
    findings.push(
      report.judge("leak-glow", {
        title: `${group.plan.group.name}: ${show(figure.value, "µA")} while the flasher is off`,
        where: groupPlace(made, group, `LED ${most.ref}`, { part: most.ref }),
        ...measuredBy(figure),
        limit: { value: 20, unit: "µA", kind: "at most" },
        corner,
        atWorst: "amber",
        source: flashers[flashing[0]!.flasher ?? "electronic"].off.source,
      }),
    )
  }
  return findings
}

function judgeWires(made: MadeCircuit, figures: Figures): Finding[] {
  const used = made.body.nets.flatMap((n) =>
    n.wire !== undefined && n.name !== made.body.earth ? [n.wire] : [],
  )
  const earth = conductorOhm(earthWire(made.lamp))
  return used.flatMap((name) => {
    const wire = made.lamp.vehicle.wires.find((w) => w.name === name)!
    const where = wirePlace(made, name)
    const most = extreme(made.solved, [`wire:${name}`], (p, ref) => p.current(ref))
    if (!most) return []
    const findings: Finding[] = []
    const figure = figures.solved(
      `drive.wire.${name}.current`,
      `greatest current of ${name}`,
      most.value,
      "A",
      wireLoads(made, figures, wire, most.at),
      most.corner,
    )
    if (wire.fuse === undefined) {
      findings.push(
        report.state("wire-fuse", {
          severity: "amber",
          title: `${name} has no fuse in the description`,
          where,
          remedies: smallestFuse(name, figure.value, 0.95 * fuseShare.value),
        }),
      )
    } else {
      findings.push(...judgeFuse(figures, wire, where))
      findings.push(
        report.judge("wire-current", {
          title: `${name} carries at most ${show(figure.value, "A")} on a ${wire.fuse} A fuse`,
          where,
          ...measuredBy(figure),
          limit: { value: round(fuseShare.value * wire.fuse), unit: "A", kind: "at most" },
          corner: most.corner,
          source: fuseShare.source,
        }),
      )
    }
    // Earth carries what all live wires bring.
    const drop = extreme(
      made.solved,
      [name],
      (p, w) => p.current(`wire:${w}`) * conductorOhm(wire) + Math.abs(p.current("wire:earth")) * earth,
    )
    if (drop) {
      const id = `drive.wire.${name}.drop`
      const loads = wireLoads(made, figures, wire, drop.at)
      const amps = (which: string, what: string, value: number) =>
        solvedAs(`${id}.${which}`, `current of ${what}`, value, "A", loads, drop.corner)
      const lost = figures.result(
        id,
        `voltage lost in ${name} and earth`,
        drop.value,
        "V",
        "current of the wire × its resistance + current of earth × its resistance",
        [
          amps("current", name, drop.point.current(`wire:${name}`)),
          figures.conductor(wire),
          amps("earth-current", "earth", Math.abs(drop.point.current("wire:earth"))),
          figures.earth,
        ],
        drop.corner,
      )
      findings.push(
        report.judge("wire-drop", {
          title: `${name} and earth lose ${show(lost.value, "V")}`,
          where,
          ...measuredBy(lost),
          limit: { value: wireDrop.value, unit: "V", kind: "at most" },
          corner: drop.corner,
          atWorst: "amber",
          source: wireDrop.source,
          remedies: thickerWire(wire, lost.value, wireDrop.value),
        }),
      )
    }
    return findings
  })
}

/** A fuse above what its wire may carry lets the wire burn first. */
function judgeFuse(figures: Figures, wire: Wire, where: Where): Finding[] {
  const size = wire.size ?? usualWire.size
  const path = `vehicle.wires.${wire.name}.fuse`
  const rating = figures.keep(
    fact(`description.${path}`, `fuse of ${wire.name}`, wire.fuse!, "A", described(path)),
  )
  return [
    report.judge("fuse-wire", {
      title: `${wire.name}: a ${wire.fuse} A fuse before ${size} mm² wire`,
      where,
      ...measuredBy(rating),
      limit: { value: capacityOf(size), unit: "A", kind: "at most" },
      // The right fuse stands at the wire's own capacity.
      amberBelow: 0,
      atWorst: "amber",
      source: capacitySource,
    }),
  ]
}

/** What the current of a wire depends on most: the strings it feeds, and its bleed. */
export function wireLoads(made: MadeCircuit, figures: Figures, wire: Wire, at: CornerCase) {
  const fed = made.groups.filter((g) => g.plan.feeds.some((f) => f.wires.some((w) => w.name === wire.name)))
  return [
    ...figures.conditions(at),
    ...fed.flatMap((g) => resistorsOf(made, g, figures)),
    bleedFigure(wire),
    made.controller?.supplyDiodes.some((d) => d.wire === wire.name)
      ? figures.get("drive.controller.supply-current")
      : undefined,
  ]
}

export const notSolved = (corner: string): Finding =>
  report.state("not-solved", {
    severity: "red",
    title: `no operating point was found: ${corner}`,
    where: { text: corner },
    corner,
  })
