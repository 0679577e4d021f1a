// Screw heads and the wall of the housing against copper and parts: what is metal must not touch what is live.

import { fact, measuredBy, result } from "../../0-ground/figure.ts"
import { contains } from "../../0-ground/geometry/polygon.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import { given, nothingTold, readOff, type Told, tell } from "../told.ts"
import { memory, metalAir } from "./fit-facts.ts"
import { fit } from "./fit-findings.ts"

/** Pan heads by thread: greatest diameter. */
const heads = [
  { thread: 2, fine: 2.2, head: 4 },
  { thread: 2.5, fine: 2.7, head: 5 },
  { thread: 3, fine: 3.2, head: 5.6 },
  { thread: 4, fine: 4.3, head: 8 },
  { thread: 5, fine: 5.3, head: 9.5 },
] as const
const headSource = memory("ISO 7045 pan heads: greatest head diameters")

interface Point {
  readonly x: number
  readonly y: number
}

export function checkScrewHeads(lamp: Lamp, board: Board): Told {
  const told = nothingTold()
  tell(told, underHeads(lamp, board), atEdge(lamp, board))
  return told
}

interface Near {
  readonly what: string
  readonly distance: number
  readonly k: number
  readonly screw: Board["screws"][number]
  readonly head: (typeof heads)[number]
  /** From the rim of the head, mm. */
  readonly air: number
}

/** The screw whose head is nearest to copper or a part; where heads are insulated, to a part. `hole`: all drilled so. */
function nearestTo(board: Board, insulated: boolean, hole?: number): Near | undefined {
  const near = board.screws.flatMap((screw, k): Near[] => {
    const head = heads.filter((h) => h.fine <= (hole ?? screw.diameter) + 1e-9).at(-1)
    if (!head) return []
    const part = board.parts
      .filter((p) => p.body.length >= 3)
      .map((p) => ({ what: p.ref, distance: contains(p.body, screw) ? 0 : ringDistance(p.body, screw) }))
    const first = [...(insulated ? [] : copperAt(board, screw)), ...part].reduce<
      { what: string; distance: number } | undefined
    >((a, b) => (a && a.distance <= b.distance ? a : b), undefined)
    return first ? [{ ...first, k, screw, head, air: first.distance - head.head / 2 }] : []
  })
  return near.reduce<Near | undefined>((a, b) => (a && a.air <= b.air ? a : b), undefined)
}

/** From each screw's head to the nearest copper or part. */
function underHeads(lamp: Lamp, board: Board): Told {
  const insulated = lamp.boards.find((b) => b.name === board.name)?.screwHeads === "insulated"
  const worst = nearestTo(board, insulated)
  if (!worst) return nothingTold()
  // An insulated head may touch copper and stand beside a part; it may not stand on one.
  const least = insulated ? 0 : metalAir.value
  const id = `fit.${board.name}.screw-head`
  const figure = result(
    id,
    `air between the head of screw ${worst.k + 1} of ${board.name} and ${worst.what}`,
    worst.air,
    "mm",
    "distance from the screw's middle − head ÷ 2",
    [
      fact(
        `${id}.distance`,
        `from the screw's middle to ${worst.what}`,
        worst.distance,
        "mm",
        readOff(`board ${board.name}`),
      ),
      fact(`${id}.head`, `head of an M${worst.head.thread} screw`, worst.head.head, "mm", headSource),
    ],
  )
  const finding = fit.judge("screw-head", {
    title: `Head of screw ${worst.k + 1} (M${worst.head.thread}${insulated ? ", insulated" : ""}) of ${board.name} and the nearest ${insulated ? "part" : "copper or part"}, ${worst.what}`,
    where: {
      text: `${board.name}, screw ${worst.k + 1}`,
      board: board.name,
      x: worst.screw.x,
      y: worst.screw.y,
      frame: "board",
      path: `boards.${board.name}`,
    },
    ...measuredBy(figure),
    limit: { value: least, unit: "mm", kind: "at least" },
    amberBelow: 0,
    atWorst: worst.air < 0 ? "red" : "amber",
    source: metalAir.source!,
    remedies: worst.air < least ? otherScrews(lamp, board, insulated) : [],
  })
  return { findings: [finding], figures: [figure, metalAir] }
}

