// The order of a group's LEDs: from the face's geometry, along a line, or hole by hole.

import type { FacePoint } from "../0-ground/geometry/point.ts"
import type { Group, Hole } from "./artefact.ts"
import { type Built, type FindDrawing, importDrawing } from "./build-face.ts"
import { type Located, where } from "./check-shape.ts"
import { counted, tied } from "./lamp-figures.ts"
import { lampFindings as report } from "./lamp-findings.ts"
import type { GroupShape } from "./lamp-schema.ts"
import { quote } from "./read-quantity.ts"

export interface Order {
  readonly name: Group["order"]
  /** Millimetres along the order, or a place in a list. */
  readonly rank: (hole: Hole) => number
}

export function orderOf(
  name: string,
  shape: GroupShape,
  chosen: readonly Hole[],
  { face }: Built,
  at: Located,
  drawing: FindDrawing,
): Order | undefined {
  const { tree, findings } = at
  const { order } = shape
  const path = `groups.${name}.order`
  if (Array.isArray(order)) return listed(name, order, chosen, face.name, at)
  if (typeof order === "object") {
    const line =
      typeof order.along === "string"
        ? drawnLine(order.along, `${path}.along`, at, drawing)
        : order.along.map(([x, y]) => ({ x, y }))
    if (line === undefined) return undefined
    if (lengthOf(line) > 0) return { name: "path", rank: (hole) => alongLine(line, hole) }
    findings.push(
      report.state("order-line", {
        severity: "red",
        title: `The line that ${quote(name)} should follow has no length.`,
        where: where(tree, `${path}.along`),
      }),
    )
    return undefined
  }
  const centre = face.centreLine
  if ((order === "outward" || order === "inward") && centre === undefined) {
    findings.push(
      report.state("centre-line", {
        severity: "red",
        title: `${quote(name)} runs ${order}, but the face ${quote(face.name)} has no centre-line.`,
        where: where(tree, path),
      }),
    )
    return undefined
  }
  const rank: Record<typeof order, (h: Hole) => number> = {
    outward: (h) => Math.abs(h.x - (centre ?? 0)),
    inward: (h) => -Math.abs(h.x - (centre ?? 0)),
    "left-to-right": (h) => h.x,
    "right-to-left": (h) => -h.x,
    "top-to-bottom": (h) => -h.y,
    "bottom-to-top": (h) => h.y,
    drawn: () => 0,
  }
  return { name: order, rank: rank[order] }
}

function listed(
  name: string,
  order: readonly string[],
  chosen: readonly Hole[],
  face: string,
  { tree, findings, figures }: Located,
): Order | undefined {
  const path = `groups.${name}.order`
  const before = findings.length
  order.forEach((id, k) => {
    const here = where(tree, `${path}.${k}`)
    if (order.indexOf(id) < k)
      findings.push(
        report.state("duplicate-name", {
          severity: "red",
          title: `The hole ${quote(id)} stands twice in the order of ${quote(name)}.`,
          where: here,
        }),
      )
    else if (!chosen.some((h) => h.id === id))
      findings.push(
        report.state("unknown-reference", {
          severity: "red",
          title: `${quote(name)} has no hole called ${quote(id)} in ${quote(face)}.`,
          where: here,
          advice: `Known: ${chosen
            .slice(0, 40)
            .map((h) => h.id)
            .join(", ")}.`,
        }),
      )
  })
  if (findings.length > before) return undefined
  const left = chosen.filter((h) => !order.includes(h.id))
  if (left.length === 0) return { name: "listed", rank: (hole) => order.indexOf(hole.id) }
  findings.push(
    report.judge("order-short", {
      title: `The order of ${quote(name)} leaves out ${left
        .slice(0, 8)
        .map((h) => h.id)
        .join(", ")}${left.length > 8 ? " …" : ""}.`,
      where: where(tree, path, "key"),
      ...tied(figures, counted(path, `holes in the order of ${name}`, order.length, "holes")),
      limit: { kind: "exactly", value: chosen.length, unit: "holes" },
    }),
  )
  return undefined
}

/** The one open or closed path of the element, as a line from its beginning. */
function drawnLine(
  reference: string,
  path: string,
  at: Located,
  find: FindDrawing,
): readonly FacePoint[] | undefined {
  const drawn = importDrawing(reference, path, at, find, true)
  if (drawn === undefined || drawn.refused) return undefined
  const { paths, lines } = drawn.drawing
  const all = [...lines, ...paths.map((p) => [...p.ring, p.ring[0]!])]
  if (all.length === 1) return all[0]
  at.findings.push(
    report.state("order-line", {
      severity: "red",
      title:
        all.length === 0
          ? `${quote(reference)} has no path to follow.`
          : `${quote(reference)} has ${all.length} paths; an order follows one.`,
      where: where(at.tree, path),
    }),
  )
  return undefined
}

/** How far along the line its nearest point to `p` lies, mm; of several equally near the first. */
export function alongLine(line: readonly FacePoint[], p: FacePoint): number {
  let walked = 0
  let nearest = Number.POSITIVE_INFINITY
  let best = 0
  for (let i = 1; i < line.length; i++) {
    const [a, b] = [line[i - 1]!, line[i]!]
    const [dx, dy] = [b.x - a.x, b.y - a.y]
    const length = Math.hypot(dx, dy)
    if (length === 0) continue
    const share = Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / length ** 2))
    const away = Math.hypot(a.x + share * dx - p.x, a.y + share * dy - p.y)
    if (away < nearest - 1e-9) {
      nearest = away
      best = walked + share * length
    }
    walked += length
  }
  return best
}

const lengthOf = (line: readonly FacePoint[]): number =>
  line.slice(1).reduce((sum, p, i) => sum + Math.hypot(p.x - line[i]!.x, p.y - line[i]!.y), 0)
