// Drilled holes one by one against lands and screws: missing, stray, shared, too shallow.

import { fact, measuredBy, result } from "../../0-ground/figure.ts"
import type { Finding } from "../../0-ground/finding.ts"
import { showNumber } from "../../0-ground/text/show.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import { proof } from "../proof-findings.ts"
import { given, nothingTold, readOff, type Told } from "../told.ts"
import { landPlace, mostListed } from "./board-place.ts"
import type { Hole } from "./simulate-cut.ts"

export interface FoundHole extends Hole {
  readonly bottom: number
  readonly line: number
  readonly file: string
  /** Milled: it has no point, its full width reaches to its bottom. */
  readonly flat?: true
}

interface Asked {
  readonly name: string
  readonly ref: string
  readonly pin: string
  readonly x: number
  readonly y: number
  readonly diameter: number
}

/** A hole this near to its land is in its place, mm. */
const inPlace = 0.02
/** A hole this near is told of where the right one is missing, mm. */
const near = 0.3
/** Drills closer than this are the same, mm. */
const sameDrill = 0.011
/** Length of a 118° drill point for each mm of diameter: ½ ÷ tan 59°. */
const drillPoint = 0.5 / Math.tan((59 * Math.PI) / 180)

export function judgeHoles(board: Board, holes: readonly FoundHole[], lamp: Lamp): Told {
  const told = nothingTold()
  const asked: Asked[] = [
    ...board.lands.map((l) => ({ ...l, diameter: l.hole, name: `${l.ref}.${l.pin}` })),
    ...board.screws.map((s, i) => ({ ...s, ref: "", pin: "", name: `screw ${i + 1}` })),
  ]
  const owner = new Map<FoundHole, Asked>()
  const missing: Asked[] = []
  for (const a of asked) {
    const own = holes.find((h) => !owner.has(h) && apart(h, a) < inPlace && sameSize(h, a))
    if (own) owner.set(own, a)
    else missing.push(a)
  }
  for (const a of missing.slice(0, mostListed)) told.findings.push(holeMissing(board, holes, owner, a))
  const stray = holes.filter((h) => !owner.has(h))
  for (const h of stray.slice(0, mostListed)) {
    told.findings.push(
      proof.state("hole-stray", {
        severity: "red",
        title: `a ${h.diameter} mm hole on ${board.name} belongs to no land and no screw`,
        where: { ...holePlace(board, h), x: h.x, y: h.y, frame: "board" },
      }),
    )
  }
  if (missing.length === 0 && stray.length === 0) {
    told.findings.push(
      proof.state("holes", {
        severity: "green",
        title: `${board.name}: ${holes.length} holes, one for each land and screw`,
        where: { text: board.name, board: board.name },
        measured: { value: 0, unit: "" },
        limit: { value: 0, unit: "", kind: "exactly" },
        margin: 0,
      }),
    )
  }
  judgeDepth(board, holes, lamp, told)
  return told
}

/** The nearest hole tells what is wrong: another land has it, it is of another size, it is beside its place. */
function holeMissing(
  board: Board,
  holes: readonly FoundHole[],
  owner: ReadonlyMap<FoundHole, Asked>,
  a: Asked,
): Finding {
  const where = { ...landPlace(board, a), text: `${board.name}, ${a.name}` }
  const found = holes.filter((h) => apart(h, a) < near).sort((p, q) => apart(p, a) - apart(q, a))
  const other = found.find((h) => !owner.has(h)) ?? found[0]
  if (!other) {
    return proof.state("hole-missing", {
      severity: "red",
      title: `${a.name} on ${board.name} gets no hole`,
      where,
    })
  }
  const taken = owner.get(other)
  if (taken) {
    return proof.state("hole-missing", {
      severity: "red",
      title: `${taken.name} and ${a.name} on ${board.name} lie ${apart(taken, a).toFixed(2)} mm apart: two lands, but one hole of ${showNumber(other.diameter)} mm`,
      where: { ...where, text: `${board.name}, ${taken.name} and ${a.name}` },
      measured: { value: 1, unit: "" },
      limit: { value: 2, unit: "", kind: "exactly" },
      advice: `One hole takes one lead: move ${taken.ref === a.ref ? a.name : `${taken.ref || taken.name} or ${a.ref || a.name}`} so that each land has its own hole.`,
    })
  }
  if (!sameSize(other, a)) {
    return proof.state("hole-missing", {
      severity: "red",
      title: `${a.name} on ${board.name} asks for a hole of ${showNumber(a.diameter)} mm and gets ${showNumber(other.diameter)} mm`,
      where,
      measured: { value: other.diameter, unit: "mm" },
      limit: { value: a.diameter, unit: "mm", kind: "exactly" },
    })
  }
  return proof.state("hole-missing", {
    severity: "red",
    title: `${a.name} on ${board.name} has its hole ${showNumber(apart(other, a), 2)} mm beside its place`,
    where,
  })
}

function judgeDepth(board: Board, holes: readonly FoundHole[], lamp: Lamp, told: Told): void {
  if (holes.length === 0) return
  // The hole has its full width only above the drill's point.
  const full = (h: FoundHole) => -h.bottom - (h.flat ? 0 : drillPoint * h.diameter)
  const shallow = holes.reduce((a, h) => (full(h) < full(a) ? h : a))
  const id = `proof.${board.name}.hole-depth`
  const depth = result(
    id,
    `shallowest hole of ${board.name}, above the drill's point`,
    full(shallow),
    "mm",
    shallow.flat
      ? "depth of the tip; milled, so it has no point"
      : "depth of the tip − diameter × length of the point for each mm of diameter",
    [
      fact(
        `${id}.tip`,
        "depth of the drill's tip",
        -shallow.bottom,
        "mm",
        readOff(shallow.file, `line ${shallow.line}`),
      ),
      fact(`${id}.diameter`, "diameter of the drill", shallow.diameter, "mm", readOff(shallow.file, "tool")),
      fact("proof.drill-point", "length of a drill's point for each mm of diameter", drillPoint, "", {
        document: "118° points, usual for small twist drills: ½ ÷ tan 59°",
        known: "memory",
        confidence: "H",
      }),
    ],
  )
  told.figures.push(
    depth,
    given("copper-clad.thickness", "thickness of the board", lamp.copperClad.thickness, "mm"),
  )
  told.findings.push(
    proof.judge("hole-depth", {
      title: `Shallowest hole of ${board.name}, above the drill's point`,
      where: holePlace(board, shallow),
      ...measuredBy(depth),
      limit: { value: lamp.copperClad.thickness, unit: "mm", kind: "at least" },
      amberBelow: 0,
    }),
  )
}

const apart = (
  a: { readonly x: number; readonly y: number },
  b: { readonly x: number; readonly y: number },
) => Math.hypot(a.x - b.x, a.y - b.y)

const sameSize = (h: Hole, a: Asked) => Math.abs(h.diameter - a.diameter) < sameDrill

const holePlace = (board: Board, h: FoundHole) => ({
  text: `${h.file}, line ${h.line}`,
  file: h.file,
  line: h.line,
  board: board.name,
})
