// Finding by finding: a description that is spoiled so that it appears, each remedy it names written into the
// description, the rooms run again, and the finding gone. Where it names none, it says why.

import { describe, expect, test } from "vitest"
import { noChange } from "../0-ground/catalogue.ts"
import { applyRemedy } from "../0-ground/remedy.ts"
import { endurance } from "./endurance/endurance-findings.ts"
import { fit } from "./fit/fit-findings.ts"
import { light } from "./light/light-findings.ts"
import { changed, example, judged, type Room } from "./spoiled.testing.ts"

const tern = example("tern")
const marker = example("marker")

/** A small indicator whose holes are listed or in a row, for what drawings cannot be changed for. */
const row = (holes: string, order: string) => `lampwright: 1
name: A row of amber LEDs
vehicle:
  kind: trailer
  rules: un-l
  supply: { lowest: 9 V, usual: 13.5 V, highest: 16 V, surge: clamped }
  wires:
    left: { role: flashing, flasher: electronic, rate: 90 /min, on-share: 50 %, fuse: 5 A }
    plus: { role: supply, fuse: 5 A }
    earth: { role: earth }
faces:
  bar:
    outline: { rectangle: 240 × 60 mm }
    holes: ${holes}
    metal: aluminium
    thickness: 2 mm
    hole: 5.3 mm
groups:
  turn: { face: bar, led: amber-5mm, functions: [direction-indicator], order: ${order} }
programme:
  - { when: left, light: turn, sweep: { within: 150 ms } }
boards:
  bar: { carries: [turn, controller, drivers, supply], behind: bar, height: 14 mm }
copper-clad: { base: FR4, thickness: 1.6 mm, copper: 35 µm, sheet: 100 × 300 mm }
cutter:
  engraver: { tip: 0.2 mm, angle: 30°, depth: 0.1 mm, feed: 300 mm/min }
  drills: [0.8 mm, 1.0 mm, 3.2 mm]
  router: { diameter: 1.5 mm, feed: 240 mm/min }
  machine: { rapid: 1500 mm/min, flatness: 0.03 mm }
`
const zigzag =
  "{ along: list, points: [[20 mm, 20 mm], [50 mm, 26 mm], [80 mm, 32 mm], [110 mm, 38 mm], [140 mm, 32 mm]] }"

type Changes = readonly (readonly [path: string, value: string | string[]])[]
interface Case {
  readonly code: string
  readonly room: Room
  readonly text: string
  readonly changes?: Changes
  readonly group?: string
  /** Paths that the remedies change, first change of each; absent: none is named, and why is said. */
  readonly remedies?: readonly string[]
}

