// Routes as a sketch: for each connection only which gaps it passes and beside whom, not where exactly.
// Every gap holds an ordered row of crossings and has room for so much copper; inside a triangle the crossings are
// joined by chords that never meet. A route that finds no way pushes others out at a price that rises with every
// time they were pushed, and these look for another way (rip-up and reroute). Hundreds of times cheaper than a grid.

import { Bins } from "../0-ground/geometry/bins.ts"
import type { Point } from "../0-ground/geometry/point.ts"
import { random } from "../0-ground/numbers/random.ts"
import { drawnApart, type RouteTask } from "./route-task.ts"
import { makeMesh, type SketchMesh } from "./sketch-mesh.ts"

/** A sketch as plain data; fits every mesh made from the same lands. */
export interface SketchPlan {
  readonly paths: readonly {
    readonly net: number
    readonly from: number
    readonly to: number
    readonly edges: readonly number[]
  }[]
  /** Edges with crossings: path and how manieth crossing of it, in the edge's own direction. */
  readonly rows: readonly (readonly [edge: number, row: readonly (readonly [path: number, at: number])[]])[]
}

/** A connection between two vertices: the triangles it runs through, and the edges between them. */
export interface SketchPath {
  readonly net: number
  readonly from: number
  readonly to: number
  readonly edges: readonly number[]
  /** One more than edges; a path along a mesh edge has none. */
  readonly triangles: readonly number[]
}

/** Connections of a net as lines; ends are told by their place among the net's lands. */
export type SketchLines = readonly {
  readonly from: number
  readonly to: number
  readonly line: readonly Point[]
}[]

export interface SketchResult {
  /** Connections still missing, over all nets. */
  readonly open: number
  /** Nets with connections missing. */
  readonly openNets: readonly number[]
  /** Length with crowding, mm. */
  readonly cost: number
}

/** Crossings an edge may hold. */
const most = 48
/** Price of pushing a connection out, mm, before it rises. */
const pushCost = 12
/** What a full gap costs a track that still fits, mm. */
const crowdCost = 2.5

interface Path extends SketchPath {
  readonly id: number
  readonly edges: number[]
  readonly triangles: number[]
  /** Crossing ids, one for each edge. */
  readonly crossings: number[]
}

interface Found {
  readonly from: number
  readonly to: number
  /** Nodes from the source on. */
  readonly nodes: readonly number[]
  readonly pushed: readonly number[]
}

interface Saved {
  readonly paths: ReadonlyMap<number, Path>
  readonly pathsOf: readonly ReadonlySet<number>[]
  readonly row: readonly (readonly number[])[]
  readonly load: Float64Array
  readonly along: Int32Array
  readonly crossPath: readonly number[]
  readonly crossAt: readonly number[]
  readonly crossNet: readonly number[]
  readonly freeCross: readonly number[]
}

const refill = (to: number[], from: readonly number[]): void => {
  to.length = 0
  for (const v of from) to.push(v)
}

/** Working arrays of the search, handed from sketch to sketch. */
class Scratch {
  cost = new Float64Array(0)
  seen = new Int32Array(0)
  done = new Int32Array(0)
  from = new Int32Array(0)
  came = new Int32Array(0)
  epoch = 0

  fit(nodes: number): void {
    if (this.cost.length >= nodes) return
    const n = Math.ceil(1.2 * nodes)
    this.cost = new Float64Array(n)
    this.seen = new Int32Array(n)
    this.done = new Int32Array(n)
    this.from = new Int32Array(n)
    this.came = new Int32Array(n)
    this.epoch = 0
  }
}

export class Sketch {
  readonly mesh: SketchMesh
  readonly nets: number
  private readonly task: RouteTask
  private readonly netVertices: number[][]
  private readonly paths = new Map<number, Path>()
  private readonly pathsOf: Set<number>[]
  private nextPath = 0
  /** [edge]: crossing ids in the edge's own direction. */
  private readonly row: number[][]
  private readonly load: Float64Array
  /** Width an edge has for tracks: its gap without one clearance, less what drawing found missing. */
  private readonly room: Float64Array
  private readonly tightened = new Map<number, number>()
  /** Lands joined by wire links, by net. */
  private readonly joined: (readonly [number, number])[][]
  /** Path that runs along an edge itself; −1: none. */
  private readonly along: Int32Array
  private readonly crossPath: number[] = []
  private readonly crossAt: number[] = []
  private readonly crossNet: number[] = []
  private readonly freeCross: number[] = []
  private readonly history: Float64Array
  private readonly pushes: Float64Array
  // Regions of each triangle, worked out when asked for after a change.
  private readonly fresh: Uint8Array
  private readonly regions: Int16Array[]
  private readonly touches: Uint8Array[]
  private readonly firstGap: Int32Array
  private readonly scratch: Scratch
  private heapKey = new Float64Array(4096)
  private heapItem = new Int32Array(4096)
  private heapSize = 0
  effort = 0

  /** `old`: a sketch whose working arrays this one may use from now on. */
  constructor(task: RouteTask, mesh = makeMesh(task), old?: Sketch) {
    this.task = task
    this.mesh = mesh
    this.nets = task.halfWidth.length
    this.netVertices = Array.from({ length: this.nets }, () => [])
    for (const [v, list] of mesh.nets.entries()) for (const n of list) this.netVertices[n]!.push(v)
    this.pathsOf = Array.from({ length: this.nets }, () => new Set())
    this.row = Array.from({ length: mesh.edges }, () => [])
    this.load = new Float64Array(mesh.edges)
    this.room = mesh.gap.map((g) => g - task.clearance - drawnApart + 1e-9)
    this.joined = Array.from({ length: this.nets }, () => [])
    for (const [a, b] of task.joined ?? []) this.joined[task.lands[a]!.net]!.push([a, b])
    this.along = new Int32Array(mesh.edges).fill(-1)
    this.history = new Float64Array(mesh.edges)
    this.pushes = new Float64Array(this.nets)
    const triangles = mesh.corner.length / 3
    this.fresh = new Uint8Array(triangles)
    this.regions = Array.from({ length: triangles }, () => nothing)
    this.touches = Array.from({ length: triangles }, () => none)
    this.firstGap = new Int32Array(mesh.corner.length)
    this.scratch = old?.scratch ?? new Scratch()
    this.scratch.fit(mesh.edges * most)
  }

