// Where parts stand: simulated annealing over places, turns and the freedoms of the circuit.
// Cost in mm of track: spanning trees of the nets, what they cross, parts too near each other or the edge,
// wire pads far from where wires leave. Only what a move touches is worked out again.
// Ends legal or says how much is not: nothing overlaps, everything stands inside with its margins.

import { turn } from "../0-ground/geometry/point.ts"
import { random } from "../0-ground/numbers/random.ts"
import type { Work } from "../0-ground/progress.ts"
import { type BoardProblem, landNets, type Placement } from "./board-problem.ts"
import { type Room, roomOf } from "./board-room.ts"
import { partGap } from "./court-gap.ts"
import { type Court, type Footprint, footprint } from "./footprint.ts"

/** Places are multiples of this: two steps of the routing grid. */
export const placeStep = 0.508

/** Half the least gap between two parts' bodies or lands, mm. */
const hardMargin = 0.15
/** Further half gap that lets a track pass between the lands of two parts. */
const softMargin = 0.8

/** Parts this far apart are nothing to each other, mm. */
const enoughRoom = 2 * (hardMargin + softMargin)

export interface PlaceOptions {
  /** Moves tried for each movable part, and at least so many in all. */
  readonly movesPerPart: number
  readonly leastMoves: number
  readonly seed: number
}

/** Accepted worsening at the start and at the end, mm of track. */
const firstHeat = 100
const lastHeat = 1
const crossingCost = 18
const overlapCost = 6
const softCost = 1.2
/** Nets with as many connections count only the crossings that a move changes; for others counting all is as quick. */
const wideNet = 8
/** A net with as many lands is not measured anew for every place where a part is tried. */
const manyLands = 40
/** On larger boards places are looked at in wider steps, mm². */
const largeBoard = 40_000
const everyNet = -1
/** Nets that the move under trial does not touch. */
const unmeasured = -2

/** So many get all their moves; beyond, on a board full of LEDs that only turn, this share does as well. */
const fullyMoved = 200
const fewerMoves = 0.25

export function* placeParts(
  problem: BoardProblem,
  { movesPerPart, leastMoves, seed }: PlaceOptions,
): Work<Placement> {
  const state = new PlaceState(problem, seed)
  const movable = state.movable.length + state.turnable.length + state.swappable.length
  const full = Math.min(movable, fullyMoved) + fewerMoves * Math.max(0, movable - fullyMoved)
  const total = movable === 0 ? 0 : Math.max(leastMoves, Math.min(400_000, movesPerPart * full))
  state.scatter()
  let heat = firstHeat
  const batch = 500
  const batches = Math.ceil(total / batch)
  const cool = batches > 0 ? (lastHeat / firstHeat) ** (1 / batches) : 1
  for (let b = 0; b < batches; b++) {
    const share = b / batches
    state.hardness = 1 + 9 * share
    state.reach = Math.max(1, Math.round((1 - share) ** 2 * state.span))
    state.refresh()
    for (let i = 0; i < batch; i++) state.step(heat)
    heat *= cool
    if (b % 8 === 7) yield { stage: "place", done: share }
  }
  state.hardness = 12
  state.refresh()
  yield* state.legalise()
  yield { stage: "place", done: 1 }
  return state.result()
}

type Undo = () => void

/** Where one part stands. */
export interface Spot {
  readonly i: number
  readonly x: number
  readonly y: number
  readonly rotation: number
}

export class PlaceState {
  hardness = 1
  reach = 1
  readonly span: number
  readonly movable: number[] = []
  readonly turnable: number[] = []
  readonly swappable: number[] = []
  private readonly problem: BoardProblem
  private readonly rnd: ReturnType<typeof random>
  private readonly room: Room
  private readonly n: number
  private readonly x: Float64Array
  private readonly y: Float64Array
  private readonly turnOf: Int32Array
  private readonly prints: readonly (readonly Footprint[])[]
  /** [part][turn]: its courts. */
  private readonly courts: readonly (readonly (readonly Court[])[])[]
  /** Half the box round each part however it is turned, about its origin. */
  private readonly reachX: Float64Array
  private readonly reachY: Float64Array
  private readonly fixed: Uint8Array
  private readonly moving: Uint8Array
  /** A chip with the parts that serve only it: they move as one now and then. */
  private readonly clusters: readonly (readonly number[])[]
  private readonly similar: readonly (readonly number[])[]
  /** Lands, flat. */
  private readonly firstLand: Int32Array
  private readonly landPart: Int32Array
  private readonly landX: Float64Array
  private readonly landY: Float64Array
  private readonly landNet: Int32Array
  private readonly netLands: number[][]
  private readonly netCost: Float64Array
  /** Spanning-tree edges of each net as x0 y0 x1 y1. */
  private readonly netEdges: Float64Array[]
  private readonly netEdgeCount: Int32Array
  /** Lands at the ends of those edges, the one nearer to the tree's root first. */
  private readonly netEnds: Int32Array[]
  /** Box of each net's lands: minX, minY, maxX, maxY. */
  private readonly netBox: Float64Array
  private readonly netCount: number
  /** Crossings of each pair of nets, and of each net with all others. */
  private readonly pairs: Uint16Array
  private readonly crossed: Int32Array
  private readonly rows: Uint16Array[] = []
  private readonly keptCost: Float64Array
  private readonly keptBox: Float64Array
  private readonly keptEdges: Float64Array[]
  private readonly keptEnds: Int32Array[]
  private readonly keptCount: Int32Array
  /** Edge of the kept tree that leads to a land, for the net being compared. */
  private readonly edgeTo: Int32Array
  private readonly contents: number[][]
  private readonly slotLands: number[][][]
  private readonly partSprings: number[][]
  private readonly springA: Int32Array
  private readonly springB: Int32Array
  private total = 0
  private readonly touchedMark: Int32Array
  private touchedStamp = 0