const us: Changes = [["vehicle.rules", "us-motorcycle"]]
const cases: readonly Case[] = [
  { code: "light.not-approved", room: "light-still", text: marker },
  {
    code: "light.intensity-least",
    room: "light-still",
    text: marker,
    changes: [
      ["groups.marker.current", "5 mA"],
      ["groups.marker.bin.light", ["2.9 cd", "7 cd"]],
      ["groups.marker.bin.beam", "60°"],
      ["groups.marker.lens", "70 %"],
    ],
    group: "marker",
  },
  {
    code: "light.distribution",
    room: "light-still",
    text: tern,
    changes: [["groups.sweep-left.bin.beam", "14°"]],
    group: "sweep-left",
    remedies: ["groups.sweep-left.bin.light", "groups.sweep-left.bin.beam"],
  },
  {
    code: "light.visibility",
    room: "light-still",
    text: tern,
    group: "sweep-left",
    remedies: ["groups.sweep-left.bin.beam"],
  },
  {
    code: "light.stop-to-tail",
    room: "light-still",
    text: tern,
    changes: [["programme.0.level", "24 %"]],
    remedies: ["programme.0.level"],
  },
  {
    code: "light.on-share",
    room: "light-still",
    text: tern,
    changes: [["vehicle.wires.left.on-share", "85 %"]],
    remedies: ["vehicle.wires.left.on-share"],
  },
  {
    code: "light.first-light",
    room: "light",
    text: tern,
    changes: [
      ["vehicle.wires.left.rate", "30 /min"],
      ["vehicle.wires.left.on-share", "40 %"],
    ],
    group: "sweep-left",
    remedies: ["vehicle.wires.left.rate"],
  },
  {
    code: "light.first-dark",
    room: "light",
    text: tern,
    changes: [
      ["vehicle.wires.left.rate", "30 /min"],
      ["vehicle.wires.left.on-share", "40 %"],
    ],
    group: "sweep-left",
    remedies: ["vehicle.wires.left.rate"],
  },
  {
    code: "light.sweep-turns",
    room: "light-still",
    text: row(zigzag, "[hole-1, hole-3, hole-2, hole-4, hole-5]"),
    remedies: ["groups.turn.order"],
  },
  {
    code: "light.sweep-uniform",
    room: "light-still",
    text: row(zigzag, "[hole-1, hole-3, hole-2, hole-4, hole-5]"),
    remedies: ["groups.turn.order"],
  },
  {
    code: "light.sweep-gap",
    room: "light-still",
    text: row("{ along: line, from: [20 mm, 30 mm], to: [200 mm, 30 mm], count: 3 }", "left-to-right"),
    remedies: ["faces.bar.holes.count"],
  },
  {
    code: "light.sweep-gap",
    room: "light-still",
    text: row("{ along: list, points: [[20 mm, 30 mm], [120 mm, 30 mm], [220 mm, 30 mm]] }", "left-to-right"),
  },
  {
    code: "light.sweep-box",
    room: "light-still",
    text: row("{ along: line, from: [20 mm, 10 mm], to: [40 mm, 50 mm], count: 5 }", "left-to-right"),
  },
  {
    code: "light.one-lamp",
    room: "light-still",
    text: marker,
    changes: [["faces.plate.holes.count", "2"]],
    remedies: ["faces.plate.holes.count"],
  },
  { code: "light.indicators-apart", room: "light-still", text: tern, changes: [["vehicle.rules", "un-car"]] },
  { code: "light.colour-range", room: "light-still", text: tern, group: "sweep-left" },
  {
    code: "light.colour-wanted",
    room: "light-still",
    text: tern,
    changes: [["groups.sweep-left.led", "red-5mm"]],
    group: "sweep-left",
    remedies: ["groups.sweep-left.led"],
  },
  {
    code: "light.two-sections",
    room: "light-still",
    text: tern,
    changes: [...us, ["groups.sweep-left.current", "15 mA"]],
    group: "sweep-left",
    remedies: ["groups.sweep-left.bin.light"],
  },
  { code: "light.three-sections", room: "light-still", text: tern, changes: us, group: "tail-stop" },
  { code: "light.first-step", room: "light-still", text: tern, changes: us, group: "sweep-left" },
  { code: "light.lit-area", room: "light-still", text: tern, changes: us, group: "tail-stop" },
  {
    code: "light.colour",
    room: "light-still",
    text: marker,
    changes: [["groups.marker.bin.colour-temperature", ["6500 K", "8000 K"]]],
    group: "marker",
    remedies: ["groups.marker.bin.colour-temperature"],
  },
  {
    code: "light.not-checked",
    room: "light-still",
    text: marker,
    changes: [["groups.marker.functions", ["marker"]]],
  },
  {
    code: "fit.flange",
    room: "fit",
    text: tern,
    changes: [["faces.crescent.drill", "5.8 mm"]],
    remedies: ["faces.crescent.drill"],
  },
  {
    code: "fit.protrusion",
    room: "fit",
    text: tern,
    changes: [["faces.crescent.thickness", "6 mm"]],
    group: "tail-stop",
    remedies: ["faces.crescent.thickness"],
  },
  {
    code: "fit.seat-height",
    room: "fit",
    text: tern,
    changes: [["boards.left-wing.height", "1 mm"]],
    remedies: ["boards.left-wing.height"],
  },
  {
    code: "fit.part-height",
    room: "fit",
    text: tern,
    changes: [["boards.control.height", "5 mm"]],
    remedies: ["boards.control.height"],
  },
  {
    code: "fit.stack-air",
    room: "fit",
    text: tern,
    changes: [["boards.control.height", "5 mm"]],
    remedies: ["boards.control.height"],
  },
  {
    code: "fit.lead-length",
    room: "fit",
    text: tern,
    changes: [["boards.left-wing.height", "40 mm"]],
    group: "sweep-left",
    remedies: ["boards.left-wing.height"],
  },
  {
    code: "fit.cover-air",
    room: "fit",
    text: tern,
    changes: [["boards.left-wing.depth", "15 mm"]],
    remedies: ["boards.left-wing.depth"],
  },
  {
    code: "fit.leds-enter-together",
    room: "fit",
    text: tern,
    changes: [["faces.crescent.drill", "5.1 mm"]],
    group: "tail-stop",
    remedies: ["faces.crescent.drill"],
  },
  {
    code: "endurance.lead-distance",
    room: "endurance",
    text: tern,
    changes: [["boards.left-wing.height", "1 mm"]],
    group: "sweep-left",
    remedies: ["boards.left-wing.height"],
  },
  {
    code: "endurance.led-heat",
    room: "endurance",
    text: tern,
    changes: [
      ["vehicle.ambient.highest", "85 °C"],
      ["groups.tail-stop.current", "35 mA"],
    ],
    group: "tail-stop",
    remedies: ["groups.tail-stop.current"],
  },
]