  /** Takes over every connection of another sketch that still runs through the same gaps and still fits. */
  adopt(old: Sketch): void {
    const { mesh } = this
    const same = old.mesh.corner === mesh.corner
    const vertexOf = same ? undefined : matchVertices(old.mesh, mesh)
    const edgeFor = (e: number): number => {
      if (!vertexOf) return e
      const h = old.mesh.halfOf[e]!
      const a = vertexOf[old.mesh.corner[h]!]!
      const b = vertexOf[old.mesh.corner[next(h)]!]!
      return a < 0 || b < 0 ? -1 : this.edgeBetween(a, b)
    }
    const edge = Array.from({ length: old.mesh.edges }, (_, e) =>
      old.row[e]!.length > 0 || old.along[e]! >= 0 ? edgeFor(e) : -1,
    )
    const taken = new Map<number, number>()
    for (const p of old.paths.values()) {
      const from = vertexOf ? vertexOf[p.from]! : p.from
      const to = vertexOf ? vertexOf[p.to]! : p.to
      if (from < 0 || to < 0 || !mesh.nets[from]!.includes(p.net) || !mesh.nets[to]!.includes(p.net)) continue
      const id = this.nextPath
      if (p.edges.length === 0) {
        const e = edge[old.edgeBetween(p.from, p.to)]!
        if (e < 0) continue
        this.nextPath++
        this.paths.set(id, { id, net: p.net, from, to, edges: [], triangles: [], crossings: [] })
        this.pathsOf[p.net]!.add(id)
        this.along[e] = id
        continue
      }
      const edges = p.edges.map((e) => edge[e]!)
      if (edges.some((e) => e < 0)) continue
      const triangles = same ? [...p.triangles] : this.trianglesAlong(from, edges, to)
      if (!triangles) continue
      this.nextPath++
      const crossings = p.crossings.map((c, k) => {
        const own = this.crossPath.length
        this.crossPath.push(id)
        this.crossAt.push(k)
        this.crossNet.push(p.net)
        taken.set(c, own)
        return own
      })
      this.paths.set(id, { id, net: p.net, from, to, edges, triangles, crossings })
      this.pathsOf[p.net]!.add(id)
    }
    for (let e = 0; e < old.mesh.edges; e++) {
      const f = edge[e]!
      if (f < 0 || old.row[e]!.length === 0) continue
      const row = old.row[e]!.flatMap((c) => (taken.has(c) ? [taken.get(c)!] : []))
      const turned =
        vertexOf && vertexOf[old.mesh.corner[old.mesh.halfOf[e]!]!] !== mesh.corner[mesh.halfOf[f]!]
      this.row[f] = turned ? row.reverse() : row
      this.load[f] = this.loadOf(f)
    }
    for (const [e, lack] of old.tightened) {
      const f = edgeFor(e)
      if (f < 0) continue
      this.room[f] = this.room[f]! - lack
      this.tightened.set(f, lack)
    }
    for (let n = 0; n < this.nets; n++) this.pushes[n] = 0.5 * old.pushes[n]!
    // What no longer fits goes, and what would cross something running along an edge.
    for (let e = 0; e < mesh.edges; e++) {
      while (this.row[e]!.length > 0 && (this.along[e]! >= 0 || this.load[e]! > this.room[e]!)) this.thin(e)
    }
  }

  /** Takes a connection out of a full edge. */
  private thin(e: number): void {
    const c = this.row[e]![Math.floor(this.row[e]!.length / 2)]!
    this.remove(this.paths.get(this.crossPath[c]!)!)
  }

  /** The sketch as plain data. */
  snapshot(): SketchPlan {
    const paths = [...this.paths.values()]
    const place = new Map(paths.map((p, i) => [p.id, i]))
    return {
      paths: paths.map(({ net, from, to, edges }) => ({ net, from, to, edges })),
      rows: this.row.flatMap((row, e) =>
        row.length === 0
          ? []
          : [
              [
                e,
                row.map((c): [number, number] => [place.get(this.crossPath[c]!)!, this.crossAt[c]!]),
              ] as const,
            ],
      ),
    }
  }

  /** Takes up a snapshot of a sketch of the same lands; false, and nothing is taken up, when it does not fit. */
  takeUp(plan: SketchPlan): boolean {
    const { mesh } = this
    const known = plan.paths.map(({ net, from, to, edges }): Path | undefined => {
      if (edges.some((e) => e >= mesh.edges)) return undefined
      if (!mesh.nets[from]?.includes(net) || !mesh.nets[to]?.includes(net)) return undefined
      if (edges.length === 0 && this.edgeBetween(from, to) < 0) return undefined
      const triangles = edges.length === 0 ? [] : this.trianglesAlong(from, edges, to)
      return triangles && { id: this.nextPath++, net, from, to, edges: [...edges], triangles, crossings: [] }
    })
    if (known.some((p) => !p)) return false
    for (const p of known as Path[]) {
      this.paths.set(p.id, p)
      this.pathsOf[p.net]!.add(p.id)
      if (p.edges.length === 0) this.along[this.edgeBetween(p.from, p.to)] = p.id
      for (const k of p.edges.keys()) {
        p.crossings.push(this.crossPath.length)
        this.crossPath.push(p.id)
        this.crossAt.push(k)
        this.crossNet.push(p.net)
      }
    }
    for (const [e, row] of plan.rows) {
      this.row[e] = row.map(([i, k]) => known[i]!.crossings[k]!)
      this.load[e] = this.loadOf(e)
    }
    this.fresh.fill(0)
    return true
  }

  /**
   * A connection could not be drawn for want of room near (x, y): the fullest gap it passes there is made narrower by
   * `lack` for good, and what no longer fits is taken out.
   */
  tighten(path: SketchPath, x: number, y: number, lack: number): void {
    let worst = -1
    let most = Number.NEGATIVE_INFINITY
    for (const [k, e] of path.edges.entries()) {
      const at = this.crossingPoint(e, this.row[e]!.indexOf((path as Path).crossings[k]!))
      const far = Math.hypot(at.x - x, at.y - y)
      const spare = this.room[e]! - this.load[e]!
      if (far < 4 && -spare - 0.3 * far > most) {
        most = -spare - 0.3 * far
        worst = e
      }
    }
    if (worst < 0) return
    const less = this.room[worst]! - Math.min(this.room[worst]!, this.load[worst]!) + lack
    this.room[worst] = this.room[worst]! - less
    this.tightened.set(worst, (this.tightened.get(worst) ?? 0) + less)
    this.thin(worst)
  }

  stillHas(path: SketchPath): boolean {
    return this.paths.get((path as Path).id) === path
  }