  constructor(problem: BoardProblem, seed: number) {
    this.problem = problem
    this.rnd = random(seed)
    const { parts } = problem
    this.n = parts.length
    this.x = new Float64Array(this.n)
    this.y = new Float64Array(this.n)
    this.turnOf = new Int32Array(this.n)
    this.reachX = new Float64Array(this.n)
    this.reachY = new Float64Array(this.n)
    this.prints = parts.map((p) => p.rotations.map((r) => footprint(p.package, r)))
    this.courts = this.prints.map((turns) => turns.map((p) => p.courts))
    for (const [i, turns] of this.courts.entries())
      for (const c of turns.flat()) {
        this.reachX[i] = Math.max(this.reachX[i]!, Math.abs(c.x) + c.boxW)
        this.reachY[i] = Math.max(this.reachY[i]!, Math.abs(c.y) + c.boxH)
      }
    this.fixed = Uint8Array.from(parts, (p) => (p.at ? 1 : 0))
    const fixed: Court[] = []
    for (const [i, p] of parts.entries()) {
      if (p.rotations.length > 1) this.turnable.push(i)
      if (!p.at) {
        this.movable.push(i)
        continue
      }
      this.x[i] = p.at.x
      this.y[i] = p.at.y
      for (const c of this.courts[i]![0]!) fixed.push({ ...c, x: c.x + p.at.x, y: c.y + p.at.y })
    }
    this.room = roomOf(problem, fixed, hardMargin)
    this.span = Math.max(2, Math.round(Math.max(this.room.width, this.room.height) / placeStep / 2))
    this.similar = parts.map((p, i) =>
      p.at ? [] : this.movable.filter((j) => j !== i && parts[j]!.package.name === p.package.name),
    )
    const counts = parts.map((p) => p.package.lands.length)
    this.firstLand = new Int32Array(this.n + 1)
    for (let i = 0; i < this.n; i++) this.firstLand[i + 1] = this.firstLand[i]! + counts[i]!
    const lands = this.firstLand[this.n]!
    this.landPart = new Int32Array(lands)
    this.landX = new Float64Array(lands)
    this.landY = new Float64Array(lands)
    this.landNet = new Int32Array(lands)
    for (let i = 0; i < this.n; i++)
      for (let l = this.firstLand[i]!; l < this.firstLand[i + 1]!; l++) this.landPart[l] = i
    this.contents = problem.freedoms.map((f) => f.contents.map((_, i) => i))
    this.slotLands = problem.freedoms.map((f) =>
      f.slots.map((slot) => slot.map(([p, l]) => this.firstLand[p]! + l)),
    )
    for (const [i, f] of problem.freedoms.entries())
      for (let k = 0; k < Math.min(f.slots.length, 12); k++) if (f.slots.length > 1) this.swappable.push(i)
    this.netLands = problem.nets.map(() => [])
    const nets = landNets(problem, this.contents)
    for (let i = 0; i < this.n; i++)
      for (const [k, net] of nets[i]!.entries()) {
        const l = this.firstLand[i]! + k
        this.landNet[l] = net
        if (net >= 0) this.netLands[net]!.push(l)
      }
    this.netCost = new Float64Array(problem.nets.length)
    this.netEdges = problem.nets.map(() => new Float64Array(64))
    this.netBox = new Float64Array(4 * problem.nets.length)
    this.moving = new Uint8Array(this.n)
    this.clusters = findClusters(problem, nets)
    this.netCount = problem.nets.length
    this.pairs = new Uint16Array(this.netCount ** 2)
    this.crossed = new Int32Array(this.netCount)
    this.keptCost = new Float64Array(problem.nets.length)
    this.keptBox = new Float64Array(4 * problem.nets.length)
    this.keptEdges = problem.nets.map(() => new Float64Array(64))
    this.netEnds = problem.nets.map(() => new Int32Array(32))
    this.keptEnds = problem.nets.map(() => new Int32Array(32))
    this.keptCount = new Int32Array(problem.nets.length)
    this.edgeTo = new Int32Array(lands)
    this.near = new Int32Array(this.netCount)
    this.netEdgeCount = new Int32Array(problem.nets.length)
    this.touchedMark = new Int32Array(problem.nets.length)
    this.springA = Int32Array.from(problem.springs, (s) => this.firstLand[s.a[0]]! + s.a[1])
    this.springB = Int32Array.from(problem.springs, (s) => this.firstLand[s.b[0]]! + s.b[1])
    this.partSprings = parts.map((_, i) =>
      problem.springs.flatMap((s, k) => (s.a[0] === i || s.b[0] === i ? [k] : [])),
    )
  }

  /** Puts everything where a placement says. */
  adopt(placement: Placement): void {
    for (const [i, p] of placement.parts.entries()) {
      this.x[i] = p.x
      this.y[i] = p.y
      this.turnOf[i] = Math.max(0, this.problem.parts[i]!.rotations.indexOf(p.rotation))
      this.putLands(i)
    }
    for (const [f, contents] of placement.contents.entries()) {
      this.contents[f]!.splice(0, contents.length, ...contents)
      for (const s of contents.keys()) this.putNets(f, s)
    }
    for (let k = 0; k < this.netCount; k++) this.measureNet(k)
  }

