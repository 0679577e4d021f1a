// Where parts may stand on a board: a raster of shut cells (outside, at the edge, under a screw, on a fixed part)
// with running sums, so that one box is judged in four look-ups.

import type { Point } from "../0-ground/geometry/point.ts"
import { pointToSpan } from "../0-ground/geometry/segment.ts"
import type { Random } from "../0-ground/numbers/random.ts"
import type { BoardProblem } from "./board-problem.ts"
import { courtGap } from "./court-gap.ts"
import type { Court } from "./footprint.ts"

const cell = 0.254
/** Distance between the samples of a turned box, mm. */
const sample = 0.5

export interface Room {
  readonly width: number
  readonly height: number
  readonly maxX: number
  readonly maxY: number
  /** About how many mm² of a part's courts with the part at (x, y) are shut; 0 means it stands free. */
  shut(courts: readonly Court[], x: number, y: number): number
  inside(x: number, y: number): boolean
  /** About how far the nearest shut cell is, mm (chamfer distance, within a tenth); 0 when shut. */
  clear(x: number, y: number): number
  anyPlace(rnd: Random): { x: number; y: number }
  /** Cost of a wire pad standing here. */
  wirePull(x: number, y: number): number
  /** mm² where a part may stand. */
  readonly freeArea: number
}

const known = new WeakMap<BoardProblem, { readonly margin: number; readonly room: Room }>()

/** `fixed`: courts of the problem's parts with a given place. The room of a problem is worked out once. */
export function roomOf(problem: BoardProblem, fixed: readonly Court[], margin: number): Room {
  const was = known.get(problem)
  if (was?.margin === margin) return was.room
  const room = makeRoom(problem, fixed, margin)
  known.set(problem, { margin, room })
  return room
}