  /**
   * Takes over the connections of a sketch whose lands are this one's first, by where their lines run: nothing turns
   * to another way though the triangles are others. `plans`: the old sketch's, where they are known already.
   */
  retrace(old: Sketch, plans = old.plans()): void {
    const { mesh } = this
    const { corner, halfOf, x, y } = mesh
    const a = Int32Array.from(halfOf, (h) => corner[h]!)
    const b = Int32Array.from(halfOf, (h) => corner[next(h)]!)
    const at = (v: number) => (v < old.mesh.lands ? v : v - old.mesh.lands + mesh.lands)
    const placed: { c: number; u: number }[][] = Array.from({ length: mesh.edges }, () => [])
    const edges = new Bins(edgeCell)
    for (let e = 0; e < a.length; e++) {
      const v = a[e]!
      const w = b[e]!
      edges.put(
        e,
        Math.min(x[v]!, x[w]!),
        Math.min(y[v]!, y[w]!),
        Math.max(x[v]!, x[w]!),
        Math.max(y[v]!, y[w]!),
      )
    }
    for (let net = 0; net < this.nets; net++) {
      const lines = plans[net]!
      let i = 0
      for (const p of old.connections(net)) {
        const { line } = lines[i++]!
        const from = at(p.from)
        const to = at(p.to)
        const id = this.nextPath
        const met =
          line.length === 2 && this.edgeBetween(from, to) >= 0
            ? []
            : crossingsOf(line, from, to, edges, a, b, x, y)
        const passed = met.map((m) => m.e)
        const triangles = passed.length === 0 ? [] : this.trianglesAlong(from, passed, to)
        if (!triangles || (passed.length === 0 && this.edgeBetween(from, to) < 0)) continue
        this.nextPath++
        const crossings = met.map(({ e, u }, k) => {
          const c = this.crossPath.length
          this.crossPath.push(id)
          this.crossAt.push(k)
          this.crossNet.push(net)
          placed[e]!.push({ c, u })
          return c
        })
        this.paths.set(id, { id, net, from, to, edges: passed, triangles, crossings })
        this.pathsOf[net]!.add(id)
        if (passed.length === 0) this.along[this.edgeBetween(from, to)] = id
      }
      this.pushes[net] = 0.5 * old.pushes[net]!
    }
    for (const [e, list] of placed.entries()) {
      this.row[e] = list.sort((p, q) => p.u - q.u || p.c - q.c).map(({ c }) => c)
      this.load[e] = this.loadOf(e)
    }
    for (let e = 0; e < mesh.edges; e++)
      while (this.row[e]!.length > 0 && (this.along[e]! >= 0 || this.load[e]! > this.room[e]!)) this.thin(e)
  }

  private trianglesAlong(from: number, edges: readonly number[], to: number): number[] | undefined {
    const { halfOf, twin, corner } = this.mesh
    const out: number[] = []
    for (let k = 0; k <= edges.length; k++) {
      let found = -1
      const e = edges[Math.min(k, edges.length - 1)]!
      for (const h of [halfOf[e]!, twin[halfOf[e]!]!]) {
        if (h < 0) continue
        const t = Math.floor(h / 3)
        if (
          k === 0
            ? corner[prev(h)] === from
            : k === edges.length
              ? corner[prev(h)] === to
              : this.hasEdge(t, edges[k - 1]!)
        )
          if (k === 0 || t !== out[k - 1]) found = t
      }
      if (found < 0) return undefined
      out.push(found)
    }
    return out
  }

  private hasEdge(t: number, e: number): boolean {
    const { edgeOf } = this.mesh
    return edgeOf[3 * t] === e || edgeOf[3 * t + 1] === e || edgeOf[3 * t + 2] === e
  }

  /** Routes everything not yet routed; at most `pushes` connections are pushed out on the way. */
  run(pushes: number, seed: number): SketchResult {
    const rnd = random(seed)
    const span = this.netVertices.map((_, n) => this.spread(n))
    let queue = Array.from({ length: this.nets }, (_, n) => n)
      .filter((n) => this.pieces(n) > 1)
      .map((n) => ({ n, key: span[n]! * (0.9 + 0.2 * rnd.next()) }))
      .sort((a, b) => a.key - b.key || a.n - b.n)
      .map(({ n }) => n)
    const waiting = new Set(queue)
    let left = pushes
    let given: number[] = []
    let best = this.missing()
    // Never worse than it was.
    let saved = pushes > 0 && best > 0 && best < 12 && queue.length > 0 ? this.save() : undefined
    let passed = false
    while (queue.length > 0) {
      const net = queue[0]!
      queue = queue.slice(1)
      waiting.delete(net)
      const pushed = this.connect(net, left > 0)
      if (pushed === undefined) given.push(net)
      else {
        left -= pushed.length
        for (const n of pushed)
          if (!waiting.has(n)) {
            waiting.add(n)
            queue.push(n)
          }
      }
      passed ||= left < pushes && queue.length < 8
      if (!passed) continue
      const missing = this.missing()
      if (missing < best) {
        best = missing
        saved = this.save()
      }
      // What was given up early may find a way now.
      if (queue.length === 0 && left > 0 && given.length > 0 && missing > 0) {
        left -= 5
        queue = given
        for (const n of given) waiting.add(n)
        given = []
      }
    }
    if (saved && best < this.missing()) this.restore(saved)
    // What found no way may find one now.
    for (let n = 0; n < this.nets; n++) if (this.pieces(n) > 1) this.connect(n, false)
    return this.result()
  }

  /** Joins a net up whoever must go for it; these then take what ways are left. */
  force(net: number): SketchResult {
    this.connect(net, true)
    return this.run(0, 1)
  }

  /** Connections not made. */
  private missing(): number {
    let count = 0
    for (let n = 0; n < this.nets; n++) if (this.netVertices[n]!.length > 0) count += this.pieces(n) - 1
    return count
  }

  /** Pieces a net is in; no connection ever joins what is joined. */
  private pieces(net: number): number {
    return this.netVertices[net]!.length - this.pathsOf[net]!.size - this.joined[net]!.length
  }

  private save(): Saved {
    return {
      paths: new Map(this.paths),
      pathsOf: this.pathsOf.map((s) => new Set(s)),
      row: this.row.map((r) => (r.length === 0 ? empty : r.slice())),
      load: this.load.slice(),
      along: this.along.slice(),
      crossPath: this.crossPath.slice(),
      crossAt: this.crossAt.slice(),
      crossNet: this.crossNet.slice(),
      freeCross: this.freeCross.slice(),
    }
  }

