// Judges what sets a group's current beside plain resistors: transistors of sinks and of switched rails, and the
// adjustable regulators. Heat, what they hold off in a surge and with the battery reversed, and their least load.

import { measuredBy } from "../0-ground/figure.ts"
import type { Finding, Where } from "../0-ground/finding.ts"
import { show } from "../0-ground/text/show.ts"
import { modelOf, partType } from "../1-stock/parts.ts"
import { vehicleSupply } from "../1-stock/vehicle-supply.ts"
import type { Part } from "./artefact.ts"
import { heatOf } from "./corners.ts"
import { type Figures, limitFigures, solvedAs, stockFact } from "./drive-figures.ts"
import { report } from "./drive-findings.ts"
import { railRegulator, smallTransistor } from "./group-design.ts"
import { pathOf } from "./group-figures.ts"
import { junctionReserve, surgeVolt, unclampedVolt } from "./limits.ts"
import { extreme, groupPlace, isFed, type MadeCircuit, solveUnder } from "./made-circuit.ts"
import { coilTemperature, pullInVolt, relayModel } from "./relay-coil.ts"
import type { WrittenGroup } from "./write-group.ts"

export function judgeSetters(made: MadeCircuit, figures: Figures): Finding[] {
  return made.groups.flatMap((group) => {
    if (group.way !== "current-sinks" && !group.made) return []
    const transistors = transistorsOf(made, group)
    return [
      ...judgeHeat(made, group, figures, transistors, "sink-heat"),
      ...(group.made ? judgeHeat(made, group, figures, [part(made, group.made.regulator)], "rail-heat") : []),
      ...judgeSurge(made, group, figures, transistors),
      ...judgeReverse(made, group, figures, transistors),
      ...judgeLoad(made, group, figures),
      ...judgeRelay(made, group, figures),
    ]
  })
}

const part = (made: MadeCircuit, ref: string) => made.part.get(ref)!

function transistorsOf(made: MadeCircuit, { sinks, made: rail }: WrittenGroup): readonly Part[] {
  const refs = [
    ...sinks.flatMap((s) => [s.pass, s.hold]),
    ...(rail?.beside ? [rail.beside.transistor, rail.beside.inverter] : []),
  ]
  return refs.map((ref) => part(made, ref))
}

const where = (made: MadeCircuit, group: WrittenGroup, ref: string): Where =>
  groupPlace(made, group, `${ref} of ${group.plan.group.name}`, { part: ref })

function judgeHeat(
  made: MadeCircuit,
  group: WrittenGroup,
  figures: Figures,
  parts: readonly Part[],
  code: "sink-heat" | "rail-heat",
): Finding[] {
  if (parts.length === 0) return []
  const modelFor = (ref: string) =>
    code === "rail-heat"
      ? modelOf(railRegulator, "adjustable-regulator")
      : modelOf(part(made, ref).stock, "npn")
  const hot = extreme(
    made.solved,
    parts.map((p) => p.ref),
    (p, ref, at) => at.celsius + modelFor(ref).thermalResistance * heatOf(part(made, ref), p),
  )
  if (!hot) return []
  const key = part(made, hot.ref).stock
  const model = modelFor(hot.ref)
  const { name } = group.plan.group
  const id = `drive.${name}.${code}`
  const heat = solvedAs(
    `${id}.watt`,
    `heat in ${hot.ref}`,
    heatOf(part(made, hot.ref), hot.point) * 1000,
    "mW",
    pathOf(made, group, figures, hot.at),
    hot.corner,
  )
  const figure = figures.result(
    id,
    `temperature inside ${hot.ref} of ${name}`,
    hot.value,
    "°C",
    "temperature of the air + thermal resistance × heat",
    [figures.air(hot.at.celsius), stockFact(key, "thermal-resistance"), heat],
    hot.corner,
  )
  return [
    report.judge(code, {
      title: `${name}: ${hot.ref} reaches ${show(figure.value, "°C")} inside`,
      where: where(made, group, hot.ref),
      ...measuredBy(figure),
      limit: { value: model.maximumJunction - junctionReserve.value, unit: "°C", kind: "at most" },
      corner: hot.corner,
      amberBelow: 0,
      atWorst: hot.value > model.maximumJunction ? "red" : "amber",
      source: partType(key).source,
    }),
  ]
}

