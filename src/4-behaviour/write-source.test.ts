// The sources of a pack, compiled: without a change they are the image, with one the lamp does as it says.

import { execFileSync, spawnSync } from "node:child_process"
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import MemoryMap from "nrf-intel-hex"
import { describe, expect, test } from "vitest"
import { designBehaviour } from "./design-behaviour.ts"
import { makeFirmware } from "./make-firmware.ts"
import { seededLamp } from "./random-programmes.testing.ts"
import { duty, startSimavr } from "./simavr.testing.ts"
import {
  circuit,
  flashingWire,
  group,
  lamp,
  pinsInOrder,
  plainLine,
  steadyWire,
  sweepLine,
  tinyCircuit,
  wings,
} from "./wings.testing.ts"

/** Both kinds of lines on one group, a wire name that is no C name, a long fade. */
const small = lamp(
  [flashingWire("left-a"), steadyWire("tail")],
  [group("rear", 5)],
  [
    sweepLine("left-a", "rear", { sweep: { within: 0.2, share: 0.5, firstFlash: "together" } }),
    { ...plainLine("tail", "rear", 0.12), rise: 1.7 },
  ],
)

const lamps = {
  "the wings": [wings, circuit(wings), pinsInOrder(circuit(wings))],
  "shared LEDs on an ATtiny84A": [small, tinyCircuit(small).circuit, tinyCircuit(small).pins],
  "a seeded lamp": [seededLamp(1), circuit(seededLamp(1)), pinsInOrder(circuit(seededLamp(1)))],
} as const

const made = (name: keyof typeof lamps) => {
  const [of, c, pins] = lamps[name]
  const behaviour = designBehaviour(of, c)
  return makeFirmware(c, behaviour, pins)!
}

/** Compiles sources in a folder of their own; a string says why it could not. */
function compiled(source: readonly { readonly name: string; readonly text: string }[]): string {
  const folder = mkdtempSync(join(tmpdir(), "lampwright-source-"))
  try {
    for (const { name, text } of source) writeFileSync(join(folder, name), text)
    execFileSync("sh", ["build.sh"], { cwd: folder, stdio: ["ignore", "ignore", "pipe"] })
    return readFileSync(join(folder, "lamp.hex"), "utf8")
  } finally {
    rmSync(folder, { recursive: true })
  }
}

const version = spawnSync("avr-gcc", ["-dumpversion"], { encoding: "utf8" })
const missing =
  version.status !== 0
    ? "not compiled: avr-gcc is absent (Debian: gcc-avr binutils-avr avr-libc)"
    : version.stdout.trim() !== "5.4.0"
      ? `not compiled: avr-gcc is ${version.stdout.trim()}, the image was made by 5.4.0`
      : undefined

describe("source for the builder", () => {
  for (const name of Object.keys(lamps) as (keyof typeof lamps)[])
    test(`${name}: compiled without a change it is the image, byte for byte`, (ctx) => {
      if (missing) return ctx.skip(missing)
      const firmware = made(name)
      expect(firmware.source.length).toBeGreaterThan(10)
      const [mine, theirs] = [compiled(firmware.source), firmware.hex].map((hex) =>
        MemoryMap.fromHex(hex).join(),
      )
      expect([...mine!.keys()]).toEqual([...theirs!.keys()])
      for (const [at, bytes] of theirs!) expect(mine!.get(at)).toEqual(bytes)
    })
  const changed = (from: RegExp, to: string) =>
    made("the wings").source.map((f) => (f.name === "lamp.h" ? { ...f, text: f.text.replace(from, to) } : f))

  test("a number changed in lamp.h changes the light, and the check-words are right again", (ctx) => {
    if (missing) return ctx.skip(missing)
    const sim = startSimavr()
    if (typeof sim === "string") return ctx.skip(sim)
    try {
      const level = changed(/(#define LINE_1_LEVEL +)255/, "$1102")
      const pin = pinsInOrder(circuit(wings)).controller["output-0"]!
      const run = sim.run(compiled(level), 0.4, [
        { at: 0, pin: "PB0", level: 0 },
        { at: 0, pin: "PB1", level: 0 },
        { at: 0.05, pin: "PB0", level: 1 },
      ])
      expect([run.serving, run.overruns, run.resets]).toEqual([1, 0, []])
      // Rules stand in rank order, the later line first: line 1 of the table is the left wing. Code 102 = 64 + 32 + 4 + 2.
      expect(duty(run.edges(pin), 0.2, 0.2 + 400 * 250e-6)).toBeCloseTo((1000 + 504 + 64 + 32) / 4000, 3)
    } finally {
      sim.close()
    }
  })

  test("a number that does not fit, or an output out of order, is refused with a word why", (ctx) => {
    if (missing) return ctx.skip(missing)
    expect(() => compiled(changed(/(#define LINE_1_LEVEL +)255/, "$1300"))).toThrow(
      /does not fit into a byte/,
    )
    expect(() => compiled(changed(/(#define OUTPUT_3_PIN +)\S+/, "$1PIN_B(2)"))).toThrow(
      /order of their pins/,
    )
  })
})
