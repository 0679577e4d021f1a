// One net through free copper: best-first search on the grid, growing a tree until all lands of the net hang on it.
// A wire link is travel on four further layers, one for each axis, so that it is straight by construction;
// getting on and off costs half a link each and needs room for its land.

import type { Point } from "../0-ground/geometry/point.ts"
import type { NetPlan } from "./board-problem.ts"
import { dirX, dirY, FREE, type RouteGrid } from "./route-grid.ts"
import { gridStep, linkLength } from "./route-task.ts"

export interface GridRoute {
  readonly net: number
  /** Copper paths as grid points; a path of one point joins nothing but marks a start. */
  readonly paths: readonly Int32Array[]
  /** Pairs of grid points. */
  readonly links: readonly (readonly [number, number])[]
  readonly complete: boolean
}

export interface SearchMode {
  /** Other nets may be crossed at this factor per net; absent: never. */
  readonly overlap?: number
  /** Cost of a link in mm of track; absent: no links. */
  readonly linkCost?: number
  /** Connections to make first, without links, each near its line; keeping off it costs more. */
  readonly plan?: NetPlan
  /** Only those. */
  readonly planOnly?: boolean
}

interface Piece {
  readonly lands: number[]
  readonly points: number[]
}

interface Found {
  readonly paths: Int32Array[]
  readonly links: (readonly [number, number])[]
  readonly land: number
}

/** Price of a step by how many grid steps it is off the guide; beyond these the last counts. */
const offGuide = [1, 1.04, 1.12, 1.25, 1.4, 1.6, 2.2]

const diagonal = gridStep * Math.SQRT2
const leastSteps = (axis: number) => Math.ceil(linkLength.least / (axis % 2 ? diagonal : gridStep) - 1e-9)
const mostSteps = (axis: number) => Math.floor(linkLength.greatest / (axis % 2 ? diagonal : gridStep))

const SOURCE = 8
const BOARDED = 9
const ON_PLUS = 10
const ON_MINUS = 11
const LEFT = 12

/** Holds the scratch arrays of the search for one grid. */
export class NetSearch {
  readonly grid: RouteGrid
  /** Lasting memory of where nets fought, by point. */
  readonly history: Float32Array
  effort = 0
  private readonly cost: Float32Array
  private readonly seen: Int32Array
  private readonly from: Uint8Array
  private readonly run: Uint16Array
  private readonly goal: Int32Array
  private readonly ownLink: Uint8Array
  private readonly near: Float32Array
  private epoch = 0
  private heapKey = new Float64Array(1 << 14)
  private heapItem = new Int32Array(1 << 14)
  private heapSize = 0
  private readonly startsOf: Map<number, number[]>

  constructor(grid: RouteGrid) {
    this.grid = grid
    const n = grid.points
    this.history = new Float32Array(n)
    this.cost = new Float32Array(n * 5)
    this.seen = new Int32Array(n * 5)
    this.from = new Uint8Array(n * 5)
    this.run = new Uint16Array(n * 5)
    this.goal = new Int32Array(n).fill(-1)
    this.ownLink = new Uint8Array(n)
    this.near = new Float32Array(n).fill(1)
    this.startsOf = new Map()
    for (const [i, s] of grid.starts.entries())
      this.startsOf.set(s.net, [...(this.startsOf.get(s.net) ?? []), i])
  }

  /** Lands of a net, as indices into `grid.starts`. */
  lands(net: number): readonly number[] {
    return this.startsOf.get(net) ?? []
  }

