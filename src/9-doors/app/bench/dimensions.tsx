// Width below and height beside what lies on the bench, as on a drawing.

import type { Box } from "../../../0-ground/geometry/polygon.ts"
import { showNumber } from "../../../0-ground/text/show.ts"
import type { Viewport } from "./stage.tsx"

/** Room the lines take around the content, pixels: what `pad` of the stage must keep free. */
export const dimensionPad = { x: 58, top: 10, bottom: 26 }

/** A figure of the page's typeface, pixels, with a little air; a 4K screen draws it larger. */
const figureWidth = globalThis.matchMedia?.("(min-width: 2600px)").matches ? 11 : 8

export function Dimensions({ box, view }: { readonly box: Box; readonly view: Viewport }) {
  const [x0, x1] = [view.left + box.minX * view.scale, view.left + box.maxX * view.scale]
  const [y0, y1] = [view.top + box.minY * view.scale, view.top + box.maxY * view.scale]
  const below = y1 + 13
  const beside = x1 + 14
  const words = inMm(box.maxX - box.minX)
  const middle = (x0 + x1) / 2
  // The line leaves room for its figure; a short one has it beside its end.
  const half = (words.length * figureWidth) / 2
  const inside = x1 - x0 > 2 * half + 24
  const line = inside
    ? `M${x0} ${below}H${middle - half}M${middle + half} ${below}H${x1}`
    : `M${x0} ${below}H${x1}`
  return (
    <g className="dimension">
      <path d={`M${x0} ${below - 5}v10${line}M${x1} ${below - 5}v10`} />
      <text
        x={inside ? middle : x1 + 8}
        y={below}
        dominantBaseline="central"
        textAnchor={inside ? "middle" : "start"}
      >
        {words}
      </text>
      <path d={`M${beside - 5} ${y0}h10M${beside} ${y0}V${y1}M${beside - 5} ${y1}h10`} />
      <text x={beside + 7} y={(y0 + y1) / 2 + 5}>
        {inMm(box.maxY - box.minY).replace(" mm", "")}
      </text>
    </g>
  )
}

/** Between two points, its length above the line. Stage millimetres. */
export function DimensionLine({
  from,
  to,
  view,
  says,
  before = false,
}: {
  readonly from: { readonly x: number; readonly y: number }
  readonly to: { readonly x: number; readonly y: number }
  readonly view: Viewport
  readonly says: string
  /** The words of an upright line stand on its left. */
  readonly before?: boolean
}) {
  const [ax, ay] = [view.left + from.x * view.scale, view.top + from.y * view.scale]
  const [bx, by] = [view.left + to.x * view.scale, view.top + to.y * view.scale]
  const length = Math.hypot(bx - ax, by - ay) || 1
  const [nx, ny] = [(-(by - ay) / length) * 5, ((bx - ax) / length) * 5]
  const upright = Math.abs(by - ay) > Math.abs(bx - ax)
  return (
    <g className="dimension">
      <path
        d={`M${ax - nx} ${ay - ny}L${ax + nx} ${ay + ny}M${ax} ${ay}L${bx} ${by}M${bx - nx} ${by - ny}L${bx + nx} ${by + ny}`}
      />
      <text
        x={(ax + bx) / 2 + (upright ? (before ? -8 : 8) : 0)}
        y={(ay + by) / 2 + (upright ? 5 : -7)}
        textAnchor={upright ? (before ? "end" : "start") : "middle"}
      >
        {says}
      </text>
    </g>
  )
}

const inMm = (mm: number) => `${showNumber(Math.round(mm * 10) / 10, 5)} mm`
