// The way in: the text of a description and its drawings → the checked lamp, and everything found on the way.

import { leds } from "../1-stock/leds.ts"
import type { ReadLamp } from "./artefact.ts"
import { compileLamp } from "./compile-lamp.ts"

export { lampSchema } from "./lamp-schema.ts"

/**
 * Reads a description. `drawing` gives the text of an SVG file named in it, or undefined when there is none.
 * Never throws for anything the text can hold; without a lamp there is at least one red finding with its line.
 * A lamp may come with red findings too: what can be drawn is handed on, so that the fault can be shown in place.
 */
export function readLamp(text: string, drawing: (file: string) => string | undefined): ReadLamp {
  return compileLamp(text, drawing, leds.all)
}