  /** The parts that may stand where this one stands, exchanged with it. */
  alike(i: number): readonly number[] {
    return this.similar[i]!
  }

  /** Puts some parts elsewhere; false, and nothing done, when that is not legal. */
  shift(parts: readonly Spot[]): boolean {
    const was = parts.map(({ i }) => this.spot(i))
    this.put(parts)
    if (parts.every((p) => this.legal(p.i))) return true
    this.put(was)
    return false
  }

  put(parts: readonly Spot[]): void {
    for (const p of parts) {
      this.x[p.i] = p.x
      this.y[p.i] = p.y
      this.turnOf[p.i] = Math.max(0, this.problem.parts[p.i]!.rotations.indexOf(p.rotation))
      this.putLands(p.i)
    }
  }

  spot(i: number): Spot {
    return {
      i,
      x: this.x[i]!,
      y: this.y[i]!,
      rotation: this.problem.parts[i]!.rotations[this.turnOf[i]!]!,
    }
  }

  /** What these parts cost beside their nets: pulls of wire pads, springs, neighbours too near for a track. */
  apart(parts: readonly number[]): number {
    return this.bodies(parts)
  }

  private putNets(f: number, s: number): void {
    const freedom = this.problem.freedoms[f]!
    const content = freedom.contents[this.contents[f]![s]!]!
    for (const [k, l] of this.slotLands[f]![s]!.entries()) {
      const named = content[k % content.length]!
      this.setNet(l, named < 0 ? freedom.emptyNet[s]! : named)
    }
  }

  /** Movable parts thrown over the board. */
  scatter(): void {
    for (const i of this.movable) {
      const p = this.room.anyPlace(this.rnd)
      this.x[i] = p.x
      this.y[i] = p.y
    }
    for (const i of this.turnable) this.turnOf[i] = this.rnd.below(this.prints[i]!.length)
    for (let i = 0; i < this.n; i++) this.putLands(i)
    for (let k = 0; k < this.netCount; k++) this.measureNet(k)
    this.countCrossings()
    this.refresh()
  }

  private countCrossings(): void {
    const row = new Uint16Array(this.netCount)
    for (let k = 0; k < this.netCount; k++) {
      this.crossed[k] = this.crossings(k, row)
      this.pairs.set(row, k * this.netCount)
    }
  }

  /** Works out the whole cost anew; deltas gather rounding and weights change. */
  refresh(): void {
    let sum = 0
    for (let k = 0; k < this.netCost.length; k++) sum += this.netCost[k]!
    let cross = 0
    for (let k = 0; k < this.netCount; k++) cross += this.crossed[k]!
    sum += (cross / 2) * crossingCost
    const { x, y, reachX, reachY } = this
    for (let i = 0; i < this.n; i++) {
      sum += this.alone(i)
      const farX = reachX[i]! + enoughRoom
      const farY = reachY[i]! + enoughRoom
      for (let j = i + 1; j < this.n; j++) {
        if (Math.abs(x[j]! - x[i]!) >= farX + reachX[j]!) continue
        if (Math.abs(y[j]! - y[i]!) >= farY + reachY[j]!) continue
        sum += this.between(i, j)
      }
    }
    for (let k = 0; k < this.springA.length; k++) sum += this.spring(k)
    this.total = sum
  }

  step(heat: number): void {
    if (this.clusters.length > 0 && this.rnd.below(40) === 0) {
      this.tryCluster(this.clusters[this.rnd.below(this.clusters.length)]!, heat)
      return
    }
    const pick = this.rnd.below(this.movable.length * 3 + this.turnable.length + this.swappable.length)
    const m = this.movable.length
    if (pick < m * 2) this.tryShift(this.movable[pick % m]!, heat)
    else if (pick < m * 3) this.trySwapPlaces(this.movable[pick % m]!, heat)
    else if (pick < m * 3 + this.turnable.length) this.tryTurn(this.turnable[pick - m * 3]!, heat)
    else this.tryExchange(this.swappable[pick - m * 3 - this.turnable.length]!, heat)
  }

  private tryShift(i: number, heat: number): void {
    const x = this.x[i]!
    const y = this.y[i]!
    const t = this.turnOf[i]!
    // Now and then a leap, so that a part shut in at the wrong end can still get away.
    const leap = this.rnd.below(10) === 0
    const r = leap ? this.span : this.reach
    const nx = snap(x) + (this.rnd.below(2 * r + 1) - r) * placeStep
    const ny = snap(y) + (this.rnd.below(2 * r + 1) - r) * placeStep
    if (!this.room.inside(nx, ny)) return
    const nt = leap || this.rnd.below(6) === 0 ? this.rnd.below(this.courts[i]!.length) : t
    this.attempt([i], heat, () => {
      this.x[i] = nx
      this.y[i] = ny
      this.turnOf[i] = nt
      this.putLands(i)
      return () => {
        this.x[i] = x
        this.y[i] = y
        this.turnOf[i] = t
        this.putLands(i)
      }
    })
  }

