// Which rules of the shelves hold for a lamp, and how far one may condemn it.

import type { Severity } from "../../0-ground/finding.ts"
import type { Source } from "../../0-ground/source.ts"
import type { LedType } from "../../1-stock/artefact.ts"
import { type AxisRule, axisRules, type Rule } from "../../1-stock/lighting-rules.ts"
import { type Sections, type UsTable, usTables } from "../../1-stock/us-photometry.ts"
import type { Group, Lamp, LightFunction } from "../../2-lamp/artefact.ts"

interface ForSome {
  readonly books: readonly string[]
  readonly functions: readonly string[]
  readonly place?: "front" | "rear"
}

interface Lit {
  readonly group: Group
  readonly led: LedType
  readonly function: LightFunction
}

/** End of the vehicle a function shines from; rear where nothing tells otherwise. */
export const placeOf = (group: Group, f: LightFunction): "front" | "rear" =>
  group.place ?? (f === "front-position" ? "front" : "rear")

/** The first rule of a shelf for the lamp's rule book, a function and, where it is told, an end of the vehicle. */
export const ruleFor = <R extends ForSome>(
  shelf: readonly R[],
  lamp: Lamp,
  f: LightFunction,
  place?: "front" | "rear",
): R | undefined =>
  shelf.find(
    (r) =>
      r.books.includes(lamp.vehicle.rules) &&
      r.functions.includes(f) &&
      (place === undefined || r.place === undefined || r.place === place),
  )

/** A rule of a shelf by its id, or what stands in its place, when the lamp's rule book holds it. */
export const ruleNamed = <R extends Rule>(shelf: readonly R[], lamp: Lamp, id: string): R | undefined =>
  shelf.find((r) => (r.id === id || r.like === id) && r.books.includes(lamp.vehicle.rules))

/**
 * Least and greatest intensity. A front indicator's category follows from its distance to the dipped beam; where the
 * description does not tell that, the strictest one is taken.
 */
export function axisRuleFor(lamp: Lamp, { group, function: f }: Lit): AxisRule | undefined {
  const place = placeOf(group, f)
  const fitting = axisRules.filter(
    (r) =>
      r.books.includes(lamp.vehicle.rules) &&
      r.functions.some((x) => x === f) &&
      (r.place === undefined || r.place === place),
  )
  return fitting.find((r) => r.from === undefined || (group.dippedBeam ?? 0) >= r.from)
}

export const usTableFor = ({ group, led, function: f }: Lit, sections: Sections): UsTable | undefined =>
  usTables.find(
    (t) =>
      t.sections === sections &&
      t.functions.some((x) => x === f) &&
      t.colours.includes(led.colour) &&
      t.place === placeOf(group, f),
  )

/** A rule known only from memory warns and never condemns. */
export const atWorst = (source: Source): { readonly atWorst: Severity } => ({
  atWorst: source.known === "read" ? "red" : "amber",
})

export const whereOf = (l: { readonly group: Group; readonly function?: string }) => ({
  text: l.function ? `${l.group.name} as ${l.function}` : l.group.name,
  group: l.group.name,
  path: `groups.${l.group.name}`,
})
