// Random legal boards for tests: lands on a loose grid, tracks grown between them wherever the clearance is kept.

import { segmentToSegment } from "../0-ground/geometry/segment.ts"
import { random } from "../0-ground/numbers/random.ts"
import type { Board, Land, Track } from "../5-board/artefact.ts"

interface Core {
  readonly a: { x: number; y: number }
  readonly b: { x: number; y: number }
  readonly r: number
  readonly net: string
}

export interface SyntheticAsk {
  readonly seed: number
  readonly w: number
  readonly h: number
  /** Wanted number of lands; fewer when they do not fit. */
  readonly lands: number
  readonly clearance?: number
  readonly trackWidth?: number
  readonly margin?: number
}

/** A board whose copper of different nets is at least `clearance` apart, and often exactly that. */
export function syntheticBoard(ask: SyntheticAsk): Board {
  const { seed, w, h, clearance = 0.27, trackWidth = 0.4, margin = 2 } = ask
  const chance = random(seed)
  const cores: Core[] = []
  const gapTo = (c: Core, d: Core) => segmentToSegment(c.a, c.b, d.a, d.b) - c.r - d.r
  const legal = (c: Core) => cores.every((d) => d.net === c.net || gapTo(c, d) >= clearance)
  const inside = (p: { x: number; y: number }) =>
    p.x > margin + 2 && p.y > margin + 2 && p.x < margin + w - 2 && p.y < margin + h - 2
  const screws = [
    { x: margin + 4, y: margin + 4, diameter: 3.2, keepOut: 4 },
    { x: margin + w - 4, y: margin + h - 4, diameter: 3.2, keepOut: 4 },
  ]
  for (const s of screws) cores.push({ a: s, b: s, r: s.keepOut - clearance, net: `screw ${s.x}` })
  const lands: Land[] = []
  for (let tries = 0; lands.length < ask.lands && tries < ask.lands * 20; tries++) {
    const x = margin + 2 + Math.round((chance.next() * (w - 4)) / 1.27) * 1.27
    const y = margin + 2 + Math.round((chance.next() * (h - 4)) / 1.27) * 1.27
    if (!inside({ x, y })) continue
    const oval = chance.below(4) === 0
    const rotation = chance.below(8) * 45
    const net = chance.below(12) === 0 ? undefined : `N${lands.length}`
    const land: Land = {
      ref: `P${lands.length + 1}`,
      pin: "1",
      ...(net === undefined ? {} : { net }),
      x,
      y,
      shape: oval ? "oval" : "round",
      w: oval ? 2.4 : 1.6,
      h: 1.6,
      rotation,
      hole: chance.below(3) === 0 ? 1 : 0.8,
    }
    const half = oval ? 0.4 : 0
    const r = (rotation * Math.PI) / 180
    const core = {
      a: { x: x - half * Math.cos(r), y: y - half * Math.sin(r) },
      b: { x: x + half * Math.cos(r), y: y + half * Math.sin(r) },
      r: 0.8,
      net: net ?? `free ${lands.length}`,
    }
    if (!legal(core)) continue
    cores.push(core)
    lands.push(land)
  }
  const tracks: Track[] = []
  for (const land of lands) {
    if (land.net === undefined) continue
    let here = { x: land.x, y: land.y }
    const points = [here]
    let heading = chance.below(8)
    for (let leg = 0; leg < 8; leg++) {
      heading = (heading + chance.below(3) + 7) % 8
      const angle = (heading * Math.PI) / 4
      let reach = 0
      // Crawls on until the next step would come too near: many tracks end exactly at the clearance.
      const at = (d: number) => ({ x: here.x + d * Math.cos(angle), y: here.y + d * Math.sin(angle) })
      const free = (d: number) =>
        inside(at(d)) && legal({ a: here, b: at(d), r: trackWidth / 2, net: land.net! })
      while (reach < 12 && free(reach + 0.5)) reach += 0.5
      for (let f = 0.25; f > 1e-4; f /= 2) if (reach > 0 && free(reach + f)) reach += f
      if (reach < 0.5) continue
      const there = at(reach)
      cores.push({ a: here, b: there, r: trackWidth / 2, net: land.net })
      points.push(there)
      here = there
    }
    if (points.length > 1) tracks.push({ net: land.net, width: trackWidth, points })
  }
  return {
    name: `synthetic-${seed}`,
    pose: { originX: 0, originY: 0 },
    outline: [
      { x: margin, y: margin },
      { x: margin + w, y: margin },
      { x: margin + w, y: margin + h },
      { x: margin, y: margin + h },
    ],
    size: { w, h },
    screws,
    parts: [],
    lands,
    tracks,
    links: [],
    linksLowerBound: 0,
    unrouted: [],
    clearance,
    trackWidth,
  }
}