function makeRoom(problem: BoardProblem, fixed: readonly Court[], margin: number): Room {
  let maxX = 0
  let maxY = 0
  for (const p of problem.outline) {
    maxX = Math.max(maxX, p.x)
    maxY = Math.max(maxY, p.y)
  }
  const columns = Math.ceil(maxX / cell) + 1
  const rows = Math.ceil(maxY / cell) + 1
  const ring = problem.outline
  const need = problem.edge + cell / 2
  const depth = depths(ring, columns, rows)
  const shutAt = new Uint8Array(columns * rows)
  for (let k = 0; k < shutAt.length; k++) if (depth[k]! < need) shutAt[k] = 1
  /** Shuts the cells of a box round (x, y) whose middles are `on` something. */
  const shutNear = (
    x: number,
    y: number,
    hw: number,
    hh: number,
    on: (px: number, py: number) => boolean,
  ) => {
    const c0 = Math.max(0, Math.floor((x - hw) / cell) - 1)
    const c1 = Math.min(columns - 1, Math.ceil((x + hw) / cell) + 1)
    const r0 = Math.max(0, Math.floor((y - hh) / cell) - 1)
    const r1 = Math.min(rows - 1, Math.ceil((y + hh) / cell) + 1)
    for (let r = r0; r <= r1; r++)
      for (let c = c0; c <= c1; c++)
        if (!shutAt[r * columns + c] && on((c + 0.5) * cell, (r + 0.5) * cell)) shutAt[r * columns + c] = 1
  }
  for (const s of problem.screws) {
    const far = s.keepOut + cell / 2
    shutNear(s.x, s.y, far, far, (x, y) => Math.hypot(x - s.x, y - s.y) < far)
  }
  let free = 0
  for (let k = 0; k < shutAt.length; k++) if (!shutAt[k]) free++
  // A fixed part keeps its margin on both sides: its own and the newcomer's.
  const point: Court = { x: 0, y: 0, hw: 0, hh: 0, disc: true, c: 1, s: 0, boxW: 0, boxH: 0 }
  for (const f of fixed)
    shutNear(
      f.x,
      f.y,
      f.boxW + 2 * margin,
      f.boxH + 2 * margin,
      (x, y) => courtGap(f, 0, 0, point, x, y, 2 * margin) < 2 * margin,
    )
  const sums = new Int32Array((columns + 1) * (rows + 1))
  for (let r = 0; r < rows; r++)
    for (let c = 0; c < columns; c++)
      sums[(r + 1) * (columns + 1) + c + 1] =
        shutAt[r * columns + c]! +
        sums[r * (columns + 1) + c + 1]! +
        sums[(r + 1) * (columns + 1) + c]! -
        sums[r * (columns + 1) + c]!
  const clearAt = chamfer(shutAt, columns, rows)
  const clampC = (v: number) => Math.max(0, Math.min(columns, v))
  const clampR = (v: number) => Math.max(0, Math.min(rows, v))
  const upright = (x: number, y: number, hw: number, hh: number): number => {
    const c0 = Math.round((x - hw) / cell)
    const c1 = Math.round((x + hw) / cell)
    const r0 = Math.round((y - hh) / cell)
    const r1 = Math.round((y + hh) / cell)
    const w = columns + 1
    const a = clampC(c0)
    const b = clampC(c1)
    const d = clampR(r0)
    const e = clampR(r1)
    const inGrid = Math.max(0, b - a) * Math.max(0, e - d)
    const off = (c1 - c0) * (r1 - r0) - inGrid
    const on = b > a && e > d ? sums[e * w + b]! - sums[d * w + b]! - sums[e * w + a]! + sums[d * w + a]! : 0
    return (on + off) * cell * cell
  }
  /** No cell that a box round (x, y) touches is shut. */
  const allFree = (x: number, y: number, hw: number, hh: number): boolean => {
    const c0 = Math.floor((x - hw) / cell)
    const c1 = Math.floor((x + hw) / cell) + 1
    const r0 = Math.floor((y - hh) / cell)
    const r1 = Math.floor((y + hh) / cell) + 1
    if (c0 < 0 || r0 < 0 || c1 > columns || r1 > rows) return false
    const w = columns + 1
    return sums[r1 * w + c1]! - sums[r0 * w + c1]! - sums[r1 * w + c0]! + sums[r0 * w + c0]! === 0
  }
  // Samples along the rim and the middle line; what is shut is round and larger than the gaps between them.
  const turned = (t: Court, x: number, y: number): number => {
    if (allFree(x, y, t.boxW, t.boxH)) return 0
    const n = Math.ceil((2 * t.hw) / sample)
    const m = Math.ceil((2 * t.hh) / sample)
    let count = 0
    for (let i = 0; i <= n; i++) {
      const u = -t.hw + (2 * t.hw * i) / n
      const step = i === 0 || i === n ? 1 : m > 1 ? m / 2 : m
      for (let j = 0; j <= m; j += step) {
        const v = -t.hh + (2 * t.hh * j) / m
        const k = at(x + u * t.c - v * t.s, y + u * t.s + v * t.c)
        if (k < 0 || shutAt[k]) count++
      }
    }
    return count * sample * sample * 2
  }
  const at = (x: number, y: number): number => {
    const c = Math.floor(x / cell)
    const r = Math.floor(y / cell)
    return c < 0 || r < 0 || c >= columns || r >= rows ? -1 : r * columns + c
  }
  const inside = (x: number, y: number) => {
    const k = at(x, y)
    return k >= 0 && depth[k]! > 0
  }
  return {
    width: maxX,
    height: maxY,
    maxX,
    maxY,
    freeArea: free * cell * cell,
    inside,
    clear(x, y) {
      const k = at(x, y)
      return k < 0 ? 0 : clearAt[k]!
    },
    shut(courts, x, y) {
      let sum = 0
      for (const t of courts)
        sum += t.s === 0 ? upright(x + t.x, y + t.y, t.hw, t.hh) : turned(t, x + t.x, y + t.y)
      return sum
    },
    anyPlace(rnd) {
      for (let i = 0; i < 2000; i++) {
        const p = { x: rnd.next() * maxX, y: rnd.next() * maxY }
        if (inside(p.x, p.y))
          return { x: Math.round(p.x / 0.508) * 0.508, y: Math.round(p.y / 0.508) * 0.508 }
      }
      return { x: maxX / 2, y: maxY / 2 }
    },
    wirePull(x, y) {
      // Beside the slots of the tie that holds the wires there.
      if (problem.wiresAt)
        return 8 * Math.max(0, Math.hypot(x - problem.wiresAt.x, y - problem.wiresAt.y) - 8)
      const k = at(x, y)
      // A pad's land and its wire want the edge, two to three millimetres in.
      return k < 0 ? 0 : 1.5 * Math.max(0, depth[k]! - 3)
    },
  }
}

