// A sheet that several boards share, as it is clamped: where each board lies, in which order they are cut out, and
// what is left to the clamps. In the sheet's millimetres, which are those of its programs.

import { boundingBox } from "../0-ground/geometry/polygon.ts"
import { placed } from "../0-ground/geometry/quarter-turn.ts"
import { showNumber } from "../0-ground/text/show.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Board } from "../5-board/artefact.ts"
import type { BoardCopper, SheetPlan } from "../6-copper/artefact.ts"
import type { Mark, Scene } from "./scene.ts"

const around = 6

export function drawSheet(
  lamp: Pick<Lamp, "cutter" | "cutting">,
  sheet: SheetPlan,
  boards: readonly Board[],
  coppers: readonly BoardCopper[],
): Scene {
  const { w, h } = sheet.size
  const clamps = lamp.cutting?.shared?.clampingEdge ?? 0
  const box = (x0: number, y0: number, x1: number, y1: number) => [
    { x: x0, y: y0 },
    { x: x1, y: y0 },
    { x: x1, y: y1 },
    { x: x0, y: y1 },
  ]
  const marks: Mark[] = [
    { kind: "ring", role: "edge", points: box(0, 0, w, h), id: "sheet" },
    ...(clamps > 0
      ? [
          {
            kind: "ring" as const,
            role: "window" as const,
            points: box(clamps, clamps, w - clamps, h - clamps),
          },
        ]
      : []),
    ...sheet.places.flatMap((place, order): Mark[] => {
      const board = boards.find((b) => b.name === place.board)!
      const copper = coppers.find((c) => c.board === place.board)
      const ring = board.outline.map((p) => placed(p, place))
      const rim = boundingBox(ring)
      const size = Math.min(4, (rim.maxX - rim.minX) / 12, (rim.maxY - rim.minY) / 3)
      return [
        // The router's cut: the band's inner half lies under the board.
        {
          kind: "line",
          role: "bore",
          points: [...ring, ring[0]!],
          width: 2 * lamp.cutter.router.diameter,
        },
        { kind: "ring", role: "laminate", points: ring, id: `board-${board.name}` },
        ...(copper?.grooves ?? []).map(
          (g): Mark => ({
            kind: "line",
            role: "groove",
            points: g.points.map((p) => placed(p, place)),
            width: copper!.grooveWidth,
          }),
        ),
        ...[...board.lands.map((l) => ({ x: l.x, y: l.y, diameter: l.hole })), ...board.screws].map(
          (hole): Mark => ({ kind: "disc", role: "hole", ...placed(hole, place), diameter: hole.diameter }),
        ),
        ...(board.slots ?? []).map(
          ({ from, to, width }): Mark => ({
            kind: "line",
            role: "bore",
            width,
            points: [placed(from, place), placed({ x: to.x + 1e-3, y: to.y }, place)],
          }),
        ),
        {
          kind: "text",
          role: "label",
          x: (rim.minX + rim.maxX) / 2,
          y: (rim.minY + rim.maxY) / 2,
          text: `${order + 1} ${board.name}${place.turn === 0 ? "" : `, turned ${place.turn}°`}`,
          size,
        },
      ]
    }),
    {
      kind: "line",
      role: "bar",
      width: 0.4,
      points: [
        { x: 0, y: 8 },
        { x: 0, y: 0 },
        { x: 8, y: 0 },
      ],
      id: "zero",
    },
    { kind: "text", role: "label", x: 2, y: -3.4, text: "X 0, Y 0", size: 2.2, anchor: "start" },
  ]
  return {
    title: `Sheet ${sheet.name}, 1:1`,
    view: `Seen from the COPPER side, as it is clamped: ${showNumber(w)} mm along X, ${showNumber(h)} mm along Y. Numbers: order in which the boards are cut out.${clamps > 0 ? ` Dashed: ${showNumber(clamps)} mm left to the clamps.` : ""}`,
    mirrored: false,
    box: { minX: -around, minY: -around, maxX: w + around, maxY: h + around },
    marks,
  }
}