  /** Shifts or turns a chip with everything that hangs on it alone. */
  private tryCluster(parts: readonly number[], heat: number): void {
    const was = parts.map((i) => ({ i, x: this.x[i]!, y: this.y[i]!, t: this.turnOf[i]! }))
    const { x: cx, y: cy } = was[0]!
    const quarter = this.rnd.below(2) === 0 ? 0 : 1 + this.rnd.below(3)
    const r = this.rnd.below(4) === 0 ? this.span : this.reach
    const dx = (this.rnd.below(2 * r + 1) - r) * placeStep
    const dy = (this.rnd.below(2 * r + 1) - r) * placeStep
    const next = was.map(({ i, x, y, t }) => {
      const to = turn({ x: x - cx, y: y - cy }, 90 * quarter)
      // Turns are listed evenly over the circle, so a quarter is a quarter of the list; single turns stay.
      const n = this.courts[i]!.length
      return {
        i,
        x: snap(cx + to.x + dx),
        y: snap(cy + to.y + dy),
        t: n % 4 === 0 ? (t + (quarter * n) / 4) % n : t,
      }
    })
    if (next.some((p) => !this.room.inside(p.x, p.y))) return
    const put = (all: typeof was) => {
      for (const p of all) {
        this.x[p.i] = p.x
        this.y[p.i] = p.y
        this.turnOf[p.i] = p.t
        this.putLands(p.i)
      }
    }
    this.attempt(parts, heat, () => {
      put(next)
      return () => put(was)
    })
  }

  private trySwapPlaces(i: number, heat: number): void {
    const others = this.similar[i]!
    if (others.length === 0) {
      this.tryShift(i, heat)
      return
    }
    const j = others[this.rnd.below(others.length)]!
    const swap = () => {
      const [x, y, t] = [this.x[i]!, this.y[i]!, this.turnOf[i]!]
      this.x[i] = this.x[j]!
      this.y[i] = this.y[j]!
      this.turnOf[i] = this.turnOf[j]!
      this.x[j] = x
      this.y[j] = y
      this.turnOf[j] = t
      this.putLands(i)
      this.putLands(j)
    }
    this.attempt([i, j], heat, () => {
      swap()
      return swap
    })
  }

  private tryTurn(i: number, heat: number): void {
    const t = this.turnOf[i]!
    const next = this.rnd.below(this.prints[i]!.length)
    if (next === t) return
    this.attempt([i], heat, () => {
      this.turnOf[i] = next
      this.putLands(i)
      return () => {
        this.turnOf[i] = t
        this.putLands(i)
      }
    })
  }

  private tryExchange(f: number, heat: number): void {
    const freedom = this.problem.freedoms[f]!
    const contents = this.contents[f]!
    const a = this.rnd.below(contents.length)
    const b = this.rnd.below(contents.length)
    if (a === b) return
    if (!freedom.allowed[contents[a]!]![b] || !freedom.allowed[contents[b]!]![a]) return
    const lands = [...this.slotLands[f]![a]!, ...this.slotLands[f]![b]!]
    this.stampNets()
    for (const l of lands) this.touch(this.landNet[l]!)
    const nets = (s: number): void => {
      const content = freedom.contents[contents[s]!]!
      for (const [k, l] of this.slotLands[f]![s]!.entries()) {
        const named = content[k % content.length]!
        this.setNet(l, named < 0 ? freedom.emptyNet[s]! : named)
      }
    }
    const swap = () => {
      const c = contents[a]!
      contents[a] = contents[b]!
      contents[b] = c
      nets(a)
      nets(b)
    }
    // The nets that come are those that were there, but for a slot's own net when it falls empty.
    for (const s of [a, b]) if (freedom.emptyNet[s]! >= 0) this.touch(freedom.emptyNet[s]!)
    const all = this.touched.slice()
    const old = this.oldNets(all)
    for (const k of all) this.keepNet(k)
    swap()
    for (const k of all) this.measureNet(k)
    const delta = this.newNets(all) - old
    if (delta <= this.tolerance(heat)) {
      this.settle(all)
      this.total += delta
      return
    }
    swap()
    for (const k of all) this.restoreNet(k)
  }

  private readonly touched: number[] = []
  private stampNets(): void {
    this.touchedStamp++
    this.touched.length = 0
  }
  private touch(net: number): void {
    if (net < 0 || this.touchedMark[net] === this.touchedStamp) return
    this.touchedMark[net] = this.touchedStamp
    this.touched.push(net)
  }

  private attempt(parts: readonly number[], heat: number, change: () => Undo): void {
    this.stampNets()
    for (const i of parts)
      for (let l = this.firstLand[i]!; l < this.firstLand[i + 1]!; l++) this.touch(this.landNet[l]!)
    const nets = this.touched.slice()
    const tolerance = this.tolerance(heat)
    const bodiesBefore = this.bodies(parts)
    // Bodies first: most moves of a packed board fail on them alone, whatever the nets would gain.
    const undo = change()
    const bodies = this.bodies(parts) - bodiesBefore
    const old = this.oldNets(nets)
    if (bodies - old > tolerance) {
      undo()
      return
    }
    let length = 0
    for (const k of nets) {
      this.keepNet(k)
      this.measureNet(k)
      length += this.netCost[k]!
    }
    // There are never fewer than no crossings: they are counted only where that can still save the move.
    const lost = bodies + length - old > tolerance
    const delta = lost ? Number.POSITIVE_INFINITY : bodies + this.newNets(nets) - old
    if (delta <= tolerance) {
      this.settle(nets)
      this.total += delta
      return
    }
    undo()
    for (const k of nets) this.restoreNet(k)
  }

