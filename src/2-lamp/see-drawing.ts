// What a builder may want to see before there is a lamp: which elements of a drawing can be faces, and the faces of
// a description that is not finished yet.

import type { Finding } from "../0-ground/finding.ts"
import type { FacePoint } from "../0-ground/geometry/point.ts"
import { contains, signedArea } from "../0-ground/geometry/polygon.ts"
import type { Face } from "./artefact.ts"
import { buildFace, edgeOf, type FindDrawing } from "./build-face.ts"
import { checkShape } from "./check-shape.ts"
import { parseText } from "./parse-text.ts"
import { type Drawing, readDrawing } from "./read-drawing.ts"

/** An element of a drawing that can be a face: one closed edge with everything else inside it. */
export interface SeenPart {
  readonly id: string
  readonly width: number
  readonly height: number
  /** Circles by diameter, the most frequent first. */
  readonly circles: readonly { readonly diameter: number; readonly count: number }[]
}

export interface SeenDrawing {
  /** The drawing as given; where its top element had no id, with one. */
  readonly text: string
  readonly parts: readonly SeenPart[]
  /** Why there is nothing to use, or what to know; sentences. */
  readonly says: readonly string[]
}

/** Groups that are looked at; a drawing of a lamp has a handful. */
const mostGroups = 60
/** Only tells an edge that is a disc from a hole, mm. */
const usualHole = 5

export function seeDrawing(given: string): SeenDrawing {
  const { text, named } = withTopId(given)
  const says: string[] = []
  const ids = [...text.matchAll(/<(?:[\w-]+:)?(?:svg|g)\b[^>]*?\sid\s*=\s*(?:"([^"]+)"|'([^']+)')/g)]
    .map((m) => m[1] ?? m[2] ?? "")
    .filter((id) => !/[#"]/.test(id))
    .slice(0, mostGroups)
  const found: Found[] = []
  for (const id of new Set(ids)) {
    const { drawing, faults } = readDrawing(text, id)
    for (const f of faults) if (f.severity === "red" && !says.includes(f.says)) says.push(f.says)
    const part = drawing && faults.every((f) => f.severity !== "red") && partOf(id, drawing)
    if (part) found.push(part)
  }
  const parts = found
    .filter((p) => !found.some((o) => o !== p && better(o, p, found)))
    .map(({ ring: _, holes: __, ...part }) => part)
  if (ids.length === 0) says.push("The drawing has no svg element that can be named.")
  else if (parts.length === 0 && says.length === 0)
    says.push("No element of the drawing has one closed edge with its holes inside.")
  if (parts.length > 0) says.length = 0
  if (named && parts.some((p) => p.id === named))
    says.push(`The copy kept here has the id ${named} on its top element, so that it can be named.`)
  return { text, parts, says }
}

interface Found extends SeenPart {
  readonly ring: readonly FacePoint[]
  readonly holes: number
}

function partOf(id: string, drawing: Drawing): Found | undefined {
  const edge = edgeOf(drawing, usualHole)
  if (!edge || signedArea(edge.ring) < 1) return undefined
  for (const path of drawing.paths)
    if (path !== edge.path && !path.ring.every((p) => contains(edge.ring, p))) return undefined
  const counts = new Map<number, number>()
  for (const c of drawing.circles) {
    if (c === edge.circle) continue
    if (!contains(edge.ring, { x: c.x, y: c.y } as FacePoint)) return undefined
    const d = Math.round(c.diameter * 100) / 100
    counts.set(d, (counts.get(d) ?? 0) + 1)
  }
  const xs = edge.ring.map((p) => p.x)
  const ys = edge.ring.map((p) => p.y)
  return {
    id,
    width: Math.max(...xs) - Math.min(...xs),
    height: Math.max(...ys) - Math.min(...ys),
    circles: [...counts]
      .map(([diameter, count]) => ({ diameter, count }))
      .sort((a, b) => b.count - a.count || a.diameter - b.diameter),
    ring: edge.ring,
    holes: drawing.circles.length,
  }
}

/** Of two elements with one edge the fuller, and of equals the inner, which the builder named; a window is no face. */
function better(other: Found, p: Found, found: readonly Found[]): boolean {
  const [a, b] = [signedArea(other.ring), signedArea(p.ring)]
  const one = Math.abs(a - b) < 1e-6 && Math.abs((other.ring[0]?.x ?? 0) - (p.ring[0]?.x ?? 0)) < 1e-6
  if (one)
    return other.holes > p.holes || (other.holes === p.holes && found.indexOf(other) > found.indexOf(p))
  return a > b && p.ring.every((q) => contains(other.ring, q))
}

/** Many drawing programs give the top element no id. */
function withTopId(given: string): { text: string; named: string | undefined } {
  const top = /<((?:[\w-]+:)?svg)\b([^>]*)>/.exec(given)
  if (!top || /\sid\s*=/.test(top[2] ?? "")) return { text: given, named: undefined }
  let named = "face"
  while (given.includes(`"${named}"`) || given.includes(`'${named}'`)) named += "-1"
  const at = top.index + 1 + (top[1]?.length ?? 0)
  return { text: `${given.slice(0, at)} id="${named}"${given.slice(at)}`, named }
}

/** The faces that can be read, whatever else the description lacks. */
export function seeFaces(text: string, drawing: FindDrawing): readonly Face[] {
  const findings: Finding[] = []
  const tree = parseText(text, findings)
  if (!tree) return []
  const at = { tree, findings, figures: new Map() }
  return [...checkShape(at).faces].flatMap(([name, shape]) => buildFace(name, shape, at, drawing)?.face ?? [])
}
