// A board request: where it lies, its own edge if it has one, its screws.

import type { FacePoint } from "../0-ground/geometry/point.ts"
import { boundingBox } from "../0-ground/geometry/polygon.ts"
import type { BoardRequest, Face, Hole } from "./artefact.ts"
import { type FindDrawing, importDrawing, soundEdge } from "./build-face.ts"
import { type Located, where } from "./check-shape.ts"
import { lampFindings as report } from "./lamp-findings.ts"
import type { BoardShape } from "./lamp-schema.ts"
import { outlineOf, rectangle, screwsOf } from "./outline.ts"
import { quote, readSize } from "./read-quantity.ts"

export function buildBoard(
  name: string,
  shape: BoardShape,
  faces: ReadonlyMap<string, Face>,
  at: Located,
  drawing: FindDrawing,
): BoardRequest | undefined {
  const { tree, findings } = at
  const path = `boards.${name}`
  const face = shape.behind === undefined ? undefined : faces.get(shape.behind)
  if (shape.behind === undefined && shape.outline === undefined) {
    findings.push(
      report.state("board-place", {
        severity: "red",
        title: `The board ${quote(name)} has neither a face to lie behind nor an outline.`,
        where: where(tree, path, "key"),
      }),
    )
    return undefined
  }
  if (shape.behind !== undefined && face === undefined) return undefined
  const own = shape.outline === undefined ? undefined : ownEdge(shape.outline, `${path}.outline`, at, drawing)
  if (shape.outline !== undefined && own === undefined) return undefined
  const edge = own?.ring ?? face?.outline ?? []
  const screws: readonly Hole[] =
    shape.screws !== undefined
      ? screwsOf(shape.screws, edge)
      : own && own.screws.length > 0
        ? own.screws
        : (face?.screwHoles ?? [])
  const [x, y] = shape["wires-at"] ?? []
  if (x !== undefined && y !== undefined) {
    const { minX, minY, maxX, maxY } = boundingBox(edge)
    if (x < minX || x > maxX || y < minY || y > maxY)
      findings.push(
        report.state("board-wires", {
          severity: "red",
          title: `The wires of ${quote(name)} would leave at x ${x} mm, y ${y} mm, which is outside ${minX.toFixed(1)}…${maxX.toFixed(1)} by ${minY.toFixed(1)}…${maxY.toFixed(1)} mm.`,
          where: { ...where(tree, `${path}.wires-at`), x, y, frame: "face" },
        }),
      )
  }
  return {
    name,
    carries: shape.carries,
    ...(shape.behind === undefined ? {} : { behind: shape.behind }),
    ...(own === undefined ? {} : { outline: own.ring }),
    screws,
    inset: shape.inset,
    height: shape.height,
    ...(shape.depth === undefined ? {} : { depth: shape.depth }),
    ...(shape.notch === undefined ? {} : { notch: shape.notch }),
    ...(shape["screw-heads"] === "insulated" ? { screwHeads: shape["screw-heads"] } : {}),
    roomFor: shape["room-for"],
    ...(x === undefined || y === undefined ? {} : { wiresAt: { x, y } }),
    ...(shape.relief === "none" ? { relief: shape.relief } : {}),
    ...cutsOf(name, shape, edge, at),
  }
}

