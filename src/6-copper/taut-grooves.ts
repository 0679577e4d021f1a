// Grooves pulled taut: shorter cuts between the same pieces. A groove where two pieces are equally far wanders through
// open copper; there it may run straight as long as it keeps `spare` to all copper as drawn (or what it kept before,
// where that was less). No groove is moved across copper or across another groove, so what was parted stays parted.

import type { Point } from "../0-ground/geometry/point.ts"
import type { Work } from "../0-ground/progress.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { ClearanceIndex } from "./clearance-index.ts"
import type { CopperShapes } from "./copper-shapes.ts"
import type { Chain } from "./groove-chains.ts"

/** Passes over all points; each pass that shortens by less than `worthwhile` ends the work. */
const mostPasses = 120
/** mm */
const worthwhile = 0.1
/** How fine a move is searched: halvings of the way to the straight line. */
const halvings = 5
/** How often points are added where copper holds a groove back, and the shortest piece that is halved, mm. */
const refinings = 4
const shortest = 0.5
/** Points closer than this to the straight line are left alone, mm. */
const straight = 0.002

interface Web {
  readonly x: number[]
  readonly y: number[]
  /** Neighbours along the chains; two for a point within a chain, one for an end, three or more for a junction. */
  readonly next: number[][]
  /** Chain → its points in order. */
  readonly chains: number[][]
  /** Point → the chain it lies within; the seam of a closed chain and junctions belong to none (−1). */
  readonly owner: number[]
  readonly gone: number[]
}

/**
 * The chains with shorter ways between the same junctions and rims, junctions moved along.
 * `rim` is where chains leave the board; their ends slide along it.
 */
