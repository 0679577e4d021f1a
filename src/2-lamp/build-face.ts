// A face from its drawing or its short forms: edge, windows, LED holes, screw holes, each with its place.

import { fact } from "../0-ground/figure.ts"
import type { FacePoint } from "../0-ground/geometry/point.ts"
import { boundingBox, contains, signedArea } from "../0-ground/geometry/polygon.ts"
import { showNumber } from "../0-ground/text/show.ts"
import type { Face, Hole, Place } from "./artefact.ts"
import { type Located, where } from "./check-shape.ts"
import { counted, drawn, tied } from "./lamp-figures.ts"
import { lampFindings as report } from "./lamp-findings.ts"
import type { FaceShape, PatternShape } from "./lamp-schema.ts"
import { onCircle, outlineOf, screwsOf, selfCrossing } from "./outline.ts"
import { type Drawing, readDrawing } from "./read-drawing.ts"
import { quote } from "./read-quantity.ts"

/** Circles this near the face's hole diameter are LED holes. */
export const holeSlack = 0.15

/** A face lies within so many millimetres of its origin. */
const largestEdge = 5000
/** mm² */
const leastArea = 0.01
/** LED holes of one face; a board holds far fewer. */
const mostHoles = 1000

export type FindDrawing = (file: string) => string | undefined

/** Where a hole or edge stands: a place in the description, or in the drawing when `file` is given. */
export interface Spot extends Place {
  readonly path: string
  readonly file?: string
}

export interface Built {
  readonly face: Face
  /** Hole id → where it stands. */
  readonly spots: ReadonlyMap<string, Spot>
}

export function buildFace(
  name: string,
  shape: FaceShape,
  at: Located,
  drawing: FindDrawing,
): Built | undefined {
  const path = `faces.${name}`
  const { tree, findings } = at
  if (shape.drawing !== undefined && (shape.outline !== undefined || shape.holes !== undefined)) {
    findings.push(
      report.state("no-effect", {
        severity: "red",
        title: `The face ${quote(name)} has a drawing and also ${shape.outline !== undefined ? "an outline" : "holes"} of its own.`,
        where: where(tree, `${path}.${shape.outline !== undefined ? "outline" : "holes"}`, "key"),
        advice: "Keep one of the two.",
      }),
    )
    return undefined
  }
  return shape.drawing === undefined
    ? fromForms(name, path, shape, at)
    : fromDrawing(name, path, shape, shape.drawing, at, drawing)
}

function base(name: string, shape: FaceShape) {
  return {
    name,
    metal: shape.metal,
    thickness: shape.thickness,
    hole: shape.hole,
    ...(shape.drill === undefined ? {} : { drill: shape.drill }),
    ...(shape.drawing === undefined ? {} : { drawn: true }),
    ...(shape["centre-line"] === undefined ? {} : { centreLine: shape["centre-line"] }),
  }
}

function fromForms(name: string, path: string, shape: FaceShape, at: Located): Built | undefined {
  const { tree, findings } = at
  for (const key of ["outline", "holes"] as const)
    if (shape[key] === undefined) {
      findings.push(
        report.state("missing-key", {
          severity: "red",
          title: `The face ${quote(name)} has no ${key} and no drawing.`,
          where: where(tree, path, "key"),
          advice: `Add a drawing such as drawing: "face.svg#edge", or outline and holes.`,
        }),
      )
      return undefined
    }
  const outline = outlineOf(shape.outline!)
  if (!soundEdge(outline, `${path}.outline`, where(tree, `${path}.outline`), at)) return undefined
  const spots = new Map<string, Spot>()
  const ledHoles: Hole[] = []
  const listed = Array.isArray(shape.holes)
  const patterns = (listed ? shape.holes : [shape.holes!]) as readonly PatternShape[]
  let sound = true
  patterns.forEach((pattern, k) => {
    const own = listed ? `${path}.holes.${k}` : `${path}.holes`
    pointsOf(pattern).forEach((p, i) => {
      const id = `${pattern.name ?? "hole"}-${pattern.name === undefined ? ledHoles.length + 1 : i + 1}`
      const spotPath = pattern.along === "list" ? `${own}.points.${i}` : own
      const here = where(tree, spotPath)
      if (spots.has(id)) {
        sound = false
        findings.push(
          report.state("duplicate-name", {
            severity: "red",
            title: `Two holes of ${quote(name)} are called ${quote(id)}.`,
            where: here,
            advice: "Give each pattern a name of its own: name: upper.",
          }),
        )
        return
      }
      spots.set(id, { path: spotPath, line: here.line, column: here.column })
      ledHoles.push({ id, x: p.x, y: p.y, diameter: shape.drill ?? shape.hole })
    })
  })
  if (ledHoles.length > mostHoles) {
    findings.push(
      report.judge("out-of-range", {
        title: `The face ${quote(name)} has ${ledHoles.length} LED holes.`,
        where: where(tree, `${path}.holes`),
        ...tied(at.figures, counted(`${path}.holes`, `LED holes of ${name}`, ledHoles.length, "holes")),
        limit: { kind: "at most", value: mostHoles, unit: "holes" },
      }),
    )
    return undefined
  }
  if (!sound) return undefined
  const screwHoles = shape.screws === undefined ? [] : screwsOf(shape.screws, outline)
  const screws = where(tree, `${path}.screws`)
  for (const s of screwHoles)
    spots.set(s.id, { path: `${path}.screws`, line: screws.line, column: screws.column })
  return { face: { ...base(name, shape), outline, windows: [], ledHoles, screwHoles }, spots }
}

