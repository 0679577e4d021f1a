// Small pictures of parts beside their fields, drawn from what the field says; the words beside them carry the meaning.

import { leds } from "../../../1-stock/leds.ts"

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