export function* tautGrooves(
  chains: readonly Chain[],
  shapes: CopperShapes,
  index: ClearanceIndex,
  spare: Mm,
  rim: readonly Point[],
): Work<Chain[]> {
  const web = weave(chains)
  const near = vertexGrid(web, 1)
  const active = web.x.map(() => 1)
  const held = new Set<number>()
  let refined = 0
  for (let pass = 0; pass < mostPasses; pass++) {
    let saved = 0
    for (let v = 0; v < web.x.length; v++) {
      if (web.gone[v] || !active[v]) continue
      active[v] = 0
      const n = web.next[v]!
      const won =
        n.length === 2
          ? straighten(v, n[0]!, n[1]!)
          : n.length === 1
            ? slide(v, n[0]!)
            : n.length > 2
              ? settle(v)
              : 0
      if (won < 0) held.add(v)
      if (won <= 0) continue
      saved += won
      if (!web.gone[v]) active[v] = 1
      for (const m of n) active[m] = 1
    }
    yield { stage: "grooves", done: pass / mostPasses }
    if (saved >= worthwhile) continue
    // What copper holds back needs points to bend at.
    if (refined++ === refinings) break
    for (const v of held) if (!web.gone[v]) for (const m of [...web.next[v]!]) split(v, m)
    held.clear()
  }
  return chains.map((chain, c) => {
    const points = new Float64Array(2 * web.chains[c]!.length)
    web.chains[c]!.forEach((v, k) => {
      points[2 * k] = web.x[v]!
      points[2 * k + 1] = web.y[v]!
    })
    return { ...chain, points }
  })

  // Each move gives the length it won, 0 where there is nothing to win, −1 where something holds it back.

  /** A point within a groove towards the straight line between its neighbours; left out when that is free. */
  function straighten(v: number, a: number, b: number): number {
    const { x, y } = web
    if (a === b) return 0
    const lx = x[b]! - x[a]!
    const ly = y[b]! - y[a]!
    const l2 = lx * lx + ly * ly
    let t = l2 > 0 ? ((x[v]! - x[a]!) * lx + (y[v]! - y[a]!) * ly) / l2 : 0.5
    t = Math.min(0.9, Math.max(0.1, t))
    const gx = x[a]! + t * lx
    const gy = y[a]! + t * ly
    const off = Math.hypot(gx - x[v]!, gy - y[v]!)
    if (off < straight) return 0
    const before = span(v, a) + span(v, b)
    const floor = Math.min(kept(x[v]!, y[v]!, a), kept(x[v]!, y[v]!, b))
    const fixed = web.owner[v]! < 0 || web.next[a]!.includes(b)
    if (
      !fixed &&
      index.clearance(x[a]!, y[a]!, x[b]!, y[b]!, spare) >= floor &&
      clean(v, a, b, x[v]!, y[v]!)
    ) {
      drop(v, a, b)
      return before - span(a, b)
    }
    let part = 1
    for (let k = 0; k < halvings; k++) {
      part /= 2
      const px = x[v]! + part * (gx - x[v]!)
      const py = y[v]! + part * (gy - y[v]!)
      if (kept(px, py, a) < floor || kept(px, py, b) < floor) continue
      if (!swept(v, [a, b], px, py)) continue
      move(v, px, py)
      return before - span(v, a) - span(v, b)
    }
    return -1
  }

  /** A junction towards the point with the shortest way to its neighbours, by the pull of unit forces. */
  function settle(v: number): number {
    const { x, y } = web
    const n = web.next[v]!
    let fx = 0
    let fy = 0
    let least = Number.POSITIVE_INFINITY
    let before = 0
    for (const m of n) {
      const d = span(v, m)
      before += d
      if (d < 1e-9) continue
      fx += (x[m]! - x[v]!) / d
      fy += (y[m]! - y[v]!) / d
      least = Math.min(least, d)
    }
    const force = Math.hypot(fx, fy)
    if (!(force > 0.02) || !Number.isFinite(least)) return 0
    const floor = Math.min(...n.map((m) => kept(x[v]!, y[v]!, m)))
    let reach = Math.min(1, 0.8 * least)
    for (let k = 0; k < halvings + 2; k++, reach /= 2) {
      const px = x[v]! + (reach * fx) / force
      const py = y[v]! + (reach * fy) / force
      const after = n.reduce((s, m) => s + Math.hypot(x[m]! - px, y[m]! - py), 0)
      if (after > before - 1e-4) continue
      if (n.some((m) => kept(px, py, m) < floor) || !swept(v, n, px, py)) continue
      move(v, px, py)
      return before - after
    }
    return -1
  }

  /** An end at the rim towards the place nearest to its neighbour. */
  function slide(v: number, a: number): number {
    const { x, y } = web
    const foot = onRim(rim, x[a]!, y[a]!)
    if (!foot) return 0
    const before = span(v, a)
    const floor = kept(x[v]!, y[v]!, a)
    const sx = foot.x - x[v]!
    const sy = foot.y - y[v]!
    const way = Math.hypot(sx, sy)
    if (way < 0.01) return 0
    let part = Math.min(1, 1 / way)
    for (let k = 0; k < halvings; k++, part /= 2) {
      const back = onRim(rim, x[v]! + part * sx, y[v]! + part * sy)!
      // A ring that comes back near itself must not be jumped across.
      if (Math.hypot(back.x - x[v]!, back.y - y[v]!) > 1.2 * part * way) continue
      const after = Math.hypot(back.x - x[a]!, back.y - y[a]!)
      if (after > before - 1e-4) continue
      if (kept(back.x, back.y, a) < floor || !swept(v, [a], back.x, back.y)) continue
      move(v, back.x, back.y)
      return before - after
    }
    return -1
  }

  /** A new point half way between two neighbours. */
  function split(v: number, m: number): void {
    if (span(v, m) < shortest) return
    const joins = (c: readonly number[]) => c.some((p, k) => p === v && (c[k - 1] === m || c[k + 1] === m))
    const known = Math.max(web.owner[v]!, web.owner[m]!)
    const chain = known >= 0 ? known : web.chains.findIndex(joins)
    const list = web.chains[chain]!
    const k = list.findIndex((p, i) => p === v && (list[i - 1] === m || list[i + 1] === m))
    const w = web.x.length
    web.x.push((web.x[v]! + web.x[m]!) / 2)
    web.y.push((web.y[v]! + web.y[m]!) / 2)
    web.next.push([v, m])
    web.owner.push(chain)
    web.gone.push(0)
    web.next[v]![web.next[v]!.indexOf(m)] = w
    web.next[m]![web.next[m]!.indexOf(v)] = w
    list.splice(list[k + 1] === m ? k + 1 : k, 0, w)
    active.push(1)
    active[v] = 1
    active[m] = 1
    near.put(w)
  }

  function span(v: number, m: number): number {
    return Math.hypot(web.x[v]! - web.x[m]!, web.y[v]! - web.y[m]!)
  }
  /** What the cut from (px, py) to point m keeps to copper, counted up to `spare`. */
  function kept(px: number, py: number, m: number): number {
    return index.clearance(px, py, web.x[m]!, web.y[m]!, spare)
  }
  function swept(v: number, n: readonly number[], px: number, py: number): boolean {
    return n.every((m) => empty(web.x[v]!, web.y[v]!, px, py, web.x[m]!, web.y[m]!, v, n))
  }
  function clean(v: number, a: number, b: number, px: number, py: number): boolean {
    return empty(px, py, web.x[a]!, web.y[a]!, web.x[b]!, web.y[b]!, v, [a, b])
  }
  /** No copper and no point of another groove within the triangle. */
  function empty(
    ax: number,
    ay: number,
    bx: number,
    by: number,
    cx: number,
    cy: number,
    v: number,
    own: readonly number[],
  ): boolean {
    const turn = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    if (Math.abs(turn) < 1e-9) return true
    const within = (x: number, y: number) => {
      const u = (bx - ax) * (y - ay) - (by - ay) * (x - ax)
      const w = (cx - bx) * (y - by) - (cy - by) * (x - bx)
      const t = (ax - cx) * (y - cy) - (ay - cy) * (x - cx)
      const e = 1e-9
      return turn > 0 ? u > -e && w > -e && t > -e : u < e && w < e && t < e
    }
    const box = {
      x0: Math.min(ax, bx, cx),
      x1: Math.max(ax, bx, cx),
      y0: Math.min(ay, by, cy),
      y1: Math.max(ay, by, cy),
    }
    if (near.some(box, (m) => m !== v && !own.includes(m) && within(web.x[m]!, web.y[m]!))) return false
    // All sides are clear of copper, so a shape lies within whole or not at all: one of its points tells.
    if (box.x1 - box.x0 < 0.3 && box.y1 - box.y0 < 0.3) return true
    const mx = (box.x0 + box.x1) / 2
    const my = (box.y0 + box.y1) / 2
    const around = Math.hypot(box.x1 - box.x0, box.y1 - box.y0) / 2
    return !index.near(mx, my, mx, my, around).some((s) => within(shapes.ax[s]!, shapes.ay[s]!))
  }
  function move(v: number, px: number, py: number): void {
    near.take(v)
    web.x[v] = px
    web.y[v] = py
    near.put(v)
  }
  function drop(v: number, a: number, b: number): void {
    near.take(v)
    web.gone[v] = 1
    web.next[a] = web.next[a]!.map((m) => (m === v ? b : m))
    web.next[b] = web.next[b]!.map((m) => (m === v ? a : m))
    const chain = web.chains[web.owner[v]!]!
    chain.splice(chain.indexOf(v), 1)
  }
}

