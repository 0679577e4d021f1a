// From a sketch to copper: every connection is a rope of short pieces that starts along its sketched line, thin, then
// grows to its width. Ropes pull taut and push one another, lands, screws and outline to legal distances; since no
// step is longer than the room they have, none ever jumps over another, and the sketch's order holds.

import type { Work } from "../0-ground/progress.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import { CellLists } from "./cell-lists.ts"
import { type RouteTask, drawnApart as spare } from "./route-task.ts"
import { obstacles } from "./tidy-tracks.ts"

export interface Strand {
  readonly net: number
  readonly line: readonly { readonly x: Mm; readonly y: Mm }[]
}

/** Where two things could not be parted. */
export interface Squeeze {
  readonly x: Mm
  readonly y: Mm
  /** Missing room, mm. */
  readonly lack: Mm
  /** Strands pressed; the second is −1 where a land, a screw or the outline stands. */
  readonly strands: readonly [number, number]
}

export interface Drawn {
  /** One for each strand. */
  readonly lines: readonly (readonly { readonly x: Mm; readonly y: Mm }[])[]
  readonly squeezes: readonly Squeeze[]
}

/** Length of a rope's pieces, mm. */
const piece = 0.55
/** Furthest any point moves at once, mm, at full width. */
const stride = 0.12
/** Pairs are listed anew when points may have moved so far, mm. */
const skin = 0.5
/** Side of the cells they are looked up in, mm. */
const cell = 2
const growing = 50
const taut = 40
const settling = 160

export function* drawTracks(task: RouteTask, strands: readonly Strand[]): Work<Drawn> {
  const ropes = new Ropes(task, strands)
  for (let k = 0; k < growing; k++) {
    ropes.step(0.15 + (0.85 * k) / growing, 0.5)
    if (k % 10 === 9) yield { stage: "draw", done: k / (growing + taut + settling) }
  }
  for (let k = 0; k < taut; k++) {
    ropes.step(1, 0.5 * (1 - k / taut))
    if (k % 10 === 9) yield { stage: "draw", done: (growing + k) / (growing + taut + settling) }
  }
  for (let k = 0; k < settling; k++) {
    const worst = ropes.step(1, 0)
    if (worst < spare * 0.8) break
    if (k % 10 === 9) yield { stage: "draw", done: (growing + taut + k) / (growing + taut + settling) }
  }
  return { lines: ropes.lines(), squeezes: ropes.squeezes() }
}

class Ropes {
  private readonly x: Float64Array
  private readonly y: Float64Array
  private readonly dx: Float64Array
  private readonly dy: Float64Array
  /** Strand of each point. */
  private readonly of: Int32Array
  /** 0 at the ends, which stay. */
  private readonly free: Uint8Array
  private readonly first: Int32Array
  private readonly net: Int32Array
  private readonly half: Float64Array
  private readonly clearance: number
  // Obstacles as swept discs.
  private readonly ox0: Float64Array
  private readonly oy0: Float64Array
  private readonly ox1: Float64Array
  private readonly oy1: Float64Array
  private readonly or: Float64Array
  private readonly oNet: Int32Array
  private pairs = new Int32Array(1 << 14)
  private pairCount = 0
  private walls = new Int32Array(1 << 13)
  private wallCount = 0
  private moved = Number.POSITIVE_INFINITY
  /** For each piece: with which other it was compared last; its middle and half its length. */
  private readonly tried: Int32Array
  private readonly midX: Float64Array
  private readonly midY: Float64Array
  private readonly span: Float64Array
  private readonly boxes: Float64Array
  private readonly near = new CellLists(cell)
  private readonly wallsNear = new CellLists(cell)
  /** For each obstacle: with which piece it was compared last. */
  private readonly seen: Int32Array
  private widest = 0

