import { describe, expect, test } from "vitest"
import { finish } from "../../0-ground/progress.ts"
import type { Behaviour } from "../../4-behaviour/artefact.ts"
import { unexplained } from "../../6-copper/unexplained.testing.ts"
import type { Made } from "./lamp-on-bench.ts"
import { proveBench } from "./prove-bench.ts"
import { exampleLamp, makeForBench } from "./tern.testing.ts"

const tern = exampleLamp("tern")
const sound = makeForBench(tern)
const proof = finish(proveBench(sound))
function codes(made: Made, severity: string): Set<string> {
  const told = finish(proveBench(made))
  expect(unexplained(told)).toEqual([])
  return new Set(told.findings.filter((f) => f.severity === severity).map((f) => f.code))
}

test("a Tern whose wings take half the on-time in steps of two, all at once at first: nothing red", () => {
  const sweep = { within: 0.167, share: 0.5, atMost: 0.2, step: 2, firstFlash: "together" as const }
  const programme = tern.programme.map((l) => (l.sweep ? { ...l, sweep } : l))
  const made = makeForBench({ ...tern, programme })
  // Two LEDs of a step share an output.
  expect(made.circuit.channels.filter((c) => c.group.startsWith("sweep")).length).toBe(8)
  expect([...codes(made, "red")]).toEqual([])
})

describe("the Tern", () => {
  test("is proven without a red or amber claim", () => {
    expect(proof.findings.filter((f) => f.severity !== "green")).toEqual([])
    expect(proof.findings.length).toBeGreaterThan(25)
  })

  test("every claim that measures has a number, a limit and a margin", () => {
    const bare = proof.findings.filter((f) => f.measured && (f.margin === undefined || !f.limit))
    expect(bare).toEqual([])
    expect(proof.findings.every((f) => !f.measured || Number.isFinite(f.measured.value))).toBe(true)
  })

  test("every measured number has a figure that says the same", () => {
    expect(unexplained(proof)).toEqual([])
  })

  test("reaches the targets: light within 5 ms, sweep within 200 ms, dimming above 3.1 kHz", () => {
    const of = (id: string) => proof.figures.find((f) => f.id === id)!.value
    for (const group of ["sweep-left", "sweep-right"]) {
      expect(of(`bench.${group}.first-light`)).toBeLessThanOrEqual(5)
      expect(of(`bench.${group}.sweep-time`)).toBeLessThanOrEqual(200)
      expect(of(`bench.${group}.sweep-time`)).toBeGreaterThan(170)
      expect(of(`bench.${group}.full-before-fall`)).toBeGreaterThan(10)
      // 90 a minute, half on, as the Tern describes its flasher; light begins 4 ms late.
      expect(of(`bench.${group}.flash-rate`)).toBeCloseTo(90, 0)
      expect(of(`bench.${group}.on-share`)).toBeCloseTo(50 - 0.6, 0)
    }
    expect(of("bench.dimming-frequency")).toBeGreaterThan(3100)
  })

  test("the trace shows tail at its level, stop full, the wings swept", () => {
    const { trace } = proof
    const at = (ref: string, t: number) => trace.leds[ref]![Math.round(t / trace.step)]!
    expect(at("tail-stop-1", 0.1)).toBe(0)
    expect(at("tail-stop-1", 1)).toBeGreaterThan(15)
    expect(at("tail-stop-1", 1)).toBeLessThan(60)
    expect(at("tail-stop-1", 1.6)).toBe(255)
    expect(at("sweep-left-1", 0.53)).toBe(255)
    expect(at("sweep-left-8", 0.53)).toBe(0)
    expect(at("sweep-left-8", 0.7)).toBe(255)
    expect(at("sweep-right-1", 0.7)).toBe(0)
    expect(Object.keys(trace.leds).length).toBe(38)
    expect(Object.values(trace.leds).every((v) => v.length === trace.samples)).toBe(true)
  })

  test("says the same twice", () => {
    expect(JSON.stringify(finish(proveBench(sound)))).toBe(JSON.stringify(proof))
  })
})