  private restore(s: Saved): void {
    this.paths.clear()
    for (const [id, p] of s.paths) this.paths.set(id, p)
    for (const [n, ids] of s.pathsOf.entries()) this.pathsOf[n] = new Set(ids)
    for (const [e, r] of s.row.entries()) this.row[e] = r.slice()
    this.load.set(s.load)
    this.along.set(s.along)
    refill(this.crossPath, s.crossPath)
    refill(this.crossAt, s.crossAt)
    refill(this.crossNet, s.crossNet)
    refill(this.freeCross, s.freeCross)
    this.fresh.fill(0)
  }

  result(): SketchResult {
    let open = 0
    const openNets: number[] = []
    for (let n = 0; n < this.nets; n++) {
      const parts = this.pieces(n)
      if (this.netVertices[n]!.length > 1 && parts > 1) {
        open += parts - 1
        openNets.push(n)
      }
    }
    let cost = 0
    for (const p of this.paths.values()) cost += this.pathCost(p)
    return { open, openNets, cost }
  }

  /** Connections of a net as they stand. */
  *connections(net: number): Iterable<SketchPath> {
    for (const id of this.pathsOf[net]!) yield this.paths.get(id)!
  }

  /**
   * The connections of a net as lines through the middles of what room they have; lines of different nets never cross.
   */
  plan(net: number): SketchLines {
    const { x, y } = this.mesh
    const list = this.netVertices[net]!
    return [...this.pathsOf[net]!].map((id) => {
      const p = this.paths.get(id)!
      const between = p.edges.map((e, k) => this.crossingPoint(e, this.row[e]!.indexOf(p.crossings[k]!)))
      const line = [{ x: x[p.from]!, y: y[p.from]! }, ...between, { x: x[p.to]!, y: y[p.to]! }]
      return { from: list.indexOf(p.from), to: list.indexOf(p.to), line }
    })
  }

  /** Of every net. */
  plans(): SketchLines[] {
    return Array.from({ length: this.nets }, (_, net) => this.plan(net))
  }

  /**
   * A connection pulled taut through its gaps, in each of which it keeps to the stretch its neighbours leave it when
   * they are packed to either side. Lines of different nets never cross.
   */
  tautLine(path: SketchPath): Point[] {
    const { x, y, corner, halfOf } = this.mesh
    const p = path as Path
    const left: Point[] = []
    const right: Point[] = []
    for (const [k, e] of p.edges.entries()) {
      const [a, b] = this.stretch(e, this.row[e]!.indexOf(p.crossings[k]!))
      // Triangles run counter-clockwise: whoever leaves one over its half-edge has that half-edge's end on the left.
      const out = Math.floor(halfOf[e]! / 3) === p.triangles[k]
      left.push(out === this.turnsLeft ? b : a)
      right.push(out === this.turnsLeft ? a : b)
    }
    const from = { x: x[p.from]!, y: y[p.from]! }
    const to = { x: x[p.to]!, y: y[p.to]! }
    return corner.length > 0 ? funnel(from, left, right, to) : [from, to]
  }

  /** Whether the mesh's triangles run counter-clockwise. */
  private get turnsLeft(): boolean {
    const { x, y, corner } = this.mesh
    const [a, b, c] = [corner[0]!, corner[1]!, corner[2]!]
    return (x[b]! - x[a]!) * (y[c]! - y[a]!) - (y[b]! - y[a]!) * (x[c]! - x[a]!) > 0
  }

  /** Between which points of an edge its k-th crossing may lie with all others packed to the ends. */
  private stretch(e: number, k: number): [Point, Point] {
    const { halfOf, corner, x, y, r, length, gap } = this.mesh
    const row = this.row[e]!
    const net = this.crossNet[row[k]!]!
    const packed = (from: number, by: number): number => {
      let sum = 0
      let last = -1
      for (let i = from; i !== k; i += by) {
        const other = this.crossNet[row[i]!]!
        if (other !== last) sum += this.width(other)
        last = other
      }
      return (last === net ? sum - this.width(net) : sum) + this.width(net) - this.task.halfWidth[net]!
    }
    const h = halfOf[e]!
    const a = corner[h]!
    const b = corner[next(h)]!
    const l = length[e]!
    // A gap may be less than the distance of the rims here: it is then the outline that is near.
    const ra = Math.min(r[a]!, l / 2)
    const free = Math.max(0, Math.min(gap[e]!, l - ra))
    let lo = ra + packed(0, 1)
    let hi = ra + free - packed(row.length - 1, -1)
    if (lo > hi) lo = hi = (lo + hi) / 2
    const at = (d: number) => ({ x: x[a]! + ((x[b]! - x[a]!) * d) / l, y: y[a]! + ((y[b]! - y[a]!) * d) / l })
    return [at(lo), at(hi)]
  }

  private crossingPoint(e: number, k: number): Point {
    const { halfOf, corner, x, y, r, length, gap } = this.mesh
    const h = halfOf[e]!
    const a = corner[h]!
    const b = corner[next(h)]!
    const l = length[e]!
    const ra = Math.min(r[a]!, l / 2)
    const t = Math.min(1, (ra + (Math.max(0, gap[e]!) * (k + 1)) / (this.row[e]!.length + 1)) / l)
    return { x: x[a]! + (x[b]! - x[a]!) * t, y: y[a]! + (y[b]! - y[a]!) * t }
  }

  private spread(net: number): number {
    const { x, y } = this.mesh
    const list = this.netVertices[net]!
    let [x0, x1, y0, y1] = [1e9, -1e9, 1e9, -1e9]
    for (const v of list) {
      x0 = Math.min(x0, x[v]!)
      x1 = Math.max(x1, x[v]!)
      y0 = Math.min(y0, y[v]!)
      y1 = Math.max(y1, y[v]!)
    }
    return (x1 - x0 + y1 - y0) * (list.length > 4 ? 2 : 1)
  }