/** Points of a pattern, first to last. */
export function pointsOf(pattern: PatternShape): FacePoint[] {
  if (pattern.along === "list") return pattern.points.map(([x, y]) => ({ x, y }))
  const n = pattern.count
  const share = (i: number) => (n === 1 ? 0.5 : i / (n - 1))
  if (pattern.along === "line") {
    const [[x0, y0], [x1, y1]] = [pattern.from, pattern.to]
    return Array.from({ length: n }, (_, i) => ({
      x: x0 + (x1 - x0) * share(i),
      y: y0 + (y1 - y0) * share(i),
    }))
  }
  const [x, y] = pattern.centre
  // A full turn would put the last hole onto the first.
  const turn = pattern.to - pattern.from
  const whole = n > 1 && Math.abs(turn) % 360 === 0 && turn !== 0
  return Array.from({ length: n }, (_, i) =>
    onCircle({ x, y }, pattern.radius, pattern.from + turn * (whole ? i / n : share(i))),
  )
}

function fromDrawing(
  name: string,
  path: string,
  shape: FaceShape,
  reference: string,
  at: Located,
  find: FindDrawing,
): Built | undefined {
  const { tree, findings } = at
  const drawn = importDrawing(reference, `${path}.drawing`, at, find)
  if (drawn === undefined) return undefined
  const { drawing, file, spotOf, refused } = drawn
  const edge = edgeOf(drawing, shape.hole)
  if (edge === undefined) {
    // A shape that could not be read may have been the edge; it was told already.
    if (refused) return undefined
    findings.push(
      report.state("outline", {
        severity: "red",
        title: `${quote(reference)} has no closed path that could be the face's edge.`,
        where: { ...where(tree, `${path}.drawing`) },
      }),
    )
    return undefined
  }
  if (!soundEdge(edge.ring, `${path}.drawing`, spotOf(edge.place), at)) return undefined
  let sound = !refused
  const windows: FacePoint[][] = []
  for (const other of drawing.paths) {
    if (other === edge.path) continue
    const spot = spotOf(other.place)
    if (!soundEdge(other.ring, `${path}.drawing`, spot, at)) {
      sound = false
      continue
    }
    if (!other.ring.every((p) => contains(edge.ring, p))) {
      sound = false
      findings.push(
        report.state("outline", {
          severity: "red",
          title: `A second closed path of ${quote(reference)} does not lie inside the edge.`,
          where: { text: `${file}, line ${spot.line}`, ...spot },
          advice: "Move it inside as a window, or out of this element.",
        }),
      )
      continue
    }
    windows.push([...other.ring])
  }
  const spots = new Map<string, Spot>()
  const ledHoles: Hole[] = []
  const screwHoles: Hole[] = []
  for (const c of drawing.circles) {
    if (c === edge.circle) continue
    const isLed = Math.abs(c.diameter - shape.hole) <= holeSlack
    const into = isLed ? ledHoles : screwHoles
    let id = c.id ?? `${isLed ? "hole" : "screw"}-${into.length + 1}`
    while (spots.has(id)) id = `${id}x`
    spots.set(id, spotOf(c.place))
    into.push({ id, x: c.x, y: c.y, diameter: isLed ? (shape.drill ?? c.diameter) : c.diameter })
  }
  if (shape.screws !== undefined) {
    const here = where(tree, `${path}.screws`)
    for (const s of screwsOf(shape.screws, edge.ring)) {
      let id = s.id
      while (spots.has(id)) id = `${id}x`
      spots.set(id, { path: `${path}.screws`, line: here.line, column: here.column })
      screwHoles.push({ ...s, id })
    }
  }
  if (!sound) return undefined
  return { face: { ...base(name, shape), outline: edge.ring, windows, ledHoles, screwHoles }, spots }
}

