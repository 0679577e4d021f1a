// SVG text → closed paths and circles of one element, in millimetres, y up, with their places in the file.
// Only plain shapes are read. Declarations, references and foreign content are refused, nothing is fetched.

import { SaxesParser } from "saxes"
import type { FacePoint, Point } from "../0-ground/geometry/point.ts"
import { signedArea } from "../0-ground/geometry/polygon.ts"
import { nearMatch } from "../0-ground/text/near-match.ts"
import type { Place } from "./artefact.ts"
import { flattenPath } from "./flatten-path.ts"
import { quote } from "./read-quantity.ts"
import { type Affine, apply, compose, identity, numbersIn, parseTransform, stretch } from "./svg-transform.ts"

/** Greatest distance between a curve and the polygon that stands for it. */
export const flattening = 0.02
const longestDrawing = 5_000_000
const mostElements = 50_000
/** Points of all edges together, and holes; what comes later compares them with each other. */
const mostPoints = 20_000
const mostCircles = 1000
const deepest = 100

export interface DrawnCircle {
  readonly id?: string
  readonly x: number
  readonly y: number
  readonly diameter: number
  readonly place: Place
}
export interface DrawnPath {
  readonly id?: string
  /** Counter-clockwise, without a repeated last point. */
  readonly ring: readonly FacePoint[]
  readonly place: Place
}
export interface Drawing {
  readonly circles: readonly DrawnCircle[]
  readonly paths: readonly DrawnPath[]
  /** Paths that are not closed, from their beginning; only where they are asked for. */
  readonly lines: readonly (readonly FacePoint[])[]
}
export interface DrawingFault {
  readonly finding:
    | "drawing-broken"
    | "drawing-refused"
    | "drawing-scale"
    | "drawing-id"
    | "drawing-path"
    | "drawing-ignored"
    | "duplicate-name"
  readonly severity: "red" | "amber"
  readonly says: string
  readonly advice?: string
  readonly place: Place
}

interface Shape {
  readonly map: Affine
  readonly kind: "circle" | "path"
  readonly id?: string
  readonly place: Place
  /** Path data in its own coordinates; circles and rectangles give theirs too. */
  readonly data: string
  readonly circle?: { readonly cx: number; readonly cy: number; readonly r: number }
}

const quiet = new Set(["title", "desc", "metadata", "style", "namedview", "sodipodi:namedview"])
const unseen = new Set([
  "defs",
  "clipPath",
  "mask",
  "symbol",
  "pattern",
  "marker",
  "filter",
  "linearGradient",
  "radialGradient",
])

/**
 * Reads the element `#wanted`; faults that leave nothing to use are red and `drawing` is undefined.
 * With `open`, paths that are not closed are wanted too; else they are told as left out.
 */
