// LEDs against the holes of the face, and parts against the room behind it.

import { fact, measuredBy, result } from "../../0-ground/figure.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import { described, practice } from "../../0-ground/source.ts"
import type { LedType } from "../../1-stock/artefact.ts"
import { leds } from "../../1-stock/leds.ts"
import type { Lamp, LedPlace } from "../../2-lamp/artefact.ts"
import type { Board, Boards } from "../../5-board/artefact.ts"
import { given, nothingTold, readOff, type Told, tell } from "../told.ts"
import { checkScrewHeads } from "./check-screw-heads.ts"
import { checkStack } from "./check-stack.ts"
import { together } from "./check-together.ts"
import { checkWires } from "./check-wires.ts"
import { air, boardHole, faceHole, lead, leadBend } from "./fit-facts.ts"
import { fit } from "./fit-findings.ts"
import { widerHole } from "./wider-hole.ts"
import { type Entering, entersAll, holeFor } from "./yield.ts"

const leadLength = { value: 24, source: lead.source! }
const beyond = fact(
  "fit.lead-beyond",
  "lead that stands out of the board to be soldered",
  1,
  "mm",
  practice(),
)
const boardHeight = (board: string, height: number) =>
  given(`boards.${board}.height`, `room between ${board} and what is above it`, height, "mm")

export function checkFit(lamp: Lamp, boards: Boards): Told {
  const told = nothingTold()
  for (const board of boards.boards) {
    for (const group of lamp.groups) {
      const led = leds.find(group.led)
      const here = group.leds.filter((l) => board.parts.some((p) => p.ref === l.ref))
      if (!led || here.length === 0 || board.face !== group.face) continue
      const holes = here.map((l) => l.hole.diameter)
      tell(
        told,
        chance(lamp, board, group.name, led, Math.min(...holes), here),
        standing(lamp, board, group.name, led, Math.max(...holes)),
      )
    }
    tell(
      told,
      partHeight(lamp, board),
      checkStack(lamp, board),
      checkScrewHeads(lamp, board),
      checkWires(lamp, boards, board),
    )
  }
  return told
}

/** How LEDs sit between their board and their face: known before anything else of the board is. */
export function checkStanding(lamp: Lamp): Told {
  const told = nothingTold()
  for (const { name, behind, carries } of lamp.boards) {
    if (behind === undefined) continue
    for (const group of lamp.groups) {
      const led = leds.find(group.led)
      if (!led || group.leds.length === 0 || group.face !== behind || !carries.includes(group.name)) continue
      const widest = Math.max(...group.leds.map((l) => l.hole.diameter))
      tell(told, standing(lamp, { name, face: behind }, group.name, led, widest))
    }
  }
  return told
}

function chance(
  lamp: Lamp,
  board: Board,
  group: string,
  led: LedType,
  hole: number,
  here: readonly LedPlace[],
): Told {
  const count = here.length
  const land = board.lands.find((l) => board.parts.some((p) => p.ref === l.ref && p.kind === "led"))
  const leadHole = land?.hole ?? 1
  const play = Math.max(0, (leadHole - lead.value * Math.SQRT2) / 2)
  const sigma = Math.hypot(faceHole.value, boardHole.value, leadBend.value)
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
      faceHole,
      boardHole,
      leadBend,
      result(
        `${id}.play`,
        "play of a lead in its hole",
        play,
        "mm",
        "(hole − √2 × side of the lead) ÷ 2, at least 0",
        [
          fact(
            `${id}.lead-hole`,
            "hole of a lead",
            leadHole,
            "mm",
            readOff(`board ${board.name}`, land?.ref),
          ),
          lead,
        ],
      ),
      fact(`${id}.count`, "LEDs", count, "", described(`groups.${group}`)),
    ],
  )
  const finding = fit.judge("leds-enter", {
    title: `All ${count} LEDs of ${group} enter their ${hole} mm holes without filing`,
    where: { text: board.name, board: board.name, group, path: `faces.${board.face}.hole` },
    ...measuredBy(figure),
    limit: { value: 95, unit: "%", kind: "at least" },
    atWorst: "amber",
    amberBelow: 0,
    source: practice("drilling errors as stated: common practice, no source"),
    ...(p < 0.95 && Number.isFinite(better) && better <= widestHole(led) + 1e-9
      ? {
          advice: `Drill the LED holes of ${board.face} to ${better} mm: then all enter in 99 of 100 builds. Or put the LEDs into the face before soldering.`,
          remedies: widerHole(lamp, board.face ?? "", better, {
            value: 100 * entersAll({ ...e, hole: better }, count),
            unit: "%",
          }),
        }
      : {}),
  })
  const told: Told = { findings: [finding], figures: [figure] }
  tell(told, together(lamp, board, group, e, here, better, widestHole(led), figure))
  return told
}

