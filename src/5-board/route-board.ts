// Tracks and wire links for one board.
// Negotiation: every net may first cross others at a price that rises round by round, and places that were fought over
// stay dear (after McMurchie and Ebeling, ISFPGA 1995). Then what still conflicts is rerouted with crossing forbidden.
// Then each net that needed a link is routed once more without one, and whoever is in its way moves.

import type { Work } from "../0-ground/progress.ts"
import type { NetPlan } from "./board-problem.ts"
import { makeGrid, type RouteGrid } from "./route-grid.ts"
import { type GridRoute, lineCells, NetSearch, offset, type SearchMode } from "./route-net.ts"
import { gridStep, type NetRoute, type Routed, type RouteTask } from "./route-task.ts"

export interface RouteOptions {
  /** Bound on grid points looked at, over all phases. */
  readonly effort: number
  readonly rounds: number
  /** Links that are known to be needed: with no more than these the search ends. Default 0. */
  readonly needed?: number
  /** What a sketch found for each net; routed first, and before anything else. */
  readonly plans?: readonly NetPlan[]
}

export const usualRouting: RouteOptions = { effort: 6_000_000, rounds: 30 }

/** Price of a link in mm of track: longer than any sensible detour on a hand-held lamp. */
const linkCost = 60

export function* routeBoard(task: RouteTask, options: RouteOptions = usualRouting): Work<Routed> {
  const grid = makeGrid(task)
  const search = new NetSearch(grid)
  const halos = new Halos(grid)
  const nets = [...task.halfWidth.keys()].filter((n) => search.lands(n).length > 1)
  const size = nets.map((n) => spread(search, n))
  const order = nets
    .map((_, i) => i)
    .sort((a, b) => size[a]! - size[b]! || a - b)
    .map((i) => nets[i]!)
  const state: State = {
    routes: new Map(),
    halos,
    search,
    banned: new Set(),
    plans: options.plans ?? [],
    planOnly: options.plans !== undefined,
  }

  yield { stage: "route", done: 0 }
  yield* negotiate(state, order, order, options, 0.5)
  if (state.planOnly) {
    // First only what the plan foresees; then whatever is open looks for a way of its own, with links.
    yield* legalise(state, order, options, false)
    state.planOnly = false
  }
  yield { stage: "route", done: 0.4 }
  yield* legalise(state, order, options, true)
  yield { stage: "route", done: 0.6 }
  yield* improve(state, order, options)
  yield { stage: "route", done: 1 }
  return inMillimetres(task, state, grid)
}

interface State {
  routes: Map<number, GridRoute>
  readonly halos: Halos
  readonly search: NetSearch
  /** Nets that may not use links now. */
  readonly banned: Set<number>
  readonly plans: readonly NetPlan[]
  planOnly: boolean
}

const spent = (state: State, options: RouteOptions) => state.search.effort > options.effort

function put(state: State, route: GridRoute): void {
  state.routes.set(route.net, route)
  state.halos.add(route, 1)
}

function lift(state: State, net: number): GridRoute | undefined {
  const route = state.routes.get(net)
  if (route) state.halos.add(route, -1)
  state.routes.delete(net)
  return route
}

function modeFor(state: State, net: number, overlap: number | undefined): SearchMode {
  const plan = state.plans[net]
  return {
    ...(plan ? { plan } : {}),
    ...(state.planOnly ? { planOnly: true } : {}),
    ...(overlap === undefined ? {} : { overlap }),
    ...(state.banned.has(net) ? {} : { linkCost }),
  }
}

/** Routes `first` (all others stay) and goes on with whatever conflicts until nothing does or it stalls. True when clean. */
function* negotiate(
  state: State,
  order: readonly number[],
  first: readonly number[],
  options: RouteOptions,
  startFactor: number,
): Work<boolean> {
  let due = first
  let factor = startFactor
  let best = Number.POSITIVE_INFINITY
  let stale = 0
  for (let round = 0; round < options.rounds; round++) {
    for (const net of due) {
      lift(state, net)
      put(state, state.search.route(net, modeFor(state, net, factor)))
      yield { stage: "route", done: Math.min(0.4, (0.4 * round) / options.rounds) }
      if (spent(state, options) && round > 3) return false
    }
    const fights = order.filter((n) => conflicts(state, n) > 0)
    if (fights.length === 0) return true
    if (fights.length < best) {
      best = fights.length
      stale = 0
    } else if (++stale > 8) return false
    for (const net of fights) remember(state, net)
    due = fights
    factor = Math.min(factor * 1.5, 200)
  }
  return false
}