/** Plastic screws or washers, where only copper is too near; thinner screws, where the description drills their holes. */
function otherScrews(lamp: Lamp, board: Board, insulated: boolean): Remedy[] {
  const out: Remedy[] = []
  const covered = nearestTo(board, true)
  if (!insulated && (covered?.air ?? 0) >= 0)
    out.push({
      says: `Use plastic screws for ${board.name}, or insulating washers under metal ones.`,
      changes: [{ path: `boards.${board.name}.screw-heads`, value: "insulated" }],
      ...(covered ? { gives: { value: covered.air, unit: "mm" } } : {}),
    })
  const path = `boards.${board.name}.screws.diameter`
  const now = Math.min(...board.screws.map((s) => s.diameter))
  const thinner = lamp.places[path]
    ? heads
        .filter((h) => h.fine < now - 1e-9 && h.thread >= 2.5)
        .reverse()
        .map((h) => ({ h, near: nearestTo(board, insulated, h.fine) }))
        .find(({ near }) => near && near.air >= (insulated ? 0 : metalAir.value))
    : undefined
  if (thinner?.near)
    out.push({
      says: `Use M${thinner.h.thread} screws for ${board.name}, in holes of ${thinner.h.fine} mm.`,
      changes: [{ path, value: `${thinner.h.fine} mm` }],
      gives: { value: thinner.near.air, unit: "mm" },
    })
  return out
}

/** From the wall of the housing, which follows the face's edge, to the nearest copper. */
function atEdge(lamp: Lamp, board: Board): Told {
  const request = lamp.boards.find((b) => b.name === board.name)
  if (!request || board.outline.length < 3) return nothingTold()
  let least: { what: string; distance: number } | undefined
  for (const land of board.lands) {
    const distance = ringDistance(board.outline, land) - Math.max(land.w, land.h) / 2
    if (!least || distance < least.distance) least = { what: land.ref, distance }
  }
  for (const t of board.tracks)
    for (const p of t.points) {
      const distance = ringDistance(board.outline, p) - t.width / 2
      if (!least || distance < least.distance) least = { what: `net ${t.net}`, distance }
    }
  if (!least) return nothingTold()
  const inset = request.behind === undefined ? 0 : request.inset
  const id = `fit.${board.name}.edge-copper`
  const figure = result(
    id,
    `copper of ${board.name} from the wall round it`,
    least.distance + inset,
    "mm",
    "copper inside the board's edge + board's edge inside the face's edge",
    [
      fact(
        `${id}.copper`,
        `${least.what} inside the board's edge`,
        least.distance,
        "mm",
        readOff(`board ${board.name}`),
      ),
      ...(request.behind === undefined
        ? []
        : [given(`boards.${board.name}.inset`, "board's edge inside the face's edge", inset, "mm")]),
    ],
  )
  const finding = fit.judge("edge-copper", {
    title: `Copper of ${board.name} nearest to the wall round it, ${least.what}`,
    where: { text: board.name, board: board.name, path: `boards.${board.name}.inset` },
    ...measuredBy(figure),
    limit: { value: metalAir.value, unit: "mm", kind: "at least" },
    amberBelow: 0,
    atWorst: "amber",
    source: metalAir.source!,
    remedies:
      figure.value < metalAir.value && request.behind !== undefined
        ? [
            {
              says: `Keep ${board.name} ${Math.ceil(2 * (inset + metalAir.value - figure.value)) / 2} mm inside the face's edge.`,
              changes: [
                {
                  path: `boards.${board.name}.inset`,
                  value: `${Math.ceil(2 * (inset + metalAir.value - figure.value)) / 2} mm`,
                },
              ],
            },
          ]
        : [],
  })
  return { findings: [finding], figures: [figure, metalAir] }
}

function copperAt(board: Board, at: Point): { what: string; distance: number }[] {
  return [
    ...board.lands.map((l) => ({
      what: l.ref,
      distance: Math.hypot(l.x - at.x, l.y - at.y) - Math.max(l.w, l.h) / 2,
    })),
    ...board.tracks.flatMap((t) =>
      t.points.slice(1).map((p, k) => ({
        what: `net ${t.net}`,
        distance: toSegment(at, t.points[k]!, p) - t.width / 2,
      })),
    ),
  ]
}

const ringDistance = (ring: readonly Point[], at: Point) =>
  ring.reduce(
    (d, p, k) => Math.min(d, toSegment(at, p, ring[(k + 1) % ring.length]!)),
    Number.POSITIVE_INFINITY,
  )

function toSegment(at: Point, a: Point, b: Point): number {
  const [dx, dy] = [b.x - a.x, b.y - a.y]
  const length = dx * dx + dy * dy
  const t = length === 0 ? 0 : Math.max(0, Math.min(1, ((at.x - a.x) * dx + (at.y - a.y) * dy) / length))
  return Math.hypot(at.x - a.x - t * dx, at.y - a.y - t * dy)
}
