// What a part looks like in the hand: the bands on a resistor, the size of a body.

import { showNumber } from "../0-ground/text/show.ts"
import { colourBands } from "./colour-bands.ts"
import { packageType } from "./packages.ts"
import { parts } from "./parts.ts"

export interface PartInHand {
  /** Key into the stock. */
  readonly stock: string
  readonly package: string
  /** Ohm, of a resistor. */
  readonly amount?: number
}

/** Bands of a leaded resistor; undefined for whatever carries print. */
export function bandsOf({ stock, amount }: PartInHand): readonly string[] | undefined {
  const model = parts.find(stock)?.model
  return model?.kind === "resistor" && amount !== undefined ? colourBands(amount, model.tolerance) : undefined
}

/** Greatest size of the body, and how far apart the leads go: what must fit on the board. */
export function bodyOf({ stock, package: name }: PartInHand): string {
  const { body, lands } = packageType(name)
  const [a, b] = lands
  const apart = lands.length === 2 ? `, leads ${showNumber(Math.abs(b!.x - a!.x), 4)} mm apart` : ""
  if (body.shape === "disc") return `⌀ ${showNumber(body.w)} × ${showNumber(body.height)} mm${apart}`
  if (parts.find(stock)?.model.kind === "resistor")
    return `${showNumber(body.w)} × ⌀ ${showNumber(body.h)} mm${apart}`
  return `${showNumber(body.w)} × ${showNumber(body.h)} × ${showNumber(body.height)} mm${apart}`
}