function weave(chains: readonly Chain[]): Web {
  const x: number[] = []
  const y: number[] = []
  const next: number[][] = []
  const owner: number[] = []
  const junctions = new Map<number, number>()
  const add = (px: number, py: number, chain: number): number => {
    x.push(px)
    y.push(py)
    next.push([])
    owner.push(chain)
    return x.length - 1
  }
  const lists = chains.map(({ points, from, to }, c) => {
    const last = points.length / 2 - 1
    const end = (k: number, junction: number): number => {
      const known = junctions.get(junction)
      if (junction >= 0 && known !== undefined) return known
      const v = add(points[2 * k]!, points[2 * k + 1]!, -1)
      if (junction >= 0) junctions.set(junction, v)
      return v
    }
    const closed = from < 0 && to < 0 && points[0] === points[2 * last] && points[1] === points[2 * last + 1]
    const list = [end(0, from)]
    for (let k = 1; k < last; k++) list.push(add(points[2 * k]!, points[2 * k + 1]!, c))
    list.push(closed ? list[0]! : end(last, to))
    for (let k = 1; k < list.length; k++) {
      next[list[k - 1]!]!.push(list[k]!)
      next[list[k]!]!.push(list[k - 1]!)
    }
    return list
  })
  return { x, y, next, chains: lists, owner, gone: x.map(() => 0) }
}

interface Box {
  readonly x0: number
  readonly x1: number
  readonly y0: number
  readonly y1: number
}

/** The points of the web by square cells, kept up to date as they move. */
function vertexGrid(web: Web, size: number) {
  const cells = new Map<number, number[]>()
  const key = (i: number, j: number) => i * 100_003 + j
  const at = (v: number) => key(Math.floor(web.x[v]! / size), Math.floor(web.y[v]! / size))
  const put = (v: number) => {
    const list = cells.get(at(v))
    if (list) list.push(v)
    else cells.set(at(v), [v])
  }
  const take = (v: number) => {
    const list = cells.get(at(v))!
    list.splice(list.indexOf(v), 1)
  }
  const some = ({ x0, x1, y0, y1 }: Box, test: (v: number) => boolean): boolean => {
    for (let i = Math.floor(x0 / size); i <= Math.floor(x1 / size); i++)
      for (let j = Math.floor(y0 / size); j <= Math.floor(y1 / size); j++)
        if (cells.get(key(i, j))?.some(test)) return true
    return false
  }
  for (let v = 0; v < web.x.length; v++) put(v)
  return { put, take, some }
}

/** The place on the ring nearest to (x, y). */
function onRim(ring: readonly Point[], x: number, y: number): Point | undefined {
  let best: Point | undefined
  let least = Number.POSITIVE_INFINITY
  for (let i = 0; i < ring.length; i++) {
    const a = ring[i]!
    const b = ring[(i + 1) % ring.length]!
    const ux = b.x - a.x
    const uy = b.y - a.y
    const l2 = ux * ux + uy * uy
    const t = l2 > 0 ? Math.min(1, Math.max(0, ((x - a.x) * ux + (y - a.y) * uy) / l2)) : 0
    const px = a.x + t * ux
    const py = a.y + t * uy
    const d = (px - x) ** 2 + (py - y) ** 2
    if (d < least) {
      least = d
      best = { x: px, y: py }
    }
  }
  return best
}
