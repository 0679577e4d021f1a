// The numbers of this room that a user may ask about: what the description says, and what is measured on the metal
// as drawn.

import { type Figure, fact, measuredBy, result } from "../0-ground/figure.ts"
import { described, type Source } from "../0-ground/source.ts"
import type { Place } from "./artefact.ts"
import type { Tree } from "./parse-text.ts"

/** Figures by id; those that no finding names are dropped in the end. */
export type Figures = Map<string, Figure>

/** Keeps the figure and gives what a finding says of it. */
export function tied(figures: Figures, figure: Figure) {
  figures.set(figure.id, figure)
  return measuredBy(figure)
}

/** A value of the description, or the default that stands for it. */
export function said(tree: Tree, path: string, name: string, value: number, unit: string): Figure {
  const source: Source = tree.values.has(path)
    ? described(path)
    : { document: "the form of the description", place: `default of ${path}`, known: "chosen" }
  return fact(`description.${path}`, name, value, unit, source)
}

/** How many entries or characters stand at a path. */
export const counted = (path: string, name: string, value: number, unit: string): Figure =>
  fact(`description.${path}.count`, name, value, unit, described(path))

/** Where something drawn stands: a line of the drawing, or a place in the description. */
export const drawn = (spot: Place & { readonly path?: string; readonly file?: string }): Source =>
  spot.file === undefined
    ? described(spot.path ?? "")
    : {
        document: `the drawing ${spot.file}`,
        place: `line ${spot.line}, in millimetres of the face, y up`,
        known: "read",
      }

interface Point {
  readonly x: number
  readonly y: number
}

/** Both coordinates of a point, as facts. */
export function coordinates(id: string, name: string, { x, y }: Point, source: Source): readonly Figure[] {
  return [fact(`${id}.x`, `${name}, x`, x, "mm", source), fact(`${id}.y`, `${name}, y`, y, "mm", source)]
}

/** Distance of two points whose coordinates are given. */
export const spacing = (
  id: string,
  name: string,
  distance: number,
  a: readonly Figure[],
  b: readonly Figure[],
): Figure => result(id, name, distance, "mm", "√((x₁ − x₂)² + (y₁ − y₂)²), centre to centre", [...a, ...b])

/** Signed distance to an edge; negative outside. */
export const toEdgeOf = (
  id: string,
  name: string,
  distance: number,
  edge: string,
  at: readonly Figure[],
): Figure =>
  result(
    id,
    name,
    distance,
    "mm",
    `least distance from the centre to ${edge}, negative outside it; curves are followed to 0.02 mm`,
    at,
  )