  /** The net's own halos must not be on the maps while it is routed. */
  route(net: number, mode: SearchMode): GridRoute {
    const { grid } = this
    const lands = this.lands(net)
    const paths: Int32Array[] = []
    const links: (readonly [number, number])[] = []
    if (lands.length < 2) return { net, paths, links, complete: true }
    const at = new Map(lands.map((l) => [l, this.middle(l)]))
    // Pieces that hang together already: each with its lands and the points of its copper.
    const pieces = new Map<number, Piece>(
      lands.map((l) => [l, { lands: [l], points: [...grid.starts[l]!.points] }]),
    )
    const join = (a: Piece, b: Piece) => {
      for (const l of b.lands) {
        a.lands.push(l)
        pieces.set(l, a)
      }
      for (const p of b.points) a.points.push(p)
    }
    const keep = (found: Found, piece: Piece) => {
      for (const p of found.paths) {
        paths.push(p)
        for (const q of p) piece.points.push(q)
      }
      join(piece, pieces.get(found.land)!)
    }
    for (const { from, to, line } of mode.plan ?? []) {
      const a = lands[from]!
      const b = lands[to]!
      if (pieces.get(a) === pieces.get(b)) continue
      this.stampGuide(line)
      const found = this.search(net, pieces.get(a)!.points, new Set([b]), at.get(b)!, {
        ...(mode.overlap === undefined ? {} : { overlap: mode.overlap }),
      })
      this.near.fill(1)
      if (found) keep(found, pieces.get(a)!)
    }
    if (mode.planOnly)
      return { net, paths, links, complete: pieces.get(lands[0]!)!.lands.length === lands.length }

    // The rest grows from the piece with a land nearest to another piece's.
    let complete = true
    const linked: Int32Array[] = []
    const shut = new Set<number>()
    const nearest = (a: Piece, from: ReadonlySet<number>) => {
      let least = Number.POSITIVE_INFINITY
      let best = -1
      for (const o of from)
        for (const l of a.lands) {
          const d = octile(at.get(l)!, at.get(o)!)
          if (d < least) {
            least = d
            best = o
          }
        }
      return { least, best }
    }
    const others = (piece: Piece) => new Set(lands.filter((l) => pieces.get(l) !== piece && !shut.has(l)))
    let tree = pieces.get(lands[0]!)!
    let least = Number.POSITIVE_INFINITY
    for (const piece of new Set(pieces.values())) {
      const d = nearest(piece, others(piece)).least
      if (d < least) {
        least = d
        tree = piece
      }
    }
    for (;;) {
      const open = others(tree)
      if (open.size === 0) break
      const { best } = nearest(tree, open)
      let found = this.search(net, tree.points, open, at.get(best)!, mode)
      // Two links of one way may end too near to each other for their holes: the first then shuts the place.
      const shutFor: Int32Array[] = []
      while (found && shutFor.length < 4) {
        const near = this.tooNear(found.links)
        if (!near) break
        shutFor.push(this.blockOwnLink(near))
        found = this.search(net, tree.points, open, at.get(best)!, mode)
      }
      if (found && this.tooNear(found.links)) found = undefined
      for (const cells of shutFor) for (const p of cells) this.ownLink[p] = 0
      if (!found) {
        complete = false
        for (const l of pieces.get(best)!.lands) shut.add(l)
        continue
      }
      for (const l of found.links) {
        links.push(l)
        linked.push(this.blockOwnLink(l))
      }
      keep(found, tree)
    }
    for (const cells of linked) for (const p of cells) this.ownLink[p] = 0
    return { net, paths, links, complete }
  }

  /** A link that has another's end nearer than two lands may stand. */
  private tooNear(links: Found["links"]): Found["links"][number] | undefined {
    const { grid } = this
    const least = 2 * grid.linkRadius
    const far = (p: number, q: number) =>
      gridStep * Math.hypot(grid.xOf[p]! - grid.xOf[q]!, grid.yOf[p]! - grid.yOf[q]!)
    return links.find((l, i) =>
      links.some((m, j) => j > i && l.some((p) => m.some((q) => far(p, q) < least))),
    )
  }

  /** Marks the neighbourhood of the guide with its price; all else costs most. */
  private stampGuide(line: readonly Point[]): void {
    const { grid, near } = this
    const most = offGuide[offGuide.length - 1]!
    near.fill(most)
    const reach = offGuide.length - 2
    for (let i = 1; i < line.length; i++) {
      const a = line[i - 1]!
      const b = line[i]!
      const n = Math.max(1, Math.ceil(Math.hypot(b.x - a.x, b.y - a.y) / (0.8 * gridStep)))
      for (let k = 0; k <= n; k++) {
        const cx = Math.round((a.x + ((b.x - a.x) * k) / n) / gridStep)
        const cy = Math.round((a.y + ((b.y - a.y) * k) / n) / gridStep)
        for (let y = -reach; y <= reach; y++) {
          if (cy + y < 0 || cy + y >= grid.rows) continue
          for (let x = -reach; x <= reach; x++) {
            if (cx + x < 0 || cx + x >= grid.columns) continue
            const price = offGuide[Math.max(Math.abs(x), Math.abs(y))]!
            const p = (cy + y) * grid.columns + cx + x
            if (price < near[p]!) near[p] = price
          }
        }
      }
    }
  }

  private middle(land: number): { x: number; y: number } {
    const { grid } = this
    const s = grid.starts[land]!
    if (s.centre) return { x: s.centre.x / gridStep, y: s.centre.y / gridStep }
    let x = 0
    let y = 0
    for (const p of s.points) {
      x += p % grid.columns
      y += Math.floor(p / grid.columns)
    }
    return { x: x / s.points.length, y: y / s.points.length }
  }

