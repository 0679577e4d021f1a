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