test.each(cases.map((c) => ({ ...c, name: `${c.code}${c.remedies ? "" : ", as it comes"}` })))(
  "$name",
  ({ code, room, text, changes, group, remedies }) => {
    const spoiled = changed(text, ...(changes ?? []))
    const bad = (now: string) =>
      judged(now, room).filter(
        (f) => f.code === code && f.severity !== "green" && (group === undefined || f.where.group === group),
      )
    const found = bad(spoiled)
    expect(found.length).toBeGreaterThan(0)
    for (const f of found) expect(f.remedies !== undefined || f.advice.includes(noChange), f.title).toBe(true)
    const [first] = found
    if (remedies) expect(first!.remedies!.map((r) => r.changes[0]!.path)).toEqual(remedies)
    for (const k of first!.remedies?.keys() ?? []) {
      const mended = found.reduce((now, f) => {
        const next = applyRemedy(now, f.remedies?.[k] ?? f.remedies![0]!)
        if ("refused" in next) throw new Error(next.refused)
        return next.text
      }, spoiled)
      expect(bad(mended).map((f) => `${f.title} ${f.measured?.value} ${first!.remedies![k]!.says}`)).toEqual(
        [],
      )
    }
  },
)

describe("every finding that can be other than green", () => {
  /** Always green: they only tell. */
  const telling = [
    "light.weather-least",
    "light.weather-most",
    "light.luminance",
    "fit.best-hole",
    "fit.stack-depth",
    "endurance.condensation",
    "endurance.unheld",
    "endurance.solder",
    "endurance.sealing",
  ]
  /** Each has a remedy whenever it is missed: what it measures is set by one value of the description. */
  const always = [
    "fit.cover-air",
    "fit.wire-bend",
    "fit.wire-notch",
    "fit.lead-through",
    "fit.stack-air",
    "fit.flange",
    "fit.seat-height",
    "fit.lead-length",
    "fit.part-height",
    "endurance.lead-distance",
  ]
  test("has a remedy always, or says why where it has none", () => {
    const rooms = { light: light.entries, fit: fit.entries, endurance: endurance.entries }
    for (const [room, entries] of Object.entries(rooms))
      for (const [code, entry] of Object.entries(entries)) {
        const name = `${room}.${code}`
        const kinds = [telling.includes(name), always.includes(name), entry.stuck !== undefined]
        expect(kinds.filter((k) => k).length, name).toBe(1)
      }
  })
})
