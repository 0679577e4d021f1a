// Figures of a group's choices, and what an LED current of the group depends on.

import { type Figure, fact } from "../0-ground/figure.ts"
import { described } from "../0-ground/source.ts"
import { type Figures, limitFigures, stockFact } from "./drive-figures.ts"
import { lowRailVolt, railRegulator, railVolt, smallTransistor } from "./group-design.ts"
import type { MadeCircuit } from "./made-circuit.ts"
import { rearRelay } from "./relay-coil.ts"
import type { WrittenGroup } from "./write-group.ts"

/** Figures of the choice itself: strings and resistors. */
export function figureStrings(made: MadeCircuit, group: WrittenGroup, figures: Figures): void {
  const { plan, strings, led } = group
  const id = `drive.${plan.group.name}`
  const { current } = plan.group
  const path = `groups.${plan.group.name}.current`
  const what =
    current === undefined ? "the LED's test current, as none is asked for" : "the current asked for"
  const wanted = figures.result(
    `${id}.wanted-current`,
    `wanted LED current of ${plan.group.name}`,
    strings.wanted * 1000,
    "mA",
    plan.topology === "switched"
      ? `${what}; lower levels are dimmed by the controller`
      : `${what} × the brightest level`,
    [
      current === undefined
        ? stockFact(led.key, "test-current")
        : fact(
            `description.${path}`,
            `LED current asked for in ${plan.group.name}`,
            current,
            "A",
            described(path),
          ),
      ...(plan.topology === "switched" ? [] : [levelFact(made, group, 0)]),
    ],
  )
  figures.result(
    `${id}.in-series`,
    `LEDs in series in ${plan.group.name}`,
    strings.inSeries,
    "",
    "the most that keep the least share of full current at the lowest supply with the highest forward voltage in the cold",
    [
      figures.supply("lowest"),
      stockFact(led.key, "forward-voltage-high"),
      figures.ambient("lowest"),
      limitFigures.leastShare,
    ],
  )
  if (group.way === "current-sinks") figureSinks(group, figures, wanted)
  else if (group.rail) figureRail(made, group, figures, wanted)
  else figureResistors(group, figures, wanted)
  figures.result(
    `${id}.full-current`,
    `LED current of ${plan.group.name} at usual supply, usual parts`,
    strings.full * 1000,
    "mA",
    "current at which LEDs, feed diode, switch, wires and resistor together take the usual supply",
    pathOf(made, group, figures, { supply: made.lamp.vehicle.supply.usual, celsius: 25, parts: "usual" }),
  )
}

/** Name of the figure of a string's resistor: `resistor`, `second-resistor`, for shorter strings with `-of-2`. */
export function resistorFigure(feed: number, length: number, longest: number): string {
  const which = feed === 0 ? "resistor" : feed === 1 ? "second-resistor" : `level-${feed + 1}-resistor`
  return length === longest ? which : `${which}-of-${length}`
}

function figureResistors({ plan, strings, led, ohms }: WrittenGroup, figures: Figures, wanted: Figure): void {
  const id = `drive.${plan.group.name}`
  for (const [length, values] of ohms) {
    values.forEach((ohm, f) => {
      const full = f === 0
      figures.result(
        `${id}.${resistorFigure(f, length, strings.inSeries)}`,
        `${full ? "resistor" : `resistor for ${Math.round(plan.feeds[f]!.level * 100)} %`} of a string of ${length} in ${plan.group.name}`,
        ohm,
        "Ω",
        full
          ? "nearest E24 value to (supply − diode − LEDs − switch) ÷ wanted current, raised while the strongest corner or the surge asks for it"
          : "E24 value that brings the string nearest to its level, found by solving the whole group with this feed alone",
        full
          ? [
              figures.supply("usual"),
              stockFact(led.key, "forward-voltage"),
              stockFact("diode-1n4007", "forward-voltage"),
              wanted,
              limitFigures.ledShare,
              limitFigures.surgeVolt,
            ]
          : [figures.supply("usual"), stockFact(led.key, "forward-voltage"), figures.get(`${id}.resistor`)],
      )
    })
  }
}

