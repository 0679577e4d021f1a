// Where one drop of solder can join what must be apart: neighbouring lands, and a land with the copper beside it.
// The same two nets joined anywhere are the same to a meter: one fault, with all places where it can happen.

import { contains } from "../../0-ground/geometry/polygon.ts"
import { segmentToSegment } from "../../0-ground/geometry/segment.ts"
import type { Mm } from "../../0-ground/units/brand.ts"
import type { Board, Land } from "../../5-board/artefact.ts"
import type { BoardCopper } from "../../6-copper/artefact.ts"
import { copperBeside, copperEdges, type Stadium, stadiumOf } from "./copper-beside.ts"

/** Copper nearer than this can be bridged by one drop of solder, mm; common practice, no source. */
export const bridgeGap = 1.5

export interface BridgePlace {
  /** `U2.3–U2.4`, `R5.1–copper of earth`, `U2.4–U2.6 over U2.5`. */
  readonly name: string
  /** It is there once all of these are soldered. */
  readonly lands: readonly Land[]
  /** Bare board that the solder must cross. */
  readonly gap: Mm
}

/** Two points of a board joined; a point is a net, or a land without one (`looseName`). */
export interface Bridge {
  readonly a: string
  readonly b: string
  /** The land without a net that is joined with them. */
  readonly over?: string
  /** Nearest first. */
  readonly places: readonly BridgePlace[]
}

export interface BridgesOfBoard {
  readonly between: readonly Bridge[]
  /** Nets beside the copper under a screw head, which is the metal of the housing. */
  readonly toScrew: ReadonlyMap<string, readonly Land[]>
}

type Put = (a: string, b: string, place: BridgePlace, over?: string) => void

export const landName = (l: Pick<Land, "ref" | "pin">) => `${l.ref}.${l.pin}`
/** How a land that belongs to no net is called among the nets. */
export const looseName = (l: Pick<Land, "ref" | "pin">) => `(${landName(l)})`
export const isLoose = (point: string) => point.startsWith("(")
export const pointOf = (l: Land) => l.net ?? looseName(l)
const copperName = (point: string) =>
  isLoose(point) ? `copper around ${point.slice(1, -1)}` : `copper of ${point}`

export function bridgesOf(board: Board, copper: BoardCopper | undefined): BridgesOfBoard {
  const found = new Map<string, { a: string; b: string; over?: string; places: BridgePlace[] }>()
  const put: Put = (a, b, place, over) => {
    const key = [...[a, b].sort(), over ?? ""].join("|")
    const known = found.get(key)
    if (known) known.places.push(place)
    else found.set(key, { a, b, ...(over === undefined ? {} : { over }), places: [place] })
  }
  const stadiums = board.lands.map(stadiumOf)
  const beside = neighbouringLands(board.lands, stadiums)
  for (const [i, near] of beside.entries())
    for (const { land: j, gap } of near)
      if (i < j) {
        const [at, to] = [board.lands[i]!, board.lands[j]!]
        put(pointOf(at), pointOf(to), { name: `${landName(at)}–${landName(to)}`, lands: [at, to], gap })
      }
  const besideCopper = copper ? neighbouringCopper(board, copper, stadiums) : board.lands.map(() => [])
  const toScrew = new Map<string, Land[]>()
  for (const [i, near] of besideCopper.entries()) {
    const at = board.lands[i]!
    // Copper that is joined to nothing changes nothing.
    for (const { point, gap } of near)
      if (point === nothing) continue
      else if (point === screw) toScrew.set(pointOf(at), [...(toScrew.get(pointOf(at)) ?? []), at])
      else if (!beside[i]!.some(({ land }) => pointOf(board.lands[land]!) === point))
        put(pointOf(at), point, { name: `${landName(at)}–${copperName(point)}`, lands: [at], gap })
  }
  overLoose(board.lands, beside, besideCopper, put)
  const between = [...found.values()].map((b) => ({ ...b, places: byGap(b.places) }))
  return { between, toScrew }
}

const byGap = (places: readonly BridgePlace[]) =>
  places
    .map((place, k) => ({ place, k }))
    .sort((p, q) => p.place.gap - q.place.gap || p.k - q.k)
    .map(({ place }) => place)

interface NearLand {
  readonly land: number
  readonly gap: Mm
}

/** Of each land, the lands of other nets a drop of solder reaches. */
function neighbouringLands(lands: readonly Land[], stadiums: readonly Stadium[]): NearLand[][] {
  const out: NearLand[][] = lands.map(() => [])
  for (let i = 0; i < lands.length; i++)
    for (let j = i + 1; j < lands.length; j++) {
      const a = lands[i]!
      const b = lands[j]!
      if (a.net !== undefined && a.net === b.net) continue
      const reach = bridgeGap + (Math.max(a.w, a.h) + Math.max(b.w, b.h)) / 2
      if (Math.abs(a.x - b.x) > reach || Math.abs(a.y - b.y) > reach) continue
      const gap = between(stadiums[i]!, stadiums[j]!)
      if (gap > bridgeGap) continue
      out[i]!.push({ land: j, gap })
      out[j]!.push({ land: i, gap })
    }
  return out
}

const between = (p: Stadium, q: Stadium) => segmentToSegment(p.from, p.to, q.from, q.to) - p.radius - q.radius

interface NearCopper {
  readonly point: string
  readonly gap: Mm
}
const nothing = "(nothing)"
const screw = "(screw)"

/** Of each land, what copper of other points lies across one groove within reach. */
function neighbouringCopper(board: Board, copper: BoardCopper, stadiums: readonly Stadium[]): NearCopper[][] {
  const points = copper.islands.map(({ net, ring, holes }) => {
    if (net !== undefined) return net
    const has = (p: { x: number; y: number }) =>
      contains(ring, p) && !(holes ?? []).some((h) => contains(h, p))
    const loose = board.lands.find((l) => l.net === undefined && has(l))
    return loose ? looseName(loose) : board.screws.some(has) ? screw : nothing
  })
  const edges = copperEdges(copper)
  return board.lands.map((land, i) => {
    const own = pointOf(land)
    const near = copperBeside(
      edges,
      stadiums[i]!,
      bridgeGap,
      (k) => points[k] === own,
      (k) => points[k] === nothing,
    )
    const least = new Map<string, Mm>()
    for (const [k, gap] of near) {
      const point = points[k]!
      least.set(point, Math.min(gap, least.get(point) ?? gap))
    }
    return [...least].map(([point, gap]) => ({ point, gap }))
  })
}

/** Solder all over a land without a net joins whatever lies on either side of it. */
function overLoose(
  lands: readonly Land[],
  beside: readonly (readonly NearLand[])[],
  besideCopper: readonly (readonly NearCopper[])[],
  put: Put,
): void {
  for (const [i, over] of lands.entries()) {
    if (over.net !== undefined) continue
    const sides = beside[i]!.map(({ land, gap }) => {
      const at = lands[land]!
      return { point: pointOf(at), name: landName(at), lands: [at], gap }
    })
    for (const { point, gap } of besideCopper[i]!)
      if (!sides.some((s) => s.point === point))
        sides.push({ point, name: copperName(point), lands: [], gap })
    const nets = sides.filter(({ point }) => !isLoose(point))
    for (const [k, a] of nets.entries())
      for (const b of nets.slice(k + 1))
        if (a.point !== b.point)
          put(
            a.point,
            b.point,
            {
              name: `${a.name}–${b.name} over ${landName(over)}`,
              lands: [...a.lands, ...b.lands, over],
              gap: a.gap + b.gap,
            },
            looseName(over),
          )
  }
}