export function readDrawing(
  text: string,
  wanted: string,
  open = false,
): { readonly drawing: Drawing | undefined; readonly faults: readonly DrawingFault[] } {
  const faults: DrawingFault[] = []
  const shapes: Shape[] = []
  const ids = new Map<string, Place>()
  const fault = (
    finding: DrawingFault["finding"],
    severity: DrawingFault["severity"],
    says: string,
    place: Place,
    advice?: string,
  ) => {
    if (faults.length < 20)
      faults.push({ finding, severity, says, place, ...(advice === undefined ? {} : { advice }) })
  }
  const failed = () => ({ drawing: undefined, faults })
  const top: Place = { line: 1, column: 1 }

  if (text.length > longestDrawing) {
    fault(
      "drawing-refused",
      "red",
      `The drawing has ${text.length} characters; at most ${longestDrawing} are read.`,
      top,
    )
    return failed()
  }

  interface Open {
    readonly map: Affine
    readonly hidden: boolean
    readonly inside: boolean
  }
  const parser = new SaxesParser()
  const stack: Open[] = []
  let start: Place = top
  let page: Page | undefined
  let found = false
  let broken = false
  let elements = 0
  const placeAt = placesIn(text)
  const here = (): Place => ({ line: Math.max(1, parser.line), column: Math.max(1, parser.columnIndex) })
  class Stop extends Error {}

  parser.on("error", (error) => {
    if (broken) return
    broken = true
    const says = error.message.replace(/^\d+:\d+:\s*/, "").replace(/\.$/, "")
    fault("drawing-broken", "red", `The drawing is not well-formed XML: ${says}.`, here())
    throw new Stop()
  })
  parser.on("doctype", (doctype) => {
    if (!doctype.includes("[") && !/ENTITY/i.test(doctype)) return
    fault(
      "drawing-refused",
      "red",
      "The drawing declares entities of its own, which are not read.",
      here(),
      "Save it as plain SVG.",
    )
    throw new Stop()
  })
  parser.on("opentagstart", (tag) => {
    start = placeAt(text.lastIndexOf(`<${tag.name}`, parser.position))
  })
  parser.on("opentag", (tag) => {
    const place = start
    if (++elements > mostElements || stack.length > deepest) {
      fault(
        "drawing-refused",
        "red",
        `The drawing has more than ${mostElements} elements or ${deepest} levels.`,
        place,
      )
      throw new Stop()
    }
    const name = local(tag.name)
    const attributes = new Map<string, string>(Object.entries(tag.attributes as Record<string, string>))
    const get = (key: string) => attributes.get(key)
    const id = get("id")
    const parent = stack[stack.length - 1]
    if (parent === undefined) {
      if (name !== "svg") {
        fault(
          "drawing-broken",
          "red",
          `The drawing begins with ${quote(name)} where an svg element is asked.`,
          place,
        )
        throw new Stop()
      }
      const scale = pageOf(get("width"), get("height"), get("viewBox"))
      if ("says" in scale) {
        fault("drawing-scale", "red", scale.says, place)
        throw new Stop()
      }
      page = scale
      if (scale.caution) fault("drawing-scale", "amber", scale.caution, place)
    }
    const own = get("transform")
    const transform = own === undefined ? identity : parseTransform(own)
    const inside = (parent?.inside ?? false) || id === wanted
    if (id !== undefined) {
      // Elsewhere in the drawing a repeated id harms nobody here.
      const first = ids.get(id)
      if (first && inside)
        fault(
          "duplicate-name",
          "red",
          `The id ${quote(id)} stands twice in the drawing: here and in line ${first.line}.`,
          place,
        )
      else if (!first) ids.set(id, place)
    }
    const concealed = get("display") === "none" || /(^|;)\s*display\s*:\s*none/.test(get("style") ?? "")
    const hidden = (parent?.hidden ?? false) || unseen.has(name) || quiet.has(name) || concealed
    if (id === wanted) found = true
    if (inside && transform === undefined)
      fault("drawing-path", "red", `The transform ${quote(own ?? "")} cannot be read.`, place)
    const map = compose(parent?.map ?? page?.map ?? identity, transform ?? identity)
    if (inside && concealed && !(parent?.hidden ?? false))
      fault("drawing-ignored", "amber", `A hidden ${quote(name)} is left out.`, place)
    if (inside && !hidden && transform !== undefined)
      collect(
        name,
        get,
        { map, place, ...(id === undefined ? {} : { id }) },
        shapes,
        fault,
        parent === undefined,
      )
    stack.push({ map, hidden, inside })
  })
  parser.on("closetag", () => {
    stack.pop()
  })

  try {
    parser.write(text).close()
  } catch (error) {
    if (!(error instanceof Stop)) {
      fault(
        "drawing-broken",
        "red",
        `The drawing cannot be read: ${error instanceof Error ? error.message : ""}.`,
        here(),
      )
    }
    return failed()
  }
  if (!found) {
    const near = nearMatch(wanted, ids.keys())
    const some = [...ids.keys()].slice(0, 12).join(", ")
    fault(
      "drawing-id",
      "red",
      `No element of the drawing has the id ${quote(wanted)}.`,
      top,
      near
        ? `Did you mean ${near}?`
        : some === ""
          ? "Give the element an id."
          : `Ids in the drawing: ${some}.`,
    )
    return failed()
  }
  return { drawing: measure(shapes, fault, open), faults }
}