  constructor(task: RouteTask, strands: readonly Strand[]) {
    const xs: number[] = []
    const ys: number[] = []
    const of: number[] = []
    const free: number[] = []
    const first: number[] = []
    for (const [s, { line }] of strands.entries()) {
      first.push(xs.length)
      for (let i = 0; i < line.length; i++) {
        const a = line[Math.max(0, i - 1)]!
        const b = line[i]!
        const n = i === 0 ? 1 : Math.max(1, Math.round(Math.hypot(b.x - a.x, b.y - a.y) / piece))
        for (let k = 1; k <= n; k++) {
          xs.push(a.x + ((b.x - a.x) * k) / n)
          ys.push(a.y + ((b.y - a.y) * k) / n)
          of.push(s)
          free.push(1)
        }
      }
      free[first[s]!] = 0
      free[free.length - 1] = 0
    }
    first.push(xs.length)
    this.x = Float64Array.from(xs)
    this.y = Float64Array.from(ys)
    this.dx = new Float64Array(xs.length)
    this.dy = new Float64Array(xs.length)
    this.tried = new Int32Array(xs.length)
    this.midX = new Float64Array(xs.length)
    this.midY = new Float64Array(xs.length)
    this.span = new Float64Array(xs.length)
    this.boxes = new Float64Array(4 * xs.length)
    this.of = Int32Array.from(of)
    this.free = Uint8Array.from(free)
    this.first = Int32Array.from(first)
    this.net = Int32Array.from(strands, (s) => s.net)
    this.half = Float64Array.from(strands, (s) => task.halfWidth[s.net]!)
    this.clearance = task.clearance
    const walls = obstacles(task)
    this.ox0 = Float64Array.from(walls, (w) => w.ax)
    this.oy0 = Float64Array.from(walls, (w) => w.ay)
    this.ox1 = Float64Array.from(walls, (w) => w.bx)
    this.oy1 = Float64Array.from(walls, (w) => w.by)
    this.or = Float64Array.from(walls, (w) => w.r)
    this.oNet = Int32Array.from(walls, (w) => w.net)
    this.seen = new Int32Array(walls.length)
    for (const h of this.half) this.widest = Math.max(this.widest, h)
    this.binWalls()
  }

  /** One round at a share of the full distances; the worst lack of room met, mm. */
  step(share: number, tension: number): number {
    const { x, y, dx, dy, free, of } = this
    const n = x.length
    const limit = stride * share
    let far = 0
    if (tension > 0) {
      for (let i = 1; i + 1 < n; i++) {
        if (!free[i]) continue
        dx[i] = tension * (0.5 * (x[i - 1]! + x[i + 1]!) - x[i]!)
        dy[i] = tension * (0.5 * (y[i - 1]! + y[i + 1]!) - y[i]!)
      }
      for (let i = 1; i + 1 < n; i++) {
        if (!free[i]) continue
        const d = Math.hypot(dx[i]!, dy[i]!)
        const f = d > limit ? limit / d : 1
        x[i] = x[i]! + f * dx[i]!
        y[i] = y[i]! + f * dy[i]!
        if (f * d > far) far = f * d
      }
      this.moved += far
    }
    if (this.moved > skin / 2) this.list()
    let worst = 0
    let shift = 0
    const { half, clearance, walls, pairs, or } = this
    for (let k = 0; k < this.wallCount; k += 2) {
      const i = walls[k]!
      const w = walls[k + 1]!
      const need = share * (half[of[i]!]! + or[w]! + clearance + spare)
      const lack = this.part(i, -1 - w, need, limit)
      if (lack > worst) worst = lack
      if (lack > shift) shift = lack
    }
    for (let k = 0; k < this.pairCount; k += 2) {
      const i = pairs[k]!
      const j = pairs[k + 1]!
      const need = share * (half[of[i]!]! + half[of[j]!]! + clearance + spare)
      const lack = this.part(i, j, need, limit)
      if (lack > worst) worst = lack
      if (lack > shift) shift = lack
    }
    this.moved += Math.min(limit, shift)
    return worst
  }

  // What `nearest` found.
  private s = 0
  private t = 0
  private nx = 0
  private ny = 0

