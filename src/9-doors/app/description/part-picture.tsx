// Small pictures of parts beside their fields, drawn from what the field says; the words beside them carry the meaning.

import { leds } from "../../../1-stock/leds.ts"
import { outlineOf } from "./part-outline.ts"

const lens: Readonly<Record<string, string>> = { red: "#c0281c", amber: "#f2a516", white: "#dfe6ea" }

/** An LED from the side: lens, flange and two leads, at its true proportion. */
export function LedPicture({ led }: { readonly led: string }) {
  const type = leds.find(led)
  if (!type) return null
  const small = led.includes("3mm")
  const [r, flange, body] = small ? [1.5, 1.9, 4.2] : [2.5, 2.9, 8.7 - 2.5]
  return (
    <svg className="part-picture" viewBox="-4 -1 8 17" aria-hidden="true">
      <path d={`M${-0.3 - 1.27} 9.6V15M${1.27 + 0.3} 9.6V13.4`} className="part-lead" />
      <path
        d={`M${-r} ${r + 8.7 - body - r}A${r} ${r} 0 0 1 ${r} ${r + 8.7 - body - r}V9.6H${-r}Z`}
        fill={lens[type.colour]}
        className="part-edge"
      />
      <rect
        x={-flange}
        y={8.7}
        width={2 * flange}
        height={1}
        fill={lens[type.colour]}
        className="part-edge"
      />
    </svg>
  )
}

const bands: Readonly<Record<string, string>> = {
  black: "#1c1c1c",
  brown: "#6b3f1f",
  red: "#b5281e",
  orange: "#dd7a1d",
  yellow: "#e6c72e",
  green: "#2f7a44",
  blue: "#2c58a3",
  violet: "#6d4494",
  grey: "#868b8d",
  white: "#f2f0ea",
  gold: "#b9943a",
  silver: "#b8bcc0",
  pink: "#e39ab4",
}

interface PartProps {
  readonly stock: string
  /** Of a resistor, where it is known. */
  readonly ohm?: number | undefined
  /** Pixels for a millimetre: the same for parts that are compared. */
  readonly scale: number
}

/** Any part of the stock at true proportion. */
export function PartPicture({ stock, ohm, scale }: PartProps) {
  const outline = outlineOf(stock, ohm)
  if (!outline) return null
  const { x, y, w, h } = outline.box
  const edge = 0.3
  return (
    <svg
      className="part-drawing"
      data-stock={stock}
      viewBox={`${x - edge} ${y - edge} ${w + 2 * edge} ${h + 2 * edge}`}
      style={{ width: (w + 2 * edge) * scale, height: (h + 2 * edge) * scale }}
      aria-hidden="true"
    >
      {outline.shapes.map(({ d, as, colour }) => (
        <path
          key={d}
          className={`part-${as}`}
          d={d}
          {...(colour === undefined ? {} : { "data-band": colour, style: { fill: bands[colour] } })}
        />
      ))}
    </svg>
  )
}