/** Ends with no conflict: the worst are lifted and routed again with crossing forbidden; what finds no way stays open. */
function* legalise(state: State, order: readonly number[], options: RouteOptions, push: boolean): Work<void> {
  const lifted: number[] = []
  if (push)
    for (const net of order)
      if (state.routes.get(net)?.complete === false) {
        lift(state, net)
        lifted.push(net)
      }
  for (;;) {
    let worst = -1
    let most = 0
    for (const net of order) {
      const c = state.routes.has(net) ? conflicts(state, net) : 0
      if (c > most) {
        most = c
        worst = net
      }
    }
    if (worst < 0) break
    lift(state, worst)
    lifted.push(worst)
  }
  let queue = lifted.reverse()
  const tries = new Map<number, number>()
  while (queue.length > 0) {
    const [net, ...rest] = queue
    queue = rest
    const route = state.search.route(net!, modeFor(state, net!, undefined))
    yield { stage: "route", done: 0.5 }
    if (route.complete) {
      put(state, route)
      continue
    }
    const tried = (tries.get(net!) ?? 0) + 1
    tries.set(net!, tried)
    if (!push || tried > 6 || state.search.effort > options.effort * 1.5) {
      put(state, route)
      continue
    }
    // Push in: cross at a price, lift whoever is crossed, and let them look for another way.
    const through = state.search.route(net!, modeFor(state, net!, 3 * tried))
    if (!through.complete) {
      put(state, route)
      continue
    }
    put(state, through)
    remember(state, net!)
    for (const other of order) {
      if (other === net || !state.routes.has(other)) continue
      if (conflicts(state, other) > 0) {
        lift(state, other)
        queue.push(other)
      }
    }
    if (conflicts(state, net!) > 0) throw new Error(`net ${net} still conflicts after all others were lifted`)
  }
}

/** Takes links away one net at a time; keeps a step when the whole board is no worse. */
function* improve(state: State, order: readonly number[], options: RouteOptions): Work<void> {
  let score = judge(state)
  const given = new Map<number, number>()
  for (let step = 0; step < 60 && score[0] + score[1] > (options.needed ?? 0); step++) {
    const linked = order
      .filter((n) => {
        const r = state.routes.get(n)!
        return (r.links.length > 0 || !r.complete) && (given.get(n) ?? 0) < 1
      })
      .sort((a, b) => (given.get(a) ?? 0) - (given.get(b) ?? 0) || a - b)
    const net = linked[0]
    if (net === undefined || spent(state, options)) return
    given.set(net, (given.get(net) ?? 0) + 1)
    const before = new Map(state.routes)
    const history = state.search.history.slice()
    if (state.routes.get(net)!.links.length > 0) state.banned.add(net)
    const clean = yield* negotiate(state, order, [net], { ...options, rounds: 14 }, 1)
    state.banned.clear()
    if (!clean) yield* legalise(state, order, options, true)
    const now = judge(state)
    if (worse(now, score)) {
      for (const n of order) {
        if (state.routes.get(n) === before.get(n)) continue
        lift(state, n)
        put(state, before.get(n)!)
      }
      state.search.history.set(history)
    } else {
      if (now[0] < score[0] || now[1] < score[1]) given.clear()
      score = now
    }
    yield { stage: "route", done: 0.6 + (0.4 * step) / 60 }
  }
}

/** Unrouted nets, links, copper length: lower is better, in this order. */
function judge(state: State): readonly [number, number, number] {
  let open = 0
  let links = 0
  let length = 0
  for (const r of state.routes.values()) {
    if (!r.complete) open++
    links += r.links.length
    for (const p of r.paths) length += p.length
  }
  return [open, links, length]
}

function worse(a: readonly number[], b: readonly number[]): boolean {
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return a[i]! > b[i]!
  return false
}

/** Points of the net's route that lie in another net's halo. */
function conflicts(state: State, net: number): number {
  const route = state.routes.get(net)
  if (!route) return 0
  const { grid } = state.search
  const taken = grid.taken[grid.classOf[net]!]!
  let count = 0
  for (const path of route.paths) for (const p of path) if (taken[p]! > 1) count++
  for (const [a, b] of route.links) {
    if (grid.takenLanding[a]! > 1) count++
    if (grid.takenLanding[b]! > 1) count++
    for (const p of lineCells(grid.columns, a, b)) if (grid.takenLink[p]! > 1) count++
  }
  return count
}

function remember(state: State, net: number): void {
  const route = state.routes.get(net)!
  const { grid, history } = state.search
  const taken = grid.taken[grid.classOf[net]!]!
  for (const path of route.paths)
    for (const p of path) if (taken[p]! > 1) history[p] = Math.min(history[p]! + 0.4, 20)
  for (const [a, b] of route.links) {
    if (grid.takenLanding[a]! > 1) history[a]! += 0.4
    if (grid.takenLanding[b]! > 1) history[b]! += 0.4
  }
}