  /** Joins a net up; the nets of connections it pushed out, or undefined when some part of it stays open. */
  private connect(net: number, push: boolean): number[] | undefined {
    const out: number[] = []
    for (;;) {
      const parts = this.components(net)
      if (parts.length < 2) return out
      // Grow from the smallest part: its search stays short.
      parts.sort((a, b) => a.length - b.length || a[0]! - b[0]!)
      let found = this.search(net, parts[0]!, push)
      if (!found) return undefined
      if (found.pushed.length > 0) {
        for (const id of found.pushed) {
          const p = this.paths.get(id)
          if (!p) continue
          out.push(p.net)
          this.pushes[p.net]!++
          this.remove(p)
        }
        found = this.search(net, parts[0]!, false)
        if (!found) return undefined
      }
      const path = this.insert(net, found)
      // A route that passes one gap twice may be too much for it, though each pass alone would fit.
      if (path.edges.some((e) => this.load[e]! > this.room[e]! + 1e-6)) {
        this.remove(path)
        return undefined
      }
    }
  }

  /** Vertices of a net by what is joined. */
  components(net: number): number[][] {
    const list = this.netVertices[net]!
    const parent = list.map((_, i) => i)
    const find = (i: number): number => {
      let r = i
      while (parent[r] !== r) r = parent[r]!
      return r
    }
    for (const id of this.pathsOf[net]!) {
      const p = this.paths.get(id)!
      parent[find(list.indexOf(p.from))] = find(list.indexOf(p.to))
    }
    for (const [a, b] of this.joined[net]!) parent[find(list.indexOf(a))] = find(list.indexOf(b))
    const out = new Map<number, number[]>()
    for (const [i, v] of list.entries()) {
      const r = find(i)
      const part = out.get(r)
      if (part) part.push(v)
      else out.set(r, [v])
    }
    return [...out.values()]
  }

  private pathCost(p: Path): number {
    const { x, y } = this.mesh
    let sum = 0
    let px = x[p.from]!
    let py = y[p.from]!
    for (const [k, e] of p.edges.entries()) {
      const at = this.gapPoint(e, this.row[e]!.indexOf(p.crossings[k]!))
      sum += Math.hypot(at.x - px, at.y - py) + crowdCost * this.fill(e) ** 2
      px = at.x
      py = at.y
    }
    return sum + Math.hypot(x[p.to]! - px, y[p.to]! - py)
  }

  private fill(e: number): number {
    return Math.min(1, this.load[e]! / this.mesh.gap[e]!)
  }

  // ---- what stands where

  private insert(net: number, { from, to, nodes }: Found): Path {
    const id = this.nextPath++
    const edges: number[] = []
    const triangles: number[] = []
    const crossings: number[] = []
    const path: Path = { id, net, from, to, edges, triangles, crossings }
    this.paths.set(id, path)
    this.pathsOf[net]!.add(id)
    if (nodes.length === 0) {
      this.along[this.edgeBetween(from, to)] = id
      return path
    }
    const steps = nodes.map((node) => ({
      e: Math.floor(node / most),
      g: node % most,
      t: this.scratch.came[node]!,
    }))
    for (const s of steps) {
      triangles.push(s.t)
      edges.push(s.e)
      const c = this.freeCross.pop() ?? this.crossPath.length
      this.crossPath[c] = id
      this.crossAt[c] = edges.length - 1
      this.crossNet[c] = net
      crossings.push(c)
    }
    triangles.push(this.triangleAt(edges[edges.length - 1]!, to, triangles[triangles.length - 1]!))
    // From the highest gap down, so that an edge crossed twice keeps its counting.
    const order = steps.map((_, i) => i).sort((a, b) => steps[b]!.g - steps[a]!.g)
    for (const i of order) this.row[steps[i]!.e]!.splice(steps[i]!.g, 0, crossings[i]!)
    this.changed(path)
    return path
  }

  private remove(path: Path): void {
    this.paths.delete(path.id)
    this.pathsOf[path.net]!.delete(path.id)
    if (path.edges.length === 0) {
      this.along[this.edgeBetween(path.from, path.to)] = -1
      return
    }
    for (const [k, e] of path.edges.entries()) {
      const row = this.row[e]!
      row.splice(row.indexOf(path.crossings[k]!), 1)
      this.freeCross.push(path.crossings[k]!)
    }
    this.changed(path)
  }

  private changed(path: Path): void {
    for (const t of path.triangles) this.fresh[t] = 0
    for (const e of path.edges) {
      const h = this.mesh.halfOf[e]!
      this.fresh[Math.floor(h / 3)] = 0
      if (this.mesh.twin[h]! >= 0) this.fresh[Math.floor(this.mesh.twin[h]! / 3)] = 0
      this.load[e] = this.loadOf(e)
    }
  }

  private edgeBetween(a: number, b: number): number {
    const { outgoing, corner, edgeOf } = this.mesh
    for (const h of outgoing[a]!) {
      if (corner[next(h)] === b) return edgeOf[h]!
      if (corner[prev(h)] === b) return edgeOf[prev(h)]!
    }
    return -1
  }

  private triangleAt(e: number, v: number, not: number): number {
    const { halfOf, twin, corner } = this.mesh
    for (const h of [halfOf[e]!, twin[halfOf[e]!]!])
      if (h >= 0 && Math.floor(h / 3) !== not && corner[prev(h)] === v) return Math.floor(h / 3)
    throw new Error("a sketched path ends where it cannot")
  }

  /** Width taken on an edge by what crosses it, one clearance for each track; same nets side by side count once. */
  private loadOf(e: number): number {
    let sum = 0
    let last = -1
    for (const c of this.row[e]!) {
      const net = this.crossNet[c]!
      if (net !== last) sum += this.width(net)
      last = net
    }
    return sum
  }

  /** Room a track takes with its clearance to the next. */
  private width(net: number): number {
    return 2 * this.task.halfWidth[net]! + this.task.clearance + drawnApart
  }

  // ---- regions

