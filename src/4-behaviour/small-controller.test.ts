// The ATtiny84A where a lamp fits it: what the drive room counts beforehand is what the table needs afterwards.

import { describe, expect, test } from "vitest"
import { random } from "../0-ground/numbers/random.ts"
import type { Lamp, ProgrammeLine } from "../2-lamp/artefact.ts"
import { designDrive } from "../3-drive/design-drive.ts"
import { attiny84, controllerOf } from "./controllers.ts"
import { designBehaviour } from "./design-behaviour.ts"
import { makeFirmware } from "./make-firmware.ts"
import { flashingWire, group, lamp, plainLine, steadyWire, sweepLine } from "./wings.testing.ts"

const one = (count: number, more: Partial<Lamp> = {}): Lamp => ({
  ...lamp([flashingWire("left")], [group("wing", count)], [sweepLine("left", "wing")]),
  ...more,
})
const chosen = (of: Lamp) => controllerOf(designDrive(of)).name

describe("which controller", () => {
  test("eight outputs and a wire fit the small one, nine do not", () => {
    expect([7, 8, 9].map((n) => chosen(one(n)))).toEqual(["ATtiny84A", "ATtiny84A", "ATmega328P"])
  })

  test("LEDs of one step share an output, so that ten in steps of two fit", () => {
    const of = one(10)
    const stepped = { ...of, programme: [sweepLine("left", "wing", { sweep: { within: 0.18, step: 2 } })] }
    const circuit = designDrive(stepped)
    expect(controllerOf(circuit).name).toBe("ATtiny84A")
    expect(circuit.channels.map((c) => c.leds.length)).toEqual([2, 2, 2, 2, 2])
    const [rule] = designBehaviour(stepped, circuit).rules
    expect(new Set(rule!.targets.map((t) => t.startShare)).size).toBe(5)
  })

  test("held by hand either way; a word that is none is told", () => {
    expect(chosen(one(7, { pins: { "drive.controller": "ATmega328P" } }))).toBe("ATmega328P")
    const squeezed = designDrive(one(12, { pins: { "drive.controller": "attiny84a" } }))
    expect(controllerOf(squeezed).name).toBe("ATtiny84A")
    // Twelve LEDs on nine pins, one of them the wire's: two by two.
    expect(squeezed.channels.length).toBe(6)
    const wrong = designDrive(one(7, { pins: { "drive.controller": "ATtiny48" } }))
    expect(wrong.findings.some((f) => f.severity === "red" && f.title.includes("ATtiny48"))).toBe(true)
  })

  test("whatever the drive room gives to the small one keeps its table, pins and millisecond (60 seeds)", () => {
    let small = 0
    for (let seed = 1; seed <= 60; seed++) {
      const chance = random(seed)
      const wires = ["a", "b", "c", "d"]
        .slice(0, 1 + chance.below(4))
        .map((n) => (chance.next() < 0.5 ? flashingWire(n) : steadyWire(n)))
      const groups = ["g", "h"].slice(0, 1 + chance.below(2)).map((n) => group(n, 1 + chance.below(5)))
      const lines = new Map<string, ProgrammeLine>()
      for (let n = 0; n < 5; n++) {
        const when = wires.filter(() => chance.next() < 0.5).map((w) => w.name)
        const light = groups[chance.below(groups.length)]!.name
        const line = chance.next() < 0.5 ? sweepLine("a", light) : { ...plainLine("a", light, 1), rise: 0.1 }
        lines.set(`${light} ${when}`, { ...line, when: when.length > 0 ? when : [wires[0]!.name] })
      }
      const of = lamp(wires, groups, [...lines.values()])
      const circuit = designDrive(of)
      if (controllerOf(circuit) !== attiny84 || circuit.controller === undefined) continue
      small++
      const pins = Object.fromEntries(circuit.signals.map((s, i) => [s.name, s.allowed[i]!]))
      const firmware = makeFirmware(circuit, designBehaviour(of, circuit), { controller: pins })!
      expect([seed, firmware.findings.filter((f) => f.severity === "red").map((f) => f.title)]).toEqual([
        seed,
        [],
      ])
      expect(firmware.tickLoad).toBeLessThanOrEqual(0.8)
      expect(firmware.tableBytes).toBeGreaterThan(0)
    }
    expect(small).toBeGreaterThan(15)
  })
})
