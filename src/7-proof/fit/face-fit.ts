// LEDs against the holes of the face, and parts against the room behind it.

import { type Figure, fact, result } from "../../0-ground/figure.ts"
import type { Finding } from "../../0-ground/finding.ts"
import { described, practice, type Source } from "../../0-ground/source.ts"
import type { LedType } from "../../1-stock/artefact.ts"
import { leds } from "../../1-stock/leds.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board, Boards } from "../../5-board/artefact.ts"
import { fit } from "./fit-findings.ts"
import { type Entering, entersAll, holeFor } from "./yield.ts"

const memory = (document: string): Source => ({ document, known: "memory", confidence: "M" })

/** Standard deviations per axis, mm. */
const faceHole = {
  value: 0.05,
  source: practice(
    "hole drilled by a machine or from a printed template and punch marks: common practice, no source",
  ),
}
const boardHole = {
  value: 0.03,
  source: practice("hole drilled on a hobby mill: common practice, no source"),
}
/** LED lead, square, mm; across corners it is wider. */
const lead = { value: 0.5, source: memory("5 mm lamp: leads 0.5 mm square, at least 25 mm long") }
const leadLength = { value: 24, source: lead.source }
/** Lead that must stand out of the board to be soldered, mm. */
const beyond = 1
/** Air between a part and the face, mm. */
const air = 0.5

export function checkFit(
  lamp: Lamp,
  boards: Boards,
): { readonly findings: Finding[]; readonly figures: Figure[] } {
  const findings: Finding[] = []
  const figures: Figure[] = []
  for (const board of boards.boards) {
    for (const group of lamp.groups) {
      const led = leds.find(group.led)
      const here = group.leds.filter((l) => board.parts.some((p) => p.ref === l.ref))
      if (!led || here.length === 0 || board.face !== group.face) continue
      const smallest = here.reduce((a, b) => (b.hole.diameter < a.hole.diameter ? b : a))
      const entering = chance(board, group.name, led, smallest.hole.diameter, here.length)
      figures.push(entering.figure)
      findings.push(
        entering.finding,
        ...standing(
          lamp,
          board,
          group.name,
          led,
          here.map((l) => l.hole.diameter),
        ),
      )
    }
    findings.push(...partHeight(lamp, board))
  }
  return { findings, figures }
}

function chance(board: Board, group: string, led: LedType, hole: number, count: number) {
  const land = board.lands.find((l) => board.parts.some((p) => p.ref === l.ref && p.kind === "led"))
  const play = Math.max(0, ((land?.hole ?? 1) - lead.value * Math.SQRT2) / 2)
  const sigma = Math.hypot(faceHole.value, boardHole.value)
  const e: Entering = {
    hole,
    body: led.body.diameter,
    bodyTolerance: led.body.diameterTolerance,
    play,
    sigma,
  }
  const p = entersAll(e, count)
  const better = holeFor(e, count, 0.99)
  const id = `fit.${board.name}.${group}.leds-enter`
  const figure = result(
    id,
    `chance that all ${count} LEDs of ${group} enter their holes`,
    p * 100,
    "%",
    "(mean over the body's spread of 1 − exp(−c² ÷ 2σ²))ⁿ with c = (hole − body) ÷ 2 + lead play; a body larger than its hole never enters",
    [
      fact(`${id}.hole`, "hole in the face", hole, "mm", described(`groups.${group}`)),
      ...led.facts.filter((f) => f.id.endsWith(".diameter")),
      fact(
        `${id}.spread`,
        "body spread, three standard deviations",
        led.body.diameterTolerance,
        "mm",
        led.source,
      ),
      fact(
        `${id}.face`,
        "position of a hole in the face, standard deviation per axis",
        faceHole.value,
        "mm",
        faceHole.source,
      ),
      fact(
        `${id}.board`,
        "position of a hole in the board, standard deviation per axis",
        boardHole.value,
        "mm",
        boardHole.source,
      ),
      fact(`${id}.play`, "play of a lead in its hole", play, "mm", lead.source),
      fact(`${id}.count`, "LEDs", count, "", described(`groups.${group}`)),
    ],
  )
  const finding = fit.judge("leds-enter", {
    title: `All ${count} LEDs of ${group} enter their ${hole} mm holes without filing`,
    where: { text: board.name, board: board.name, group, path: `faces.${board.face}.hole` },
    measured: { value: p * 100, unit: "%" },
    limit: { value: 95, unit: "%", kind: "at least" },
    atWorst: "amber",
    amberBelow: 0,
    source: practice("drilling errors as stated: common practice, no source"),
    figure: id,
    ...(p < 0.95 && Number.isFinite(better)
      ? {
          advice: `Holes of ${better} mm would let all enter in 99 of 100 builds; or put the LEDs into the face before soldering.`,
        }
      : {}),
  })
  return { figure, finding }
}

