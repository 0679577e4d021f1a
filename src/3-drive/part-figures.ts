// Why each part has the value it has: every resistor, network and capacitor points to a figure with its formula or
// its reason. `lampwright why` and the build sheet lead there.

import { type Figure, fact } from "../0-ground/figure.ts"
import { practice, type Source } from "../0-ground/source.ts"
import { parts as stock } from "../1-stock/parts.ts"
import type { Part } from "./artefact.ts"
import { type Figures, stockFact } from "./drive-figures.ts"
import { resistorFigure } from "./group-figures.ts"
import { bleedFigure, dividerFigures } from "./input-figures.ts"
import type { MadeCircuit } from "./made-circuit.ts"
import type { WrittenGroup } from "./write-group.ts"

/** Ref → id of the figure that explains the part's value; the figures are kept. */
export function figureParts(made: MadeCircuit, figures: Figures): ReadonlyMap<string, string> {
  const reasons = new Map<string, string>()
  const because = (ref: string | undefined, figure: Figure | undefined) => {
    if (ref === undefined || figure === undefined) return
    reasons.set(ref, figures.keep(figure).id)
  }
  for (const group of made.groups) explainGroup(made, group, figures, because)
  for (const wire of made.lamp.vehicle.wires) {
    const bleed = bleedFigure(wire)
    const net = made.body.nets.find((n) => n.wire === wire.name)?.name
    for (const part of made.body.parts) {
      const nets = Object.values(part.pins)
      const across = net !== undefined && nets.includes(net) && nets.includes(made.body.earth)
      if (bleed && across && part.kind === "resistor" && part.amount === bleed.value) because(part.ref, bleed)
    }
  }
  const { controller } = made
  for (const input of controller?.inputs ?? []) {
    because(input.upper, dividerFigures.upper)
    because(input.lower, dividerFigures.lower)
    because(input.filter, dividerFigures.filter)
  }
  for (const part of made.body.parts) {
    if (part.amount === undefined || reasons.has(part.ref)) continue
    if (part.kind === "resistor-array") because(part.ref, stockFact(part.stock, "resistance"))
    else because(part.ref, fixedReason(part, controller?.rail))
  }
  return reasons
}

type Because = (ref: string | undefined, figure: Figure | undefined) => void

function explainGroup(made: MadeCircuit, group: WrittenGroup, figures: Figures, because: Because): void {
  const { name } = group.plan.group
  const get = (id: string) => figures.get(`drive.${name}.${id}`)
  for (const s of made.strings.filter((x) => x.group === name)) {
    s.resistors.forEach((ref, f) => {
      because(ref, get(resistorFigure(f, s.leds.length, group.strings.inSeries)))
    })
    because(s.sink?.bias, get("bias"))
  }
  const { made: rail } = group
  because(rail?.upper, get("set-upper"))
  because(rail?.lower, get(rail?.bridged ? "second-resistor" : "set-lower"))
  because(rail?.bridged?.resistor, get("set-lower"))
  because(rail?.beside?.resistor, get("second-resistor"))
  for (const ref of rail?.beside?.others ?? []) {
    const part = made.part.get(ref)!
    because(
      ref,
      fact(
        `drive.${name}.${ref.toLowerCase()}`,
        `${ref} ${part.purpose}`,
        part.amount!,
        "Ω",
        chosen("a few tenths of a milliampere into a base that needs some hundredths"),
      ),
    )
  }
}

const chosen = (place: string): Source => ({ document: "chosen by this program", place, known: "chosen" })

/** What stands beside the groups: supply, clock, reset. */
function fixedReason(part: Part, rail: string | undefined): Figure | undefined {
  const { document } = stock.find(part.stock)?.source ?? { document: "" }
  switch (part.stock) {
    case "capacitor-22u-63v":
      if (!Object.values(part.pins).includes(rail ?? ""))
        return fact(
          "drive.rail.input-capacitor",
          "capacitor at the input of a rail's regulator",
          22,
          "µF",
          chosen("takes up short pulses (ISO 7637-2, 2a), which the regulator does not hold off"),
        )
      return fact(
        "drive.supply.bulk",
        "capacitor on the controller's rail",
        22,
        "µF",
        chosen("holds the rail over contact bounce; the finding hold-up tells how long"),
      )
    case "capacitor-47u-25v":
      return fact(
        "drive.supply.output-capacitor",
        "capacitor on the 5 V supply",
        47,
        "µF",
        chosen("twice the least the regulator needs to be stable, with series resistance"),
      )
    case "capacitor-100n-100v":
      return fact(
        "drive.supply.input-capacitor",
        "capacitor at a regulator's input",
        100,
        "nF",
        practice("common practice: 100 nF at a regulator's input, rated for the surge"),
      )
    case "capacitor-100n":
      return fact(
        "drive.controller.decoupling",
        "capacitor at each supply pin of the controller",
        100,
        "nF",
        practice("common practice: 100 nF at every supply pin"),
      )
    default:
      return part.kind === "resistor"
        ? fact(
            "drive.controller.reset",
            "resistor that keeps the controller out of reset",
            part.amount!,
            "Ω",
            practice(
              `common practice: 10 kΩ, low enough against leakage, high enough for a programmer; ${document}`,
            ),
          )
        : undefined
  }
}