type Say = (
  finding: DrawingFault["finding"],
  severity: DrawingFault["severity"],
  says: string,
  place: Place,
  advice?: string,
) => void

/** One element: a shape to keep, something to leave out with a word, or nothing of interest. */
function collect(
  name: string,
  get: (key: string) => string | undefined,
  base: { readonly map: Affine; readonly place: Place; readonly id?: string },
  shapes: Shape[],
  fault: Say,
  isRoot: boolean,
): void {
  const number = (key: string, absent = 0) => {
    const text = get(key)
    if (text === undefined) return absent
    const value = numbersIn(text.replace(/px\s*$/, ""))
    return value?.length === 1 ? value[0]! : Number.NaN
  }
  const usable = (...values: number[]) => {
    if (values.every(Number.isFinite)) return true
    fault("drawing-path", "red", `The ${name} has a measure that is not a plain number.`, base.place)
    return false
  }
  switch (name) {
    case "g":
    case "a":
    case "switch":
    case "title":
    case "desc":
      return
    case "svg":
      if (!isRoot) fault("drawing-refused", "red", "A drawing inside the drawing is not read.", base.place)
      return
    case "path":
      shapes.push({ ...base, kind: "path", data: get("d") ?? "" })
      return
    case "polygon": {
      const n = numbersIn(get("points") ?? "")
      if (n === undefined || n.length < 6 || n.length % 2 === 1)
        fault("drawing-path", "red", "The polygon's points cannot be read.", base.place)
      else shapes.push({ ...base, kind: "path", data: `M${n.join(" ")}Z` })
      return
    }
    case "rect": {
      const [x, y, w, h] = [number("x"), number("y"), number("width"), number("height")]
      let [rx, ry] = [number("rx", number("ry")), number("ry", number("rx"))]
      if (!usable(x, y, w, h, rx, ry)) return
      if (w <= 0 || h <= 0) return
      rx = Math.min(Math.max(0, rx), w / 2)
      ry = Math.min(Math.max(0, ry), h / 2)
      const corner = (dx: number, dy: number) => (rx > 0 && ry > 0 ? `a${rx} ${ry} 0 0 1 ${dx} ${dy}` : "")
      if (rx === 0 || ry === 0) rx = ry = 0
      shapes.push({
        ...base,
        kind: "path",
        data: `M${x + rx} ${y}H${x + w - rx}${corner(rx, ry)}V${y + h - ry}${corner(-rx, ry)}H${x + rx}${corner(-rx, -ry)}V${y + ry}${corner(rx, -ry)}Z`,
      })
      return
    }
    case "circle":
    case "ellipse": {
      const [cx, cy] = [number("cx"), number("cy")]
      const r = name === "circle" ? number("r") : number("rx", number("ry"))
      if (!usable(cx, cy, r) || r <= 0) return
      if (name === "ellipse" && number("ry", r) !== r) {
        fault(
          "drawing-refused",
          "red",
          "An ellipse is neither a drilled hole nor an edge that is read.",
          base.place,
          "Draw it as a path.",
        )
        return
      }
      shapes.push({ ...base, kind: "circle", circle: { cx, cy, r }, data: "" })
      return
    }
    case "use":
      fault(
        "drawing-refused",
        "red",
        "A use element repeats something by reference, which is not read.",
        base.place,
        "Turn it into plain shapes in the drawing.",
      )
      return
    case "script":
    case "foreignObject":
      fault("drawing-refused", "red", `A ${name} element has no place in a face.`, base.place)
      return
    default:
      fault(
        "drawing-ignored",
        "amber",
        `A ${quote(name)} is left out; only paths, polygons, rectangles and circles are read.`,
        base.place,
      )
  }
}

