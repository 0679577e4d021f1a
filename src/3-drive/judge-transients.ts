// Judges how long the controller lives without its wire.

import { measuredBy } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { practice } from "../0-ground/source.ts"
import { show } from "../0-ground/text/show.ts"
import { modelOf } from "../1-stock/parts.ts"
import { type Figures, stockFact } from "./drive-figures.ts"
import { report } from "./drive-findings.ts"
import type { MadeCircuit } from "./made-circuit.ts"
import { runSupply } from "./supply-transient.ts"
import type { WrittenController } from "./write-controller.ts"

/** Contacts bounce for 1…5 ms; a controller that lives through it does not start again. */
const bounce = { value: 5, source: practice("common practice: contacts bounce for 1…5 ms") }

export function judgeTransients(made: MadeCircuit, figures: Figures): Finding[] {
  const { controller } = made
  if (!controller || controller.supplyDiodes.length === 0) return []
  return judgeHoldUp(made, controller, figures)
}

/** The wire opens at usual supply: time until the 5 V reaches what the controller needs. */
function judgeHoldUp(made: MadeCircuit, controller: WrittenController, figures: Figures): Finding[] {
  const { supply } = made.lamp.vehicle
  // The indicator wire when it is all that feeds it, else the supply wire.
  const flashing = made.lamp.vehicle.wires.filter((w) => w.role === "flashing").map((w) => w.name)
  const wire = (controller.supplyDiodes.find((d) => flashing.includes(d.wire)) ?? controller.supplyDiodes[0]!)
    .wire
  const chip = modelOf(controller.stock, "controller")
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
      stockFact(controller.stock, "supply-current"),
      stockFact(controller.stock, "supply-low"),
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
