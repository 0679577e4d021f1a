// What a wire link joins: the copper of its net falls in two when the link is left out.

import { pointToSegment, segmentToSegment } from "../../0-ground/geometry/segment.ts"
import { unionFind } from "../../0-ground/numbers/union-find.ts"
import type { Board, Link } from "../../5-board/artefact.ts"

/** Lands (`ref.pin`) on the far side of the link; undefined when the copper joins both ends without it. */
export function splitByLink(board: Board, link: Link): ReadonlySet<string> | undefined {
  const lands = board.lands.filter((l) => l.net === link.net)
  const pieces = board.tracks
    .filter((t) => t.net === link.net)
    .flatMap((t) => t.points.slice(1).map((to, k) => ({ from: t.points[k]!, to, width: t.width })))
  const sets = unionFind(lands.length + pieces.length)
  const near = 0.01
  for (const [k, p] of pieces.entries()) {
    for (const [i, l] of lands.entries())
      if (pointToSegment(l, p.from, p.to) < Math.min(l.w, l.h) / 2 + near) sets.join(i, lands.length + k)
    for (const [j, q] of pieces.entries())
      if (j < k && segmentToSegment(p.from, p.to, q.from, q.to) < near)
        sets.join(lands.length + j, lands.length + k)
  }
  const at = (ref: string, pin: string) => lands.findIndex((l) => l.ref === ref && l.pin === pin)
  for (const other of board.links) {
    const [a, b] = [at(other.ref, "1"), at(other.ref, "2")]
    if (other.ref !== link.ref && a >= 0 && b >= 0) sets.join(a, b)
  }
  const [from, to] = [at(link.ref, "1"), at(link.ref, "2")]
  if (from < 0 || to < 0 || sets.find(from) === sets.find(to)) return undefined
  return new Set(lands.flatMap((l, i) => (sets.find(i) === sets.find(to) ? [`${l.ref}.${l.pin}`] : [])))
}