  /** Distance between piece i and piece j (or obstacle −1 − j), with the places and the direction from the latter. */
  private nearest(i: number, j: number): number {
    const { x, y } = this
    const ax = x[i]!
    const ay = y[i]!
    const ux = x[i + 1]! - ax
    const uy = y[i + 1]! - ay
    let cx: number
    let cy: number
    let vx: number
    let vy: number
    if (j >= 0) {
      cx = x[j]!
      cy = y[j]!
      vx = x[j + 1]! - cx
      vy = y[j + 1]! - cy
    } else {
      const w = -1 - j
      cx = this.ox0[w]!
      cy = this.oy0[w]!
      vx = this.ox1[w]! - cx
      vy = this.oy1[w]! - cy
    }
    const uu = ux * ux + uy * uy
    const vv = vx * vx + vy * vy
    let best = Number.POSITIVE_INFINITY
    for (let end = 0; end < 4; end++) {
      let s: number
      let t: number
      if (end < 2) {
        t = end
        const px = cx + t * vx
        const py = cy + t * vy
        s = uu === 0 ? 0 : ((px - ax) * ux + (py - ay) * uy) / uu
        s = Math.max(0, Math.min(s, 1))
      } else {
        s = end - 2
        const px = ax + s * ux
        const py = ay + s * uy
        t = vv === 0 ? 0 : ((px - cx) * vx + (py - cy) * vy) / vv
        t = Math.max(0, Math.min(t, 1))
      }
      const ex = ax + s * ux - cx - t * vx
      const ey = ay + s * uy - cy - t * vy
      const d = ex * ex + ey * ey
      if (d < best) {
        best = d
        this.s = s
        this.t = t
        this.nx = ex
        this.ny = ey
      }
    }
    const d = Math.sqrt(best)
    if (d > 1e-9) {
      this.nx /= d
      this.ny /= d
    }
    return d
  }

  /** Pushes piece i and piece j (or obstacle −1 − j) apart to `need`; the lack there was. */
  private part(i: number, j: number, need: number, limit: number): number {
    const { x, y, free } = this
    const d = this.nearest(i, j)
    if (d >= need || d < 1e-9) return 0
    const { s, t, nx, ny } = this
    const a = (1 - s) * free[i]!
    const b = s * free[i + 1]!
    let sum = a * (1 - s) + b * s
    let c = 0
    let e = 0
    if (j >= 0) {
      c = (1 - t) * free[j]!
      e = t * free[j + 1]!
      sum += c * (1 - t) + e * t
    }
    if (sum < 1e-6) return need - d
    const push = Math.min((need - d) / sum, limit)
    x[i] = x[i]! + a * push * nx
    y[i] = y[i]! + a * push * ny
    x[i + 1] = x[i + 1]! + b * push * nx
    y[i + 1] = y[i + 1]! + b * push * ny
    if (j >= 0) {
      x[j] = x[j]! - c * push * nx
      y[j] = y[j]! - c * push * ny
      x[j + 1] = x[j + 1]! - e * push * nx
      y[j + 1] = y[j + 1]! - e * push * ny
    }
    return need - d
  }

  /** Lists everything that may meet before points have moved by half the skin. */
  private list(): void {
    this.moved = 0
    this.pairCount = 0
    this.wallCount = 0
    const { x, y, of, net, half, clearance } = this
    const n = x.length
    const { tried, midX, midY, span, boxes, near, widest } = this
    tried.fill(-1)
    for (let i = 0; i + 1 < n; i++) {
      // No piece runs from one strand to the next: its box is put where it meets nobody.
      const long = of[i] === of[i + 1] ? 0.5 * Math.hypot(x[i + 1]! - x[i]!, y[i + 1]! - y[i]!) : -1
      const reach = long < 0 ? 0 : skin + long + widest + 0.5 * clearance
      midX[i] = 0.5 * (x[i]! + x[i + 1]!)
      midY[i] = 0.5 * (y[i]! + y[i + 1]!)
      span[i] = long
      boxes[4 * i] = midX[i]! - reach
      boxes[4 * i + 1] = midY[i]! - reach
      boxes[4 * i + 2] = midX[i]! + reach
      boxes[4 * i + 3] = midY[i]! + reach
    }
    near.fill(boxes, Math.max(0, n - 1))
    for (let i = 0; i + 1 < n; i++) {
      const long = span[i]!
      if (long < 0) continue
      const own = net[of[i]!]!
      const wide = half[of[i]!]! + clearance + spare + skin
      const x1 = Math.floor(boxes[4 * i + 2]! / cell)
      const y1 = Math.floor(boxes[4 * i + 3]! / cell)
      for (let by = Math.floor(boxes[4 * i + 1]! / cell); by <= y1; by++)
        for (let bx = Math.floor(boxes[4 * i]! / cell); bx <= x1; bx++) {
          const at = near.cell(bx, by)
          const end = near.end(at)
          for (let k = near.first(at); k < end; k++) {
            const j = near.item(k)
            if (j >= i) break
            if (tried[j] === i || span[j]! < 0 || net[of[j]!] === own) continue
            tried[j] = i
            const enough = wide + half[of[j]!]!
            // Their middles alone say that most are too far.
            const far = enough + long + span[j]! + 1e-9
            const ex = midX[j]! - midX[i]!
            const ey = midY[j]! - midY[i]!
            if (ex * ex + ey * ey > far * far) continue
            if (this.nearest(i, j) < enough) this.addPair(i, j)
          }
        }
    }
    const { wallsNear, seen } = this
    seen.fill(-1)
    for (let i = 0; i + 1 < n; i++) {
      if (span[i]! < 0) continue
      const own = net[of[i]!]!
      const x1 = Math.floor(Math.max(x[i]!, x[i + 1]!) / cell)
      const y1 = Math.floor(Math.max(y[i]!, y[i + 1]!) / cell)
      for (let by = Math.floor(Math.min(y[i]!, y[i + 1]!) / cell); by <= y1; by++)
        for (let bx = Math.floor(Math.min(x[i]!, x[i + 1]!) / cell); bx <= x1; bx++) {
          const at = wallsNear.cell(bx, by)
          if (at < 0) continue
          const end = wallsNear.end(at)
          for (let k = wallsNear.first(at); k < end; k++) {
            const w = wallsNear.item(k)
            if (seen[w] === i || this.oNet[w] === own) continue
            seen[w] = i
            const enough = half[of[i]!]! + this.or[w]! + clearance + spare + skin
            if (this.nearest(i, -1 - w) < enough) this.addWall(i, w)
          }
        }
    }
  }