/** Beyond it a flange may slip through, mm. */
const widestHole = (led: LedType) => Math.floor(10 * (led.body.flangeDiameter - 0.2) + 1e-9) / 10

/** Flange against hole, dome beyond the metal, leads down to the board. */
function standing(
  lamp: Lamp,
  board: Pick<Board, "name" | "face">,
  group: string,
  led: LedType,
  widest: number,
): Told {
  const face = lamp.faces.find((f) => f.name === board.face)
  const request = lamp.boards.find((b) => b.name === board.name)
  if (!face || !request) return nothingTold()
  const where = { text: `${board.name}, ${group}`, board: board.name, group }
  const id = (name: string) => `fit.${board.name}.${group}.${name}`
  const { body } = led
  const stock = (name: string) => led.facts.filter((f) => f.id === `stock.${led.key}.${name}`)
  const thickness = fact(
    `fit.${led.key}.flange-thickness`,
    "thickness of the flange",
    body.flangeThickness,
    "mm",
    led.source,
  )
  const metal = given(`faces.${face.name}.thickness`, `thickness of face ${face.name}`, face.thickness, "mm")
  const height = boardHeight(board.name, request.height)
  const hole = fact(
    id("widest-hole"),
    "widest LED hole in the face",
    widest,
    "mm",
    described(`groups.${group}`),
  )
  const flange = result(
    id("flange"),
    `flange of the LEDs of ${group} beyond the widest hole`,
    body.flangeDiameter - widest,
    "mm",
    "flange diameter − widest hole",
    [...stock("flange"), hole],
  )
  const reach = result(
    id("protrusion"),
    `LEDs of ${group} beyond the face`,
    body.heightAboveSeat - body.flangeThickness - face.thickness,
    "mm",
    "height above the seat − thickness of the flange − thickness of the face",
    [...stock("height"), thickness, metal],
  )
  const told: Told = {
    figures: [flange, reach],
    findings: [
      fit.judge("flange", {
        title: `Flange of the LEDs of ${group} against the widest hole`,
        where: { ...where, path: `faces.${face.name}.hole` },
        ...measuredBy(flange),
        limit: { value: 0.2, unit: "mm", kind: "at least" },
        amberBelow: 0,
        source: led.source,
        remedies:
          flange.value < 0.2
            ? widerHole(lamp, face.name, widestHole(led), {
                value: body.flangeDiameter - widestHole(led),
                unit: "mm",
              })
            : [],
      }),
      fit.judge("protrusion", {
        title: `LEDs of ${group} stand out of the ${face.thickness} mm face`,
        where: { ...where, path: `faces.${face.name}.thickness` },
        ...measuredBy(reach),
        limit: { value: body.diameter / 2, unit: "mm", kind: "at least" },
        atWorst: "amber",
        amberBelow: 0,
        source: practice("the dome outside the metal keeps the whole beam: geometry"),
        remedies:
          reach.value < body.diameter / 2
            ? thinnerFace(face.name, body.heightAboveSeat - body.flangeThickness, body.diameter / 2)
            : [],
      }),
    ],
  }
  const seat = request.height - body.flangeThickness
  if (seat < 0) {
    told.figures.push(height)
    told.findings.push(
      fit.judge("seat-height", {
        title: `Room for the LEDs of ${group} between ${board.name} and its face`,
        where: { ...where, path: `boards.${board.name}.height` },
        ...measuredBy(height),
        limit: { value: body.flangeThickness, unit: "mm", kind: "at least" },
        source: led.source,
        remedies: [higher(board.name, Math.ceil(2 * body.flangeThickness) / 2)],
      }),
    )
    return told
  }
  const sheet = lamp.copperClad.thickness
  const length = result(
    id("lead-length"),
    `length the leads of ${group} need`,
    seat + sheet + beyond.value,
    "mm",
    "room between board and face − thickness of the flange + thickness of the board + lead beyond it",
    [height, thickness, given("copper-clad.thickness", "thickness of the board", sheet, "mm"), beyond],
  )
  told.figures.push(length)
  told.findings.push(
    fit.judge("lead-length", {
      title: `Leads of ${group}: flange ${seat.toFixed(1)} mm above ${board.name}, through it and ${beyond.value} mm beyond`,
      where: { ...where, path: `boards.${board.name}.height` },
      ...measuredBy(length),
      limit: { value: leadLength.value, unit: "mm", kind: "at most" },
      source: leadLength.source,
      atWorst: "amber",
      remedies: length.value > 0.95 * leadLength.value ? [lower()] : [],
    }),
  )
  return told

  /** The highest board, in half millimetres, whose leads reach with as much to spare as keeps it green. */
  function lower(): Remedy {
    const most = 0.95 * leadLength.value - sheet - beyond.value + body.flangeThickness
    const next = Math.floor(2 * most + 1e-9) / 2
    return {
      says: `Bring ${board.name} to ${next} mm behind ${face!.name}, with spacers of that length.`,
      changes: [{ path: `boards.${board.name}.height`, value: `${next} mm` }],
      gives: { value: next - body.flangeThickness + sheet + beyond.value, unit: "mm" },
    }
  }
}

