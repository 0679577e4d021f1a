// What the copper of a net costs in voltage: the longest electrical way between two of its lands, at the net's full
// current. Tracks count as drawn (the copper left is wider) and side ways are left out, so the true drop is less.

import type { Point } from "../0-ground/geometry/point.ts"
import type { Ampere, Mm, Volt } from "../0-ground/units/brand.ts"
import { copperPerKelvin } from "../1-stock/wire.ts"
import type { Board } from "./artefact.ts"

/** Ω·mm at 20 °C (annealed copper, IEC 60028, from memory). */
export const copperResistivity = 1.724e-5
/** Bare wire of a link, mm. */
const linkWire = 0.6

export interface VoltageDrop {
  readonly net: string
  readonly ohm: number
  readonly drop: Volt
  /** The two lands. */
  readonly from: string
  readonly to: string
  readonly at: Point
}

/** The net that loses most, or undefined where no net carries current between two lands. */
export function greatestDrop(
  board: Board,
  current: (net: string) => Ampere,
  foil: Mm,
  celsius: number,
): VoltageDrop | undefined {
  const rho = copperResistivity * (1 + copperPerKelvin * (celsius - 20))
  let worst: VoltageDrop | undefined
  for (const net of new Set(board.tracks.map((t) => t.net))) {
    const amps = current(net)
    if (!(amps > 0)) continue
    const way = longestWay(board, net, foil, rho)
    if (way && (!worst || amps * way.ohm > worst.drop)) worst = { ...way, net, drop: amps * way.ohm }
  }
  return worst
}

interface Edge {
  readonly to: number
  readonly ohm: number
}

function longestWay(board: Board, net: string, foil: Mm, rho: number) {
  const nodes: Point[] = []
  const edges: Edge[][] = []
  const add = (p: Point): number => {
    nodes.push(p)
    return edges.push([]) - 1
  }
  const join = (a: number, b: number, ohm: number) => {
    edges[a]!.push({ to: b, ohm })
    edges[b]!.push({ to: a, ohm })
  }
  const lands = board.lands.filter((l) => l.net === net)
  const landNode = lands.map((l) => add(l))
  const joints: { node: number; reach: number }[] = lands.map((l, i) => ({
    node: landNode[i]!,
    reach: Math.min(l.w, l.h) / 2,
  }))
  const tracks = board.tracks.filter((t) => t.net === net)
  const ends = tracks.map((t) => t.points.map((p) => add(p)))
  ends.forEach((list, t) => {
    for (const node of list) joints.push({ node, reach: tracks[t]!.width / 2 })
  })
  tracks.forEach(({ points, width }, t) => {
    const perMm = rho / (width * foil)
    for (let i = 1; i < points.length; i++) {
      const a = points[i - 1]!
      const b = points[i]!
      const length = Math.hypot(b.x - a.x, b.y - a.y)
      // Whatever ends upon this piece of track joins it where it stands.
      const on: { at: number; node: number }[] = [
        { at: 0, node: ends[t]![i - 1]! },
        { at: length, node: ends[t]![i]! },
      ]
      for (const { node, reach } of joints) {
        const p = nodes[node]!
        const f = length > 0 ? ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / (length * length) : 0
        const s = Math.max(0, Math.min(1, f))
        if (Math.hypot(a.x + s * (b.x - a.x) - p.x, a.y + s * (b.y - a.y) - p.y) < width / 2 + reach - 1e-6)
          on.push({ at: s * length, node })
      }
      on.sort((p, q) => p.at - q.at || p.node - q.node)
      for (let k = 1; k < on.length; k++)
        if (on[k]!.node !== on[k - 1]!.node)
          join(on[k - 1]!.node, on[k]!.node, (on[k]!.at - on[k - 1]!.at) * perMm)
    }
  })
  for (const l of board.links) {
    if (l.net !== net) continue
    const end = (pin: string) => landNode[lands.findIndex((q) => q.ref === l.ref && q.pin === pin)]
    const [a, b] = [end("1"), end("2")]
    if (a !== undefined && b !== undefined) join(a, b, (rho * l.length) / (Math.PI * (linkWire / 2) ** 2))
  }
  let worst: { ohm: number; from: string; to: string; at: Point } | undefined
  const name = (i: number) => `${lands[i]!.ref} pin ${lands[i]!.pin}`
  for (let i = 0; i < lands.length; i++) {
    const far = shortestWays(edges, landNode[i]!)
    for (let j = 0; j < i; j++) {
      const ohm = far[landNode[j]!]!
      if (Number.isFinite(ohm) && (!worst || ohm > worst.ohm))
        worst = { ohm, from: name(j), to: name(i), at: { x: lands[i]!.x, y: lands[i]!.y } }
    }
  }
  return worst
}

/** Least resistance of a single way from `start` to every node (Dijkstra 1959); nets are small. */
function shortestWays(edges: readonly (readonly Edge[])[], start: number): Float64Array {
  const far = new Float64Array(edges.length).fill(Number.POSITIVE_INFINITY)
  const done = new Uint8Array(edges.length)
  far[start] = 0
  for (;;) {
    let next = -1
    for (let n = 0; n < edges.length; n++)
      if (!done[n] && far[n]! < Number.POSITIVE_INFINITY && (next < 0 || far[n]! < far[next]!)) next = n
    if (next < 0) return far
    done[next] = 1
    for (const { to, ohm } of edges[next]!) far[to] = Math.min(far[to]!, far[next]! + ohm)
  }
}
