// One step of the series off, whichever resistor and whichever way, on the demo lamps and on random lamps.

import { expect, test } from "vitest"
import { finish } from "../../0-ground/progress.ts"
import { next, previous } from "../../1-stock/e-series.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit } from "../../3-drive/artefact.ts"
import { designDrive } from "../../3-drive/design-drive.ts"
import { marker, tern } from "../../3-drive/fixtures.testing.ts"
import { randomLamp } from "../../3-drive/random-lamps.testing.ts"
import { unexplained } from "../../6-copper/unexplained.testing.ts"
import { checkCurrents } from "./check-currents.ts"
import { checkFitted } from "./check-fitted.ts"

const drawn = (lamp: Lamp) => designDrive(lamp, { lamps: 0, pulses: false })
const isRed = (f: { severity: string }) => f.severity === "red"

function mutants(circuit: Circuit) {
  return circuit.parts
    .filter((p) => p.kind === "resistor")
    .flatMap((part) =>
      [next, previous].map((step) => ({
        ref: part.ref,
        way: step.name,
        circuit: {
          ...circuit,
          parts: circuit.parts.map((p) => (p === part ? { ...p, amount: step(p.amount!, "E24") } : p)),
        },
      })),
    )
}

const lamps: readonly (readonly [string, Lamp])[] = [
  ["the rear lamp", tern],
  ["the marker", marker],
  ["a relay", { ...tern, pins: { "drive.tail-stop.way": "rail-relay" } }],
  ["a switched rail", { ...tern, pins: { "drive.tail-stop.way": "rail-switched" } }],
  ...Array.from({ length: 60 }, (_, k) => [`random lamp ${k + 1}`, randomLamp(k + 1)] as const),
]

test("no right value is told wrong, every wrong one is, by Ohm's law where it carries current", {
  timeout: 600_000,
}, () => {
  let looked = 0
  let byOhm = 0
  for (const [name, lamp] of lamps) {
    const circuit = drawn(lamp)
    const sound = checkFitted(circuit)
    expect(
      sound.findings.map((f) => f.severity),
      name,
    ).toEqual(["green"])
    expect(unexplained(sound)).toEqual([])
    for (const m of mutants(circuit)) {
      looked++
      const told = checkFitted(m.circuit).findings.filter(isRed)
      expect(
        told.map((f) => f.where.part),
        `${name}: ${m.ref} ${m.way}`,
      ).toEqual([m.ref])
      // Without the figures, the solved corners alone.
      const alone = checkFitted({ ...m.circuit, figures: [] }).findings.filter(isRed)
      if (alone.some((f) => f.corner !== undefined && f.where.part === m.ref)) byOhm++
    }
  }
  expect(looked).toBeGreaterThan(1000)
  // What no current shows: the reset's resistor, and strings the supply does not reach.
  expect(byOhm / looked).toBeGreaterThan(0.92)
})

test("nearly every string's resistor is noticed by the interval bounds as well", {
  timeout: 600_000,
}, () => {
  let looked = 0
  const missed: string[] = []
  for (const [name, lamp] of lamps.slice(0, 16)) {
    const circuit = drawn(lamp)
    const strings = new Set(circuit.strings.flatMap((s) => s.resistors))
    for (const m of mutants(circuit).filter((x) => strings.has(x.ref))) {
      looked++
      const found = finish(checkCurrents(lamp, m.circuit)).findings
      if (!found.some((f) => f.code === "proof.current-disagrees" && isRed(f)))
        missed.push(`${name}: ${m.ref} ${m.way}`)
    }
  }
  expect(looked).toBeGreaterThan(150)
  // Where two feeds share strings of several lengths the bounds of usual parts are wider than a step.
  expect(missed.length / looked, missed.join()).toBeLessThan(0.03)
})