/** The largest closed path; where there is none, a disc large enough to hold LED holes. */
export function edgeOf(drawing: Drawing, hole: number) {
  let path: Drawing["paths"][number] | undefined
  for (const p of drawing.paths)
    if (path === undefined || signedArea(p.ring) > signedArea(path.ring)) path = p
  let circle: Drawing["circles"][number] | undefined
  for (const c of drawing.circles)
    if (c.diameter > 3 * hole && (circle === undefined || c.diameter > circle.diameter)) circle = c
  if (circle && (path === undefined || (Math.PI / 4) * circle.diameter ** 2 > signedArea(path.ring))) {
    const { x, y, diameter } = circle
    const ring = outlineOf({ circle: diameter }).map((p) => ({
      x: p.x + x - diameter / 2,
      y: p.y + y - diameter / 2,
    }))
    return { ring, place: circle.place, circle, path: undefined }
  }
  return path && { ring: [...path.ring], place: path.place, circle: undefined, path }
}

/** The element a reference names, with its faults turned into findings; undefined when nothing can be used. */
export function importDrawing(
  reference: string,
  path: string,
  { tree, findings }: Located,
  find: FindDrawing,
  open = false,
) {
  const here = where(tree, path)
  const hash = reference.indexOf("#")
  const file = reference.slice(0, hash)
  const id = reference.slice(hash + 1)
  if (/^([a-z][a-z+.-]*:|[\\/])|(^|[\\/])\.\.([\\/]|$)|\0/i.test(file)) {
    findings.push(
      report.state("drawing-missing", {
        severity: "red",
        title: `The drawing ${quote(file)} lies outside the description's folder.`,
        where: here,
      }),
    )
    return undefined
  }
  const text = find(file)
  if (text === undefined) {
    findings.push(
      report.state("drawing-missing", {
        severity: "red",
        title: `There is no drawing ${quote(file)} beside the description.`,
        where: here,
      }),
    )
    return undefined
  }
  const { drawing, faults } = readDrawing(text, id, open)
  for (const f of faults) {
    // Several faces often come from one drawing; its faults are told once.
    const title = f.finding === "drawing-id" ? f.says : `${file}: ${f.says}`
    const inDrawing =
      f.finding === "drawing-id" ? here : { text: `${file}, line ${f.place.line}`, path, file, ...f.place }
    const twice = findings.some(
      (other) =>
        other.title === title &&
        other.where.line === inDrawing.line &&
        other.where.column === inDrawing.column,
    )
    if (twice) continue
    findings.push(
      report.state(f.finding, {
        severity: f.severity,
        title,
        where: inDrawing,
        ...(f.advice === undefined ? {} : { advice: f.advice }),
      }),
    )
  }
  if (drawing === undefined) return undefined
  const spotOf = (place: Place): Spot => ({ path, file, ...place })
  return { drawing, file, spotOf, refused: faults.some((f) => f.severity === "red") }
}

/** False, with a red finding, when the edge has no area or crosses itself. */
export function soundEdge(
  ring: readonly FacePoint[],
  path: string,
  spot: Place & { readonly file?: string },
  { findings, figures }: Pick<Located, "findings" | "figures">,
): boolean {
  const place = {
    text: spot.file === undefined ? path : `${spot.file}, line ${spot.line}`,
    path,
    line: spot.line,
    column: spot.column,
    ...(spot.file === undefined ? {} : { file: spot.file }),
  }
  const { minX, minY, maxX, maxY } = boundingBox(ring)
  const largest = Math.max(maxX - minX, maxY - minY, Math.abs(minX), Math.abs(minY))
  if (largest > largestEdge) {
    findings.push(
      report.judge("out-of-range", {
        title: `The edge reaches ${showNumber(largest)} mm, which is beyond any lamp.`,
        where: place,
        ...tied(figures, fact(`description.${path}.reach`, `reach of ${path}`, largest, "mm", drawn(place))),
        limit: { kind: "at most", value: largestEdge, unit: "mm" },
        advice: "Check the drawing's width, height and viewBox.",
      }),
    )
    return false
  }
  const cross = selfCrossing(ring)
  if (cross === undefined) {
    if (ring.length >= 3 && Math.abs(signedArea(ring)) >= leastArea) return true
    findings.push(
      report.state("outline", { severity: "red", title: "The edge encloses no area.", where: place }),
    )
    return false
  }
  findings.push(
    report.state("outline", {
      severity: "red",
      title: `The edge crosses itself near x ${cross.x.toFixed(2)} mm, y ${cross.y.toFixed(2)} mm.`,
      where: { ...place, x: cross.x, y: cross.y, frame: "face" },
    }),
  )
  return false
}
