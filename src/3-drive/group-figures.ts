// Figures of a group's choices, and what an LED current of the group depends on.

import { type Figure, fact } from "../0-ground/figure.ts"
import { described } from "../0-ground/source.ts"
import { type Figures, limitFigures, stockFact } from "./drive-figures.ts"
import type { MadeCircuit } from "./made-circuit.ts"
import type { WrittenGroup } from "./write-group.ts"

/** Figures of the choice itself: strings and resistors. */
export function figureStrings(made: MadeCircuit, group: WrittenGroup, figures: Figures): void {
  const { plan, strings, led, ohms } = group
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
  for (const [length, values] of ohms) {
    values.forEach((ohm, f) => {
      const which = f === 0 ? "resistor" : "second-resistor"
      const name = length === strings.inSeries ? which : `${which}-of-${length}`
      const full = f === 0
      figures.result(
        `${id}.${name}`,
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
  figures.result(
    `${id}.full-current`,
    `LED current of ${plan.group.name} at usual supply, usual parts`,
    strings.full * 1000,
    "mA",
    "current at which LEDs, feed diode, switch, wires and resistor together take the usual supply",
    pathOf(made, group, figures, { supply: made.lamp.vehicle.supply.usual, celsius: 25, parts: "usual" }),
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
    spread ? stockFact("resistor-quarter-watt", "tolerance") : undefined,
    stockFact(group.led.key, `forward-voltage${endOf[at.parts]}`),
    stockFact("diode-1n4007", "forward-voltage"),
    spread ? stockFact("diode-1n4007", "spread") : undefined,
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
