// Does the board hold what must stand at a fixed place on it: its screws and the LEDs behind their holes.

import { fact, result } from "../0-ground/figure.ts"
import { contains } from "../0-ground/geometry/polygon.ts"
import { showNumber } from "../0-ground/text/show.ts"
import type { LedType } from "../1-stock/artefact.ts"
import type { BoardRequest, Group } from "./artefact.ts"
import type { Built } from "./build-face.ts"
import { type Located, where } from "./check-shape.ts"
import { coordinates, drawn, said, tied, toEdgeOf } from "./lamp-figures.ts"
import { lampFindings as report } from "./lamp-findings.ts"
import { toEdge } from "./outline.ts"
import { quote } from "./read-quantity.ts"

/** Least board between a screw hole and the board's edge, common practice for drilled laminate. */
const leastWeb = 1

/** The board's edge is its own outline, or the face's moved in by the inset. */
export function checkBoardFit(
  board: BoardRequest,
  face: Built | undefined,
  groups: readonly Group[],
  leds: readonly LedType[],
  { tree, findings, figures }: Located,
): void {
  const ring = board.outline ?? face?.face.outline
  if (ring === undefined) return
  const inset = board.outline === undefined ? board.inset : 0
  const inside = (p: { readonly x: number; readonly y: number }) =>
    (contains(ring, p) ? toEdge(ring, p) : -toEdge(ring, p)) - inset
  const path = `boards.${board.name}`
  const edge =
    board.outline === undefined ? `the edge of ${board.behind}, less the inset` : "the board's edge"
  /** Distance from a centre to the board's edge, with what it was worked out from. */
  const roomAt = (id: string, name: string, p: { readonly x: number; readonly y: number }, spot: string) =>
    toEdgeOf(
      `lamp.board.${board.name}.${id}.to-edge`,
      `${name} to the edge of board ${board.name}`,
      inside(p),
      edge,
      [
        ...coordinates(`lamp.board.${board.name}.${id}`, name, p, drawn(spotOf(spot))),
        ...(board.outline === undefined
          ? [said(tree, `${path}.inset`, `inset of board ${board.name}`, board.inset, "mm")]
          : []),
      ],
    )
  const spotOf = (id: string) => {
    const spot = face?.spots.get(id)
    return spot === undefined ? where(tree, path, "key") : spot
  }
  // What already breaks out of the metal was told there.
  const lost = (p: { readonly x: number; readonly y: number }, radius: number) =>
    face !== undefined &&
    (!contains(face.face.outline, p) || toEdge(face.face.outline, p) <= radius) &&
    board.outline === undefined
  for (const screw of board.screws) {
    if (lost(screw, screw.diameter / 2)) continue
    const web = inside(screw) - screw.diameter / 2
    if (web >= leastWeb) continue
    findings.push(
      report.judge("board-screw", {
        title:
          web > 0
            ? `${showNumber(web)} mm of board stand between the screw ${quote(screw.id)} and the edge of board ${quote(board.name)}.`
            : `The screw hole ${quote(screw.id)} breaks through the edge of board ${quote(board.name)}.`,
        where: {
          text: `screw ${screw.id} of board ${board.name}`,
          ...spotOf(screw.id),
          x: screw.x,
          y: screw.y,
          frame: "face",
        },
        ...tied(
          figures,
          result(
            `lamp.board.${board.name}.${screw.id}.web`,
            `board between screw ${screw.id} and the edge of ${board.name}`,
            web,
            "mm",
            "distance to the edge − half the screw hole's diameter",
            [
              roomAt(screw.id, `screw ${screw.id}`, screw, screw.id),
              fact(
                `lamp.board.${board.name}.${screw.id}.diameter`,
                `diameter of screw hole ${screw.id}`,
                screw.diameter,
                "mm",
                drawn(spotOf(screw.id)),
              ),
            ],
          ),
        ),
        limit: { kind: "at least", value: web > 0 ? leastWeb : 0, unit: "mm" },
        atWorst: web > 0 ? "amber" : "red",
      }),
    )
  }
  for (const group of groups) {
    if (!board.carries.includes(group.name) || group.face !== board.behind) continue
    const led = leds.find((l) => l.key === group.led)
    if (led === undefined) continue
    // Both leads need a land on the board.
    const needed = led.body.leadPitch / 2 + 1
    for (const { ref, hole } of group.leds) {
      const room = inside(hole)
      if (room >= needed || lost(hole, hole.diameter / 2)) continue
      findings.push(
        report.judge("board-led", {
          title: `The LED ${quote(ref)} stands ${showNumber(Math.abs(room))} mm ${room < 0 ? "outside" : "inside"} the edge of board ${quote(board.name)}; its leads need ${showNumber(needed)} mm.`,
          where: { text: `LED ${ref}`, ...spotOf(hole.id), x: hole.x, y: hole.y, frame: "face" },
          ...tied(figures, roomAt(ref, `LED ${ref}`, hole, hole.id)),
          limit: { kind: "at least", value: needed, unit: "mm" },
          source: led.source,
        }),
      )
    }
  }
}
