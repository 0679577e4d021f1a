// Measuring on the bench: two points that catch at holes, lands and edges; how far, and how far along and across.

import type { Point } from "../../../0-ground/geometry/point.ts"
import { showNumber } from "../../../0-ground/text/show.ts"
import type { SnapPoint } from "./snap.ts"
import type { Viewport } from "./stage.tsx"

export interface Measuring {
  readonly from?: SnapPoint
  readonly to?: SnapPoint
  /** Under the pointer, or where the arrow keys went. */
  readonly at?: SnapPoint
}

/** A click, or Enter: the first point, the second, and then anew. */
export function pointSet(m: Measuring, at: SnapPoint): Measuring {
  return m.from && !m.to ? { from: m.from, to: at, at } : { from: at, at }
}

interface Props {
  readonly measuring: Measuring
  readonly view: Viewport
  readonly unit: string
}

export function MeasureLine({ measuring, view, unit }: Props) {
  const { from, at } = measuring
  const to = measuring.to ?? (from ? at : undefined)
  const px = (p: Point) => ({ x: view.left + p.x * view.scale, y: view.top + p.y * view.scale })
  const a = from && px(from)
  const b = to && px(to)
  const cursor = measuring.to ? undefined : at && px(at)
  return (
    <svg className="measure" width={view.width} height={view.height} aria-hidden="true">
      {cursor && (
        <path
          className={at?.says ? "cross caught" : "cross"}
          d={`M${cursor.x - 9} ${cursor.y}h18M${cursor.x} ${cursor.y - 9}v18`}
        />
      )}
      {a && <circle cx={a.x} cy={a.y} r={4} />}
      {a && b && from && to && (
        <>
          <path className="legs" d={`M${a.x} ${a.y}H${b.x}V${b.y}`} />
          <path className="line" d={`M${a.x} ${a.y}L${b.x} ${b.y}`} />
          <circle cx={b.x} cy={b.y} r={4} />
          <text x={(a.x + b.x) / 2} y={(a.y + b.y) / 2 - 10} textAnchor="middle">
            {distanceWords(from, to, unit)}
          </text>
        </>
      )}
    </svg>
  )
}

/** On the stage y runs down; a person counts up. */
export function measureWords({ from, to, at }: Measuring, unit: string): string {
  const end = to ?? at
  if (!from) return at?.says ? `On ${at.says}: click or Enter for the first point` : "Click the first point"
  const start = from.says ? ` from ${from.says}` : ""
  if (!end) return `Click the second point${start}`
  const goal = end.says ? ` to ${end.says}` : ""
  const [dx, dy] = [end.x - from.x, from.y - end.y]
  return `${distanceWords(from, end, unit)}; along ${number(dx)}, up ${number(dy)} ${unit}${start}${goal}`
}

const distanceWords = (a: Point, b: Point, unit: string) => {
  const d = Math.hypot(a.x - b.x, a.y - b.y)
  return `${number(d)}${unit === "°" ? "°" : ` ${unit}`}`
}
/** Hundredths: finer than anything made here. */
const number = (n: number) => showNumber(Math.round(n * 100) / 100 + 0, 6)
