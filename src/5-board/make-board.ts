// From a placement to a routing task, and from routed nets to the finished board.

import type { BoardPoint } from "../0-ground/geometry/point.ts"
import { boundingBox } from "../0-ground/geometry/polygon.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { Board, Land, Link, PlacedPart, Track } from "./artefact.ts"
import { type BoardProblem, landNets, type Placement } from "./board-problem.ts"
import { checkCopper } from "./check-copper.ts"
import { footprint, stadium } from "./footprint.ts"
import { linkBound } from "./link-bound.ts"
import type { Routed, RouteLand, RouteTask, Stadium } from "./route-task.ts"
import { tidyTracks } from "./tidy-tracks.ts"

export interface CopperRules {
  /** Least track width, mm. */
  readonly trackWidth: Mm
  /** Least gap between different nets, mm. */
  readonly clearance: Mm
  /** Width each net's current needs at 20 K of warming. */
  readonly needed: (net: number) => Mm
  /** Width to reach for where there is room. */
  readonly wanted: (net: number) => Mm
}

/** Land and hole of a wire link's ends: 0.6 mm tinned wire (part sheet, from memory). */
export const linkLand = { radius: 1.0, hole: 0.8 }
/** A link stays this far from bodies, mm. */
const linkToBody = 0.5

interface Laid {
  readonly lands: readonly (Land & { readonly netIndex: number })[]
  readonly parts: readonly PlacedPart[]
}

function layParts(problem: BoardProblem, placement: Placement): Laid {
  const nets = landNets(problem, placement.contents)
  const lands: (Land & { netIndex: number })[] = []
  const parts = problem.parts.map((part, i): PlacedPart => {
    const at = placement.parts[i]!
    const print = footprint(part.package, at.rotation)
    for (const [k, l] of print.lands.entries()) {
      const net = nets[i]![k]!
      lands.push({
        ref: part.ref,
        pin: l.pin,
        ...(net >= 0 ? { net: problem.nets[net]!.name } : {}),
        x: round(at.x + l.x),
        y: round(at.y + l.y),
        shape: l.shape,
        w: l.w,
        h: l.h,
        rotation: at.rotation,
        hole: l.hole,
        netIndex: net,
      })
    }
    return {
      ref: part.ref,
      kind: part.kind,
      package: part.package.name,
      value: part.value,
      x: round(at.x),
      y: round(at.y),
      rotation: at.rotation,
      body: print.body.map((p) => ({ x: round(at.x + p.x), y: round(at.y + p.y) })),
      height: part.package.body.height,
      pins: Object.fromEntries(
        part.pins.flatMap((pin, k) => (nets[i]![k]! >= 0 ? [[pin, problem.nets[nets[i]![k]!]!.name]] : [])),
      ),
    }
  })
  return { lands, parts }
}

export function routeTask(problem: BoardProblem, placement: Placement, rules: CopperRules): RouteTask {
  const { lands, parts } = layParts(problem, placement)
  const routeLands = lands.map(
    (l): RouteLand => ({
      ...stadium(l, l.rotation),
      net: l.netIndex,
      x: l.x,
      y: l.y,
      hole: l.hole,
    }),
  )
  const barriers: Stadium[] = []
  const areas: (readonly BoardPoint[])[] = []
  let first = 0
  for (const [i, part] of problem.parts.entries()) {
    const own = routeLands.slice(first, first + part.package.lands.length)
    first += part.package.lands.length
    if (part.package.body.linkBelow) continue
    const ring = parts[i]!.body
    areas.push(ring)
    for (const [k, p] of ring.entries()) {
      const q = ring[(k + 1) % ring.length]!
      barriers.push({ ax: p.x, ay: p.y, bx: q.x, by: q.y, r: linkToBody })
    }
    // The leads of an axial part lie bare between body and land.
    if (own.length === 2)
      barriers.push({ ax: own[0]!.x, ay: own[0]!.y, bx: own[1]!.x, by: own[1]!.y, r: linkToBody + 0.3 })
  }
  return {
    outline: problem.outline,
    lands: routeLands,
    keepOuts: problem.screws.map((s) => ({ x: s.x, y: s.y, r: s.keepOut })),
    linkBarriers: barriers,
    linkBarrierAreas: areas,
    halfWidth: problem.nets.map((_, n) => Math.max(rules.trackWidth, rules.needed(n)) / 2),
    clearance: rules.clearance,
    edge: problem.edge,
    linkLand,
  }
}

/** The finished board. Nets the exact check finds wanting are listed as unrouted and lose their tracks. */
export function makeBoard(
  problem: BoardProblem,
  placement: Placement,
  task: RouteTask,
  routedAsFound: Routed,
  rules: CopperRules,
): Board {
  let routed = routedAsFound
  let tracks = tidyTracks(
    task,
    routed,
    problem.nets.map((_, n) => rules.wanted(n)),
  )
  let check = checkCopper(task, routed, tracks)
  const open = new Set(routed.unrouted)
  const wrong = check.bad.filter((n) => !open.has(n))
  if (wrong.length > 0) {
    for (const n of wrong) open.add(n)
    routed = {
      ...routed,
      nets: routed.nets.map((r, n) => (wrong.includes(n) ? { paths: [], links: [], complete: false } : r)),
    }
    tracks = tracks.filter((t) => !wrong.includes(t.net))
    check = checkCopper(task, routed, tracks)
  }
  const { lands, parts } = layParts(problem, placement)
  const links: Link[] = []
  const linkLands: Land[] = []
  for (const [n, r] of routed.nets.entries())
    for (const l of r.links) {
      const ref = `W${links.length + 1}`
      const net = problem.nets[n]!.name
      links.push({
        ref,
        net,
        from: tidyPoint(l.from),
        to: tidyPoint(l.to),
        length: round(Math.hypot(l.to.x - l.from.x, l.to.y - l.from.y)),
      })
      for (const [k, p] of [l.from, l.to].entries())
        linkLands.push({
          ref,
          pin: String(k + 1),
          net,
          ...tidyPoint(p),
          shape: "round",
          w: 2 * task.linkLand.radius,
          h: 2 * task.linkLand.radius,
          rotation: 0,
          hole: task.linkLand.hole,
        })
    }
  const box = boundingBox(problem.outline)
  const bound = linkBound(task)
  return {
    name: problem.name,
    pose: problem.pose,
    ...(problem.request.behind === undefined ? {} : { face: problem.request.behind }),
    outline: problem.outline.map(tidyPoint),
    size: { w: round(box.maxX - box.minX), h: round(box.maxY - box.minY) },
    screws: problem.screws.slice(0, problem.ownScrews),
    ...problem.cuts,
    parts,
    lands: [...lands.map(({ netIndex: _, ...l }) => l), ...linkLands],
    tracks: tracks.map(
      (t): Track => ({ net: problem.nets[t.net]!.name, width: t.width, points: t.points.map(tidyPoint) }),
    ),
    links,
    linksLowerBound: bound?.links ?? 0,
    ...(bound
      ? {
          linksNeeded: {
            nets: bound.nets,
            room: bound.room,
            from: tidyPoint(bound.from),
            to: tidyPoint(bound.to),
          },
        }
      : {}),
    unrouted: [...open].sort((a, b) => a - b).map((n) => problem.nets[n]!.name),
    clearance: round(check.clearance),
    clearanceAt: tidyPoint(check.at),
    trackWidth: rules.trackWidth,
  }
}

const round = (v: number): number => Math.round(v * 1e6) / 1e6
const tidyPoint = (p: BoardPoint): BoardPoint => ({ x: round(p.x), y: round(p.y) })