function measure(shapes: readonly Shape[], fault: Say, open: boolean): Drawing {
  const circles: DrawnCircle[] = []
  const paths: DrawnPath[] = []
  const lines: FacePoint[][] = []
  let points = 0
  for (const { map, kind, id, place, data, circle } of shapes) {
    if (points > mostPoints || circles.length > mostCircles) {
      fault(
        "drawing-refused",
        "red",
        `The element has more than ${mostPoints} points or ${mostCircles} circles.`,
        place,
        "Keep only the face's edge and holes in this element.",
      )
      break
    }
    const named = id === undefined ? {} : { id }
    const { most, least } = stretch(map)
    if (kind === "circle" && circle) {
      if (most - least > 1e-3 * most) {
        fault(
          "drawing-path",
          "red",
          `A circle is squashed by a transform to ${(least / most).toFixed(3)} of its width.`,
          place,
        )
        continue
      }
      const c = apply(map, { x: circle.cx, y: circle.cy })
      if (Number.isFinite(c.x) && Number.isFinite(c.y) && Number.isFinite(most * circle.r))
        circles.push({ ...named, x: clean(c.x), y: clean(c.y), diameter: clean(2 * circle.r * most), place })
      else fault("drawing-path", "red", "A circle lies outside anything that can be measured.", place)
      continue
    }
    const flat = flattenPath(data, map, flattening)
    if (flat.error !== undefined) {
      fault("drawing-path", "red", `The path data cannot be read: ${flat.error}.`, place)
      continue
    }
    for (const line of flat.lines) {
      points += line.points.length
      const ring = tidyRing(line.points)
      const [first, last] = [line.points[0]!, line.points[line.points.length - 1]!]
      const gap = Math.hypot(first.x - last.x, first.y - last.y)
      if (!line.closed && gap > 0.01) {
        if (open) lines.push(line.points.map((p) => ({ x: clean(p.x), y: clean(p.y) })))
        else if (line.points.length > 1)
          fault(
            "drawing-ignored",
            "amber",
            `A path that is not closed is left out; its ends are ${gap.toFixed(2)} mm apart.`,
            place,
          )
        continue
      }
      if (ring.length < 3) continue
      const round = asCircle(ring)
      if (round && line.points.length >= 8) circles.push({ ...named, ...round, place })
      else paths.push({ ...named, ring, place })
    }
  }
  return { circles, paths, lines }
}

/** Repeated points removed, counter-clockwise. */
function tidyRing(points: readonly Point[]): FacePoint[] {
  const out: FacePoint[] = []
  for (const p of points) {
    const last = out[out.length - 1]
    if (last === undefined || Math.hypot(p.x - last.x, p.y - last.y) > 1e-6)
      out.push({ x: clean(p.x), y: clean(p.y) })
  }
  while (
    out.length > 1 &&
    Math.hypot(out[0]!.x - out[out.length - 1]!.x, out[0]!.y - out[out.length - 1]!.y) <= 1e-6
  )
    out.pop()
  return signedArea(out) < 0 ? out.reverse() : out
}

/** A small path that is a circle, as drawing programs write drilled holes once they were turned into paths. */
function asCircle(ring: readonly Point[]): { x: number; y: number; diameter: number } | undefined {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity]
  for (const p of ring) {
    minX = Math.min(minX, p.x)
    maxX = Math.max(maxX, p.x)
    minY = Math.min(minY, p.y)
    maxY = Math.max(maxY, p.y)
  }
  const diameter = (maxX - minX + maxY - minY) / 2
  if (diameter > 12 || ring.length < 8 || Math.abs(maxX - minX - (maxY - minY)) > 2 * flattening)
    return undefined
  const [x, y] = [(minX + maxX) / 2, (minY + maxY) / 2]
  const round = ring.every((p) => Math.abs(Math.hypot(p.x - x, p.y - y) - diameter / 2) <= 2 * flattening)
  // Chords between far-apart points would make a polygon pass for a circle.
  const fine = ring.every((p, i) => {
    const q = ring[(i + 1) % ring.length]!
    return Math.hypot((p.x + q.x) / 2 - x, (p.y + q.y) / 2 - y) > diameter / 2 - 2 * flattening
  })
  return round && fine ? { x: clean(x), y: clean(y), diameter: clean(diameter) } : undefined
}