/** Lays and lifts the halos of whole routes; each net counts once per point. */
class Halos {
  private readonly grid: RouteGrid
  private readonly mark: Int32Array
  private stamp = 0

  constructor(grid: RouteGrid) {
    this.grid = grid
    this.mark = new Int32Array(grid.points)
  }

  add(route: GridRoute, by: 1 | -1): void {
    const { grid } = this
    const cls = grid.classOf[route.net]!
    for (const [k, map] of grid.taken.entries()) {
      this.stamp++
      for (const path of route.paths) this.lay(map, path, grid.trackHalo[cls]![k]!, by)
      for (const ends of route.links) this.lay(map, ends, grid.landingToTrack[k]!, by)
    }
    this.stamp++
    for (const path of route.paths) this.lay(grid.takenLanding, path, grid.trackToLanding[cls]!, by)
    for (const ends of route.links) this.lay(grid.takenLanding, ends, grid.landingToLanding, by)
    this.stamp++
    for (const [a, b] of route.links)
      this.lay(grid.takenLink, lineCells(grid.columns, a, b), grid.linkHalo, by)
  }

  private lay(map: Uint8Array, points: ArrayLike<number>, halo: Int16Array, by: number): void {
    const { grid, mark, stamp } = this
    for (let k = 0; k < points.length; k++)
      for (let i = 0; i < halo.length; i += 2) {
        const q = offset(grid, points[k]!, halo[i]!, halo[i + 1]!)
        if (q < 0 || mark[q] === stamp) continue
        mark[q] = stamp
        map[q]! += by
      }
  }
}

function spread(search: NetSearch, net: number): number {
  const { grid } = search
  let minX = Number.POSITIVE_INFINITY
  let maxX = Number.NEGATIVE_INFINITY
  let minY = Number.POSITIVE_INFINITY
  let maxY = Number.NEGATIVE_INFINITY
  for (const l of search.lands(net)) {
    const p = grid.starts[l]!.points[0] ?? 0
    const x = p % grid.columns
    const y = Math.floor(p / grid.columns)
    minX = Math.min(minX, x)
    maxX = Math.max(maxX, x)
    minY = Math.min(minY, y)
    maxY = Math.max(maxY, y)
  }
  return maxX - minX + maxY - minY
}

function inMillimetres(task: RouteTask, state: State, grid: RouteGrid): Routed {
  const point = (p: number) => ({
    x: (p % grid.columns) * gridStep,
    y: Math.floor(p / grid.columns) * gridStep,
  })
  let links = 0
  let length = 0
  const unrouted: number[] = []
  const nets: NetRoute[] = task.halfWidth.map((_, net) => {
    const route = state.routes.get(net)
    if (!route) return { paths: [], links: [], complete: true }
    const centreAt = new Map<number, { x: number; y: number }>()
    for (const l of state.search.lands(net)) {
      const s = grid.starts[l]!
      if (s.centre) for (const p of s.points) centreAt.set(p, s.centre)
    }
    const paths = route.paths.map((path) => {
      const out = corners(grid.columns, path).map(point)
      const a = centreAt.get(path[0]!)
      const b = centreAt.get(path[path.length - 1]!)
      const whole = [...(a ? [a] : []), ...out, ...(b ? [b] : [])]
      return whole.filter(
        (p, i) => i === 0 || Math.hypot(p.x - whole[i - 1]!.x, p.y - whole[i - 1]!.y) > 1e-9,
      )
    })
    links += route.links.length
    for (const path of paths)
      for (let i = 1; i < path.length; i++)
        length += Math.hypot(path[i]!.x - path[i - 1]!.x, path[i]!.y - path[i - 1]!.y)
    if (!route.complete) unrouted.push(net)
    return {
      paths: paths.filter((p) => p.length > 1),
      links: route.links.map(([a, b]) => ({ from: point(a), to: point(b) })),
      complete: route.complete,
    }
  })
  return { nets, unrouted, links, length, effort: state.search.effort }
}

/** Only the points where a path turns, and its ends. */
function corners(columns: number, path: Int32Array): number[] {
  const out: number[] = []
  for (let i = 0; i < path.length; i++) {
    const straight = i > 0 && i + 1 < path.length && path[i + 1]! - path[i]! === path[i]! - path[i - 1]!
    if (!straight) out.push(path[i]!)
  }
  return columns > 0 ? out : []
}
