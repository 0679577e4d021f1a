// Where a line or a group stands in the description, and small numbers as they are shown.

import type { Where } from "../0-ground/finding.ts"
import type { Lamp } from "../2-lamp/artefact.ts"

export function whereOf(lamp: Lamp, index: number, key: string, more: Partial<Where>): Where {
  return placed(lamp, `programme.${index}.${key}`, { text: `line ${index + 1} of the programme`, ...more })
}

/** Adds the path and the nearest known place in the text. */
export function placed(lamp: Lamp, path: string, where: Where): Where {
  for (let p = path; p !== ""; p = p.slice(0, Math.max(0, p.lastIndexOf(".")))) {
    const place = lamp.places[p]
    if (place) return { ...where, path, line: place.line, column: place.column }
  }
  return { ...where, path }
}

export const round = (x: number): number => Math.round(100 * x) / 100
export const percent = (x: number): string => `${round(100 * x)} %`