  /** Keeps further links of the same net away from this one while the tree grows. */
  private blockOwnLink([a, b]: readonly [number, number]): Int32Array {
    const { grid } = this
    const cells: number[] = []
    for (const p of lineCells(grid.columns, a, b))
      for (let i = 0; i < grid.linkHalo.length; i += 2) {
        const q = offset(grid, p, grid.linkHalo[i]!, grid.linkHalo[i + 1]!)
        if (q >= 0 && !this.ownLink[q]) {
          this.ownLink[q] = 1
          cells.push(q)
        }
      }
    // A second land beside the first needs the room of two lands.
    for (const end of [a, b])
      for (let i = 0; i < grid.landingToLanding.length; i += 2) {
        const q = offset(grid, end, grid.landingToLanding[i]!, grid.landingToLanding[i + 1]!)
        if (q >= 0 && !this.ownLink[q]) {
          this.ownLink[q] = 1
          cells.push(q)
        }
      }
    return Int32Array.from(cells)
  }

  private search(
    net: number,
    tree: readonly number[],
    open: ReadonlySet<number>,
    target: { x: number; y: number },
    mode: SearchMode,
  ): Found | undefined {
    const { grid, cost, seen, from, run, goal, history, ownLink, near } = this
    const { columns, points: n, xOf, yOf } = grid
    const cls = grid.classOf[net]!
    const owner = grid.owner[cls]!
    const taken = grid.taken[cls]!
    const { takenLanding, takenLink, noLanding, noLink } = grid
    const soft = mode.overlap !== undefined
    const factor = mode.overlap ?? 0
    const halfLink = (mode.linkCost ?? 0) / 2
    const linking = mode.linkCost !== undefined
    const step = [0, 1, 2, 3, 4, 5, 6, 7].map((d) => (d % 2 ? diagonal : gridStep))
    const move = [0, 1, 2, 3, 4, 5, 6, 7].map((d) => dirY[d]! * columns + dirX[d]!)
    const epoch = ++this.epoch
    this.heapSize = 0
    for (const l of open) for (const p of grid.starts[l]!.points) goal[p] = l
    // The bound aims at the chosen land; another open land may be nearer, which only costs a little optimality.
    const slackCells = 4
    const bound = (p: number): number => {
      const dx = Math.abs(xOf[p]! - target.x)
      const dy = Math.abs(yOf[p]! - target.y)
      const d = Math.max(dx, dy) + (Math.SQRT2 - 1) * Math.min(dx, dy) - slackCells
      return d > 0 ? d * gridStep : 0
    }
    for (const p of tree) {
      if (seen[p] === epoch) continue
      const over = taken[p]!
      if (over > 0 && !soft) continue
      seen[p] = epoch
      cost[p] = gridStep * factor * over
      from[p] = SOURCE
      this.push(cost[p]! + bound(p), p)
    }
    let end = -1
    while (this.heapSize > 0) {
      const key = this.heapKey[0]!
      const s = this.pop()
      const layer = s < n ? 0 : Math.floor(s / n)
      const p = s - layer * n
      const c = cost[s]!
      const h = bound(p)
      if (key > c + h + (layer ? halfLink : 0) + 1e-4) continue
      this.effort++
      if (layer === 0) {
        if (goal[p]! >= 0) {
          end = p
          break
        }
        for (let d = 0; d < 8; d++) {
          const q = p + move[d]!
          if (q < 0 || q >= n) continue
          const own = d < 4 ? owner[p * 4 + d]! : owner[q * 4 + d - 4]!
          if (own !== FREE && own !== net) continue
          const over = taken[q]!
          if (over > 0 && !soft) continue
          const next = Math.fround(c + step[d]! * near[q]! * (1 + history[q]!) * (1 + factor * over))
          if (seen[q] === epoch && cost[q]! <= next) continue
          seen[q] = epoch
          cost[q] = next
          from[q] = d
          this.push(next + bound(q), q)
        }
        if (!linking || noLanding[p] || ownLink[p]) continue
        const over = takenLanding[p]!
        if (over > 0 && !soft) continue
        const next = Math.fround(c + halfLink * (1 + factor * over) * (1 + history[p]!))
        for (let axis = 0; axis < 4; axis++) {
          const q = p + (axis + 1) * n
          if (seen[q] === epoch && cost[q]! <= next) continue
          seen[q] = epoch
          cost[q] = next
          from[q] = BOARDED
          run[q] = 0
          this.push(next + h + halfLink, q)
        }
        continue
      }
      const axis = layer - 1
      const base = layer * n
      const steps = run[s]!
      const came = from[s]!
      if (steps < mostSteps(axis))
        for (let side = 0; side < 2; side++) {
          // A link goes on as it began.
          if (came === (side ? ON_PLUS : ON_MINUS)) continue
          const d = axis + 4 * side
          const x = xOf[p]! + dirX[d]!
          const q = p + move[d]!
          if (x < 0 || x >= columns || q < 0 || q >= n || noLink[q] || ownLink[q]) continue
          const over = takenLink[q]!
          if (over > 0 && !soft) continue
          const next = Math.fround(c + step[d]! * (1 + factor * over))
          const t = base + q
          if (seen[t] === epoch && cost[t]! <= next) continue
          seen[t] = epoch
          cost[t] = next
          from[t] = side ? ON_MINUS : ON_PLUS
          run[t] = steps + 1
          this.push(next + bound(q) + halfLink, t)
        }
      if (steps >= leastSteps(axis) && !noLanding[p] && !ownLink[p]) {
        const over = takenLanding[p]!
        if (over > 0 && !soft) continue
        const next = Math.fround(c + halfLink * (1 + factor * over) * (1 + history[p]!))
        if (seen[p] === epoch && cost[p]! <= next) continue
        seen[p] = epoch
        cost[p] = next
        from[p] = LEFT + axis
        this.push(next + h, p)
      }
    }
    const land = end >= 0 ? goal[end]! : -1
    for (const l of open) for (const p of grid.starts[l]!.points) goal[p] = -1
    if (end < 0) return undefined
    return { ...this.walkBack(end, move), land }
  }