/** Notches, slots, cleared areas and text; each must touch the board. */
function cutsOf(
  name: string,
  shape: BoardShape,
  edge: readonly FacePoint[],
  { tree, findings }: Located,
): Pick<BoardRequest, "notches" | "slots" | "clear" | "text"> {
  const { minX, minY, maxX, maxY } = boundingBox(edge)
  const placed = (what: string, path: string, points: readonly FacePoint[]) => {
    const lost = points.find(({ x, y }) => x < minX || x > maxX || y < minY || y > maxY)
    if (!lost) return
    findings.push(
      report.state("board-cut", {
        severity: "red",
        title: `${what} of ${quote(name)} at x ${lost.x} mm, y ${lost.y} mm lies outside ${minX.toFixed(1)}…${maxX.toFixed(1)} by ${minY.toFixed(1)}…${maxY.toFixed(1)} mm.`,
        where: { ...where(tree, `boards.${name}.${path}`), x: lost.x, y: lost.y, frame: "face" },
      }),
    )
  }
  const p = ([x, y]: readonly [number, number]): FacePoint => ({ x, y })
  const notches = shape.notches?.map((n) => ({ at: p(n.at), width: n.width, depth: n.depth }))
  const slots = shape.slots?.map((s) => ({ from: p(s.from), to: p(s.to), width: s.width }))
  const clear = shape.clear?.map((c) => {
    if ("points" in c) return c.points.map(p)
    const [x, y] = c.at
    const { w, h } = c.size
    return [
      { x, y },
      { x: x + w, y },
      { x: x + w, y: y + h },
      { x, y: y + h },
    ]
  })
  const text = shape.text?.map((t) => ({ says: t.says, at: p(t.at), height: t.height, turn: t.turn }))
  for (const [i, n] of (notches ?? []).entries()) placed("The notch", `notches.${i}`, [n.at])
  for (const [i, s] of (slots ?? []).entries()) placed("The slot", `slots.${i}`, [s.from, s.to])
  for (const [i, t] of (text ?? []).entries()) placed("The text", `text.${i}`, [t.at])
  return {
    ...(notches ? { notches } : {}),
    ...(slots ? { slots } : {}),
    ...(clear ? { clear } : {}),
    ...(text ? { text } : {}),
  }
}

function ownEdge(
  outline: NonNullable<BoardShape["outline"]>,
  path: string,
  at: Located,
  find: FindDrawing,
): { ring: BoardRequest["outline"] & object; screws: readonly Hole[] } | undefined {
  const { tree, findings } = at
  const here = where(tree, path)
  if (typeof outline !== "string") {
    const ring = outlineOf(outline)
    return soundEdge(ring, path, here, at) ? { ring, screws: [] } : undefined
  }
  if (!outline.includes("#")) {
    const size = readSize(outline)
    if ("w" in size && size.w >= 2 && size.h >= 2 && size.w <= 2000 && size.h <= 2000)
      return { ring: rectangle(size.w, size.h, 0), screws: [] }
    findings.push(
      report.state("w" in size ? "out-of-range" : "no-number", {
        severity: "red",
        title:
          "w" in size
            ? `${quote(path)}: ${size.w} × ${size.h} mm is outside 2 mm to 2000 mm.`
            : `${quote(path)}: ${size.ok ? "a size is asked" : size.says}.`,
        where: here,
        advice:
          "Write a size such as 90 × 65 mm, a drawing such as file.svg#id, or a rectangle, disc or polygon.",
      }),
    )
    return undefined
  }
  const drawn = importDrawing(outline, path, at, find)
  if (drawn === undefined || drawn.refused) return undefined
  const paths = [...drawn.drawing.paths].sort((a, b) => areaOf(b.ring) - areaOf(a.ring))
  const edge = paths[0]
  if (edge === undefined || paths.length > 1) {
    findings.push(
      report.state("outline", {
        severity: "red",
        title: edge
          ? `${quote(outline)} has ${paths.length} closed paths; a board has one edge and no windows.`
          : `${quote(outline)} has no closed path that could be the board's edge.`,
        where: here,
      }),
    )
    return undefined
  }
  if (!soundEdge(edge.ring, path, drawn.spotOf(edge.place), at)) return undefined
  const screws = drawn.drawing.circles.map((c, i) => ({
    id: c.id ?? `screw-${i + 1}`,
    x: c.x,
    y: c.y,
    diameter: c.diameter,
  }))
  return { ring: edge.ring, screws }
}

function areaOf(ring: readonly { x: number; y: number }[]): number {
  const { minX, minY, maxX, maxY } = boundingBox(ring)
  return (maxX - minX) * (maxY - minY)
}