  /** The measure of a net before a move: two buffers change places. */
  private keepNet(k: number): void {
    this.keptCost[k] = this.netCost[k]!
    for (let i = 4 * k; i < 4 * k + 4; i++) this.keptBox[i] = this.netBox[i]!
    this.keptCount[k] = this.netEdgeCount[k]!
    this.exchangeTrees(k)
  }

  private restoreNet(k: number): void {
    this.netCost[k] = this.keptCost[k]!
    for (let i = 4 * k; i < 4 * k + 4; i++) this.netBox[i] = this.keptBox[i]!
    this.netEdgeCount[k] = this.keptCount[k]!
    this.exchangeTrees(k)
  }

  private exchangeTrees(k: number): void {
    const edges = this.netEdges[k]!
    this.netEdges[k] = this.keptEdges[k]!
    this.keptEdges[k] = edges
    const ends = this.netEnds[k]!
    this.netEnds[k] = this.keptEnds[k]!
    this.keptEnds[k] = ends
  }

  /** The worsening that this step accepts. */
  private tolerance(heat: number): number {
    return -heat * Math.log(1 - this.rnd.next())
  }

  /** Everything but nets that depends on the places of these parts; each pair counts once. */
  private bodies(parts: readonly number[]): number {
    let sum = 0
    for (const i of parts) {
      this.moving[i] = 1
      sum += this.alone(i)
      const { x, y, reachX, reachY, moving } = this
      const farX = reachX[i]! + enoughRoom
      const farY = reachY[i]! + enoughRoom
      for (let j = 0; j < this.n; j++) {
        if (Math.abs(x[j]! - x[i]!) >= farX + reachX[j]!) continue
        if (Math.abs(y[j]! - y[i]!) >= farY + reachY[j]!) continue
        if (j !== i && !moving[j]) sum += this.between(i, j)
      }
      for (const k of this.partSprings[i]!) sum += this.spring(k)
    }
    for (const i of parts) this.moving[i] = 0
    return sum
  }

  private spring(k: number): number {
    const a = this.springA[k]!
    const b = this.springB[k]!
    return (
      this.problem.springs[k]!.weight *
      Math.hypot(this.landX[a]! - this.landX[b]!, this.landY[a]! - this.landY[b]!)
    )
  }

  private alone(i: number): number {
    const part = this.problem.parts[i]!
    if (part.at) return 0
    const shut = this.room.shut(this.courts[i]![this.turnOf[i]!]!, this.x[i]!, this.y[i]!)
    let cost = shut * overlapCost * this.hardness
    if (part.wirePad) cost += this.room.wirePull(this.x[i]!, this.y[i]!)
    return cost
  }

  /** What it costs that two parts are this near: a little for no room between their lands, much for overlap. */
  private between(i: number, j: number): number {
    if (this.fixed[i] && this.fixed[j]) return 0
    const gap = this.gapOf(i, j, enoughRoom)
    if (gap >= enoughRoom) return 0
    let cost = softCost * Math.min(enoughRoom - gap, 2 * softMargin)
    const depth = 2 * hardMargin - gap
    if (depth > 1e-9) cost += overlapCost * this.hardness * (0.5 + 3 * depth)
    return cost
  }

  private gapOf(i: number, j: number, enough: number): number {
    return partGap(
      this.courts[i]![this.turnOf[i]!]!,
      this.x[i]!,
      this.y[i]!,
      this.courts[j]![this.turnOf[j]!]!,
      this.x[j]!,
      this.y[j]!,
      enough,
    )
  }

  /** Length and crossings of some nets as they were last settled. */
  private oldNets(nets: readonly number[]): number {
    const { pairs, netCount } = this
    let sum = 0
    let cross = 0
    for (let a = 0; a < nets.length; a++) {
      sum += this.netCost[nets[a]!]!
      cross += this.crossed[nets[a]!]!
      for (let b = 0; b < a; b++) cross -= pairs[nets[a]! * netCount + nets[b]!]!
    }
    return sum + cross * crossingCost
  }

  /** The same as measured now; the rows stay in `rows` until settled. Their last trees are kept. */
  private newNets(nets: readonly number[]): number {
    const { netCount } = this
    while (this.rows.length < nets.length) this.rows.push(new Uint16Array(netCount))
    let sum = 0
    let cross = 0
    for (let a = 0; a < nets.length; a++) {
      const k = nets[a]!
      sum += this.netCost[k]!
      cross +=
        this.netEdgeCount[k]! >= wideNet
          ? this.changedCrossings(k, nets, this.rows[a]!)
          : this.crossings(k, this.rows[a]!)
      for (let b = 0; b < a; b++) cross -= this.rows[a]![nets[b]!]!
    }
    return sum + cross * crossingCost
  }

  /** Takes the rows just measured as the nets' crossings. */
  private settle(nets: readonly number[]): void {
    const { pairs, netCount, crossed } = this
    for (let a = 0; a < nets.length; a++) {
      const k = nets[a]!
      const row = this.rows[a]!
      for (let o = 0; o < netCount; o++) {
        const change = row[o]! - pairs[k * netCount + o]!
        if (change === 0) continue
        pairs[k * netCount + o] = row[o]!
        pairs[o * netCount + k] = row[o]!
        crossed[k]! += change
        crossed[o]! += change
      }
    }
  }

  /** How often the tree of net a crosses that of every other net. */
  private crossings(a: number, row: Uint16Array): number {
    row.fill(0)
    return this.countAcross(this.netEdges[a]!, this.netEdgeCount[a]!, a, row, 1)
  }