  /** Gaps of a triangle in turn, each with the number of its region; regions with the corners they touch. */
  private regionsOf(t: number): void {
    if (this.fresh[t]) return
    this.fresh[t] = 1
    const { corner, edgeOf, halfOf } = this.mesh
    const items: number[] = []
    const start = [0, 0, 0]
    for (let i = 0; i < 3; i++) {
      const h = 3 * t + i
      start[i] = items.length
      this.firstGap[h] = items.length
      items.push(-1 - i)
      const e = edgeOf[h]!
      const row = this.row[e]!
      if (halfOf[e] === h) for (let k = 0; k < row.length; k++) items.push(row[k]!)
      else for (let k = row.length - 1; k >= 0; k--) items.push(row[k]!)
    }
    const n = items.length
    if (this.regions[t]!.length < n) {
      this.regions[t] = new Int16Array(n + 3)
      this.touches[t] = new Uint8Array(n + 3)
    }
    const region = this.regions[t]!
    const touch = this.touches[t]!
    // The other end of each crossing's chord: a place in the ring.
    const partner = new Int32Array(n).fill(-1)
    const chords: number[][] = [[], [], []]
    for (let k = 0; k < n; k++) {
      const c = items[k]!
      if (c < 0) continue
      const path = this.paths.get(this.crossPath[c]!)!
      const at = this.crossAt[c]!
      const back = path.triangles[at] === t
      const other = back ? at - 1 : at + 1
      if (other >= 0 && other < path.crossings.length) partner[k] = items.indexOf(path.crossings[other]!)
      else {
        const v = other < 0 ? path.from : path.to
        const i = corner[3 * t] === v ? 0 : corner[3 * t + 1] === v ? 1 : 2
        partner[k] = start[i]!
        chords[i]!.push(k)
      }
    }
    region.fill(-1, 0, n)
    let count = 0
    for (let g0 = 0; g0 < n; g0++) {
      if (region[g0]! >= 0) continue
      touch[count] = 0
      let g = g0
      do {
        region[g] = count
        const k = g + 1 === n ? 0 : g + 1
        const c = items[k]!
        if (c < 0) {
          const i = -1 - c
          touch[count]! |= 1 << i
          const own = this.ringOrder(chords[i]!, start[i]!, n)
          g = own.length > 0 ? own[own.length - 1]! : k
        } else {
          const q = partner[k]!
          if (items[q]! >= 0) g = q
          else {
            const i = -1 - items[q]!
            touch[count]! |= 1 << i
            const own = this.ringOrder(chords[i]!, start[i]!, n)
            const before = own.indexOf(k) - 1
            g = before >= 0 ? own[before]! : q
          }
        }
      } while (g !== g0)
      count++
    }
  }

  /** Chord ends in the order met going round from a corner. */
  private ringOrder(chords: number[], from: number, n: number): number[] {
    if (chords.length > 1) chords.sort((a, b) => ((a - from + n) % n) - ((b - from + n) % n))
    return chords
  }

  /** Region of gap g of an edge, seen from the triangle of half-edge h. */
  private regionAt(h: number, e: number, g: number): number {
    const at = this.mesh.halfOf[e] === h ? g : this.row[e]!.length - g
    return this.regions[Math.floor(h / 3)]![this.firstGap[h]! + at]!
  }

  // ---- search

  private readonly point = { x: 0, y: 0 }

  /** Where on its edge a gap (or the k-th crossing) about lies. */
  private gapPoint(e: number, g: number): { x: number; y: number } {
    const { halfOf, corner, x, y, r, length, gap } = this.mesh
    const h = halfOf[e]!
    const a = corner[h]!
    const b = corner[next(h)]!
    const l = length[e]!
    const ra = Math.min(r[a]!, l / 2)
    const t = Math.min(1, (ra + (Math.max(0, gap[e]!) * (g + 0.5)) / (this.row[e]!.length + 1)) / l)
    this.point.x = x[a]! + (x[b]! - x[a]!) * t
    this.point.y = y[a]! + (y[b]! - y[a]!) * t
    return this.point
  }

  private netAt(e: number, k: number): number {
    return this.crossNet[this.row[e]![k]!]!
  }

  private pushPrice(path: Path): number {
    return pushCost * (1 + 0.6 * this.pushes[path.net]!)
  }

  /** The price of going through gap g of edge e, or infinite; what has to be pushed out is told by `victims`. */
  private passPrice(net: number, e: number, g: number, push: boolean): number {
    const { mesh } = this
    const row = this.row[e]!
    if (mesh.twin[mesh.halfOf[e]!]! < 0 || row.length >= most - 2) return Number.POSITIVE_INFINITY
    let price = 0
    const owner = this.along[e]!
    if (owner >= 0) {
      const path = this.paths.get(owner)!
      if (!push || path.net === net) return Number.POSITIVE_INFINITY
      price += this.pushPrice(path)
    }
    const beside = (g > 0 && this.netAt(e, g - 1) === net) || (g < row.length && this.netAt(e, g) === net)
    if (beside) return price
    const room = this.room[e]!
    const own = this.width(net)
    if (own > room) return Number.POSITIVE_INFINITY
    if (row.length > 0 && this.load[e]! + this.added(net, e, g) > room) {
      if (!push) return Number.POSITIVE_INFINITY
      for (const id of this.crowd(net, e, g)) price += this.pushPrice(this.paths.get(id)!)
    }
    const full = Math.min(1, (this.load[e]! + own) / room)
    return price + crowdCost * full * full + this.history[e]!
  }

  /** Width one more track takes; between two tracks of one net it also parts these. */
  private added(net: number, e: number, g: number): number {
    const row = this.row[e]!
    const own = this.width(net)
    if (g === 0 || g === row.length) return own
    const left = this.netAt(e, g - 1)
    return left === this.netAt(e, g) ? own + this.width(left) : own
  }

  /** Paths to push out of a full edge: those nearest to the gap, cheapest side first, until there is room. */
  private crowd(net: number, e: number, g: number): number[] {
    const row = this.row[e]!
    const room = this.room[e]!
    const out: number[] = []
    let load = this.load[e]!
    let lo = g - 1
    let hi = g
    while (load > 0 && load + this.added(net, e, g) > room) {
      const a = lo >= 0 ? this.paths.get(this.crossPath[row[lo]!]!)! : undefined
      const b = hi < row.length ? this.paths.get(this.crossPath[row[hi]!]!)! : undefined
      const path = !b || (a && this.pushPrice(a) <= this.pushPrice(b)) ? a : b
      if (!path) break
      if (path === a) lo--
      else hi++
      if (out.includes(path.id)) continue
      out.push(path.id)
      load -= out.length === row.length ? load : this.width(path.net)
      if (out.length >= row.length) break
    }
    return out
  }