  private walkBack(end: number, move: readonly number[]) {
    const { from } = this
    const n = this.grid.points
    const paths: Int32Array[] = []
    const links: (readonly [number, number])[] = []
    let current: number[] = [end]
    let p = end
    for (;;) {
      const how = from[p]!
      if (how === SOURCE) break
      if (how < 8) {
        p -= move[how]!
        current.push(p)
        continue
      }
      const axis = how - LEFT
      const exit = p
      let s = p + (axis + 1) * n
      while (from[s] !== BOARDED) s -= from[s] === ON_PLUS ? move[axis]! : move[axis + 4]!
      p = s - (axis + 1) * n
      paths.push(Int32Array.from(current.reverse()))
      links.push([p, exit])
      current = [p]
    }
    paths.push(Int32Array.from(current.reverse()))
    return { paths: paths.reverse(), links: links.reverse() }
  }

  private push(key: number, item: number): void {
    if (this.heapSize === this.heapItem.length) {
      const keys = new Float64Array(this.heapSize * 2)
      keys.set(this.heapKey)
      this.heapKey = keys
      const items = new Int32Array(this.heapSize * 2)
      items.set(this.heapItem)
      this.heapItem = items
    }
    const { heapKey, heapItem } = this
    let i = this.heapSize++
    while (i > 0) {
      const up = (i - 1) >> 1
      if (heapKey[up]! <= key) break
      heapKey[i] = heapKey[up]!
      heapItem[i] = heapItem[up]!
      i = up
    }
    heapKey[i] = key
    heapItem[i] = item
  }

  private pop(): number {
    const { heapKey, heapItem } = this
    const top = heapItem[0]!
    const size = --this.heapSize
    const key = heapKey[size]!
    const item = heapItem[size]!
    let i = 0
    for (;;) {
      let child = 2 * i + 1
      if (child >= size) break
      if (child + 1 < size && heapKey[child + 1]! < heapKey[child]!) child++
      if (heapKey[child]! >= key) break
      heapKey[i] = heapKey[child]!
      heapItem[i] = heapItem[child]!
      i = child
    }
    heapKey[i] = key
    heapItem[i] = item
    return top
  }
}

/** The point (dx, dy) away, or −1 off the grid. */
export function offset(grid: RouteGrid, p: number, dx: number, dy: number): number {
  const x = grid.xOf[p]! + dx
  const y = grid.yOf[p]! + dy
  return x < 0 || y < 0 || x >= grid.columns || y >= grid.rows ? -1 : y * grid.columns + x
}

/** Grid points of a straight link along one of the eight directions, both ends included. */
export function lineCells(columns: number, a: number, b: number): Int32Array {
  const ax = a % columns
  const ay = Math.floor(a / columns)
  const bx = b % columns
  const by = Math.floor(b / columns)
  const n = Math.max(Math.abs(bx - ax), Math.abs(by - ay))
  const out = new Int32Array(n + 1)
  for (let i = 0; i <= n; i++) {
    const x = ax + Math.sign(bx - ax) * i
    const y = ay + Math.sign(by - ay) * i
    out[i] = y * columns + x
  }
  return out
}

function octile(a: { x: number; y: number }, b: { x: number; y: number }): number {
  const dx = Math.abs(a.x - b.x)
  const dy = Math.abs(a.y - b.y)
  return Math.max(dx, dy) + (Math.SQRT2 - 1) * Math.min(dx, dy)
}