  private gone = new Float64Array(256)
  private come = new Float64Array(256)

  /**
   * The same from the last settled row: crossings of edges that went are taken off, of edges that came put on. Other
   * nets that have just been measured are counted whole.
   */
  private changedCrossings(a: number, measured: readonly number[], row: Uint16Array): number {
    const { netCount, edgeTo } = this
    const edges = this.netEdges[a]!
    const ends = this.netEnds[a]!
    const count = this.netEdgeCount[a]!
    const oldEdges = this.keptEdges[a]!
    const oldEnds = this.keptEnds[a]!
    const oldCount = this.keptCount[a]!
    if (this.gone.length < 4 * oldCount) this.gone = new Float64Array(8 * oldCount)
    if (this.come.length < 4 * count) this.come = new Float64Array(8 * count)
    const { gone, come } = this
    for (let e = 0; e < count; e++) edgeTo[ends[2 * e + 1]!] = -1
    for (let e = 0; e < oldCount; e++) edgeTo[oldEnds[2 * e + 1]!] = e
    let came = 0
    for (let e = 0; e < count; e++) {
      const was = edgeTo[ends[2 * e + 1]!]!
      if (was >= 0 && oldEnds[2 * was] === ends[2 * e] && sameEdge(oldEdges, was, edges, e))
        edgeTo[ends[2 * e + 1]!] = -2
      else copyEdge(come, came++, edges, e)
    }
    let went = 0
    for (let e = 0; e < oldCount; e++)
      if (edgeTo[oldEnds[2 * e + 1]!] === e) copyEdge(gone, went++, oldEdges, e)
    const start = a * netCount
    for (let o = 0; o < netCount; o++) row[o] = this.pairs[start + o]!
    let total = this.crossed[a]!
    for (const o of measured) {
      total -= row[o]!
      row[o] = 0
    }
    total += this.countAcross(come, came, a, row, 1, unmeasured)
    total -= this.countAcross(gone, went, a, row, -1, unmeasured)
    for (const o of measured) total += this.countAcross(edges, count, a, row, 1, o)
    return total
  }

  private readonly near: Int32Array

  /**
   * Crossings of some edges of net a with the trees of the other nets; adds them to the row times `sign`. `only`: one
   * other net, or those the move under trial leaves alone.
   */
  private countAcross(
    ea: Float64Array,
    count: number,
    a: number,
    row: Uint16Array,
    sign: 1 | -1,
    only = everyNet,
  ): number {
    const { netBox, netEdges, netEdgeCount, near, touchedMark, touchedStamp } = this
    let left = Number.POSITIVE_INFINITY
    let right = Number.NEGATIVE_INFINITY
    let low = Number.POSITIVE_INFINITY
    let high = Number.NEGATIVE_INFINITY
    for (let i = 0; i < 4 * count; i += 2) {
      left = Math.min(left, ea[i]!)
      right = Math.max(right, ea[i]!)
      low = Math.min(low, ea[i + 1]!)
      high = Math.max(high, ea[i + 1]!)
    }
    let others = 0
    const end = only < 0 ? this.netCount : only + 1
    for (let o = Math.max(0, only); o < end; o++) {
      if (only === unmeasured && touchedMark[o] === touchedStamp) continue
      const q = 4 * o
      if (o === a || netBox[q]! > right || netBox[q + 2]! < left) continue
      if (netBox[q + 1]! > high || netBox[q + 3]! < low) continue
      near[others++] = o
    }
    let total = 0
    for (let i = 0; i < 4 * count; i += 4) {
      const ax = ea[i]!
      const ay = ea[i + 1]!
      const bx = ea[i + 2]!
      const by = ea[i + 3]!
      const ux = bx - ax
      const uy = by - ay
      const minX = Math.min(ax, bx)
      const maxX = Math.max(ax, bx)
      const minY = Math.min(ay, by)
      const maxY = Math.max(ay, by)
      for (let k = 0; k < others; k++) {
        const o = near[k]!
        const q = 4 * o
        if (netBox[q]! > maxX || netBox[q + 2]! < minX) continue
        if (netBox[q + 1]! > maxY || netBox[q + 3]! < minY) continue
        const eb = netEdges[o]!
        const nb = netEdgeCount[o]! * 4
        let crossed = 0
        for (let j = 0; j < nb; j += 4) {
          const cx = eb[j]!
          const dx = eb[j + 2]!
          if ((cx > maxX && dx > maxX) || (cx < minX && dx < minX)) continue
          const cy = eb[j + 1]!
          const dy = eb[j + 3]!
          if ((cy > maxY && dy > maxY) || (cy < minY && dy < minY)) continue
          const o1 = ux * (cy - ay) - uy * (cx - ax)
          const o2 = ux * (dy - ay) - uy * (dx - ax)
          if (o1 > 0 === o2 > 0) continue
          const vx = dx - cx
          const vy = dy - cy
          const o3 = vx * (ay - cy) - vy * (ax - cx)
          const o4 = vx * (by - cy) - vy * (bx - cx)
          if (o3 > 0 !== o4 > 0) crossed++
        }
        row[o]! += sign * crossed
        total += crossed
      }
    }
    return total
  }

  private putLands(i: number): void {
    const { lands } = this.prints[i]![this.turnOf[i]!]!
    const first = this.firstLand[i]!
    const x = this.x[i]!
    const y = this.y[i]!
    for (let k = 0; k < lands.length; k++) {
      this.landX[first + k] = x + lands[k]!.x
      this.landY[first + k] = y + lands[k]!.y
    }
  }