/** Distance of each cell's middle to the outline, mm; 0 outside. */
function depths(ring: readonly Point[], columns: number, rows: number): Float32Array {
  const out = new Float32Array(columns * rows)
  const n = ring.length
  const middleX = new Float64Array(n)
  const middleY = new Float64Array(n)
  const half = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    const a = ring[(i + n - 1) % n]!
    const b = ring[i]!
    middleX[i] = (a.x + b.x) / 2
    middleY[i] = (a.y + b.y) / 2
    half[i] = Math.hypot(a.x - b.x, a.y - b.y) / 2 + 1e-9
  }
  const side = (x: number, y: number, i: number) => {
    const a = ring[(i + n - 1) % n]!
    const b = ring[i]!
    return pointToSpan(x, y, a.x, a.y, b.x, b.y)
  }
  let near = 0
  for (let r = 0; r < rows; r++) {
    const y = (r + 0.5) * cell
    const crossings = rowCrossings(ring, y)
    for (let c = 0, k = 0; c < columns; c++) {
      const x = (c + 0.5) * cell
      while (k < crossings.length && crossings[k]! <= x) k++
      // As many crossings to the right as to the left of an inside point are odd.
      if ((crossings.length - k) % 2 === 0) continue
      // The side that was nearest to the cell before is tried first: it rules most others out at a glance.
      let d = side(x, y, near)
      for (let i = 0; i < n; i++) {
        const dx = x - middleX[i]!
        const dy = y - middleY[i]!
        const reach = d + half[i]!
        if (dx * dx + dy * dy > reach * reach) continue
        const here = side(x, y, i)
        if (here < d) {
          d = here
          near = i
        }
      }
      out[r * columns + c] = d
    }
  }
  return out
}

/** Where a level line crosses a ring, from the left; the same rule as `contains`. */
function rowCrossings(ring: readonly Point[], y: number): number[] {
  const out: number[] = []
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const a = ring[i]!
    const b = ring[j]!
    if (a.y > y !== b.y > y) out.push(((b.x - a.x) * (y - a.y)) / (b.y - a.y) + a.x)
  }
  return out.sort((a, b) => a - b)
}

/** Two sweeps with steps 1 and √2. */
function chamfer(shut: Uint8Array, columns: number, rows: number): Float32Array {
  const out = new Float32Array(shut.length)
  const d = cell * Math.SQRT2
  for (let k = 0; k < out.length; k++) out[k] = shut[k] ? 0 : 1e3
  for (let r = 1; r < rows; r++)
    for (let c = 1; c < columns - 1; c++) {
      const k = r * columns + c
      const up = k - columns
      const straight = Math.min(out[k - 1]!, out[up]!) + cell
      const across = Math.min(out[up - 1]!, out[up + 1]!) + d
      out[k] = Math.min(out[k]!, straight, across)
    }
  for (let r = rows - 2; r >= 0; r--)
    for (let c = columns - 2; c > 0; c--) {
      const k = r * columns + c
      const down = k + columns
      const straight = Math.min(out[k + 1]!, out[down]!) + cell
      const across = Math.min(out[down + 1]!, out[down - 1]!) + d
      out[k] = Math.min(out[k]!, straight, across)
    }
  return out
}