/** Voltage across transistors and regulator while every wire stands at the surge. */
function judgeSurge(
  made: MadeCircuit,
  group: WrittenGroup,
  figures: Figures,
  transistors: readonly Part[],
): Finding[] {
  const { supply, ambient, wires } = made.lamp.vehicle
  const clamped = supply.surge === "clamped"
  const pulse = clamped ? limitFigures.surgeVolt : limitFigures.unclampedVolt
  const volt = clamped ? surgeVolt.value : unclampedVolt.value
  const corner = `all wires at ${volt} V, ${ambient.highest} °C, strongest parts`
  const point = solveUnder(made, {
    wires: new Map(wires.filter((w) => w.role !== "earth").map((w) => [w.name, volt])),
    parts: "strongest",
    celsius: ambient.highest,
    drive: (s) => (s.direction === "output" ? "low" : "open"),
  })
  if (!point.converged) return []
  const { name } = group.plan.group
  const findings: Finding[] = []
  const across = (ref: string, a: string, b: string) => {
    const { pins } = part(made, ref)
    return point.voltage(pins[a]!) - point.voltage(pins[b]!)
  }
  const told = (id: string, ref: string, value: number, most: number, key: string) => {
    const figure = figures.solved(
      `drive.${name}.${id}`,
      `greatest voltage ${ref} of ${name} holds off in the surge`,
      value,
      "V",
      [pulse, stockFact("diode-1n4007", "forward-voltage"), stockFact(group.led.key, "forward-voltage-low")],
      corner,
    )
    findings.push(
      report.judge("setter-surge", {
        title: `${name}: ${ref} holds off ${show(figure.value, "V")} in a ${volt} V surge`,
        where: where(made, group, ref),
        ...measuredBy(figure),
        limit: { value: most, unit: "V", kind: "at most" },
        corner,
        source: partType(key).source,
      }),
    )
  }
  let most = { ref: "", share: Number.NEGATIVE_INFINITY, stock: "" }
  for (const { ref, stock } of transistors) {
    const share = across(ref, "C", "E") / modelOf(stock, "npn").maximumVoltage
    if (share > most.share) most = { ref, share, stock }
  }
  if (most.ref !== "")
    told(
      "transistor-surge",
      most.ref,
      across(most.ref, "C", "E"),
      modelOf(most.stock, "npn").maximumVoltage,
      most.stock,
    )
  if (group.made) {
    const { pins, maximumAcross } = modelOf(railRegulator, "adjustable-regulator")
    const { regulator } = group.made
    told("rail-surge", regulator, across(regulator, pins.input, pins.output), maximumAcross, railRegulator)
  }
  return findings
}

/** Emitters against bases with the battery reversed: base resistors lead the reversed voltage straight there. */
function judgeReverse(
  made: MadeCircuit,
  group: WrittenGroup,
  figures: Figures,
  transistors: readonly Part[],
): Finding[] {
  if (transistors.length === 0) return []
  const volt = vehicleSupply.reversed.volt
  const wires = made.lamp.vehicle.wires.filter((w) => w.role !== "earth")
  const corner = "battery reversed, −14 V on every wire"
  const point = solveUnder(made, {
    wires: new Map(wires.map((w) => [w.name, volt])),
    parts: "strongest",
    celsius: 25,
    leaky: true,
  })
  if (!point.converged) return []
  let most = { ref: transistors[0]!.ref, value: 0 }
  for (const { ref, pins } of transistors) {
    const value = point.voltage(pins.E!) - point.voltage(pins.B!)
    if (value > most.value) most = { ref, value }
  }
  const { name } = group.plan.group
  const figure = figures.solved(
    `drive.${name}.transistor-reverse`,
    `greatest emitter–base voltage in ${name} with the battery reversed`,
    Math.max(0, most.value),
    "V",
    [stockFact("supply", "reversed"), stockFact("diode-1n4007", "leakage")],
    corner,
  )
  return [
    report.judge("setter-reverse", {
      title: `${name}: ${show(figure.value, "V")} backwards across a base with the battery reversed`,
      where: where(made, group, most.ref),
      ...measuredBy(figure),
      limit: { value: modelOf(smallTransistor, "npn").maximumReverse, unit: "V", kind: "at most" },
      corner,
      source: partType(smallTransistor).source,
    }),
  ]
}

