// Does the face make sense as metal: holes inside the edge, apart from each other, and the LED's body through them.

import { fact, result } from "../0-ground/figure.ts"
import type { Finding, Where } from "../0-ground/finding.ts"
import { contains } from "../0-ground/geometry/polygon.ts"
import { described } from "../0-ground/source.ts"
import { showNumber } from "../0-ground/text/show.ts"
import type { LedType } from "../1-stock/artefact.ts"
import type { Group, Hole } from "./artefact.ts"
import type { Built } from "./build-face.ts"
import { type Located, where } from "./check-shape.ts"
import { coordinates, drawn, said, spacing, tied, toEdgeOf } from "./lamp-figures.ts"
import { lampFindings as report } from "./lamp-findings.ts"
import { toEdge as edgeDistance } from "./outline.ts"
import { quote } from "./read-quantity.ts"

/** Least metal between a hole and an edge, common practice for drilled sheet. */
const leastWeb = 1

/** Every fault is told; of what is kept, the thinnest place of each face. */
export function checkFace(
  built: Built,
  groups: readonly Group[],
  leds: readonly LedType[],
  { tree, findings, figures }: Located,
): void {
  const { face, spots } = built
  const spotOf = (h: Hole): Where => {
    const spot = spots.get(h.id)
    const { path, line, column } = spot ?? where(tree, `faces.${face.name}`, "key")
    return {
      text: `hole ${h.id} of ${face.name}`,
      path,
      line,
      column,
      ...(spot?.file === undefined ? {} : { file: spot.file }),
      x: h.x,
      y: h.y,
      frame: "face",
    }
  }
  const idOf = (h: Hole) => `lamp.face.${face.name}.${h.id}`
  const placeOf = (h: Hole) => drawn(spots.get(h.id) ?? where(tree, `faces.${face.name}`))
  const at = (h: Hole) => coordinates(idOf(h), `hole ${h.id}`, h, placeOf(h))
  const diameterOf = (h: Hole) =>
    fact(`${idOf(h)}.diameter`, `diameter of hole ${h.id}`, h.diameter, "mm", placeOf(h))
  const edges = [face.outline, ...face.windows]
  const kept = thinnest()
  for (const hole of [...face.ledHoles, ...face.screwHoles]) {
    const inside = contains(face.outline, hole) && !face.windows.some((w) => contains(w, hole))
    const distance = Math.min(...edges.map((ring) => edgeDistance(ring, hole)))
    const toEdge = toEdgeOf(
      `${idOf(hole)}.to-edge`,
      `hole ${hole.id} to the edge of ${face.name}`,
      inside ? distance : 0 - distance,
      "the nearest edge of the face or of a window in it",
      at(hole),
    )
    if (!inside) {
      findings.push(
        report.judge("hole-outside", {
          title: `The hole ${quote(hole.id)} lies ${showNumber(distance)} mm outside the edge of ${quote(face.name)}.`,
          where: spotOf(hole),
          ...tied(figures, toEdge),
          limit: { kind: "at least", value: 0, unit: "mm" },
        }),
      )
      continue
    }
    const web = distance - hole.diameter / 2
    const metal = result(
      `${idOf(hole)}.web`,
      `metal between hole ${hole.id} and the edge of ${face.name}`,
      web,
      "mm",
      "distance to the edge − half the hole's diameter",
      [toEdge, diameterOf(hole)],
    )
    const broken = web <= 0
    kept.take(
      report.judge(broken ? "hole-outside" : "hole-edge", {
        title: broken
          ? `The hole ${quote(hole.id)} breaks through the edge of ${quote(face.name)}.`
          : `${showNumber(web)} mm of metal stand between hole ${quote(hole.id)} and the edge of ${quote(face.name)}.`,
        where: spotOf(hole),
        ...tied(figures, metal),
        limit: { kind: "at least", value: broken ? 0 : leastWeb, unit: "mm" },
        // The web is a rule of thumb: it can warn, not refuse.
        atWorst: broken ? "red" : "amber",
      }),
    )
  }
  findings.push(...kept.all())

  const ledOf = new Map<string, LedType>()
  for (const group of groups) {
    const led = leds.find((l) => l.key === group.led)
    if (led) for (const place of group.leds) ledOf.set(place.hole.id, led)
  }
  const apart = thinnest()
  const lit = face.ledHoles
  for (let i = 0; i < lit.length; i++) {
    const a = lit[i]!
    for (let j = i + 1; j < lit.length; j++) {
      const b = lit[j]!
      const [p, q] = [ledOf.get(a.id), ledOf.get(b.id)]
      const needed =
        p && q ? (p.body.flangeDiameter + q.body.flangeDiameter) / 2 : (a.diameter + b.diameter) / 2
      const distance = Math.hypot(a.x - b.x, a.y - b.y)
      if (distance > 3 * needed) continue
      apart.take(
        report.judge("led-spacing", {
          title: `The holes ${quote(a.id)} and ${quote(b.id)} are ${showNumber(distance, 4)} mm apart; the LED flanges need ${showNumber(needed)} mm.`,
          where: spotOf(b),
          ...tied(
            figures,
            spacing(
              `lamp.face.${face.name}.${a.id}-to-${b.id}`,
              `holes ${a.id} and ${b.id} apart`,
              distance,
              at(a),
              at(b),
            ),
          ),
          limit: { kind: "at least", value: needed, unit: "mm" },
          ...(p ? { source: p.source } : { source: described(`faces.${face.name}`) }),
        }),
      )
    }
    for (const s of face.screwHoles) {
      const distance = Math.hypot(a.x - s.x, a.y - s.y)
      const led = ledOf.get(a.id)
      const needed = (Math.max(a.diameter, led?.body.flangeDiameter ?? 0) + s.diameter) / 2
      if (distance >= needed) continue
      findings.push(
        report.judge("hole-overlap", {
          title: `The LED of hole ${quote(a.id)} and the screw ${quote(s.id)} are ${showNumber(distance)} mm apart and need ${showNumber(needed)} mm.`,
          where: spotOf(a),
          ...tied(
            figures,
            spacing(
              `lamp.face.${face.name}.${a.id}-to-${s.id}`,
              `holes ${a.id} and ${s.id} apart`,
              distance,
              at(a),
              at(s),
            ),
          ),
          limit: { kind: "at least", value: needed, unit: "mm" },
        }),
      )
    }
  }
  findings.push(...apart.all())

  for (const led of new Set(groups.map((g) => leds.find((l) => l.key === g.led)))) {
    if (led === undefined) continue
    const { diameter, diameterTolerance, flangeDiameter } = led.body
    const place = { ...where(tree, `faces.${face.name}.hole`) }
    const claim = (title: string, limit: number, kind: "at least" | "at most", amberBelow: number) =>
      report.judge("led-hole", {
        title,
        where: place,
        ...tied(figures, said(tree, `faces.${face.name}.hole`, `LED hole of ${face.name}`, face.hole, "mm")),
        limit: { kind, value: limit, unit: "mm" },
        amberBelow,
        source: led.source,
      })
    findings.push(
      claim(
        `The ${face.hole} mm hole takes the body of ${led.label}: ${diameter} mm, up to ${showNumber(diameter + diameterTolerance)} mm with its tolerance.`,
        diameter,
        "at least",
        // Below the largest body some LEDs of a bag need the hole filed.
        diameterTolerance / diameter - 1e-6,
      ),
      claim(
        `The ${face.hole} mm hole holds back the flange of ${led.label}: ${showNumber(flangeDiameter)} mm, less 0.1 mm for its rounded edge.`,
        flangeDiameter - 0.1,
        "at most",
        0,
      ),
    )
  }
}

/** Of every place in the text the worst red or amber finding, with how many more there are; of the green ones the thinnest. */
function thinnest() {
  const bad = new Map<string, { worst: Finding; count: number }>()
  let best: Finding | undefined
  const thinner = (a: Finding, b: Finding | undefined) => b === undefined || (a.margin ?? 0) < (b.margin ?? 0)
  return {
    take(f: Finding) {
      if (f.severity === "green") {
        if (thinner(f, best)) best = f
        return
      }
      const key = `${f.code} ${f.where.file ?? ""} ${f.where.line} ${f.where.column}`
      const known = bad.get(key)
      bad.set(key, {
        worst: known === undefined || thinner(f, known.worst) ? f : known.worst,
        count: (known?.count ?? 0) + 1,
      })
    },
    all: () => [
      ...[...bad.values()].map(({ worst, count }) =>
        count === 1 ? worst : { ...worst, title: `${worst.title} ${count - 1} more from this line.` },
      ),
      ...(best ? [best] : []),
    ],
  }
}
