// A group's LEDs in their order: which holes are its own, and who comes first.

import { nearMatch } from "../0-ground/text/near-match.ts"
import { showNumber } from "../0-ground/text/show.ts"
import type { Group, Hole } from "./artefact.ts"
import type { Built } from "./build-face.ts"
import { type Located, where } from "./check-shape.ts"
import { lampFindings as report } from "./lamp-findings.ts"
import type { GroupShape } from "./lamp-schema.ts"
import { quote } from "./read-quantity.ts"

export function buildGroup(name: string, shape: GroupShape, built: Built, at: Located): Group | undefined {
  const { tree, findings } = at
  const { face } = built
  const path = `groups.${name}`
  const chosen: Hole[] = []
  let sound = true
  if (shape.holes === undefined) chosen.push(...face.ledHoles)
  else
    shape.holes.forEach((id, k) => {
      const hole = face.ledHoles.find((h) => h.id === id)
      const twice = hole !== undefined && chosen.includes(hole)
      if (hole !== undefined && !twice) {
        chosen.push(hole)
        return
      }
      sound = false
      const ids = face.ledHoles.map((h) => h.id)
      const near = nearMatch(id, ids)
      findings.push(
        twice
          ? report.state("duplicate-name", {
              severity: "red",
              title: `The hole ${quote(id)} stands twice in ${quote(name)}.`,
              where: where(tree, `${path}.holes.${k}`),
            })
          : report.state("unknown-reference", {
              severity: "red",
              title: `The face ${quote(face.name)} has no LED hole called ${quote(id)}.`,
              where: where(tree, `${path}.holes.${k}`),
              advice: `${near === undefined ? "" : `Did you mean ${near}? `}Known: ${ids.slice(0, 40).join(", ")}.`,
            }),
      )
    })
  if (!sound) return undefined
  if (chosen.length === 0) {
    findings.push(
      report.state("group-empty", {
        severity: "red",
        title: `The face ${quote(face.name)} has no LED holes of ${face.hole} mm for ${quote(name)}.`,
        where: where(tree, path, "key"),
        ...(face.screwHoles.length === 0 ? {} : { advice: otherCircles(face.screwHoles) }),
      }),
    )
    return undefined
  }
  const centre = face.centreLine
  if ((shape.order === "outward" || shape.order === "inward") && centre === undefined) {
    findings.push(
      report.state("centre-line", {
        severity: "red",
        title: `${quote(name)} runs ${shape.order}, but the face ${quote(face.name)} has no centre-line.`,
        where: where(tree, `${path}.order`),
      }),
    )
    return undefined
  }
  const rank = (h: Hole): number => {
    switch (shape.order) {
      case "outward":
        return Math.abs(h.x - (centre ?? 0))
      case "inward":
        return -Math.abs(h.x - (centre ?? 0))
      case "left-to-right":
        return h.x
      case "right-to-left":
        return -h.x
      default:
        return 0
    }
  }
  // Equal places keep the drawing's order.
  const sorted = chosen
    .map((hole, i) => ({ hole, i, rank: Math.round(rank(hole) * 1e6) }))
    .sort((a, b) => a.rank - b.rank || a.i - b.i)
  return {
    name,
    face: face.name,
    led: shape.led,
    functions: [...new Set(shape.functions)],
    order: shape.order,
    leds: sorted.map(({ hole }, i) => ({ ref: `${name}-${i + 1}`, hole })),
    ...(shape.current === undefined ? {} : { current: shape.current }),
  }
}

/** Which circles were drawn instead: the face's hole diameter is often just another one. */
function otherCircles(holes: readonly Hole[]): string {
  const count = new Map<string, number>()
  for (const { diameter } of holes) {
    const shown = showNumber(diameter)
    count.set(shown, (count.get(shown) ?? 0) + 1)
  }
  const list = [...count].slice(0, 6).map(([d, n]) => `${n} of ${d} mm`)
  return `The face has circles ${list.join(", ")}: set its hole to the one that is meant.`
}
