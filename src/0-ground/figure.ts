// A number that can be asked why: value, unit, formula, the figures it was worked out from, source.
// A figure has a source (a fact) or a formula with inputs (a result); a test holds this.

import type { Quantity } from "./finding.ts"
import type { Source } from "./source.ts"

export interface Figure {
  /** Dotted path, unique within a design: `drive.sweep-left.resistor`. What `lampwright why` takes. */
  readonly id: string
  readonly name: string
  readonly value: number
  /** SI or mm, as shown to the user: "V", "mA", "mm", "", "%". The value is in this very unit. */
  readonly unit: string
  /** In words a builder can follow, for example `(supply − forward voltage) ÷ resistance`. */
  readonly formula?: string
  readonly inputs?: readonly Figure[]
  readonly source?: Source
  /** Which corner of supply, temperature and tolerance this value belongs to. */
  readonly corner?: string
}

/** A fact: a figure that is not worked out from others here. */
export function fact(id: string, name: string, value: number, unit: string, source: Source): Figure {
  return { id, name, value, unit, source }
}

/** A result: a figure worked out from others. */
export function result(
  id: string,
  name: string,
  value: number,
  unit: string,
  formula: string,
  inputs: readonly Figure[],
  more: { readonly source?: Source; readonly corner?: string } = {},
): Figure {
  return { id, name, value, unit, formula, inputs, ...more }
}

/** The part of a finding that says what was measured, tied to the figure that tells why. */
export function measuredBy(figure: Figure): { readonly measured: Quantity; readonly figure: string } {
  return { measured: { value: figure.value, unit: figure.unit }, figure: figure.id }
}
