// How thin the copper and how narrow the grooves get: both are measured by cutting again with wider or narrower
// grooves until a net falls apart or two run together. Rings are measured outward from each hole.

import type { Work } from "../../0-ground/progress.ts"
import type { Board, Land } from "../../5-board/artefact.ts"
import { type BitRaster, bitAt, paintSweep } from "./bit-raster.ts"
import { type Extracted, extractNetlist } from "./extract-netlist.ts"
import { type CopperLabels, labelCopper } from "./label-copper.ts"
import { type CutJob, simulateCut } from "./simulate-cut.ts"

export interface Narrowest {
  /** mm; a lower bound within one pixel. */
  readonly width: number
  readonly net: string
  readonly x: number
  readonly y: number
}

/** Wider necks than this are not told apart, mm. */
export const widestNeck = 1.2

/** The narrowest place in the copper any net needs, with the grooves `height` deeper than written. */
export function* narrowestCopper(
  board: Board,
  nets: readonly (string | undefined)[],
  job: CutJob,
  options: { readonly pixel: number; readonly height: number },
  blank: BitRaster,
): Work<Narrowest | undefined> {
  const thin = (erode: number) => {
    const raster = simulateCut(job, { ...options, at: "top", widen: erode }, blank)
    erodeEdge(raster, job.outline, erode / 2)
    const labels = labelCopper(raster)
    const joined = extractNetlist(board, labels, "most")
    return { raster, labels, joined, broken: brokenNets(nets, joined) }
  }
  let low = 0
  let high = widestNeck
  let falls = thin(high)
  let whole: typeof falls | undefined
  if (falls.broken.length === 0) return { width: high, net: "", x: 0, y: 0 }
  const step = options.pixel / 2
  const stage = `proving ${board.name}`
  while (high - low > step) {
    const middle = (low + high) / 2
    yield {
      stage,
      done: 0.5 + 0.3 * (1 - (high - low) / widestNeck),
      note: "looking for the narrowest copper",
    }
    const t = thin(middle)
    if (t.broken.length > 0) {
      high = middle
      falls = t
    } else {
      low = middle
      whole = t
    }
  }
  whole ??= thin(low)
  if (whole.broken.length > 0) return undefined
  const net = falls.broken[0]!
  const place = whereItBroke(board, nets, net, whole.labels, falls)
  return { width: low, net, ...place }
}

/** Nets whose lands are no longer all joined. */
export function brokenNets(nets: readonly (string | undefined)[], joined: Extracted): string[] {
  const first = new Map<string, number>()
  const broken = new Set<string>()
  for (const [i, net] of nets.entries()) {
    if (net === undefined) continue
    const group = joined.group[i]!
    const known = first.get(net)
    if (known === undefined) first.set(net, group)
    else if (known !== group) broken.add(net)
  }
  return [...broken]
}

export function erodeEdge(raster: BitRaster, outline: CutJob["outline"], by: number): void {
  for (let k = 0, l = outline.length - 1; k < outline.length; l = k++) {
    const a = outline[l]!
    const b = outline[k]!
    paintSweep(raster, a.x, a.y, by, b.x, b.y, by, false)
  }
}

/**
 * The thinnest gap, in the raster where the net fell apart, between two of its parts that still hang together
 * in the raster before.
 */
