// How LEDs sit between their board and their face: known before anything else of the board is.

import { fact, measuredBy, result } from "../../0-ground/figure.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import { described, practice } from "../../0-ground/source.ts"
import type { LedType } from "../../1-stock/artefact.ts"
import { leds } from "../../1-stock/leds.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import { given, nothingTold, type Told, tell } from "../told.ts"
import { lead } from "./fit-facts.ts"
import { fit } from "./fit-findings.ts"
import { widerHole } from "./wider-hole.ts"

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

/** Beyond it a flange may slip through, mm. */
export const widestHole = (led: LedType) => Math.floor(10 * (led.body.flangeDiameter - 0.2) + 1e-9) / 10

/** Flange against hole, dome beyond the metal, leads down to the board. */
export function standing(
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

/** Spacers are sold in half millimetres. */
export const higher = (board: string, height: number): Remedy => ({
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