/** Sense and base resistor of the current sinks; the sense resistor is the same for every length. */
function figureSinks(group: WrittenGroup, figures: Figures, wanted: Figure): void {
  const { plan, ohms, bias } = group
  const { name } = plan.group
  const npn = (fact: string) => stockFact(smallTransistor, fact)
  const [sense] = [...ohms.values()][0]!
  for (const length of ohms.keys())
    figures.result(
      `drive.${name}.resistor${length === group.strings.inSeries ? "" : `-of-${length}`}`,
      `sense resistor of a string of ${length} in ${name}`,
      sense!,
      "Ω",
      "nearest E24 value to base–emitter voltage ÷ wanted current, raised while the coldest corner asks for it (the voltage rises in the cold)",
      [
        npn("base-emitter"),
        wanted,
        npn("base-emitter-high"),
        npn("per-kelvin"),
        figures.ambient("lowest"),
        limitFigures.ledShare,
      ],
    )
  figures.result(
    `drive.${name}.bias`,
    `base resistor of the sinks of ${name}`,
    bias!,
    "Ω",
    "nearest E24 value to (lowest supply − 2.5 V for feed diode and two base–emitter voltages) × least gain ÷ (2 × current): twice the base current needed",
    [figures.supply("lowest"), npn("gain-low"), figures.get(`drive.${name}.resistor`), npn("base-emitter")],
  )
}

/** The rail's set resistors and the strings' on it. */
function figureRail(made: MadeCircuit, group: WrittenGroup, figures: Figures, wanted: Figure): void {
  const { plan, ohms, led, rail, strings } = group
  const id = `drive.${plan.group.name}`
  const { name } = plan.group
  const fact = (which: string) => stockFact(railRegulator, which)
  const upper = figures.result(
    `${id}.set-upper`,
    `resistor from the rail of ${name} to its regulator's set pin`,
    rail!.upper,
    "Ω",
    rail!.bridged === undefined
      ? "largest E24 value through which the reference alone draws the least load at which the regulator works"
      : "largest E24 value through which the reference alone draws what keeps the relay's contact clean, and the regulator's least load",
    [
      fact("reference-low"),
      fact("minimum-load"),
      ...(rail!.bridged === undefined ? [] : [stockFact(rearRelay, "contact-least")]),
    ],
  )
  const high =
    "at which the rail stays 1.2 V for diode and wire, and what the regulator loses, below the usual supply"
  const needs = [figures.supply("usual"), fact("headroom"), fact("dropout"), fact("reference"), upper]
  const bridged = rail!.bridged !== undefined
  const lower = bridged
    ? figures.result(
        `${id}.second-resistor`,
        `resistor from the set pin of ${name}'s regulator to the relay's contact, for ${Math.round(plan.feeds[1]!.level * 100)} %`,
        rail!.lower,
        "Ω",
        "E24 value that brings the mean LED current nearest to the lower level: LED voltage hardly falls with current, so the rail must come down close to it",
        [upper, levelFact(made, group, 1), levelFact(made, group, 0), stockFact(led.key, "forward-voltage")],
      )
    : figures.result(
        `${id}.set-lower`,
        `resistor from the set pin of ${name}'s regulator to earth`,
        rail!.lower,
        "Ω",
        `largest E24 value ${high}`,
        needs,
      )
  const rest = bridged
    ? figures.result(
        `${id}.set-lower`,
        `resistor in row with it that the relay's contact of ${name} bridges at rest`,
        rail!.bridged!,
        "Ω",
        `largest E24 value that both in row stay below the one ${high}`,
        [...needs, lower],
      )
    : undefined
  const volt = figures.result(
    `${id}.rail`,
    `LED rail of ${name}, usual parts`,
    railVolt(rail!, "usual"),
    "V",
    bridged
      ? "reference × (1 + both lower resistors ÷ upper resistor) + current of the set pin × both lower resistors"
      : "reference × (1 + lower ÷ upper resistor) + current of the set pin × lower resistor",
    [fact("reference"), lower, ...(rest ? [rest] : []), upper, fact("adjust-current")],
  )
  for (const [length, [ohm]] of ohms)
    figures.result(
      `${id}.resistor${length === strings.inSeries ? "" : `-of-${length}`}`,
      `resistor of a string of ${length} in ${name}`,
      ohm!,
      "Ω",
      "nearest E24 value to (rail − LEDs − switch) ÷ wanted current, raised while the strongest corner asks for it",
      [volt, stockFact(led.key, "forward-voltage"), wanted, limitFigures.ledShare],
    )
  if (bridged)
    figures.result(
      `${id}.rail-low`,
      `LED rail of ${name} at the lower level, usual parts`,
      lowRailVolt(rail!),
      "V",
      "reference × (1 + the lower resistor that is not bridged ÷ upper resistor) + current of the set pin × it",
      [fact("reference"), lower, upper, fact("adjust-current")],
    )
  if (rail!.beside === undefined) return
  const beside = figures.result(
    `${id}.second-resistor`,
    `resistor laid beside the set resistor of ${name} for ${Math.round(plan.feeds[1]!.level * 100)} %`,
    rail!.beside,
    "Ω",
    "E24 value that brings the mean LED current nearest to the lower level: LED voltage hardly falls with current, so the rail must come down close to it",
    [
      lower,
      volt,
      levelFact(made, group, 1),
      levelFact(made, group, 0),
      stockFact(led.key, "forward-voltage"),
    ],
  )
  figures.result(
    `${id}.rail-low`,
    `LED rail of ${name} at the lower level, usual parts`,
    lowRailVolt(rail!),
    "V",
    "reference × (1 + both lower resistors side by side ÷ upper resistor) + current of the set pin × them, and what the transistor drops",
    [fact("reference"), lower, beside, upper, fact("adjust-current")],
  )
}

