// The order of strokes and holes with the least travel between them: a travelling-salesman tour in which every
// stroke is a forced edge that may be run either way. Nearest neighbour, then 2-opt and Or-opt (up to three strokes
// at a time, either way round) over neighbour lists, then local double-bridge kicks kept only when they help.
// Steps are bounded and seeded: same input, same order. (Croes 1958, Or 1976, Martin, Otto & Felten 1991; from memory.)

import { random } from "../0-ground/numbers/random.ts"
import type { Work } from "../0-ground/progress.ts"

export interface Ends {
  /** Four numbers a stroke: ax, ay, bx, by. A hole has both ends equal. */
  readonly xy: Float64Array
  /** Distances rounded to whole numbers, as the published test sets count. */
  readonly whole?: boolean
}

export interface PassOrder {
  /** Stroke numbers in the order they are cut, starting with stroke 0. */
  readonly order: readonly number[]
  /** True where the stroke is run from its second end to its first, by place in `order`. */
  readonly reversed: readonly boolean[]
  /** Length between strokes, the way back to the first included. */
  readonly travel: number
  /** The same for the nearest-neighbour tour the search began with. */
  readonly before: number
}

const neighbours = 16
const kickWindow = 30

/** Distance between two ends; end 2s is stroke s's first, 2s + 1 its second. */
export function endDistance({ xy, whole }: Ends, e: number, f: number): number {
  const dx = xy[2 * e]! - xy[2 * f]!
  const dy = xy[2 * e + 1]! - xy[2 * f + 1]!
  const d = Math.sqrt(dx * dx + dy * dy)
  return whole ? Math.floor(d + 0.5) : d
}

/** Travel of a tour given as ends in running order (first, second, first, second …). */
export function tourTravel(ends: Ends, tour: ArrayLike<number>): number {
  let sum = 0
  for (let p = 1; p < tour.length; p += 2) sum += endDistance(ends, tour[p]!, tour[(p + 1) % tour.length]!)
  return sum
}

export function* orderPasses(ends: Ends, seed: number, kicks?: number): Work<PassOrder> {
  const count = ends.xy.length / 4
  const near = nearestEnds(ends)
  const tour = nearestNeighbour(ends)
  const before = tourTravel(ends, tour)
  if (count > 3) yield* improve(ends, near, tour, seed, kicks ?? Math.min(15_000, 60 * count))
  return read(ends, tour, before)
}

function read(ends: Ends, tour: Int32Array, before: number): PassOrder {
  const count = tour.length / 2
  let at = 0
  while (at < tour.length && tour[at]! >> 1 !== 0) at += 2
  const order: number[] = []
  const reversed: boolean[] = []
  for (let k = 0; k < count; k++) {
    const e = tour[(at + 2 * k) % tour.length]!
    order.push(e >> 1)
    reversed.push((e & 1) === 1)
  }
  return { order, reversed, travel: tourTravel(ends, tour), before }
}

/** From stroke 0 always on to the nearest end left; ties to the lower number. */
export function nearestNeighbour(ends: Ends): Int32Array {
  const count = ends.xy.length / 4
  const tour = new Int32Array(2 * count)
  const used = new Uint8Array(count)
  let exit = 1
  if (count > 0) {
    used[0] = 1
    tour[0] = 0
    tour[1] = 1
  }
  for (let k = 1; k < count; k++) {
    let best = -1
    let least = Number.POSITIVE_INFINITY
    for (let e = 0; e < 2 * count; e++) {
      if (used[e >> 1] === 1) continue
      const d = endDistance(ends, exit, e)
      if (d < least) {
        least = d
        best = e
      }
    }
    used[best >> 1] = 1
    tour[2 * k] = best
    tour[2 * k + 1] = best ^ 1
    exit = best ^ 1
  }
  return tour
}

interface Near {
  readonly ends: Int32Array
  readonly distance: Float64Array
}

/** For every end the nearest ends of other strokes, nearest first. */
function nearestEnds(ends: Ends): Near[] {
  const n = ends.xy.length / 2
  const keep = Math.min(neighbours, Math.max(0, n - 2))
  const lists: Near[] = []
  for (let e = 0; e < n; e++) {
    const list = new Int32Array(keep)
    const best = new Float64Array(keep)
    let filled = 0
    for (let f = 0; f < n; f++) {
      if (f >> 1 === e >> 1) continue
      const d = endDistance(ends, e, f)
      if (filled === keep && d >= best[keep - 1]!) continue
      let k = filled < keep ? filled++ : keep - 1
      while (k > 0 && best[k - 1]! > d) {
        best[k] = best[k - 1]!
        list[k] = list[k - 1]!
        k--
      }
      best[k] = d
      list[k] = f
    }
    lists.push({ ends: list, distance: best })
  }
  return lists
}

