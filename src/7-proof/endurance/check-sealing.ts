// What a seal would have to hold: the gas law between the day the housing was closed and the hottest and coldest one.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import { practice } from "../../0-ground/source.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import { given, type Told } from "../told.ts"
import { endurance } from "./endurance-findings.ts"

const zero = 273.15
const outside = fact("endurance.air-pressure", "air pressure", 1013, "hPa", practice("standard atmosphere"))

/** `closedAt`: air when it was closed, °C; `inside`: air above the outside while lit, K. */
export function checkSealing(lamp: Lamp, board: Board, closedAt: Figure, inside: Figure): Told {
  const { lowest, highest } = lamp.vehicle.ambient
  const at = (celsius: number) => outside.value * ((celsius + zero) / (closedAt.value + zero) - 1)
  const over = at(highest + inside.value)
  const under = at(lowest)
  const id = (name: string) => `endurance.${board.name}.${name}`
  const inputs = [
    outside,
    closedAt,
    given("vehicle.ambient.highest", "highest ambient temperature", highest, "°C"),
    given("vehicle.ambient.lowest", "lowest ambient temperature", lowest, "°C"),
    inside,
  ]
  const figure = result(
    id("seal"),
    `pressure that a seal round ${board.name} would have to hold`,
    Math.max(over, -under),
    "hPa",
    "air pressure × |hottest or coldest air inside ÷ air when it was closed − 1|, temperatures from absolute zero",
    inputs,
  )
  return {
    figures: [figure],
    findings: [
      endurance.state("sealing", {
        severity: "green",
        title: `Rule of thumb: sealed all round, the housing of ${board.name} would be blown up by ${over.toFixed(0)} hPa in the heat and sucked in by ${(-under).toFixed(0)} hPa in the cold`,
        where: { text: board.name, board: board.name },
        ...measuredBy(figure),
        source: practice(
          "a housing that does not breathe: gas law; rule of thumb for what seals hold, no source",
        ),
      }),
    ],
  }
}
