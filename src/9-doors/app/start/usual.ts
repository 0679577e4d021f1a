// What lamps usually have: wires, what they say, the LEDs of the stock, boards. Choices of the walk, each written into the
// description where it can be changed.

import { leds } from "../../../1-stock/leds.ts"

export interface UsualWire {
  readonly name: string
  readonly about: string
  readonly written: string
  /** What its light is seen as. */
  readonly means: string | undefined
}

const way = "fuse: 5 A, size: 0.75 mm², length: 2 m"
const flashing = `role: flashing, flasher: electronic, rate: 90 /min, on-share: 50 %, replaces: 21 W, ${way}`

export const usualWires: readonly UsualWire[] = [
  {
    name: "tail",
    about: "live while the lights are on",
    written: `{ role: steady, replaces: 5 W, ${way}, colour: grey }`,
    means: "rear-position",
  },
  {
    name: "brake",
    about: "live while the brake is held",
    written: `{ role: steady, replaces: 21 W, ${way}, colour: red/black }`,
    means: "stop",
  },
  {
    name: "left",
    about: "from the flasher, left",
    written: `{ ${flashing}, colour: green }`,
    means: "direction-indicator",
  },
  {
    name: "right",
    about: "from the flasher, right",
    written: `{ ${flashing}, colour: blue }`,
    means: "direction-indicator",
  },
  {
    name: "reverse",
    about: "live in reverse gear",
    written: `{ role: steady, replaces: 21 W, ${way}, colour: white }`,
    means: "reversing",
  },
  {
    name: "plus",
    about: "always live; a controller can stay ready on it",
    written: `{ role: supply, ${way}, colour: red }`,
    means: undefined,
  },
  {
    name: "earth",
    about: "the way back, needed",
    written: "{ role: earth, size: 0.75 mm², length: 1 m, colour: brown }",
    means: undefined,
  },
]

export const functions: Readonly<Record<string, string>> = {
  "rear-position": "tail light",
  stop: "stop light",
  "direction-indicator": "indicator",
  "front-position": "front position",
  marker: "side marker",
  reversing: "reversing light",
  plate: "number plate",
}

/** The size of LED a hole is for: its body passes, its flange does not. */
export const ledSize = (hole: number): number => (hole < 4.2 ? 3 : 5)

/** LEDs that pass the hole, with what they usually are seen as. */
export const ledsFor = (hole: number) => leds.all.filter((l) => l.key.endsWith(`-${ledSize(hole)}mm`))

export const usualFunction = (colour: string): string =>
  ({ red: "rear-position", amber: "direction-indicator", white: "front-position" })[colour] ?? "marker"

export const faceBoard = (face: string, group: string): string =>
  `{ carries: [${group}], behind: ${face}, inset: 3 mm, height: 11 mm }`

export const controlBoard =
  "{ carries: [controller, drivers, supply], outline: 100 × 72 mm, screws: { diameter: 3.2 mm, corners: 4 mm }, height: 22 mm }"

/** A word the description takes as a name. */
export function asName(words: string): string {
  const plain = words
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^[^a-z]+|-+$/g, "")
  return plain.slice(0, 40)
}