/** What the programme says of a feed, as a fact. */
export function levelFact(made: MadeCircuit, { plan }: WrittenGroup, f: number): Figure {
  const { level, wires } = plan.feeds[f]!
  const i = made.lamp.programme.findIndex(
    (l) =>
      l.light === plan.group.name && l.level === level && l.when.some((w) => wires.some((x) => x.name === w)),
  )
  const path = `programme.${i}.level`
  return fact(
    `description.${path}`,
    `level of line ${i + 1} of the programme`,
    level * 100,
    "%",
    described(path),
  )
}

/** Which end of an LED's forward voltage a corner takes. */
export const endOf = { weakest: "-high", usual: "", strongest: "-low" } as const

/** Which end of a reference or base–emitter voltage a corner takes. */
const senseEnd = { weakest: "-low", usual: "", strongest: "-high" } as const

/**
 * What the current of an LED or resistor of the group depends on most at a corner; without `ref`, of its longest strings.
 */
export function pathOf(
  made: MadeCircuit,
  group: WrittenGroup,
  figures: Figures,
  at: { readonly supply: number; readonly celsius: number; readonly parts: keyof typeof endOf },
  ref?: string,
): readonly (Figure | undefined)[] {
  const spread = at.parts !== "usual"
  return [
    ...figures.conditions(at),
    ...resistorsOf(made, group, figures, ref),
    spread ? stockFact(fittedResistor(made, group, ref), "tolerance") : undefined,
    spread ? stockFact(fittedResistor(made, group, ref), "per-kelvin") : undefined,
    stockFact(group.led.key, `forward-voltage${endOf[at.parts]}`),
    stockFact("diode-1n4007", "forward-voltage"),
    spread ? stockFact("diode-1n4007", "spread") : undefined,
    ...(group.way === "current-sinks"
      ? [
          stockFact(smallTransistor, `base-emitter${senseEnd[at.parts]}`),
          stockFact(smallTransistor, "per-kelvin"),
          figures.get(`drive.${group.plan.group.name}.bias`),
        ]
      : []),
    ...(group.rail
      ? [
          figures.get(`drive.${group.plan.group.name}.rail`),
          figures.get(`drive.${group.plan.group.name}.rail-low`),
          stockFact(railRegulator, `reference${senseEnd[at.parts]}`),
          stockFact(railRegulator, "headroom"),
        ]
      : []),
    group.plan.topology === "switched" && at.parts === "weakest"
      ? stockFact("array-uln2803a", "drop-20")
      : undefined,
  ]
}

/** The resistors of the string that `ref` is in, or of the longest strings. */
export function resistorsOf(
  made: MadeCircuit,
  { plan, strings }: WrittenGroup,
  figures: Figures,
  ref?: string,
): readonly (Figure | undefined)[] {
  const mine = made.strings.find(
    (s) => ref !== undefined && (s.leds.includes(ref) || s.resistors.includes(ref)),
  )
  const length = mine?.leds.length ?? strings.inSeries
  const of = length === strings.inSeries ? "" : `-of-${length}`
  return ["resistor", "second-resistor"].map((which) => figures.get(`drive.${plan.group.name}.${which}${of}`))
}

/** Stock of the resistor fitted in the string that `ref` is in, or in the group's first. */
export function fittedResistor(made: MadeCircuit, { resistors }: WrittenGroup, ref?: string): string {
  const mine = made.strings.find(
    (s) => ref !== undefined && (s.leds.includes(ref) || s.resistors.includes(ref)),
  )
  return made.part.get(mine?.resistors[0] ?? resistors[0]?.[0] ?? "")?.stock ?? "resistor-quarter-watt"
}