  private search(net: number, sources: readonly number[], push: boolean): Found | undefined {
    const { mesh } = this
    const { cost, seen, done, from, came } = this.scratch
    const { corner, twin, edgeOf, halfOf, outgoing, x, y } = mesh
    const epoch = ++this.scratch.epoch
    this.heapSize = 0
    const targets = this.netVertices[net]!.filter((v) => !sources.includes(v))
    const bound = (px: number, py: number): number => {
      let near = -1
      let least = Number.POSITIVE_INFINITY
      for (const v of targets) {
        const dx = x[v]! - px
        const dy = y[v]! - py
        const d = dx * dx + dy * dy
        if (d < least) {
          least = d
          near = v
        }
      }
      return near < 0 ? least : Math.hypot(x[near]! - px, y[near]! - py)
    }
    let best = Number.POSITIVE_INFINITY
    let bestFrom = -1
    let bestTo = -1
    const relax = (node: number, price: number, back: number, t: number, px: number, py: number) => {
      if (price >= best || (seen[node] === epoch && cost[node]! <= price + 1e-9)) return
      seen[node] = epoch
      cost[node] = price
      from[node] = back
      came[node] = t
      this.heapPush(price + bound(px, py), node)
    }
    for (const v of sources)
      for (const h of outgoing[v]!) {
        const t = Math.floor(h / 3)
        this.regionsOf(t)
        const bit = 1 << (h % 3)
        for (const d of [h, prev(h)]) {
          const u = corner[d === h ? next(h) : d]!
          if (!targets.includes(u)) continue
          const e = edgeOf[d]!
          let price = mesh.length[e]!
          if (this.along[e]! >= 0) continue
          if (this.row[e]!.length > 0) {
            if (!push) continue
            let own = false
            for (let k = 0; k < this.row[e]!.length; k++) {
              const p = this.paths.get(this.crossPath[this.row[e]![k]!]!)!
              if (p.net === net) own = true
              price += this.pushPrice(p)
            }
            if (own) continue
          }
          if (price < best) {
            best = price
            bestFrom = -1 - v
            bestTo = u
          }
        }
        const far = next(h)
        const e = edgeOf[far]!
        for (let g = 0; g <= this.row[e]!.length; g++) {
          if (!(this.touches[t]![this.regionAt(far, e, g)]! & bit)) continue
          const price = this.passPrice(net, e, g, push)
          if (price === Number.POSITIVE_INFINITY) continue
          const p = this.gapPoint(e, g)
          relax(e * most + g, price + Math.hypot(p.x - x[v]!, p.y - y[v]!), -1 - v, t, p.x, p.y)
        }
      }
    while (this.heapSize > 0) {
      if (this.heapKey[0]! >= best) break
      const node = this.heapPop()
      if (done[node] === epoch) continue
      done[node] = epoch
      this.effort++
      const e = Math.floor(node / most)
      const g = node - e * most
      const c = cost[node]!
      const at = this.gapPoint(e, g)
      const px = at.x
      const py = at.y
      for (let side = 0; side < 2; side++) {
        const h = side === 0 ? halfOf[e]! : twin[halfOf[e]!]!
        if (h < 0) continue
        const t = Math.floor(h / 3)
        if (came[node] === t) continue
        this.regionsOf(t)
        const r = this.regionAt(h, e, g)
        const v = corner[prev(h)]!
        if (this.touches[t]![r]! & (1 << (prev(h) % 3)) && targets.includes(v)) {
          const price = c + Math.hypot(x[v]! - px, y[v]! - py)
          if (price < best) {
            best = price
            bestFrom = node
            bestTo = v
          }
        }
        for (const d of [next(h), prev(h)]) {
          const f = edgeOf[d]!
          const m = this.row[f]!.length
          for (let g2 = 0; g2 <= m; g2++) {
            if (this.regionAt(d, f, g2) !== r) continue
            const into = f * most + g2
            if (done[into] === epoch) continue
            const price = this.passPrice(net, f, g2, push)
            if (price === Number.POSITIVE_INFINITY) continue
            const p = this.gapPoint(f, g2)
            const step = Math.hypot(p.x - px, p.y - py)
            relax(into, c + price + step, node, t, p.x, p.y)
          }
        }
      }
      if (!push) continue
      // Over a neighbour: it will have to go.
      for (const k of [g - 1, g]) {
        if (k < 0 || k >= this.row[e]!.length) continue
        const path = this.paths.get(this.crossPath[this.row[e]![k]!]!)!
        if (path.net === net) continue
        const into = e * most + (k < g ? g - 1 : g + 1)
        if (done[into] === epoch) continue
        const p = this.gapPoint(e, into - e * most)
        relax(into, c + this.pushPrice(path), node, came[node]!, p.x, p.y)
      }
    }
    if (best === Number.POSITIVE_INFINITY) return undefined
    const nodes: number[] = []
    let at = bestFrom
    while (at >= 0) {
      nodes.push(at)
      at = from[at]!
    }
    nodes.reverse()
    const pushed = push ? this.victims(net, nodes, -1 - at, bestTo) : []
    return { from: -1 - at, to: bestTo, nodes, pushed }
  }

  /** For each triangle the least price at which a track of the net gets there from some of its lands; pushing others out has its price. */
  reach(net: number, sources: readonly number[]): Float64Array {
    const { mesh } = this
    const { cost, seen, done } = this.scratch
    const { twin, edgeOf, halfOf, outgoing, x, y } = mesh
    const out = new Float64Array(mesh.corner.length / 3).fill(Number.POSITIVE_INFINITY)
    const epoch = ++this.scratch.epoch
    this.heapSize = 0
    const relax = (e: number, g: number, before: number, px: number, py: number) => {
      const node = e * most + g
      if (done[node] === epoch) return
      const pass = this.passPrice(net, e, g, true)
      if (pass === Number.POSITIVE_INFINITY) return
      const p = this.gapPoint(e, g)
      const price = before + pass + Math.hypot(p.x - px, p.y - py)
      if (seen[node] === epoch && cost[node]! <= price) return
      seen[node] = epoch
      cost[node] = price
      this.heapPush(price, node)
    }
    for (const v of sources)
      for (const h of outgoing[v]!) {
        const t = Math.floor(h / 3)
        this.regionsOf(t)
        out[t] = 0
        const far = next(h)
        const e = edgeOf[far]!
        for (let g = 0; g <= this.row[e]!.length; g++)
          if (this.touches[t]![this.regionAt(far, e, g)]! & (1 << (h % 3))) relax(e, g, 0, x[v]!, y[v]!)
      }
    while (this.heapSize > 0) {
      const node = this.heapPop()
      if (done[node] === epoch) continue
      done[node] = epoch
      const e = Math.floor(node / most)
      const g = node - e * most
      const c = cost[node]!
      for (const k of [g - 1, g]) {
        if (k < 0 || k >= this.row[e]!.length) continue
        const path = this.paths.get(this.crossPath[this.row[e]![k]!]!)!
        const over = e * most + (k < g ? g - 1 : g + 1)
        const price = c + this.pushPrice(path)
        if (path.net === net || done[over] === epoch || (seen[over] === epoch && cost[over]! <= price))
          continue
        seen[over] = epoch
        cost[over] = price
        this.heapPush(price, over)
      }
      const { x: px, y: py } = this.gapPoint(e, g)
      for (const h of [halfOf[e]!, twin[halfOf[e]!]!]) {
        if (h < 0) continue
        const t = Math.floor(h / 3)
        this.regionsOf(t)
        if (c < out[t]!) out[t] = c
        const r = this.regionAt(h, e, g)
        for (const d of [next(h), prev(h)]) {
          const f = edgeOf[d]!
          for (let k = 0; k <= this.row[f]!.length; k++)
            if (this.regionAt(d, f, k) === r) relax(f, k, c, px, py)
        }
      }
    }
    return out
  }

