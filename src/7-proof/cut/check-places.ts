// The mirror proof: LED holes of the drill program against the face's holes through our own mirror formula,
// and every part's lands against its package as it must look from the copper side.

import type { PackageType } from "../../1-stock/artefact.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board, PlacedPart } from "../../5-board/artefact.ts"
import type { Hole } from "./simulate-cut.ts"

export interface Misplaced {
  readonly ref: string
  readonly x: number
  readonly y: number
  /** mm between where it must be and where it is; infinite when there is no pair of holes at all. */
  readonly off: number
  /** Middle of the pair of holes it was measured to; absent when there is none. */
  readonly drilled?: { readonly x: number; readonly y: number }
}

export interface LedPlaces {
  readonly checked: number
  readonly worst: Misplaced | undefined
  readonly wrong: readonly Misplaced[]
  /** True when the places fit the face unmirrored better: the classic ruined board. */
  readonly mirrored: boolean
}

/** Board x runs the other way than face x: what the road sees on the right lies left on the copper side. */
const mirror = (board: Board, x: number, y: number) => ({
  x: board.pose.originX - x,
  y: y - board.pose.originY,
})

/** LEDs must stand behind their holes within `allowed` mm, judged by the holes the drill program makes. */
export function checkLedPlaces(lamp: Lamp, board: Board, holes: readonly Hole[], allowed: number): LedPlaces {
  const wrong: Misplaced[] = []
  let worst: Misplaced | undefined
  let checked = 0
  let unmirrored = 0
  const middle = board.size.w
  for (const group of lamp.groups) {
    if (group.face !== board.face) continue
    for (const led of group.leds) {
      if (!board.parts.some((p) => p.ref === led.ref)) continue
      checked++
      const lands = board.lands.filter((l) => l.ref === led.ref)
      const pitch =
        lands.length === 2 ? Math.hypot(lands[0]!.x - lands[1]!.x, lands[0]!.y - lands[1]!.y) : 2.54
      const want = mirror(board, led.hole.x, led.hole.y)
      const pair = nearestPair(holes, want, pitch)
      const { off } = pair
      const place: Misplaced = { ref: led.ref, ...want, ...pair }
      if (!worst || off > worst.off) worst = place
      if (off > allowed) {
        wrong.push(place)
        if (nearestPair(holes, { x: middle - want.x, y: want.y }, pitch).off <= allowed) unmirrored++
      }
    }
  }
  return { checked, worst, wrong, mirrored: wrong.length > 0 && unmirrored > wrong.length / 2 }
}

/** The pair of drilled holes one lead pitch apart whose middle is nearest to a place, and how far that is. */
function nearestPair(
  holes: readonly Hole[],
  place: { readonly x: number; readonly y: number },
  pitch: number,
): Pick<Misplaced, "off" | "drilled"> {
  let best: Pick<Misplaced, "off" | "drilled"> = { off: Number.POSITIVE_INFINITY }
  const near = holes.filter((h) => Math.hypot(h.x - place.x, h.y - place.y) < pitch)
  for (const [i, a] of near.entries()) {
    for (const b of near.slice(i + 1)) {
      if (Math.abs(Math.hypot(a.x - b.x, a.y - b.y) - pitch) > 0.1) continue
      const drilled = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 }
      const off = Math.hypot(drilled.x - place.x, drilled.y - place.y)
      if (off < best.off) best = { off, drilled }
    }
  }
  return best
}

export interface LandPlaces {
  readonly part: PlacedPart
  readonly off: number
  /** True when the unmirrored package would fit: the part would have to go on the copper side. */
  readonly mirrored: boolean
}

/** How far the declared lands of a part are from its package, mirrored to the copper side and turned. */
export function checkLands(board: Board, part: PlacedPart, type: PackageType): LandPlaces {
  const own = board.lands.filter((l) => l.ref === part.ref)
  const off = (sign: 1 | -1) => {
    let worst = own.length === type.lands.length ? 0 : Number.POSITIVE_INFINITY
    const turn = (part.rotation * Math.PI) / 180
    const c = Math.cos(turn)
    const s = Math.sin(turn)
    for (const land of type.lands) {
      const u = sign * land.x
      const v = land.y
      const x = part.x + u * c - v * s
      const y = part.y + u * s + v * c
      const found = own.find((l) => l.pin === land.pin)
      worst = Math.max(worst, found ? Math.hypot(found.x - x, found.y - y) : Number.POSITIVE_INFINITY)
    }
    return worst
  }
  const right = off(-1)
  return { part, off: right, mirrored: right > 0.05 && off(1) <= 0.05 }
}
