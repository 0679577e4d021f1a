// Every resistor's value once more, by Ohm's law alone: at a corner with usual parts the voltage between its two nets,
// squared, over the heat in it, is its resistance. And the value is the one its own figure explains. A part that is one
// step of its series off agrees with neither.

import { type Figure, fact, measuredBy } from "../../0-ground/figure.ts"
import type { Finding } from "../../0-ground/finding.ts"
import { computed } from "../../0-ground/source.ts"
import type { Circuit, CornerState, Part } from "../../3-drive/artefact.ts"
import { proof } from "../proof-findings.ts"
import { measuredOn, type Told } from "../told.ts"

/** The closest two neighbours in E24 lie 6.7 % apart; half of that would be told from the right value by a hair. */
const mostOff = 2
/** Node voltages are kept to a tenth of a millivolt. */
const leastVolt = 0.02

export function checkFitted(circuit: Circuit): Told {
  const findings: Finding[] = []
  const figures: Figure[] = []
  const explained = new Map(circuit.figures.map((f) => [f.id, f]))
  const usual = circuit.corners.filter((c) => c.parts === "usual")
  let looked = 0
  let furthest = 0
  const wrong: { part: Part; off: number; from: string; how: string }[] = []
  const look = (part: Part, ohm: number, from: string, how: string) => {
    const off = 100 * (part.amount! / ohm - 1)
    if (Math.abs(off) > mostOff) wrong.push({ part, off, from, how })
    else furthest = Math.max(furthest, Math.abs(off))
  }
  for (const part of circuit.parts) {
    if (part.kind !== "resistor" || part.amount === undefined) continue
    looked++
    const seen = byOhm(part, usual)
    if (seen) look(part, seen.ohm, seen.corner, "voltage² ÷ heat of the solved corner")
    const why = explained.get(part.figure ?? "")
    if (why?.unit === "Ω") look(part, why.value, why.name, "value of the figure that explains it")
    else if (!seen) look(part, Number.NaN, part.purpose, "nothing explains it and no current shows it")
  }
  const told = new Set<string>()
  for (const { part, off, from, how } of wrong) {
    if (told.has(part.ref) || told.size === 6) continue
    told.add(part.ref)
    const figure = fact(
      `proof.fitted.${part.ref.toLowerCase()}`,
      `${part.ref} against ${how}`,
      off,
      "%",
      measuredOn("the circuit", `${part.ref}, ${from}`),
    )
    figures.push(figure)
    findings.push(
      proof.state("fitted-value", {
        severity: "red",
        title: `${part.ref} is ${part.value}, ${Math.abs(off).toFixed(1)} % ${off > 0 ? "above" : "below"} what was designed`,
        where: { text: `resistor ${part.ref}`, part: part.ref },
        ...measuredBy(figure),
        limit: { value: off > 0 ? mostOff : -mostOff, unit: "%", kind: off > 0 ? "at most" : "at least" },
        corner: from,
        source: computed(how),
      }),
    )
  }
  if (looked > 0 && wrong.length === 0) {
    const figure = fact(
      "proof.fitted.furthest",
      "furthest any resistor lies from what was designed",
      Number(furthest.toFixed(4)),
      "%",
      measuredOn(
        "the circuit",
        "voltage² ÷ heat at the corners with usual parts, and each value's own figure",
      ),
    )
    figures.push(figure)
    findings.push(
      proof.judge("fitted-value", {
        title: `All ${looked} resistors have the values that were designed`,
        where: { text: "circuit" },
        ...measuredBy(figure),
        limit: { value: mostOff, unit: "%", kind: "at most" },
        amberBelow: 0,
        source: computed("Ohm's law at the corners with usual parts"),
      }),
    )
  }
  return { findings, figures }
}

/** Resistance at the corner where most voltage lies across it; undefined where no corner with usual parts shows any. */
function byOhm(
  part: Part,
  corners: readonly CornerState[],
): { readonly ohm: number; readonly corner: string } | undefined {
  let best = { volt: leastVolt, ohm: Number.NaN, corner: "" }
  for (const c of corners) {
    const volt = Math.abs((c.nodeVoltage[part.pins["1"]!] ?? 0) - (c.nodeVoltage[part.pins["2"]!] ?? 0))
    const watt = c.dissipation[part.ref]
    if (watt !== undefined && volt > best.volt) best = { volt, ohm: (volt * volt) / watt, corner: c.corner }
  }
  return best.corner === "" ? undefined : best
}
