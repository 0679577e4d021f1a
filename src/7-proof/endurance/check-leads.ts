// Solder and leads: how near the iron comes to the LED, and what unlike growth of face and board does to its leads.

import { fact, measuredBy, result } from "../../0-ground/figure.ts"
import { practice, type Source } from "../../0-ground/source.ts"
import { leds } from "../../1-stock/leds.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import { lead } from "../fit/fit-facts.ts"
import { widerHole } from "../fit/wider-hole.ts"
import { given, nothingTold, readOff, type Told } from "../told.ts"
import { endurance } from "./endurance-findings.ts"

const memory = (document: string): Source => ({ document, known: "memory", confidence: "M" })

/** Least distance of a joint from the body, mm. */
const clear = fact("endurance.lead-distance", "from the joint to the LED's body, at least", 1.6, "mm", {
  document: "LED data sheets: solder no nearer than 1.6 mm (0.063 in) to the body, 260 °C for 5 s at most",
  known: "read",
})

/** Growth per kelvin, by a word in the face's metal; the last stands for any other. */
const metals = [
  { word: "stainless", growth: 16.5 },
  { word: "steel", growth: 12 },
  { word: "brass", growth: 19 },
  { word: "copper", growth: 17 },
  { word: "titan", growth: 8.6 },
  { word: "alumin", growth: 23 },
  { word: "", growth: 23 },
] as const
const metalSource = memory("growth of metals with heat, handbook values")
const laminates = { FR4: 15, FR1: 20 } as const
const laminateSource = memory("growth of laminate with heat, in its plane, typical values")
const builtAt = fact(
  "endurance.built-at",
  "temperature at which it was soldered together",
  20,
  "°C",
  practice(),
)

export function checkLeads(lamp: Lamp, board: Board): Told {
  const told = nothingTold()
  const request = lamp.boards.find((b) => b.name === board.name)
  const face = lamp.faces.find((f) => f.name === board.face)
  if (!request || !face) return told
  const { base, thickness } = lamp.copperClad
  for (const group of lamp.groups) {
    const here = group.leds.filter((l) => board.parts.some((p) => p.ref === l.ref))
    const led = leds.find(group.led)
    if (!led || here.length === 0 || group.face !== face.name) continue
    const id = (name: string) => `endurance.${board.name}.${group.name}.${name}`
    const where = { text: `${board.name}, ${group.name}`, board: board.name, group: group.name }
    const { body } = led
    const distance = result(
      id("lead-distance"),
      `from the joints to the bodies of ${group.name}`,
      request.height - body.flangeThickness + thickness,
      "mm",
      "room between board and face − thickness of the flange + thickness of the board",
      [
        given(
          `boards.${board.name}.height`,
          `room between ${board.name} and what is above it`,
          request.height,
          "mm",
        ),
        fact(id("flange"), "thickness of the flange", body.flangeThickness, "mm", led.source),
        given("copper-clad.thickness", "thickness of the board", thickness, "mm"),
      ],
    )
    const higher = Math.ceil(2 * (clear.value + body.flangeThickness - thickness)) / 2
    told.figures.push(distance, clear)
    told.findings.push(
      endurance.judge("lead-distance", {
        title: `Joints of ${group.name} on ${board.name} to the LEDs' bodies`,
        where: { ...where, path: `boards.${board.name}.height` },
        ...measuredBy(distance),
        limit: { value: clear.value, unit: "mm", kind: "at least" },
        amberBelow: 0,
        atWorst: "amber",
        source: clear.source!,
        remedies:
          distance.value < clear.value
            ? [
                {
                  says: `Give ${board.name} ${higher} mm of room and spacers of that length.`,
                  changes: [{ path: `boards.${board.name}.height`, value: `${higher} mm` }],
                  gives: { value: higher - body.flangeThickness + thickness, unit: "mm" },
                },
              ]
            : [],
      }),
    )

    const middle = {
      x: here.reduce((s, l) => s + l.hole.x, 0) / here.length,
      y: here.reduce((s, l) => s + l.hole.y, 0) / here.length,
    }
    const reach = Math.max(...here.map((l) => Math.hypot(l.hole.x - middle.x, l.hole.y - middle.y)))
    const metal = metals.find((m) => face.metal.toLowerCase().includes(m.word))!
    const { lowest, highest } = lamp.vehicle.ambient
    const span = Math.max(highest - builtAt.value, builtAt.value - lowest, 0)
    const moves = 1e-6 * Math.abs(metal.growth - laminates[base]) * reach * span
    const hole = Math.min(...here.map((l) => l.hole.diameter))
    const land = board.lands.find((l) => here.some((x) => x.ref === l.ref))
    const play = Math.max(0, ((land?.hole ?? 1) - lead.value * Math.SQRT2) / 2)
    const room = (drilled: number) => Math.max(0, (drilled - body.diameter) / 2 + play)
    const figure = result(
      id("expansion"),
      `outermost LED of ${group.name} moved by face and board growing unlike`,
      1000 * moves,
      "µm",
      "|growth of the metal − growth of the laminate| × distance of the outermost LED from the middle × temperature beyond that of soldering",
      [
        fact(id("metal"), `growth of ${face.metal}`, metal.growth, "10⁻⁶/K", metalSource),
        fact(`endurance.${base}.growth`, `growth of ${base}`, laminates[base], "10⁻⁶/K", laminateSource),
        fact(
          id("reach"),
          "outermost LED from the middle of all",
          reach,
          "mm",
          readOff(`the drawing of face ${face.name}`, "LED holes"),
        ),
        builtAt,
        given("vehicle.ambient.lowest", "lowest ambient temperature", lowest, "°C"),
        given("vehicle.ambient.highest", "highest ambient temperature", highest, "°C"),
      ],
    )
    const widest = Math.floor(10 * (body.flangeDiameter - 0.2) + 1e-9) / 10
    const wide = Math.ceil(10 * (body.diameter + 2 * (moves - play)) - 1e-9) / 10
    told.figures.push(figure)
    told.findings.push(
      endurance.judge("expansion", {
        title: `Rule of thumb: outermost LED of ${group.name}, moved by heat and cold, against its play in the hole`,
        where: { ...where, path: `faces.${face.name}.hole` },
        ...measuredBy(figure),
        limit: { value: 1000 * room(hole), unit: "µm", kind: "at most" },
        amberBelow: 0,
        atWorst: "amber",
        source: metalSource,
        remedies:
          moves > room(hole) && wide <= widest
            ? widerHole(lamp, face.name, wide, { value: 1000 * moves, unit: "µm" })
            : [],
      }),
    )
  }
  told.findings.push(
    endurance.state("solder", {
      severity: "green",
      title: `Rule of thumb: ${board.lands.length} joints of ${board.name} are soldered by hand on one side`,
      where: { text: board.name, board: board.name },
      source: practice("rule of thumb, no source"),
    }),
  )
  return told
}