/** Flange against hole, dome beyond the metal, leads down to the board. */
function standing(
  lamp: Lamp,
  board: Board,
  group: string,
  led: LedType,
  holes: readonly number[],
): Finding[] {
  const face = lamp.faces.find((f) => f.name === board.face)
  const request = lamp.boards.find((b) => b.name === board.name)
  if (!face || !request) return []
  const where = { text: `${board.name}, ${group}`, board: board.name, group }
  const { body } = led
  const reach = body.heightAboveSeat - body.flangeThickness - face.thickness
  const seat = request.height - body.flangeThickness
  const findings = [
    fit.judge("flange", {
      title: `Flange of the LEDs of ${group} against the widest hole`,
      where: { ...where, path: `faces.${face.name}.hole` },
      measured: { value: body.flangeDiameter - Math.max(...holes), unit: "mm" },
      limit: { value: 0.2, unit: "mm", kind: "at least" },
      amberBelow: 0,
      source: led.source,
    }),
    fit.judge("protrusion", {
      title: `LEDs of ${group} stand out of the ${face.thickness} mm face`,
      where: { ...where, path: `faces.${face.name}.thickness` },
      measured: { value: reach, unit: "mm" },
      limit: { value: body.diameter / 2, unit: "mm", kind: "at least" },
      atWorst: "amber",
      amberBelow: 0,
      source: practice("the dome outside the metal keeps the whole beam: geometry"),
    }),
  ]
  if (seat < 0) {
    findings.push(
      fit.judge("seat-height", {
        title: `Room for the LEDs of ${group} between ${board.name} and its face`,
        where: { ...where, path: `boards.${board.name}.height` },
        measured: { value: request.height, unit: "mm" },
        limit: { value: body.flangeThickness, unit: "mm", kind: "at least" },
        source: led.source,
      }),
    )
    return findings
  }
  findings.push(
    fit.judge("lead-length", {
      title: `Leads of ${group}: flange ${seat.toFixed(1)} mm above ${board.name}, through it and ${beyond} mm beyond`,
      where: { ...where, path: `boards.${board.name}.height` },
      measured: { value: seat + lamp.copperClad.thickness + beyond, unit: "mm" },
      limit: { value: leadLength.value, unit: "mm", kind: "at most" },
      source: leadLength.source,
      atWorst: "amber",
    }),
  )
  return findings
}

function partHeight(lamp: Lamp, board: Board): Finding[] {
  const request = lamp.boards.find((b) => b.name === board.name)
  const others = board.parts.filter((p) => p.kind !== "led")
  if (!request || others.length === 0) return []
  const tallest = others.reduce((a, b) => (b.height > a.height ? b : a))
  return [
    fit.judge("part-height", {
      title: `Tallest part of ${board.name}, ${tallest.ref}, with ${air} mm of air`,
      where: {
        text: `${board.name}, ${tallest.ref}`,
        board: board.name,
        part: tallest.ref,
        x: tallest.x,
        y: tallest.y,
        frame: "board",
        path: `boards.${board.name}.height`,
      },
      measured: { value: tallest.height + air, unit: "mm" },
      limit: { value: request.height, unit: "mm", kind: "at most" },
      amberBelow: 0,
      source: practice(`${air} mm of air: common practice, no source`),
    }),
  ]
}
