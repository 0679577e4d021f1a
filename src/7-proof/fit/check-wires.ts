// The wires of a board: room to bend one aside, and the bundle through the housing's notch.

import { fact, measuredBy, result } from "../../0-ground/figure.ts"
import { practice, type Source } from "../../0-ground/source.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board, Boards } from "../../5-board/artefact.ts"
import { given, nothingTold, readOff, type Told } from "../told.ts"
import { memory } from "./fit-facts.ts"
import { fit } from "./fit-findings.ts"

/** Over the insulation, mm, by conductor in mm²: thin-wall vehicle wire. */
const outside = [
  { size: 0.35, diameter: 1.3 },
  { size: 0.5, diameter: 1.6 },
  { size: 0.75, diameter: 1.9 },
  { size: 1, diameter: 2.1 },
  { size: 1.5, diameter: 2.4 },
  { size: 2.5, diameter: 3 },
  { size: 4, diameter: 3.7 },
  { size: 6, diameter: 4.3 },
] as const
const outsideSource: Source = memory("thin-wall vehicle wire (ISO 6722-1): greatest outside diameters")
/** Wires between boards, and wires whose size is not described. */
const usualSize = 0.5

export const wireOutside = (size: number): number =>
  (outside.find((o) => o.size >= size - 1e-9) ?? { diameter: 1.75 * Math.sqrt(size) }).diameter

const bend = fact(
  "fit.wire-bend",
  "inner radius of a bent wire, in diameters of the wire",
  2,
  "",
  practice("fixed, bent once: common practice, no source"),
)
const packing = fact(
  "fit.bundle-packing",
  "bundle against the circle of the same area as its wires",
  1.2,
  "",
  practice("round wires lie with gaps: common practice, no source"),
)

/** Diameter of a bundle, mm: packing × √(sum of the diameters squared). */
export const bundleOf = (diameters: readonly number[]): number =>
  diameters.length === 1 ? diameters[0]! : packing.value * Math.sqrt(diameters.reduce((s, d) => s + d * d, 0))

export function checkWires(lamp: Lamp, { harness }: Pick<Boards, "harness">, board: Board): Told {
  const told = nothingTold()
  const request = lamp.boards.find((b) => b.name === board.name)
  const here = harness.filter(
    (w) => w.to.board === board.name || ("board" in w.from && w.from.board === board.name),
  )
  if (!request || here.length === 0) return told
  const sizes = here.map((w) => {
    const vehicle =
      "vehicle" in w.from ? lamp.vehicle.wires.find((v) => v.name === w.name || v.name === w.net) : undefined
    return vehicle?.size ?? usualSize
  })
  const diameters = sizes.map(wireOutside)
  const widest = Math.max(...diameters)
  const id = (name: string) => `fit.${board.name}.${name}`
  const where = { text: board.name, board: board.name }
  const thick = fact(
    id("wire"),
    `thickest wire of ${board.name} over its insulation, ${Math.max(...sizes)} mm²`,
    widest,
    "mm",
    outsideSource,
  )
  const room = result(
    id("wire-bend"),
    `room a wire of ${board.name} needs to bend aside over it`,
    (bend.value + 1) * widest,
    "mm",
    "(inner radius in diameters + 1) × wire",
    [bend, thick],
  )
  told.figures.push(room)
  told.findings.push(
    fit.judge("wire-bend", {
      title: `Bend of the thickest wire over ${board.name}`,
      where: { ...where, path: `boards.${board.name}.height` },
      ...measuredBy(room),
      limit: { value: request.height, unit: "mm", kind: "at most" },
      amberBelow: 0,
      atWorst: "amber",
      source: bend.source!,
      remedies:
        room.value > request.height
          ? [
              {
                says: `Give ${board.name} ${Math.ceil(2 * room.value) / 2} mm of room.`,
                changes: [
                  { path: `boards.${board.name}.height`, value: `${Math.ceil(2 * room.value) / 2} mm` },
                ],
              },
            ]
          : [],
    }),
  )
  const bundle = result(
    id("wire-bundle"),
    `bundle of the ${here.length} wires of ${board.name}`,
    bundleOf(diameters),
    "mm",
    "packing × √(sum of the wires' diameters squared)",
    [
      packing,
      fact(id("wires"), "wires", here.length, "", readOff("the harness", board.name)),
      thick,
      fact(
        id("wires-squared"),
        "sum of the diameters squared",
        diameters.reduce((s, d) => s + d * d, 0),
        "mm²",
        outsideSource,
      ),
    ],
  )
  told.figures.push(bundle)
  if (request.notch === undefined) {
    told.findings.push(
      fit.state("wire-notch", {
        severity: "green",
        title: `${board.name}: its ${here.length} wires make a bundle this thick; the notch is not described`,
        where,
        ...measuredBy(bundle),
        advice: `Give its notch at least ${Math.ceil(2 * bundle.value) / 2} mm, smooth its edge and fit a grommet.`,
      }),
    )
    return told
  }
  told.figures.push(
    given(`boards.${board.name}.notch`, `notch for the wires of ${board.name}`, request.notch, "mm"),
  )
  const wide = Math.ceil(2 * bundle.value) / 2
  told.findings.push(
    fit.judge("wire-notch", {
      title: `Bundle of the ${here.length} wires of ${board.name} through its notch`,
      where: { ...where, path: `boards.${board.name}.notch` },
      ...measuredBy(bundle),
      limit: { value: request.notch, unit: "mm", kind: "at most" },
      amberBelow: 0,
      atWorst: "amber",
      source: packing.source!,
      remedies:
        bundle.value > request.notch
          ? [
              {
                says: `Widen the notch of ${board.name} to ${wide} mm.`,
                changes: [{ path: `boards.${board.name}.notch`, value: `${wide} mm` }],
              },
            ]
          : [],
    }),
  )
  return told
}
