// What a check tells: its findings and the figures their numbers come from.

import { type Figure, fact } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { described, type Source } from "../0-ground/source.ts"

export interface Told {
  readonly findings: Finding[]
  readonly figures: Figure[]
}

export const nothingTold = (): Told => ({ findings: [], figures: [] })

export function tell(into: Told, ...more: readonly Told[]): void {
  for (const { findings, figures } of more) {
    into.findings.push(...findings)
    into.figures.push(...figures)
  }
}

/** A value of the description by its path. */
export const given = (path: string, name: string, value: number, unit: string): Figure =>
  fact(`description.${path}`, name, value, unit, described(path))

/** A number read straight off something that was made: its name, and where in it or how. */
export const readOff = (made: string, place?: string): Source => ({
  document: made,
  ...(place === undefined ? {} : { place }),
  known: "read",
})

/** A number measured on something that was made: its name, and how. */
export const measuredOn = (made: string, place: string): Source => ({
  document: made,
  place,
  known: "computed",
})
