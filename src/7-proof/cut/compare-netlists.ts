// Joined against wanted, board by board: shorts, opens, and where to look for them.

import type { Board, Land } from "../../5-board/artefact.ts"
import { type BitRaster, bitAt } from "./bit-raster.ts"
import type { Extracted } from "./extract-netlist.ts"
import type { CopperLabels } from "./label-copper.ts"
import { locateShort } from "./locate-short.ts"
import type { WantedNetlist } from "./wanted-netlist.ts"

export interface Short {
  readonly nets: readonly [string, string]
  readonly x: number
  readonly y: number
}

export interface Open {
  readonly net: string
  readonly x: number
  readonly y: number
  /** The lands cut off from the larger part of their net: `R3.1`. */
  readonly lands: readonly string[]
}

/** Net each land must carry; `undefined` for the ends of wire links, which belong to what they touch. */
export function wantedOfLands(board: Board, wanted: WantedNetlist): (string | undefined)[] {
  const links = new Set(board.links.map((l) => l.ref))
  return board.lands.map((land) => {
    if (links.has(land.ref)) return undefined
    const part = wanted.pins.get(land.ref)
    if (part) return part.get(land.pin) ?? aloneName(land)
    return wanted.pads.get(`${board.name}/${land.ref}`) ?? aloneName(land)
  })
}

/** A pin that must stay alone is a net of its own. */
export const aloneName = (land: Land): string => `${land.ref}.${land.pin} (not connected)`

export function findShorts(
  board: Board,
  nets: readonly (string | undefined)[],
  joined: Extracted,
  labels: CopperLabels,
): Short[] {
  const inGroup = new Map<number, Map<string, number[]>>()
  for (const [i, net] of nets.entries()) {
    if (net === undefined) continue
    const group = inGroup.get(joined.group[i]!) ?? new Map<string, number[]>()
    group.set(net, [...(group.get(net) ?? []), i])
    inGroup.set(joined.group[i]!, group)
  }
  const shorts: Short[] = []
  for (const [group, members] of inGroup) {
    if (members.size < 2) continue
    const found = locateShort(board, nets, joined, labels, group, members)
    const byPair = new Map<string, Short>()
    for (const s of found) {
      const key = [...s.nets].sort().join("\n")
      if (!byPair.has(key)) byPair.set(key, s)
    }
    shorts.push(...byPair.values())
  }
  return shorts
}

export function findOpens(
  board: Board,
  nets: readonly (string | undefined)[],
  joined: Extracted,
  left: BitRaster,
): Open[] {
  const byNet = new Map<string, Map<number, number[]>>()
  for (const [i, net] of nets.entries()) {
    if (net === undefined) continue
    const groups = byNet.get(net) ?? new Map<number, number[]>()
    const g = joined.group[i]!
    groups.set(g, [...(groups.get(g) ?? []), i])
    byNet.set(net, groups)
  }
  const opens: Open[] = []
  for (const [net, groups] of byNet) {
    if (groups.size < 2) continue
    const parts = [...groups.values()].sort((a, b) => b.length - a.length || a[0]! - b[0]!)
    const main = parts[0]!
    for (const [k, cutOff] of parts.slice(1).entries()) {
      const place = breakInTrack(board, net, left, k) ?? between(board.lands, main, cutOff)
      opens.push({ net, ...place, lands: cutOff.map((i) => `${board.lands[i]!.ref}.${board.lands[i]!.pin}`) })
    }
  }
  return opens
}

/** Lands that have no copper around their hole any more: nothing can be soldered there. */
export function bareLands(board: Board, joined: Extracted): Land[] {
  return board.lands.filter((_, i) => joined.pieces[i]!.length === 0)
}

/** The nth place where a declared track of the net has no copper under its centre line. */
function breakInTrack(
  board: Board,
  net: string,
  left: BitRaster,
  nth: number,
): { x: number; y: number } | undefined {
  const holes = board.lands.map((l) => ({ x: l.x, y: l.y, r: l.hole / 2 + left.pixel }))
  let found = 0
  for (const track of board.tracks) {
    if (track.net !== net) continue
    for (let k = 1; k < track.points.length; k++) {
      const a = track.points[k - 1]!
      const b = track.points[k]!
      const steps = Math.max(1, Math.ceil(Math.hypot(b.x - a.x, b.y - a.y) / (left.pixel * 2)))
      let inBreak = false
      for (let s = 0; s <= steps; s++) {
        const x = a.x + ((b.x - a.x) * s) / steps
        const y = a.y + ((b.y - a.y) * s) / steps
        const gone =
          !bitAt(left, x, y) &&
          !holes.some((h) => Math.abs(h.x - x) < h.r && Math.hypot(h.x - x, h.y - y) < h.r)
        if (gone && !inBreak && found++ === nth) return { x, y }
        inBreak = gone
      }
    }
  }
  return undefined
}

/** Halfway between the nearest lands of two sets. */
function between(
  lands: readonly Land[],
  a: readonly number[],
  b: readonly number[],
): { x: number; y: number } {
  let best = { x: lands[b[0]!]!.x, y: lands[b[0]!]!.y }
  let least = Number.POSITIVE_INFINITY
  for (const i of a) {
    for (const j of b) {
      const p = lands[i]!
      const q = lands[j]!
      const d = Math.hypot(p.x - q.x, p.y - q.y)
      if (d < least) {
        least = d
        best = { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 }
      }
    }
  }
  return best
}
