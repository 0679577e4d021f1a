// Judges what needs time: how long the controller lives without its wire, and what fast pulses do to its supply.

import { fact, measuredBy } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { practice } from "../0-ground/source.ts"
import { show } from "../0-ground/text/show.ts"
import { modelOf, partType } from "../1-stock/parts.ts"
import { vehicleSupply } from "../1-stock/vehicle-supply.ts"
import { type Figures, limitFigures, solvedAs, stockFact } from "./drive-figures.ts"
import { report } from "./drive-findings.ts"
import type { MadeCircuit } from "./made-circuit.ts"
import { runSupply } from "./supply-transient.ts"
import type { WrittenController } from "./write-controller.ts"

/** Contacts bounce for 1…5 ms; a controller that lives through it does not start again. */
const bounce = { value: 5, source: practice("common practice: contacts bounce for 1…5 ms") }

export function judgeTransients(made: MadeCircuit, figures: Figures): Finding[] {
  const { controller } = made
  if (!controller || controller.supplyDiodes.length === 0) return []
  return [...judgeHoldUp(made, controller, figures), ...judgePulse(made, controller, figures)]
}

/** The wire opens at usual supply: time until the 5 V reaches what the controller needs. */
function judgeHoldUp(made: MadeCircuit, controller: WrittenController, figures: Figures): Finding[] {
  const { supply } = made.lamp.vehicle
  // The indicator wire when it is all that feeds it, else the supply wire.
  const flashing = made.lamp.vehicle.wires.filter((w) => w.role === "flashing").map((w) => w.name)
  const wire = (controller.supplyDiodes.find((d) => flashing.includes(d.wire)) ?? controller.supplyDiodes[0]!)
    .wire
  const chip = modelOf("controller-atmega328p", "controller")
  const run = runSupply(made, controller, {
    wire,
    volt: () => supply.usual,
    ohm: () => 1e9,
    end: 0.03,
    jumps: [],
    parts: "usual",
    celsius: 25,
    rail: supply.usual - 0.8,
    five: 5,
  })
  const seconds = run.finished ? (run.fiveBelow(chip.supply.low) ?? 0.03) : 0
  const held = made.body.parts.filter(
    (p) =>
      p.kind === "capacitor" &&
      Object.values(p.pins).some((n) => n === controller.rail || n === controller.five),
  )
  const figure = figures.result(
    "drive.supply.hold-up",
    `how long the controller lives when ${wire} opens and nothing else feeds it`,
    seconds * 1000,
    "ms",
    "its supply solved over time: the capacitors at 80 % of their value empty through regulator and controller until the 5 V reaches what the brown-out lets run",
    [
      figures.supply("usual"),
      ...[...new Set(held.map((p) => p.stock))].map((key) => stockFact(key, "capacitance")),
      stockFact("controller-atmega328p", "supply-current"),
      stockFact("controller-atmega328p", "supply-low"),
      stockFact("regulator-lm2940", "quiescent"),
      stockFact("regulator-lm2940", "dropout"),
    ],
  )
  return [
    report.judge("hold-up", {
      title: `the controller lives ${show(figure.value, "ms")} after ${wire} opens`,
      where: { text: "controller supply", part: controller.regulator },
      ...measuredBy(figure),
      limit: { value: bounce.value, unit: "ms", kind: "at least" },
      corner: "usual supply, capacitors at their low end, nothing else live",
      atWorst: "amber",
      source: bounce.source,
    }),
  ]
}

/** Pulse 2a, the strongest of the short positive ones, onto the highest running supply. */
function judgePulse(made: MadeCircuit, controller: WrittenController, figures: Figures): Finding[] {
  const pulse = vehicleSupply.pulses.find((p) => p.name === "2a")!
  const { wire } = controller.supplyDiodes[0]!
  const rest = made.lamp.vehicle.supply.usual
  // Falls to a tenth by its nominal length.
  const run = runSupply(made, controller, {
    wire,
    volt: (t) => rest + pulse.volt * 10 ** (-t / pulse.seconds),
    ohm: () => pulse.ohm,
    end: 3 * pulse.seconds,
    jumps: [],
    parts: "strongest",
    celsius: made.lamp.vehicle.ambient.highest,
    rail: rest - 0.6,
    five: 5,
    regulatorOff: true,
  })
  const corner = `pulse 2a: ${pulse.volt} V on ${rest} V behind ${pulse.ohm} Ω, ${show(pulse.seconds, "s")}`
  if (!run.finished) return []
  const inputs = [
    stockFact("supply", "pulse-2a"),
    figures.supply("usual"),
    fact("drive.limit.pulse-2a-source", "resistance behind pulse 2a", pulse.ohm, "Ω", {
      document: "ISO 7637-2:2004 levels as printed in a switch's data sheet",
      known: "read",
    }),
    stockFact("capacitor-22u-63v", "capacitance"),
    stockFact(made.part.get(controller.clamp)!.stock, "breakdown-low"),
    limitFigures.room,
  ]
  const peak = figures.solved(
    "drive.supply.pulse-rail",
    "highest voltage of the controller's rail in pulse 2a, solved over time",
    run.railMost,
    "V",
    inputs,
    corner,
  )
  const joule = Math.max(0, run.energy.get(controller.clamp) ?? 0)
  const energy = figures.solved(
    "drive.supply.pulse-energy",
    "energy the clamp takes in pulse 2a",
    joule * 1000,
    "mJ",
    [...inputs, solvedAs("drive.supply.pulse-rail", peak.name, run.railMost, "V", inputs, corner)],
    corner,
  )
  const clampStock = made.part.get(controller.clamp)!.stock
  return [
    report.judge("surge-fast", {
      title: `a fast pulse lifts the controller's rail to ${show(peak.value, "V")}`,
      where: { text: `regulator ${controller.regulator}`, part: controller.regulator },
      ...measuredBy(peak),
      limit: { value: modelOf("regulator-lm2940", "regulator").maximumSurge, unit: "V", kind: "at most" },
      corner,
      source: partType("regulator-lm2940").source,
    }),
    report.judge("surge-fast", {
      title: `a fast pulse puts ${show(energy.value, "mJ")} into the clamp`,
      where: { text: `clamp ${controller.clamp}`, part: controller.clamp },
      ...measuredBy(energy),
      limit: { value: modelOf(clampStock, "clamp").energy * 1000, unit: "mJ", kind: "at most" },
      corner,
      source: partType(clampStock).source,
    }),
  ]
}