/** To a nanometre: transforms leave digits that mean nothing and would differ with the order of operations. */
const clean = (n: number) => {
  const r = Math.round(n * 1e6) / 1e6
  return r === 0 ? 0 : r
}

interface Page {
  /** User units → millimetres on the page, y up from the lower edge. */
  readonly map: Affine
  readonly caution?: string
}

/** Scale of the drawing. 1 in = 96 px = 25.4 mm (CSS Values, absolute lengths). */
function pageOf(
  width: string | undefined,
  height: string | undefined,
  viewBox: string | undefined,
): Page | { says: string } {
  const box = viewBox === undefined ? undefined : numbersIn(viewBox)
  if (viewBox === undefined) return { says: "The drawing has no viewBox, so its millimetres are not known." }
  if (box === undefined || box.length !== 4 || box[2]! <= 0 || box[3]! <= 0)
    return { says: `The viewBox ${quote(viewBox)} is not four numbers with a width and a height.` }
  const w = inMillimetres(width)
  const h = inMillimetres(height)
  if (w === undefined && h === undefined)
    return {
      says: `The drawing's width ${quote(width ?? "")} and height ${quote(height ?? "")} are not lengths, so its millimetres are not known.`,
    }
  const sx = (w?.mm ?? (h!.mm / box[3]!) * box[2]!) / box[2]!
  const sy = (h?.mm ?? (w!.mm / box[2]!) * box[3]!) / box[3]!
  if (!(sx > 0 && sy > 0)) return { says: "The drawing has no size." }
  // Page sizes are often rounded to whole pixels or tenths of a millimetre.
  const slack = 0.06 / Math.min(box[2]!, box[3]!) + 1e-4 * sx
  if (Math.abs(sx - sy) > slack)
    return {
      says: `The drawing is stretched: one unit is ${sx.toPrecision(4)} mm across and ${sy.toPrecision(4)} mm up.`,
    }
  const pixels = w?.pixels || h?.pixels
  return {
    map: { a: sx, b: 0, c: 0, d: -sx, e: -box[0]! * sx, f: (box[1]! + box[3]!) * sx },
    ...(pixels
      ? {
          caution: `The drawing's size is in pixels; it is taken at 96 to the inch, so one unit is ${sx.toPrecision(4)} mm.`,
        }
      : {}),
  }
}

function inMillimetres(text: string | undefined): { mm: number; pixels: boolean } | undefined {
  const found = /^\s*(\d+\.?\d*|\.\d+)\s*(mm|cm|in|pt|pc|q|px|)\s*$/i.exec(text ?? "")
  if (!found) return undefined
  const unit = found[2]!.toLowerCase()
  const factor = {
    mm: 1,
    cm: 10,
    in: 25.4,
    pt: 25.4 / 72,
    pc: 25.4 / 6,
    q: 0.25,
    px: 25.4 / 96,
    "": 25.4 / 96,
  }[unit]!
  const mm = Number(found[1]) * factor
  return mm > 0 && mm < 1e5 ? { mm, pixels: unit === "px" || unit === "" } : undefined
}

/** Line and column of an offset that only ever grows. */
function placesIn(text: string): (offset: number) => Place {
  let line = 1
  let from = 0
  return (offset) => {
    for (let next = text.indexOf("\n", from); next >= 0 && next < offset; next = text.indexOf("\n", from)) {
      line++
      from = next + 1
    }
    return { line, column: Math.max(1, offset - from + 1) }
  }
}

const local = (name: string) => name.slice(name.indexOf(":") + 1)