/** An adjustable regulator lets its output rise when hardly anything is drawn. */
function judgeLoad(made: MadeCircuit, group: WrittenGroup, figures: Figures): Finding[] {
  if (!group.made) return []
  const model = modelOf(railRegulator, "adjustable-regulator")
  const { regulator } = group.made
  // Where the supply does not reach it passes what there is and regulates nothing.
  const { usual } = made.lamp.vehicle.supply
  const fed = made.solved.filter((s) => isFed(group, s.at.live) && s.at.supply >= usual)
  const least = extreme(fed, [regulator], (p, ref) => p.current(ref), "least")
  if (!least) return []
  const { name } = group.plan.group
  const figure = figures.solved(
    `drive.${name}.rail-load`,
    `least current out of ${regulator} while ${name} is fed`,
    least.value * 1000,
    "mA",
    [
      ...figures.conditions(least.at),
      figures.get(`drive.${name}.set-upper`),
      figures.get(`drive.${name}.resistor`),
      stockFact(railRegulator, "reference-low"),
    ],
    least.corner,
  )
  return [
    report.judge("rail-load", {
      title: `${name}: ${regulator} gives at least ${show(figure.value, "mA")}`,
      where: where(made, group, regulator),
      ...measuredBy(figure),
      limit: { value: model.minimumLoad * 1000, unit: "mA", kind: "at least" },
      corner: least.corner,
      // The set resistor alone is chosen for it.
      amberBelow: -0.02,
      atWorst: "amber",
      source: partType(railRegulator).source,
    }),
  ]
}

