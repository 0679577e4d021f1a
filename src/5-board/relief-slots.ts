// Strain relief where the wires leave: two slots beside the marked place, one on either side of the bundle. A cable tie
// goes down through one, along the copper side and up through the other, so that no pull reaches the soldered pads.

import type { FacePoint } from "../0-ground/geometry/point.ts"
import { boundingBox, contains } from "../0-ground/geometry/polygon.ts"
import { pointToSegment } from "../0-ground/geometry/segment.ts"
import type { Mm } from "../0-ground/units/brand.ts"

export interface ReliefAsk {
  /** The board's edge, the place the wires leave at, and what stands in the way, all in face coordinates. */
  readonly ring: readonly FacePoint[]
  /** The edge with its notches, where it has any. */
  readonly edge?: readonly FacePoint[]
  readonly at: FacePoint
  readonly taken: readonly { readonly x: Mm; readonly y: Mm; readonly radius: Mm }[]
  readonly wires: number
  readonly router: Mm
}

export interface ReliefSlot {
  readonly from: FacePoint
  readonly to: FacePoint
  readonly width: Mm
}

/** Cable tie 2.5 mm wide and about 1.1 mm thick, the smallest common size (common practice, no source). */
const tie = { width: 2.5, thickness: 1.1 }
/** Outer diameter of a bundled wire, mm, on the thick side of thin-wall 0.75 mm² (ISO 6722, from memory). */
const wire = 2
/** Board left between a slot and the edge, mm. */
const web = 2.5
/** Board left between a slot and a screw's or LED's own room, mm. */
const beside = 0.8
/** How far from the marked place the slots may move along and away from the edge, mm. */
const reach = { along: 20, inward: 8 }

/** The nearest pair that fits, or undefined. */
export function reliefSlots(ask: ReliefAsk): readonly [ReliefSlot, ReliefSlot] | undefined {
  const { ring, at, wires, router } = ask
  const edge = nearestEdge(ring, at)
  if (!edge) return undefined
  const width = Math.max(tie.thickness + 0.4, router + 0.1)
  const long = Math.max(0, tie.width + 0.5 - width)
  // Round wires packed in a round bundle fill about two thirds of it.
  const bundle = wire * Math.sqrt(Math.max(1, wires) / 0.66)
  const apart = Math.min(bundle, 12) + width
  const { foot, inward } = edge
  const [ux, uy] = inward
  for (const { along, away } of byDistance()) {
    const depth = web + width / 2 + away
    const slot = (side: number): ReliefSlot => {
      const s = along + (side * apart) / 2
      const p = (d: number) => ({ x: round(foot.x + ux * d + uy * s), y: round(foot.y + uy * d - ux * s) })
      return { from: p(depth), to: p(depth + long), width }
    }
    const pair = [slot(-1), slot(1)] as const
    if (pair.every((s) => stands(ask, s))) return pair
  }
  return undefined
}

/** Places to try, nearest first; of equals the one nearer to the edge. */
function byDistance() {
  const places: { readonly along: number; readonly away: number }[] = []
  for (let away = 0; away <= reach.inward; away += 0.5)
    for (let k = 0; k <= 2 * reach.along; k++)
      places.push({ along: (k % 2 === 1 ? 1 : -1) * Math.ceil(k / 2), away })
  return places.sort((a, b) => Math.hypot(a.along, a.away) - Math.hypot(b.along, b.away))
}

function stands(
  { ring: whole, edge: ring = whole, taken }: ReliefAsk,
  { from, to, width }: ReliefSlot,
): boolean {
  if (!contains(ring, from) || !contains(ring, to)) return false
  for (const [i, a] of ring.entries()) {
    const b = ring[(i + 1) % ring.length]!
    if (Math.min(pointToSegment(from, a, b), pointToSegment(to, a, b)) < web + width / 2 - 1e-9) return false
    // A corner of the edge may poke at the slot's side.
    if (pointToSegment(a, from, to) < web + width / 2 - 1e-9) return false
  }
  return taken.every((t) => pointToSegment(t, from, to) >= t.radius + width / 2 + beside)
}

function nearestEdge(ring: readonly FacePoint[], p: FacePoint) {
  let best: { d: number; foot: FacePoint; inward: readonly [number, number] } | undefined
  for (const [i, a] of ring.entries()) {
    const b = ring[(i + 1) % ring.length]!
    const length = Math.hypot(b.x - a.x, b.y - a.y)
    if (length === 0) continue
    const t = Math.max(0, Math.min(1, ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / length ** 2))
    const foot = { x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) }
    const d = Math.hypot(p.x - foot.x, p.y - foot.y)
    if (best && d >= best.d - 1e-9) continue
    const n = [-(b.y - a.y) / length, (b.x - a.x) / length] as const
    const e = 1e-3 * Math.max(1, boundingBox(ring).maxX - boundingBox(ring).minX)
    const inside = contains(ring, { x: foot.x + n[0] * e, y: foot.y + n[1] * e })
    best = { d, foot, inward: inside ? n : [-n[0], -n[1]] }
  }
  return best
}

const round = (v: number): number => Math.round(v * 1000) / 1000