  private setNet(land: number, net: number): void {
    const old = this.landNet[land]!
    if (old === net) return
    if (old >= 0) {
      const list = this.netLands[old]!
      list.splice(list.indexOf(land), 1)
    }
    if (net >= 0) {
      const list = this.netLands[net]!
      let at = list.length
      while (at > 0 && list[at - 1]! > land) at--
      list.splice(at, 0, land)
    }
    this.landNet[land] = net
  }

  private readonly primFar = new Float64Array(4096)
  private readonly primFrom = new Int32Array(4096)
  private readonly primLeft = new Int32Array(4096)

  /** Least spanning tree over the net's lands (Prim). */
  private measureNet(k: number): void {
    const list = this.netLands[k]!
    const n = list.length
    this.netEdgeCount[k] = Math.max(0, n - 1)
    if (n < 2) {
      this.netCost[k] = 0
      this.netBox[4 * k] = Number.POSITIVE_INFINITY
      return
    }
    if (this.netEdges[k]!.length < 4 * n) this.netEdges[k] = new Float64Array(8 * n)
    if (this.netEnds[k]!.length < 2 * n) this.netEnds[k] = new Int32Array(4 * n)
    const edges = this.netEdges[k]!
    const ends = this.netEnds[k]!
    const far = this.primFar
    const from = this.primFrom
    const left = this.primLeft
    const { landX, landY } = this
    let minX = Number.POSITIVE_INFINITY
    let minY = Number.POSITIVE_INFINITY
    let maxX = Number.NEGATIVE_INFINITY
    let maxY = Number.NEGATIVE_INFINITY
    for (let i = 0; i < n; i++) {
      far[i] = Number.POSITIVE_INFINITY
      left[i] = i
      const x = landX[list[i]!]!
      const y = landY[list[i]!]!
      if (x < minX) minX = x
      if (x > maxX) maxX = x
      if (y < minY) minY = y
      if (y > maxY) maxY = y
    }
    this.netBox[4 * k] = minX
    this.netBox[4 * k + 1] = minY
    this.netBox[4 * k + 2] = maxX
    this.netBox[4 * k + 3] = maxY
    let current = 0
    let sum = 0
    let count = n
    for (let e = 0; e < n - 1; e++) {
      const cx = landX[list[current]!]!
      const cy = landY[list[current]!]!
      let next = -1
      let least = Number.POSITIVE_INFINITY
      let kept = 0
      // Those not yet joined, in their order; squares of distances.
      for (let q = 0; q < count; q++) {
        const i = left[q]!
        if (i === current) continue
        left[kept++] = i
        const dx = landX[list[i]!]! - cx
        const dy = landY[list[i]!]! - cy
        const d = dx * dx + dy * dy
        if (d < far[i]!) {
          far[i] = d
          from[i] = current
        }
        if (far[i]! < least) {
          least = far[i]!
          next = i
        }
      }
      count = kept
      sum += Math.sqrt(least)
      const a = list[from[next]!]!
      const b = list[next]!
      edges[4 * e] = landX[a]!
      edges[4 * e + 1] = landY[a]!
      edges[4 * e + 2] = landX[b]!
      edges[4 * e + 3] = landY[b]!
      ends[2 * e] = a
      ends[2 * e + 1] = b
      current = next
    }
    this.netCost[k] = sum * this.problem.nets[k]!.weight
  }

  /** True when the part neither overlaps another nor stands outside. */
  private legal(i: number): boolean {
    const part = this.problem.parts[i]!
    if (!part.at && this.room.shut(this.courts[i]![this.turnOf[i]!]!, this.x[i]!, this.y[i]!) > 0)
      return false
    for (let j = 0; j < this.n; j++) if (j !== i && this.overlap(i, j) > 0) return false
    return true
  }

  /** Depth by which two courts come nearer than the hard margin. */
  private overlap(i: number, j: number): number {
    if (this.fixed[i] && this.fixed[j]) return 0
    return Math.max(0, 2 * hardMargin - 1e-9 - this.gapOf(i, j, 2 * hardMargin))
  }

  /** Cools what is left, then lifts each part that is not legal and puts it into the best legal place on the board. */
  *legalise(): Work<void> {
    for (let i = 0; i < 4000 && this.movable.length > 0; i++) {
      this.reach = 1 + (i % 3)
      this.step(0.01)
    }
    for (let round = 0; round < 10; round++) {
      let bad = this.movable.filter((i) => !this.legal(i))
      if (bad.length === 0) return
      if (round % 3 === 2) {
        // Pushing out goes round in a ring: shake everything gently with overlap made very dear.
        this.hardness = 15 * round
        this.refresh()
        const steps = 250 * this.movable.length
        for (let i = 0; i < steps; i++) {
          this.reach = 1 + (i % 8)
          this.step(6 * (1 - i / steps))
          if (i % 2000 === 1999) yield { stage: "place", done: 0.95 }
        }
        bad = this.movable.filter((i) => !this.legal(i))
      }
      // The largest first: small ones find room more easily.
      bad.sort((a, b) => this.area(b) - this.area(a) || a - b)
      for (const i of bad) {
        if (this.legal(i)) continue
        this.reinsert(i)
        yield { stage: "place", done: 0.95 }
      }
      this.countCrossings()
      this.refresh()
    }
  }