  private binWalls(): void {
    const boxes = new Float64Array(4 * this.or.length)
    for (let w = 0; w < this.or.length; w++) {
      const reach = this.or[w]! + this.widest + this.clearance + spare + skin
      boxes[4 * w] = Math.min(this.ox0[w]!, this.ox1[w]!) - reach
      boxes[4 * w + 1] = Math.min(this.oy0[w]!, this.oy1[w]!) - reach
      boxes[4 * w + 2] = Math.max(this.ox0[w]!, this.ox1[w]!) + reach
      boxes[4 * w + 3] = Math.max(this.oy0[w]!, this.oy1[w]!) + reach
    }
    this.wallsNear.fill(boxes, this.or.length)
  }

  private addPair(i: number, j: number): void {
    if (this.pairCount + 2 > this.pairs.length) {
      const more = new Int32Array(this.pairs.length * 2)
      more.set(this.pairs)
      this.pairs = more
    }
    this.pairs[this.pairCount++] = i
    this.pairs[this.pairCount++] = j
  }

  private addWall(i: number, w: number): void {
    if (this.wallCount + 2 > this.walls.length) {
      const more = new Int32Array(this.walls.length * 2)
      more.set(this.walls)
      this.walls = more
    }
    this.walls[this.wallCount++] = i
    this.walls[this.wallCount++] = w
  }

  lines(): { x: number; y: number }[][] {
    return Array.from(this.net, (_, s) => {
      const out: { x: number; y: number }[] = []
      for (let i = this.first[s]!; i < this.first[s + 1]!; i++) out.push({ x: this.x[i]!, y: this.y[i]! })
      return out
    })
  }

  squeezes(): Squeeze[] {
    this.list()
    const { of, half, clearance, x, y } = this
    const out: Squeeze[] = []
    const look = (i: number, j: number, need: number) => {
      const d = this.nearest(i, j)
      if (d >= need - 1e-6) return
      const at = { x: x[i]! + this.s * (x[i + 1]! - x[i]!), y: y[i]! + this.s * (y[i + 1]! - y[i]!) }
      out.push({ ...at, lack: need - d, strands: [of[i]!, j >= 0 ? of[j]! : -1] })
    }
    for (let k = 0; k < this.wallCount; k += 2) {
      const [i, w] = [this.walls[k]!, this.walls[k + 1]!]
      look(i, -1 - w, half[of[i]!]! + this.or[w]! + clearance)
    }
    for (let k = 0; k < this.pairCount; k += 2) {
      const [i, j] = [this.pairs[k]!, this.pairs[k + 1]!]
      look(i, j, half[of[i]!]! + half[of[j]!]! + clearance)
    }
    return out
  }
}
