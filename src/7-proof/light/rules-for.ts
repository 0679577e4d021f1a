// Which rules of the shelves hold for a lamp, and how far one may condemn it.

import type { Severity } from "../../0-ground/finding.ts"
import type { Source } from "../../0-ground/source.ts"
import type { Rule } from "../../1-stock/lighting-rules.ts"
import type { Group, Lamp, LightFunction } from "../../2-lamp/artefact.ts"

interface ForSome {
  readonly books: readonly string[]
  readonly functions: readonly string[]
}

/** The first rule of a shelf for the lamp's rule book and a function. */
export const ruleFor = <R extends ForSome>(
  shelf: readonly R[],
  lamp: Lamp,
  f: LightFunction,
): R | undefined => shelf.find((r) => r.books.includes(lamp.vehicle.rules) && r.functions.includes(f))

/** A rule of a shelf by its id, when the lamp's rule book holds it. */
export const ruleNamed = (shelf: readonly Rule[], lamp: Lamp, id: string): Rule | undefined =>
  shelf.find((r) => r.id === id && r.books.includes(lamp.vehicle.rules))

/** A rule known only from memory warns and never condemns. */
export const atWorst = (source: Source): { readonly atWorst: Severity } => ({
  atWorst: source.known === "read" ? "red" : "amber",
})

export const whereOf = (l: { readonly group: Group; readonly function?: string }) => ({
  text: l.function ? `${l.group.name} as ${l.function}` : l.group.name,
  group: l.group.name,
  path: `groups.${l.group.name}`,
})