  private area(i: number): number {
    return this.courts[i]![0]!.reduce((sum, c) => sum + c.hw * c.hh, 0)
  }

  /**
   * The best place on the whole board for one part: clear of everything if there is one, else where it only pushes
   * out smaller parts, which then look for a place themselves.
   */
  private reinsert(i: number): void {
    this.stampNets()
    for (let l = this.firstLand[i]!; l < this.firstLand[i + 1]!; l++) this.touch(this.landNet[l]!)
    const nets = this.touched.slice()
    const costs = nets.map((k) => this.netHere(k, i))
    let best = { x: this.x[i]!, y: this.y[i]!, t: this.turnOf[i]!, cost: Number.POSITIVE_INFINITY, over: 1e9 }
    const size = this.area(i)
    const sizes = this.problem.parts.map((_, j) => this.area(j) * (this.area(j) < 0.95 * size ? 1 : 6))
    const turns = this.courts[i]!.length
    // Many turns make up for wider steps.
    const large = this.room.maxX * this.room.maxY > largeBoard
    const step = turns > 4 || large ? 2 * placeStep : placeStep
    for (let t = 0; t < turns; t++) {
      const courts = this.courts[i]![t]!
      for (let y = 0; y <= this.room.maxY; y += step)
        for (let x = 0; x <= this.room.maxX; x += step) {
          if (!courts.every((c) => this.room.clear(x + c.x, y + c.y) > 0.85 * Math.min(c.hw, c.hh))) continue
          if (this.room.shut(courts, x, y) > 0) continue
          this.x[i] = x
          this.y[i] = y
          this.turnOf[i] = t
          let over = 0
          for (let j = 0; j < this.n && over <= best.over; j++)
            if (j !== i && !this.fixed[j] && this.overlap(i, j) > 0) over += sizes[j]!
          if (over > best.over) continue
          this.putLands(i)
          let cost = 0
          for (const c of costs) cost += c()
          if (over < best.over || cost < best.cost) best = { x, y, t, cost, over }
        }
    }
    this.x[i] = best.x
    this.y[i] = best.y
    this.turnOf[i] = best.t
    this.putLands(i)
    for (const k of nets) this.measureNet(k)
  }

  /**
   * What a net costs with part i where it now stands. For a net with many lands the tree of its other lands is
   * measured once, and each land of the part joins it at the nearest.
   */
  private netHere(k: number, i: number): () => number {
    const { landX, landY, landPart } = this
    const list = this.netLands[k]!
    const others = list.filter((l) => landPart[l] !== i)
    if (others.length < manyLands)
      return () => {
        this.measureNet(k)
        return this.netCost[k]!
      }
    const own = list.filter((l) => landPart[l] === i)
    this.netLands[k] = others
    this.measureNet(k)
    this.netLands[k] = list
    const { weight } = this.problem.nets[k]!
    const rest = this.netCost[k]!
    return () => {
      let sum = 0
      for (const l of own) {
        let least = Number.POSITIVE_INFINITY
        for (const o of others) {
          const dx = landX[o]! - landX[l]!
          const dy = landY[o]! - landY[l]!
          const d = dx * dx + dy * dy
          if (d < least) least = d
        }
        sum += Math.sqrt(least)
      }
      return rest + weight * sum
    }
  }

  result(): Placement {
    let illegal = 0
    for (const i of this.movable) {
      illegal += this.room.shut(this.courts[i]![this.turnOf[i]!]!, this.x[i]!, this.y[i]!)
    }
    for (let i = 0; i < this.n; i++) for (let j = i + 1; j < this.n; j++) illegal += this.overlap(i, j)
    return {
      parts: this.problem.parts.map((p, i) => ({
        x: this.x[i]!,
        y: this.y[i]!,
        rotation: p.rotations[this.turnOf[i]!]!,
      })),
      contents: this.contents.map((c) => [...c]),
      illegal,
      cost: this.total,
    }
  }
}

/** For each chip: itself and the movable parts at least half of whose lands hang on small nets of that chip. */
function findClusters(problem: BoardProblem, nets: readonly (readonly number[])[]): number[][] {
  const size = problem.nets.map(() => 0)
  for (const part of nets) for (const n of part) if (n >= 0) size[n]!++
  const chips = problem.parts.flatMap((p, i) => (!p.at && p.package.lands.length >= 8 ? [i] : []))
  return chips.flatMap((chip) => {
    const own = new Set(nets[chip]!.filter((n) => n >= 0 && size[n]! <= 4))
    const others = problem.parts.flatMap((p, i) => {
      if (p.at || i === chip || p.package.lands.length >= problem.parts[chip]!.package.lands.length) return []
      const shared = nets[i]!.filter((n) => own.has(n)).length
      return 2 * shared >= nets[i]!.length ? [i] : []
    })
    return others.length > 0 ? [[chip, ...others]] : []
  })
}

const sameEdge = (a: Float64Array, e: number, b: Float64Array, f: number): boolean =>
  a[4 * e] === b[4 * f] &&
  a[4 * e + 1] === b[4 * f + 1] &&
  a[4 * e + 2] === b[4 * f + 2] &&
  a[4 * e + 3] === b[4 * f + 3]

function copyEdge(to: Float64Array, e: number, from: Float64Array, f: number): void {
  for (let i = 0; i < 4; i++) to[4 * e + i] = from[4 * f + i]!
}

const snap = (v: number): number => Math.round(v / placeStep) * placeStep
