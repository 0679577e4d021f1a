// How many wire links no router can save with the parts where they stand: every net with lands on both sides of a
// straight line must cross it, and only so many tracks fit between what stands on the line. Topology alone never asks
// for a link (every land belongs to one net, so nets are stars and stars are planar): this is about room.

import type { Point } from "../0-ground/geometry/point.ts"
import type { RouteTask } from "./route-task.ts"

export interface LinkBound {
  readonly links: number
  /** Nets that must cross the line, and tracks of the least width that fit across it. */
  readonly nets: number
  readonly room: number
  readonly from: Point
  readonly to: Point
}

/** Directions of the lines looked at, degrees. */
const directions = [0, 45, 90, 135]

/**
 * The line that asks for most links; undefined where none asks for any. Never more than truly needed: a net with a
 * land on or near the line is not counted, and every track is taken to have the least width of all.
 */
export function linkBound(task: RouteTask): LinkBound | undefined {
  if (task.terminals || task.joined || task.halfWidth.length === 0) return undefined
  const half = Math.min(...task.halfWidth)
  const pitch = 2 * half + task.clearance
  let best: LinkBound | undefined
  for (const degrees of directions) {
    const n = { x: Math.cos((degrees * Math.PI) / 180), y: Math.sin((degrees * Math.PI) / 180) }
    const discs = discsAlong(task, n, half)
    for (const c of places(task, n)) {
      const found = acrossLine(task, discs, n, c, half, pitch)
      if (found && found.links > (best?.links ?? 0)) best = found
    }
  }
  return best
}

/** What blocks a line of one direction: discs told by how far they are along the normal and along the line. */
interface Discs {
  readonly across: Float64Array
  readonly along: Float64Array
  readonly reach: Float64Array
  /** Discs of each land: less than its stadium blocks, never more. */
  readonly each: number
  /** Of each land: its net, and how far along the normal its middle is. */
  readonly net: Int32Array
  readonly middle: Float64Array
}

function discsAlong({ lands, keepOuts, clearance }: RouteTask, n: Point, half: number): Discs {
  const each = 3
  const count = each * lands.length + keepOuts.length
  const across = new Float64Array(count)
  const along = new Float64Array(count)
  const reach = new Float64Array(count)
  let at = 0
  const add = (x: number, y: number, r: number) => {
    across[at] = x * n.x + y * n.y
    along[at] = y * n.x - x * n.y
    reach[at++] = r
  }
  for (const { ax, ay, bx, by, r } of lands) {
    const far = r + clearance + half
    add(ax, ay, far)
    add(bx, by, far)
    add((ax + bx) / 2, (ay + by) / 2, far)
  }
  for (const { x, y, r } of keepOuts) add(x, y, r + half)
  return {
    across,
    along,
    reach,
    each,
    net: Int32Array.from(lands, (l) => l.net),
    middle: Float64Array.from(lands, (l) => l.x * n.x + l.y * n.y),
  }
}

/** Where lines are worth a look: through the middles of lands, where they stand in each other's row, and between. */
function places({ lands }: RouteTask, n: Point): number[] {
  const at = [...new Set(lands.map((l) => Math.round((l.x * n.x + l.y * n.y) * 1e4) / 1e4))].sort(
    (a, b) => a - b,
  )
  return at.flatMap((c, i) => (i === 0 ? [c] : [(at[i - 1]! + c) / 2, c]))
}

function acrossLine(
  task: RouteTask,
  { across, along, reach, each, net, middle }: Discs,
  n: Point,
  c: number,
  half: number,
  pitch: number,
): LinkBound | undefined {
  const u = { x: -n.y, y: n.x }
  const side = new Uint8Array(task.halfWidth.length)
  const near = new Uint8Array(task.halfWidth.length)
  const blocked: [number, number][] = []
  for (let k = 0; k < across.length; k++) {
    const d = across[k]! - c
    const r = reach[k]!
    if (Math.abs(d) >= r) continue
    const chord = Math.sqrt(r * r - d * d)
    blocked.push([along[k]! - chord, along[k]! + chord])
    const of = k < each * net.length ? net[Math.floor(k / each)]! : -1
    if (of >= 0) near[of] = 1
  }
  for (let l = 0; l < net.length; l++) {
    const of = net[l]!
    if (of >= 0) side[of] = side[of]! | (middle[l]! < c ? 1 : 2)
  }
  let nets = 0
  for (let k = 0; k < side.length; k++) if (side[k] === 3 && near[k] === 0) nets++
  if (nets === 0) return undefined
  blocked.sort((a, b) => a[0] - b[0])
  let room = 0
  let [first, last] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (const [from, to] of inside(task.outline, n, c, u)) {
    first = Math.min(first, from)
    last = Math.max(last, to)
    let t = from + task.edge + half
    const end = to - task.edge - half
    for (const [a, b] of blocked) {
      if (a > end) break
      if (a >= t) room += tracksIn(a - t, pitch)
      t = Math.max(t, b)
    }
    if (end >= t) room += tracksIn(end - t, pitch)
  }
  const at = (t: number) => ({ x: c * n.x + t * u.x, y: c * n.y + t * u.y })
  return nets > room ? { links: nets - room, nets, room, from: at(first), to: at(last) } : undefined
}

/** Tracks side by side whose middles stand on a stretch of this length. */
const tracksIn = (length: number, pitch: number) => Math.floor(length / pitch + 1e-6) + 1

/** Stretches of the line inside the outline, as places along it. */
function inside(outline: readonly Point[], n: Point, c: number, u: Point): [number, number][] {
  const crossings: number[] = []
  outline.forEach((p, i) => {
    const q = outline[(i + 1) % outline.length]!
    const a = p.x * n.x + p.y * n.y - c
    const b = q.x * n.x + q.y * n.y - c
    // A corner on the line counts with the half plane above it: once for a side that goes through.
    if (a < 0 === b < 0) return
    const f = a / (a - b)
    crossings.push((p.x + f * (q.x - p.x)) * u.x + (p.y + f * (q.y - p.y)) * u.y)
  })
  crossings.sort((a, b) => a - b)
  const out: [number, number][] = []
  for (let i = 0; i + 1 < crossings.length; i += 2) out.push([crossings[i]!, crossings[i + 1]!])
  return out
}