/** A relay that lowers a rail: that it pulls in when the battery is low and its winding warm, stays cool, and lets go. */
function judgeRelay(made: MadeCircuit, group: WrittenGroup, figures: Figures): Finding[] {
  const bridged = group.made?.bridged
  if (!bridged) return []
  const { relay: ref } = bridged
  const { stock, pins } = part(made, ref)
  const model = relayModel(stock)
  const [plus, minus] = model.pins.coil
  const { name } = group.plan.group
  const { supply, ambient } = made.lamp.vehicle
  const bright = group.plan.feeds[0]!.wires
  const id = (what: string) => `drive.${name}.${what}`
  const know = (fact: string) => stockFact(stock, fact)
  const coilVolt = (volt: number, celsius: number, wires: readonly string[]) => {
    const point = solveUnder(made, {
      wires: new Map(wires.map((w) => [w, volt])),
      parts: "weakest",
      celsius,
    })
    return { point, volt: point.voltage(pins[plus]!) - point.voltage(pins[minus]!) }
  }
  const findings: Finding[] = []
  // Each brighter wire by itself; the one that brings least counts.
  const least = bright
    .map((w) => ({ wire: w.name, ...coilVolt(supply.lowest, ambient.highest, [w.name]) }))
    .filter((l) => l.point.converged)
    .sort((a, b) => a.volt - b.volt)[0]
  if (!least) return []
  const warm = coilTemperature(model, model.coil, supply.usual, ambient.highest)
  const winding = figures.result(
    id("relay-winding"),
    `winding of ${ref} after long running`,
    warm,
    "°C",
    "highest ambient + coil to air × usual supply² ÷ coil at that temperature",
    [
      figures.ambient("highest"),
      know("thermal-resistance"),
      figures.supply("usual"),
      know("coil"),
      know("coil-per-kelvin"),
    ],
  )
  const needs = figures.result(
    id("relay-needs"),
    `voltage at which ${ref} then surely pulls in`,
    pullInVolt(model, warm),
    "V",
    "pull-in voltage at 20 °C × (1 + change per kelvin × (winding − 20 °C))",
    [know("pull-in"), know("coil-per-kelvin"), winding],
  )
  const has = figures.solved(
    id("relay-coil"),
    `voltage at the coil of ${ref} with ${least.wire} at the lowest supply`,
    least.volt,
    "V",
    [figures.supply("lowest"), figures.ambient("highest"), know("coil"), needs],
    `${least.wire} live at ${supply.lowest} V, ${ambient.highest} °C`,
  )
  const cold = pullInVolt(model, ambient.highest)
  findings.push(
    report.judge("relay-pull-in", {
      title: `${name}: ${ref} has ${show(has.value, "V")} to pull in with, its winding warm from long running`,
      where: where(made, group, ref),
      ...measuredBy(has),
      limit: { value: needs.value, unit: "V", kind: "at least" },
      corner: `${least.wire} live at ${supply.lowest} V, ${ambient.highest} °C, winding at ${Math.round(warm)} °C`,
      amberBelow: 0,
      // Where even a winding that was at rest fails, the brighter level is not to be had at all.
      atWorst: least.volt < cold ? "red" : "amber",
      source: partType(stock).source,
    }),
  )
  const hot = coilTemperature(model, model.coil * (1 - model.coilTolerance), supply.highest, ambient.highest)
  const heat = figures.result(
    id("relay-heat"),
    `winding of ${ref} after long running at the highest supply`,
    hot,
    "°C",
    "highest ambient + coil to air × highest supply² ÷ least coil at that temperature",
    [
      figures.ambient("highest"),
      know("thermal-resistance"),
      figures.supply("highest"),
      know("coil"),
      know("coil-tolerance"),
      know("coil-per-kelvin"),
    ],
  )
  findings.push(
    report.judge("relay-heat", {
      title: `${name}: the winding of ${ref} reaches ${show(heat.value, "°C")}`,
      where: where(made, group, ref),
      ...measuredBy(heat),
      limit: { value: model.maximumCoilTemperature, unit: "°C", kind: "at most" },
      corner: `${bright[0]!.name} live for long at ${supply.highest} V, ${ambient.highest} °C`,
      atWorst: "amber",
      source: know("maximum-coil-temperature")!.source!,
    }),
  )
  // With the brighter wires dead the contact is made; weak parts draw least through it.
  const dim = made.solved.filter(
    ({ at }) =>
      at.supply >= supply.usual && isFed(group, at.live) && !bright.some((w) => at.live.includes(w.name)),
  )
  const contact = extreme(dim, [ref], (p) => Math.abs(p.current(`${ref}.break`)), "least")
  if (contact) {
    const figure = figures.solved(
      id("relay-contact"),
      `least current through the contact of ${ref} while it is made`,
      contact.value * 1000,
      "mA",
      [...figures.conditions(contact.at), figures.get(id("set-upper")), figures.get(id("second-resistor"))],
      contact.corner,
    )
    findings.push(
      report.judge("relay-contact", {
        title: `${name}: the contact of ${ref} carries at least ${show(figure.value, "mA")}`,
        where: where(made, group, ref),
        ...measuredBy(figure),
        limit: { value: model.contactLeast * 1000, unit: "mA", kind: "at least" },
        corner: contact.corner,
        // The set resistor is chosen for it.
        amberBelow: 0,
        atWorst: "amber",
        source: know("contact-least")!.source!,
      }),
    )
  }
  return findings
}