function* improve(
  ends: Ends,
  near: readonly Near[],
  tour: Int32Array,
  seed: number,
  kicks: number,
): Work<void> {
  const n = tour.length
  const place = new Int32Array(n)
  for (let p = 0; p < n; p++) place[tour[p]!] = p
  const d = (e: number, f: number) => endDistance(ends, e, f)
  const ahead = (p: number) => (p + 1 === n ? 0 : p + 1)
  const behind = (p: number) => (p === 0 ? n - 1 : p - 1)
  const log: number[] = []
  const queue: number[] = []
  const waiting = new Uint8Array(n)
  const wake = (e: number) => {
    if (waiting[e] === 0) {
      waiting[e] = 1
      queue.push(e)
    }
  }

  /** Turns round the places from p to q (cyclic); as a ring the same as turning round the rest. */
  const turnRound = (p: number, q: number) => {
    let size = (q - p + n) % n
    if (2 * (size + 1) > n) {
      const first = p
      p = ahead(q)
      q = behind(first)
      size = (q - p + n) % n
    }
    for (let k = (size + 1) >> 1; k > 0; k--) {
      const e = tour[p]!
      const f = tour[q]!
      tour[p] = f
      place[f] = p
      tour[q] = e
      place[e] = q
      p = ahead(p)
      q = behind(q)
    }
  }
  /** Replaces the links u–v and w–x by u–w and v–x, where v follows u and x follows w (or both the other way). */
  const exchange = (u: number, v: number, w: number, x: number) => {
    if (tour[ahead(place[u]!)] === v && (place[u]! & 1) === 1) turnRound(place[v]!, place[w]!)
    else turnRound(place[u]!, place[x]!)
  }
  const move = (u: number, v: number, w: number, x: number) => {
    exchange(u, v, w, x)
    log.push(u, v, w, x)
  }
  const linked = (e: number) => {
    const p = place[e]!
    return tour[(p & 1) === 1 ? ahead(p) : behind(p)]!
  }

  /** Swaps the neighbouring runs s1…s2 and m1…m2 between `prev` and `next`, the first one turned round or not. */
  const swapRuns = (
    prev: number,
    s1: number,
    s2: number,
    m1: number,
    m2: number,
    next: number,
    turned: boolean,
  ) => {
    move(prev, s1, m2, next)
    move(prev, m2, m1, s2)
    if (!turned) move(m2, s2, s1, next)
  }

  const tryEnd = (a: number): number => {
    const b = linked(a)
    const ab = d(a, b)
    const { ends: list, distance } = near[a]!
    for (let k = 0; k < list.length; k++) {
      const ac = distance[k]!
      if (ac >= ab - 1e-9) break
      const c = list[k]!
      if (((place[a]! ^ place[c]!) & 1) !== 0) continue
      const e = linked(c)
      if (c === b) continue
      const change = ac + d(b, e) - ab - d(c, e)
      if (change < -1e-9) {
        move(a, b, c, e)
        wake(a)
        wake(b)
        wake(c)
        wake(e)
        return change
      }
    }
    // Or-opt: the run of 1–3 strokes that has `a` at one end goes beside c.
    const forward = (place[a]! & 1) === 0
    for (let size = 1; size <= 3 && 2 * size < n - 2; size++) {
      const z = tour[(place[a]! + (forward ? 2 * size - 1 : n - 2 * size + 1)) % n]!
      const beforeRun = b
      const afterRun = linked(z)
      const gain = ab + d(z, afterRun) - d(beforeRun, afterRun)
      if (gain <= 1e-9) continue
      for (let k = 0; k < list.length; k++) {
        const ac = distance[k]!
        if (ac >= gain - 1e-9) break
        const c = list[k]!
        const inRun = forward
          ? (place[c]! - place[a]! + n) % n < 2 * size
          : (place[a]! - place[c]! + n) % n < 2 * size
        if (inRun) continue
        const e = linked(c)
        if (e === a || e === z) continue
        const change = ac + d(z, e) - d(c, e) - gain
        if (change >= -1e-9) continue
        // As the ring runs: prev, s1…s2, m1…m2, next, with the run put between m2 and next.
        const [prev, s1, s2, m1] = forward ? [beforeRun, a, z, afterRun] : [afterRun, z, a, beforeRun]
        const cIsExit = (place[c]! & 1) === 1
        const m2 = cIsExit ? c : e
        const next = cIsExit ? e : c
        swapRuns(prev, s1, s2, m1, m2, next, (m2 === c) !== (s1 === a))
        for (const end of [a, z, beforeRun, afterRun, c, e]) wake(end)
        return change
      }
    }
    return 0
  }
  const settle = (): number => {
    let change = 0
    for (let head = 0; head < queue.length; ) {
      const e = queue[head++]!
      waiting[e] = 0
      for (let step = tryEnd(e); step < 0; step = tryEnd(e)) change += step
      if (head > 4096) {
        queue.splice(0, head)
        head = 0
      }
    }
    queue.length = 0
    return change
  }

  for (let p = 0; p < n; p++) wake(tour[p]!)
  settle()
  const strokes = n / 2
  const chance = random(seed)
  const window = Math.min(strokes - 1, kickWindow)
  for (let kick = 0; strokes >= 8 && kick < kicks; kick++) {
    log.length = 0
    const start = chance.below(strokes)
    const first = 1 + chance.below(window - 2)
    const second = first + 1 + chance.below(window - first - 1)
    const at = (k: number) => (2 * (start + k)) % n
    const s1 = tour[at(1)]!
    const prev = tour[behind(at(1))]!
    const s2 = tour[behind(at(first + 1))]!
    const m1 = tour[at(first + 1)]!
    const m2 = tour[behind(at(second + 1))]!
    const next = tour[at(second + 1)]!
    if (next === s1 || prev === m2) continue
    const kicked = d(prev, m1) + d(m2, s1) + d(s2, next) - d(prev, s1) - d(s2, m1) - d(m2, next)
    swapRuns(prev, s1, s2, m1, m2, next, false)
    for (const e of [prev, s1, s2, m1, m2, next]) wake(e)
    if (kicked + settle() > 1e-9) {
      for (let k = log.length - 4; k >= 0; k -= 4) {
        exchange(log[k]!, log[k + 2]!, log[k + 1]!, log[k + 3]!)
      }
    }
    if (kick % 500 === 499) yield { stage: "cut order", done: kick / kicks }
  }
}
