// Where two nets that should be apart run together: fronts grow from the lands and tracks of every net through the
// shorted copper; two nets' fronts meet first where a groove is most likely missing.

import { unionFind } from "../../0-ground/numbers/union-find.ts"
import type { Board } from "../../5-board/artefact.ts"
import type { Extracted } from "./extract-netlist.ts"
import type { CopperLabels } from "./label-copper.ts"

/** Cell of the search, in pixels of the raster. */
const coarse = 4

interface Met {
  readonly nets: readonly [string, string]
  readonly x: number
  readonly y: number
}

/**
 * One place for each further net of the group, nearest meetings first, so that together they span all its nets.
 * `members`: net → indices of its lands in this group.
 */
export function locateShort(
  board: Board,
  nets: readonly (string | undefined)[],
  joined: Extracted,
  labels: CopperLabels,
  group: number,
  members: ReadonlyMap<string, readonly number[]>,
): Met[] {
  const { raster } = labels
  const names = [...members.keys()]
  const number = new Map(names.map((n, i) => [n, i]))
  const pieces = new Set<number>()
  for (const [i, g] of joined.group.entries()) {
    if (g === group) for (const p of joined.pieces[i]!) pieces.add(p)
  }
  const w = Math.ceil(raster.width / coarse)
  const h = Math.ceil(raster.height / coarse)
  const cell = raster.pixel * coarse
  // −2: no copper of this group; −1: copper not reached; else the net whose front is here.
  const owner = new Int16Array(w * h).fill(-2)
  for (let j = 0; j < h; j++) {
    const row = Math.min(raster.height - 1, j * coarse + (coarse >> 1))
    for (let k = labels.rowStart[row]!; k < labels.rowStart[row + 1]!; k++) {
      if (!pieces.has(labels.piece[k]!)) continue
      const from = Math.ceil((labels.first[k]! - (coarse >> 1)) / coarse)
      const to = Math.floor((labels.last[k]! - (coarse >> 1)) / coarse)
      if (from <= to) owner.fill(-1, j * w + Math.max(0, from), j * w + Math.min(w - 1, to) + 1)
    }
  }
  const distance = new Int32Array(w * h)
  const queue = new Int32Array(w * h)
  let tail = 0
  const meetings: { a: number; b: number; at: number; d: number }[] = []
  const meet = (a: number, b: number, at: number, d: number) => {
    if (meetings.length < 200_000) meetings.push({ a, b, at, d })
  }
  const seed = (x: number, y: number, net: number) => {
    const i = Math.floor((x - raster.left) / cell)
    const j = Math.floor((y - raster.bottom) / cell)
    if (i < 0 || j < 0 || i >= w || j >= h) return
    const at = j * w + i
    if (owner[at] === -1) {
      owner[at] = net
      queue[tail++] = at
    } else if (owner[at]! >= 0 && owner[at] !== net) meet(owner[at]!, net, at, 0)
  }
  for (const [i, land] of board.lands.entries()) {
    const net = nets[i] === undefined ? undefined : number.get(nets[i])
    if (net === undefined) continue
    const r = Math.min(land.w, land.h) / 2
    for (let dy = -r; dy <= r; dy += cell) {
      for (let dx = -r; dx <= r; dx += cell) {
        if (dx * dx + dy * dy <= r * r) seed(land.x + dx, land.y + dy, net)
      }
    }
  }
  for (const track of board.tracks) {
    const net = number.get(track.net)
    if (net === undefined) continue
    for (let k = 1; k < track.points.length; k++) {
      const a = track.points[k - 1]!
      const b = track.points[k]!
      const steps = Math.max(1, Math.ceil(Math.hypot(b.x - a.x, b.y - a.y) / cell))
      for (let s = 0; s <= steps; s++) {
        seed(a.x + ((b.x - a.x) * s) / steps, a.y + ((b.y - a.y) * s) / steps, net)
      }
    }
  }
  for (let head = 0; head < tail; head++) {
    const at = queue[head]!
    const net = owner[at]!
    const d = distance[at]! + 1
    const i = at % w
    for (const next of [i > 0 ? at - 1 : -1, i < w - 1 ? at + 1 : -1, at - w, at + w]) {
      if (next < 0 || next >= w * h) continue
      const there = owner[next]!
      if (there === -1) {
        owner[next] = net
        distance[next] = d
        queue[tail++] = next
      } else if (there >= 0 && there !== net) meet(net, there, at, d + distance[next]!)
    }
  }
  return span(board, names, members, meetings, (at) => ({
    x: raster.left + ((at % w) + 0.5) * cell,
    y: raster.bottom + (Math.floor(at / w) + 0.5) * cell,
  }))
}

/**
 * The nearest meetings that join all nets, as a least tree would. A net that met nobody on the coarse cells
 * (the bridge is thinner than one) is joined halfway between the nearest lands.
 */
function span(
  board: Board,
  names: readonly string[],
  members: ReadonlyMap<string, readonly number[]>,
  meetings: { a: number; b: number; at: number; d: number }[],
  place: (at: number) => { x: number; y: number },
): Met[] {
  const sets = unionFind(names.length)
  const out: Met[] = []
  for (const m of meetings.sort((p, q) => p.d - q.d || p.at - q.at)) {
    if (sets.join(m.a, m.b)) out.push({ nets: [names[m.a]!, names[m.b]!], ...place(m.at) })
  }
  for (let i = 1; i < names.length; i++) {
    if (sets.find(i) === sets.find(0)) continue
    let best: Met | undefined
    let least = Number.POSITIVE_INFINITY
    for (const own of members.get(names[i]!) ?? []) {
      for (let k = 0; k < names.length; k++) {
        if (sets.find(k) === sets.find(i)) continue
        for (const other of members.get(names[k]!) ?? []) {
          const p = board.lands[own]!
          const q = board.lands[other]!
          const d = Math.hypot(p.x - q.x, p.y - q.y)
          if (d < least) {
            least = d
            best = { nets: [names[i]!, names[k]!], x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 }
          }
        }
      }
    }
    sets.join(0, i)
    if (best) out.push(best)
  }
  return out
}