function partHeight(lamp: Lamp, board: Board): Told {
  const request = lamp.boards.find((b) => b.name === board.name)
  const others = board.parts.filter((p) => p.kind !== "led")
  if (!request || others.length === 0) return nothingTold()
  const tallest = others.reduce((a, b) => (b.height > a.height ? b : a))
  const id = `fit.${board.name}.part-height`
  const needed = result(
    id,
    `room the parts of ${board.name} need`,
    tallest.height + air.value,
    "mm",
    "tallest part + air",
    [
      fact(
        `${id}.tallest`,
        `height of ${tallest.ref}`,
        tallest.height,
        "mm",
        readOff(`board ${board.name}`, `${tallest.ref}, package ${tallest.package}`),
      ),
      air,
    ],
  )
  const finding = fit.judge("part-height", {
    title: `Tallest part of ${board.name}, ${tallest.ref}, with ${air.value} mm of air`,
    where: {
      text: `${board.name}, ${tallest.ref}`,
      board: board.name,
      part: tallest.ref,
      x: tallest.x,
      y: tallest.y,
      frame: "board",
      path: `boards.${board.name}.height`,
    },
    ...measuredBy(needed),
    limit: { value: request.height, unit: "mm", kind: "at most" },
    amberBelow: 0,
    source: practice(`${air.value} mm of air: common practice, no source`),
    remedies: needed.value > request.height ? [higher(board.name, Math.ceil(2 * needed.value) / 2)] : [],
  })
  return { findings: [finding], figures: [needed] }
}

/** Spacers are sold in half millimetres. */
const higher = (board: string, height: number): Remedy => ({
  says: `Give ${board} ${height} mm of room and spacers of that length.`,
  changes: [{ path: `boards.${board}.height`, value: `${height} mm` }],
})

/** The thickest usual sheet of metal that lets the dome out. */
function thinnerFace(face: string, reach: number, wanted: number): Remedy[] {
  const sheet = [3, 2.5, 2, 1.5, 1, 0.8].find((t) => reach - t >= wanted)
  return sheet === undefined
    ? []
    : [
        {
          says: `Make ${face} from ${sheet} mm metal.`,
          changes: [{ path: `faces.${face}.thickness`, value: `${sheet} mm` }],
          gives: { value: reach - sheet, unit: "mm" },
        },
      ]
}