function whereItBroke(
  board: Board,
  nets: readonly (string | undefined)[],
  net: string,
  before: CopperLabels,
  falls: { readonly labels: CopperLabels; readonly joined: Extracted },
): { x: number; y: number } {
  const { labels, joined } = falls
  const partOf = new Map<number, number>()
  let main = -1
  for (const [i, n] of nets.entries()) {
    if (n !== net) continue
    if (main < 0) main = joined.group[i]!
    for (const piece of joined.pieces[i]!.slice(0, 1)) partOf.set(piece, joined.group[i]!)
  }
  const { raster } = labels
  const reach = 8
  let least = Number.POSITIVE_INFINITY
  let found: { x: number; y: number } | undefined
  const consider = (gap: number, middle: { i: number; j: number }) => {
    if (gap >= least) return
    const x = raster.left + (middle.i + 0.5) * raster.pixel
    const y = raster.bottom + (middle.j + 0.5) * raster.pixel
    if (!bitAt(before.raster, x, y)) return
    least = gap
    found = { x, y }
  }
  for (let j = 0; j < raster.height; j++) {
    for (let k = labels.rowStart[j]!; k < labels.rowStart[j + 1]!; k++) {
      const own = partOf.get(labels.piece[k]!)
      if (own === undefined) continue
      const next = k + 1
      if (next < labels.rowStart[j + 1]!) {
        const other = partOf.get(labels.piece[next]!)
        const gap = labels.first[next]! - labels.last[k]!
        if (other !== undefined && other !== own && gap <= reach)
          consider(gap, { i: (labels.last[k]! + labels.first[next]!) >> 1, j })
      }
      for (let d = 1; d <= reach && j + d < raster.height; d++) {
        if (d >= least) break
        for (let n = labels.rowStart[j + d]!; n < labels.rowStart[j + d + 1]!; n++) {
          if (labels.first[n]! > labels.last[k]! + reach) break
          if (labels.last[n]! < labels.first[k]! - reach) continue
          const other = partOf.get(labels.piece[n]!)
          if (other === undefined || other === own) continue
          const a = Math.max(labels.first[k]!, labels.first[n]!)
          const b = Math.min(labels.last[k]!, labels.last[n]!)
          const across = Math.max(0, a - b)
          consider(Math.hypot(d, across), { i: (a + b) >> 1, j: j + (d >> 1) })
        }
      }
    }
  }
  if (found) return found
  const own = board.lands.find((_, i) => nets[i] === net)
  return { x: own?.x ?? 0, y: own?.y ?? 0 }
}

/**
 * Narrowest groove between two nets at the foil's bottom, mm: how much narrower every groove could be before two
 * nets touch, of a board on which none do. `most` bounds the search.
 */
export function* narrowestGroove(
  board: Board,
  nets: readonly (string | undefined)[],
  job: CutJob,
  options: { readonly pixel: number; readonly height: number; readonly most: number },
  blank: BitRaster,
): Work<number> {
  const shorted = (narrow: number) => {
    const raster = simulateCut(job, { ...options, at: "bottom", widen: -narrow }, blank)
    return touches(nets, extractNetlist(board, labelCopper(raster), "any"))
  }
  let low = 0
  let high = options.most
  if (!shorted(high)) return high
  while (high - low > options.pixel / 2) {
    const middle = (low + high) / 2
    yield {
      stage: `proving ${board.name}`,
      done: 0.8 + 0.15 * (1 - (high - low) / options.most),
      note: "looking for the narrowest groove",
    }
    if (shorted(middle)) high = middle
    else low = middle
  }
  return low
}

export function touches(nets: readonly (string | undefined)[], joined: Extracted): boolean {
  const netOf = new Map<number, string>()
  for (const [i, net] of nets.entries()) {
    if (net === undefined) continue
    const known = netOf.get(joined.group[i]!)
    if (known !== undefined && known !== net) return true
    netOf.set(joined.group[i]!, net)
  }
  return false
}

export interface Ring {
  readonly land: Land
  /** Narrowest copper from hole edge outward, mm. */
  readonly narrowest: number
  /** Share of the directions with at least `enough` mm. */
  readonly share: number
}

const directions = 24

/** Copper left around every land's hole. */
export function landRings(board: Board, left: BitRaster, enough: number): Ring[] {
  return board.lands.map((land) => {
    let narrowest = Number.POSITIVE_INFINITY
    let good = 0
    for (let k = 0; k < directions; k++) {
      const c = Math.cos((2 * Math.PI * k) / directions)
      const s = Math.sin((2 * Math.PI * k) / directions)
      const start = land.hole / 2 + left.pixel
      let r = start
      while (r < start + 1 && bitAt(left, land.x + r * c, land.y + r * s)) r += left.pixel / 2
      const width = r === start ? 0 : r - land.hole / 2
      if (width < narrowest) narrowest = width
      if (width >= enough) good++
    }
    return { land, narrowest, share: good / directions }
  })
}