describe("a lamp without a controller", () => {
  test("gets a trace and no claims about a controller", () => {
    const made = makeForBench(exampleLamp("marker"))
    expect(made.firmware).toBeUndefined()
    const { findings, trace } = finish(proveBench(made))
    expect(findings).toEqual([])
    expect(trace.leds["marker-1"]![500]).toBe(255)
    expect(trace.leds["marker-1"]![0]).toBe(0)
  })
})

describe("firmware that does not do what the description says is caught", () => {
  const rules = (change: (rule: Behaviour["rules"][number], i: number) => Behaviour["rules"][number]) =>
    makeForBench(tern, (b) => ({ ...b, rules: b.rules.map(change) }))
  const targets = (change: (t: Behaviour["rules"][number]["targets"][number]) => Partial<typeof t>): Made =>
    rules((r) => ({ ...r, targets: r.targets.map((t) => ({ ...t, ...change(t) })) }))

  test("a sweep that takes longer than described", () => {
    const red = codes(
      rules((r) => ({ ...r, sweepWithinMs: 230 })),
      "red",
    )
    expect(red).toContain("bench.follows-model")
    expect(red).toContain("bench.sweep-time")
  })

  test("a sweep that is a twentieth too fast", () => {
    expect(
      codes(
        rules((r) => ({ ...r, sweepWithinMs: 171 })),
        "red",
      ),
    ).toContain("bench.follows-model")
  })

  test("a level two hundredths too low", () => {
    const red = codes(
      targets(() => ({ level: 250 })),
      "red",
    )
    expect(red).toContain("bench.follows-model")
  })

  test("a sweep that runs the other way", () => {
    const red = codes(
      targets((t) => ({ startShare: Math.max(0, 0.89 - t.startShare) })),
      "red",
    )
    expect(red).toContain("bench.sweep-order")
  })

  test("left and right exchanged in the table", () => {
    const red = codes(
      rules((r) => ({ ...r, live: r.live.map((i) => 1 - i) })),
      "red",
    )
    expect(red).toContain("bench.wrong-wire")
    expect(red).toContain("bench.first-light")
    expect(red).toContain("bench.steady-light")
  })

  test("two LEDs' pins exchanged behind the circuit's back", () => {
    const firmware = sound.firmware!
    const pinOf = {
      ...firmware.pinOf,
      "output-1": firmware.pinOf["output-4"]!,
      "output-4": firmware.pinOf["output-1"]!,
    }
    const red = codes({ ...sound, firmware: { ...firmware, pinOf } }, "red")
    expect(red).toContain("bench.sweep-order")
    expect(red).toContain("bench.follows-model")
  })

  test("outputs of the wrong polarity", () => {
    const channels = sound.circuit.channels.map((c) => ({ ...c, activeHigh: !c.activeHigh }))
    const red = codes({ ...sound, circuit: { ...sound.circuit, channels } }, "red")
    expect(red).toContain("bench.follows-model")
    expect(red).toContain("bench.wrong-wire")
  })

  test("a board without pull-ups at the drivers", () => {
    const parts = sound.circuit.parts.filter((p) => p.kind !== "resistor-array")
    const red = codes({ ...sound, circuit: { ...sound.circuit, parts } }, "red")
    expect(red).toContain("bench.dead-controller")
    expect(red).toContain("bench.damaged-table")
    expect(red).not.toContain("bench.follows-model")
  })

  test("an input filter of 40 ms", () => {
    const made = makeForBench(tern, (b) => ({ ...b, inputs: b.inputs.map((i) => ({ ...i, assertMs: 40 })) }))
    expect(codes(made, "red")).toContain("bench.first-light")
  })

  test("an output that drives no LED", () => {
    const { "output-3": _, ...pinOf } = sound.firmware!.pinOf
    expect(codes({ ...sound, firmware: { ...sound.firmware!, pinOf } }, "red")).toContain(
      "bench.not-connected",
    )
  })

  test("wrong fuses", () => {
    const fuses = { ...sound.firmware!.fuses, low: 0x62 }
    expect(codes({ ...sound, firmware: { ...sound.firmware!, fuses } }, "red")).toContain("bench.fuses")
  })

  test("a file with one wrong digit", () => {
    const hex = sound.firmware!.hex.replace(/0(?=[^0]*$)/, "1")
    const red = codes({ ...sound, firmware: { ...sound.firmware!, hex } }, "red")
    expect([...red]).toEqual(["bench.image-unreadable"])
  })
})
