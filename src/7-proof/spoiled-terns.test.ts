// Ten spoiled Terns: each gets the right finding with a remedy, and the description with that remedy in it no longer
// does. Only the rooms that the finding needs are run. Placing and routing boards takes long and changes nothing of
// what is judged here: LEDs stand behind their holes, a chip on the control board, each signal on a pin it may have.

import { expect, test } from "vitest"
import { applyRemedy } from "../0-ground/remedy.ts"
import { changed, example, judged, type Room } from "./spoiled.testing.ts"

const tern = example("tern")

const spoiled: readonly {
  readonly name: string
  readonly room: Room
  readonly code: string
  readonly group?: string
  readonly changes: readonly (readonly [string, string | string[]])[]
}[] = [
  {
    name: "too dim",
    room: "light",
    code: "light.intensity-least",
    group: "sweep-left",
    changes: [["groups.sweep-left.current", "8 mA"]],
  },
  {
    name: "too bright",
    room: "light",
    code: "light.intensity-most",
    group: "tail-stop",
    changes: [["programme.0.level", "18 %"]],
  },
  {
    name: "ratio too low",
    room: "drive",
    code: "drive.stop-ratio",
    changes: [["programme.0.level", "24 %"]],
  },
  {
    name: "sweep too slow",
    room: "light",
    code: "light.sweep-finished",
    group: "sweep-left",
    changes: [["programme.2.sweep.within", "260 ms"]],
  },
  {
    name: "inward sweep",
    room: "light",
    code: "light.sweep-order",
    group: "sweep-left",
    changes: [["groups.sweep-left.order", "inward"]],
  },
  {
    name: "wrong amber",
    room: "light",
    code: "light.colour",
    group: "sweep-left",
    changes: [["groups.sweep-left.bin.wavelength", ["600 nm", "606 nm"]]],
  },
  {
    name: "holes too tight",
    room: "fit",
    code: "fit.leds-enter",
    changes: [["faces.crescent.drill", "5.1 mm"]],
  },
  {
    name: "board too thick",
    room: "fit",
    code: "fit.lead-through",
    changes: [["copper-clad.thickness", "3.2 mm"]],
  },
  {
    name: "regulator too hot",
    room: "drive",
    code: "drive.regulator-heat",
    changes: [["vehicle.ambient.highest", "75 °C"]],
  },
  {
    name: "flasher too fast",
    room: "light",
    code: "light.flash-rate",
    changes: [["vehicle.wires.left.rate", "150 /min"]],
  },
]

test.each(spoiled)("$name", ({ room, code, group, changes }) => {
  const bad = (text: string) =>
    judged(text, room).filter(
      (f) => f.code === code && f.severity !== "green" && (group === undefined || f.where.group === group),
    )
  expect(bad(tern)).toEqual([])
  const text = changed(tern, ...changes)
  const found = bad(text)
  expect(found.length).toBeGreaterThan(0)
  // Every remedy works, not only the first.
  for (const remedy of found[0]!.remedies ?? []) {
    const mended = found.reduce((now, f) => {
      const same = f.remedies?.[found[0]!.remedies!.indexOf(remedy)] ?? f.remedies?.[0]
      const next = applyRemedy(now, same!)
      if ("refused" in next) throw new Error(next.refused)
      return next.text
    }, text)
    expect(bad(mended)).toEqual([])
    // The rest of the description stands as it stood.
    expect(mended.split("\n").filter((l) => l.startsWith("#"))).toEqual(
      tern.split("\n").filter((l) => l.startsWith("#")),
    )
  }
  expect(found[0]!.remedies?.length ?? 0).toBeGreaterThan(0)
})
