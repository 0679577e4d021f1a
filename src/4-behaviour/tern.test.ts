// The Tern as described, through the rooms below: its light programme and its firmware.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"
import { readLamp } from "../2-lamp/read-lamp.ts"
import { designDrive } from "../3-drive/design-drive.ts"
import { designBehaviour } from "./design-behaviour.ts"
import { makeFirmware } from "./make-firmware.ts"

function example(name: string) {
  const read = (file: string) => readFileSync(join(import.meta.dirname, "../../examples", name, file), "utf8")
  const { lamp } = readLamp(read(`${name}.yaml`), read)
  if (!lamp) throw new Error(`${name} could not be read`)
  const circuit = designDrive(lamp)
  return { lamp, circuit, behaviour: designBehaviour(lamp, circuit) }
}

test("the Tern: 16 channels in two sweeps outward, starts growing, nothing red or amber", () => {
  const { lamp, circuit, behaviour } = example("tern")
  expect(behaviour.channels.length).toBe(16)
  expect(behaviour.inputs.map((i) => [i.wire, i.flashing])).toEqual([
    ["left", true],
    ["right", true],
  ])
  expect(behaviour.rules.length).toBe(2)
  for (const rule of behaviour.rules) {
    const group = lamp.groups.find((g) => g.name === rule.group)!
    const face = lamp.faces.find((f) => f.name === group.face)!
    const starts = rule.targets.map((t) => t.startShare)
    expect(starts.length).toBe(8)
    for (let i = 1; i < 8; i++) expect(starts[i]!).toBeGreaterThan(starts[i - 1]!)
    expect(starts[7]! * 180 + 20).toBeCloseTo(180, 9)
    const outward = rule.targets.map((t) => {
      const ref = circuit.channels.find((c) => c.index === t.channel)!.leds[0]
      return Math.abs(group.leds.find((l) => l.ref === ref)!.hole.x - face.centreLine!)
    })
    for (let i = 1; i < 8; i++) expect(outward[i]!).toBeGreaterThan(outward[i - 1]!)
  }
  expect(behaviour.findings.filter((f) => f.severity !== "green")).toEqual([])

  const free = circuit.signals.map((s, i) => [s.name, s.allowed[i]!] as const)
  const firmware = makeFirmware(circuit, behaviour, { controller: Object.fromEntries(free) })!
  expect(firmware.findings.filter((f) => f.severity !== "green")).toEqual([])
  expect(firmware.tickLoad).toBeLessThan(0.8)
})

test("the marker has no controller and needs no firmware", () => {
  const { circuit, behaviour } = example("marker")
  expect(behaviour.rules).toEqual([])
  expect(makeFirmware(circuit, behaviour, { controller: {} })).toBeUndefined()
})