  /** Everything in the way of a found route. */
  private victims(net: number, nodes: readonly number[], from: number, to: number): number[] {
    const out = new Set<number>()
    if (nodes.length === 0) {
      for (const c of this.row[this.edgeBetween(from, to)]!) out.add(this.crossPath[c]!)
      return [...out]
    }
    for (const [i, node] of nodes.entries()) {
      const e = Math.floor(node / most)
      const g = node - e * most
      const before = i > 0 ? nodes[i - 1]! : -1
      if (before >= 0 && Math.floor(before / most) === e) {
        const k = Math.min(before - e * most, g)
        out.add(this.crossPath[this.row[e]![k]!]!)
        this.history[e]! += 0.3
      }
      if (this.along[e]! >= 0) out.add(this.along[e]!)
      const row = this.row[e]!
      const beside = (g > 0 && this.netAt(e, g - 1) === net) || (g < row.length && this.netAt(e, g) === net)
      const room = this.room[e]!
      if (!beside && row.length > 0 && this.load[e]! + this.added(net, e, g) > room) {
        for (const id of this.crowd(net, e, g)) out.add(id)
        this.history[e]! += 0.3
      }
    }
    return [...out]
  }

  private heapPush(key: number, item: number): void {
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

  private heapPop(): number {
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

/** The shortest line through a row of doors, each told by its left and right post. */
function funnel(from: Point, left: readonly Point[], right: readonly Point[], to: Point): Point[] {
  const out = [from]
  const l = [...left, to]
  const r = [...right, to]
  const side = (a: Point, b: Point, c: Point) => (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
  let apex = from
  let onLeft = from
  let onRight = from
  let leftAt = 0
  let rightAt = 0
  for (let i = 0; i < l.length; i++) {
    const p = r[i]!
    if (side(apex, onRight, p) >= 0) {
      if (onRight === apex || side(apex, onLeft, p) < 0) {
        onRight = p
        rightAt = i
      } else {
        out.push(onLeft)
        apex = onRight = onLeft
        i = rightAt = leftAt
        continue
      }
    }
    const q = l[i]!
    if (side(apex, onLeft, q) <= 0) {
      if (onLeft === apex || side(apex, onRight, q) > 0) {
        onLeft = q
        leftAt = i
      } else {
        out.push(onRight)
        apex = onLeft = onRight
        i = leftAt = rightAt
      }
    }
  }
  out.push(to)
  return out.filter((p, i) => i === 0 || Math.hypot(p.x - out[i - 1]!.x, p.y - out[i - 1]!.y) > 1e-9)
}

/** Side of the cells in which edges are looked up, mm. */
const edgeCell = 2.54

/** Edges a line crosses one after another, and how far along each; there and back over an edge is no crossing. */
function crossingsOf(
  line: readonly Point[],
  from: number,
  to: number,
  edges: Bins,
  a: Int32Array,
  b: Int32Array,
  x: Float64Array,
  y: Float64Array,
): { e: number; u: number }[] {
  const out: { e: number; u: number }[] = []
  for (let i = 1; i < line.length; i++) {
    const p = line[i - 1]!
    const q = line[i]!
    const minX = Math.min(p.x, q.x)
    const maxX = Math.max(p.x, q.x)
    const minY = Math.min(p.y, q.y)
    const maxY = Math.max(p.y, q.y)
    const here: { e: number; u: number; t: number }[] = []
    for (const e of edges.along(p.x, p.y, q.x, q.y)) {
      const v = a[e]!
      const w = b[e]!
      if ((x[v]! < minX && x[w]! < minX) || (x[v]! > maxX && x[w]! > maxX)) continue
      if ((y[v]! < minY && y[w]! < minY) || (y[v]! > maxY && y[w]! > maxY)) continue
      if (i === 1 && (v === from || w === from)) continue
      if (i === line.length - 1 && (v === to || w === to)) continue
      const dx = x[w]! - x[v]!
      const dy = y[w]! - y[v]!
      const sp = dx * (p.y - y[v]!) - dy * (p.x - x[v]!)
      const sq = dx * (q.y - y[v]!) - dy * (q.x - x[v]!)
      // A point on the edge counts as left of it, in this segment and the next.
      if (sp >= 0 === sq >= 0) continue
      const t = sp / (sp - sq)
      const u =
        ((p.x + t * (q.x - p.x) - x[v]!) * dx + (p.y + t * (q.y - p.y) - y[v]!) * dy) / (dx * dx + dy * dy)
      if (u > 0 && u < 1) here.push({ e, u, t })
    }
    here.sort((m, n) => m.t - n.t || m.e - n.e)
    for (const { e, u } of here)
      if (out[out.length - 1]?.e === e) out.pop()
      else out.push({ e, u })
  }
  return out
}

/** Vertex of the new mesh for each of the old; −1 where it is gone. */
function matchVertices(old: SketchMesh, mesh: SketchMesh): Int32Array {
  const out = new Int32Array(old.x.length).fill(-1)
  const at = new Map<string, number>()
  for (let v = mesh.inner; v < mesh.x.length; v++) at.set(`${mesh.x[v]} ${mesh.y[v]}`, v)
  for (let v = 0; v < old.x.length; v++)
    out[v] =
      v < old.lands
        ? v
        : v < old.inner
          ? v - old.lands + mesh.lands
          : (at.get(`${old.x[v]} ${old.y[v]}`) ?? -1)
  return out
}

const empty: readonly number[] = []
const nothing = new Int16Array(0)
const none = new Uint8Array(0)
const next = (h: number): number => (h % 3 === 2 ? h - 2 : h + 1)
const prev = (h: number): number => (h % 3 === 0 ? h + 2 : h - 1)
