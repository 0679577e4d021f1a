import { describe, expect, test } from "vitest"
import type { Lamp } from "../2-lamp/artefact.ts"
import { designBehaviour } from "./design-behaviour.ts"
import { levelCode } from "./rank-rules.ts"
import { unasked } from "./unasked.testing.ts"
import {
  circuit,
  flashingWire,
  group,
  lamp,
  plainLine,
  steadyWire,
  sweepLine,
  wings,
} from "./wings.testing.ts"

const behaviourOf = (of: Lamp) => designBehaviour(of, circuit(of))
/** Codes of one colour; whatever is found can be asked why. */
const codes = (of: Lamp, severity: string) => {
  const made = behaviourOf(of)
  expect(unasked(made)).toEqual([])
  return made.findings.filter((f) => f.severity === severity).map((f) => f.code)
}
const reds = (of: Lamp) => codes(of, "red")

describe("the Tern's wings", () => {
  const b = behaviourOf(wings)

  test("16 channels, two flashing inputs, nothing red or amber", () => {
    expect(b.channels.map((c) => c.index)).toEqual(Array.from({ length: 16 }, (_, i) => i))
    expect(b.inputs.map((i) => [i.wire, i.flashing, i.assertMs, i.releaseMs])).toEqual([
      ["left", true, 3, 8],
      ["right", true, 3, 8],
    ])
    expect(b.findings.filter((f) => f.severity !== "green")).toEqual([])
    expect(b.findings.length).toBeGreaterThan(10)
  })

  test("each wing is one rule over its own eight channels in the group's order", () => {
    const left = b.rules.find((r) => r.group === "sweep-left")!
    const right = b.rules.find((r) => r.group === "sweep-right")!
    expect(left.targets.map((t) => t.channel)).toEqual([0, 1, 2, 3, 4, 5, 6, 7])
    expect(right.targets.map((t) => t.channel)).toEqual([8, 9, 10, 11, 12, 13, 14, 15])
    expect(left.live.map((i) => b.inputs[i]!.wire)).toEqual(["left"])
  })

  test("starts grow evenly, and the last LED has risen at the end of the sweep", () => {
    for (const rule of b.rules) {
      const starts = rule.targets.map((t) => t.startShare * rule.sweepWithinMs!)
      for (const [i, start] of starts.entries()) expect(start).toBeCloseTo((160 / 7) * i, 9)
      expect(starts.at(-1)! + rule.targets.at(-1)!.riseMs).toBeCloseTo(180, 9)
    }
  })
})

test("channels follow the group's LED order, not their numbers, and LEDs may share a channel", () => {
  const of = lamp([flashingWire("left")], [group("arrow", 6)], [sweepLine("left", "arrow")])
  const base = circuit(of)
  const shared = {
    ...base,
    channels: [
      { index: 0, group: "arrow", leds: ["arrow-5", "arrow-6"], activeHigh: true, net: "a" },
      { index: 1, group: "arrow", leds: ["arrow-1", "arrow-2"], activeHigh: true, net: "b" },
      { index: 2, group: "arrow", leds: ["arrow-4", "arrow-3"], activeHigh: true, net: "c" },
    ],
  }
  const rule = designBehaviour(of, shared).rules[0]!
  expect(rule.targets.map((t) => t.channel)).toEqual([1, 2, 0])
  expect(rule.targets.map((t) => t.startShare)).toEqual([0, (1 - 20 / 180) / 2, 1 - 20 / 180])
})

describe("rank of lines on one group (SEMANTICS 2)", () => {
  const wires = [steadyWire("tail"), steadyWire("brake"), flashingWire("left")]
  const shared = group("rear", 3, { functions: ["rear-position", "stop", "direction-indicator"] })
  const order = (programme: Lamp["programme"]) =>
    behaviourOf(lamp(wires, [shared], programme)).rules.map((r) =>
      r.line === undefined ? "dark" : programme[r.line]!.when.join("+"),
    )

  test("stop before tail, whichever is written first", () => {
    const tail = plainLine("tail", "rear", 0.12)
    const brake = plainLine("brake", "rear", 1)
    expect(order([tail, brake])).toEqual(["brake", "tail"])
    expect(order([brake, tail])).toEqual(["brake", "tail"])
  })

  test("flashing before steady, with the dark between flashes in the middle", () => {
    const programme = [
      plainLine("tail", "rear", 0.12),
      sweepLine("left", "rear"),
      plainLine("brake", "rear", 1),
    ]
    expect(order(programme)).toEqual(["left", "dark", "brake", "tail"])
    const dark = behaviourOf(lamp(wires, [shared], programme)).rules[1]!
    expect([dark.live, dark.flashing]).toEqual([[], [2]])
    expect(dark.targets.every((t) => t.level === 0)).toBe(true)
  })

  test("the dark of a flashing line with a further wire needs that wire, or it could darken without lighting", () => {
    const programme = [sweepLine("left", "rear", { when: ["left", "tail"] }), plainLine("brake", "rear", 1)]
    const dark = behaviourOf(lamp(wires, [shared], programme)).rules[1]!
    expect([dark.live, dark.flashing]).toEqual([[0], [2]])
  })

  test("more wires before fewer, then the later line", () => {
    expect(
      order([
        plainLine("tail", "rear", 0.5),
        plainLine("brake", "rear", 0.5),
        plainLine(["tail", "brake"], "rear", 0.4),
      ]),
    ).toEqual(["tail+brake", "brake", "tail"])
  })
})

test("wires of the stop function go dead as quickly as flashing ones, others more slowly", () => {
  const of = lamp(
    [steadyWire("tail"), steadyWire("brake")],
    [group("stop", 2, { functions: ["stop"] }), group("tail", 2, { functions: ["rear-position"] })],
    [plainLine("brake", "stop", 1), plainLine("tail", "tail", 1)],
  )
  expect(behaviourOf(of).inputs.map((i) => [i.wire, i.assertMs, i.releaseMs])).toEqual([
    ["tail", 3, 10],
    ["brake", 3, 8],
  ])
})

test("levels become codes; what is lit is never under code 8", () => {
  expect([0, 0.001, 0.03, 0.12, 0.5, 1].map(levelCode)).toEqual([0, 8, 8, 31, 128, 255])
})

describe("contradictions are red", () => {
  const wires = [flashingWire("left"), steadyWire("tail")]
  const arrow = group("arrow", 8)
  const one = (line: Lamp["programme"][number]) => lamp(wires, [arrow], [line])

  test("two lines set one group from the same wires, in any order of names", () => {
    const of = lamp(
      wires,
      [arrow],
      [plainLine(["left", "tail"], "arrow", 1), plainLine(["tail", "left"], "arrow", 0.5)],
    )
    expect(reds(of)).toContain("behaviour.lines-contradict")
  })

  test("a group that nothing lights", () => {
    expect(reds(lamp(wires, [arrow, group("idle", 2)], [sweepLine("left", "arrow")]))).toEqual([
      "behaviour.group-never-lit",
    ])
  })

  test("a rise that is longer than its sweep", () => {
    expect(reds(one(sweepLine("left", "arrow", { rise: 0.2 })))).toContain("behaviour.rise-in-sweep")
    expect(reds(one(sweepLine("left", "arrow", { rise: 0.18 })))).toEqual([])
  })

  test("a plain rise that outlasts the shortest legal flash of 150 ms", () => {
    const line = (rise: number) => ({ ...plainLine("left", "arrow", 1), rise })
    expect(reds(one(line(0.15)))).toEqual(["behaviour.rise-in-flash"])
    expect(reds(one(line(0.14)))).toEqual([])
  })

  test("a sweep that cannot end before the shortest accepted flash does, because the input network is slow", () => {
    const of = one(sweepLine("left", "arrow"))
    const base = circuit(of)
    const slow = (riseDelay: number) =>
      designBehaviour(of, { ...base, inputs: base.inputs.map((i) => ({ ...i, riseDelay })) }).findings.find(
        (f) => f.code === "behaviour.sweep-in-flash",
      )!
    // 85 ms sweep + 3 ms filter + 1 ms showing: 11 ms are left for the network.
    expect(slow(0.01).severity).toBe("amber")
    expect(slow(0.012).severity).toBe("red")
    expect(slow(0.001).measured).toEqual({ value: 90, unit: "ms" })
  })

  test("a sweep or a fade beyond what the table can hold", () => {
    expect(reds(one(sweepLine("left", "arrow", { sweep: { within: 5.1 } })))).toEqual([
      "behaviour.sweep-too-long",
    ])
    expect(reds(one({ ...plainLine("tail", "arrow", 1), fall: 6 }))).toEqual(["behaviour.fade-too-long"])
  })

  test("a wire that no input reads", () => {
    const of = one(sweepLine("left", "arrow"))
    const deaf = { ...circuit(of), signals: circuit(of).signals.filter((s) => s.wire !== "left") }
    const b = designBehaviour(of, deaf)
    expect(b.findings.filter((f) => f.severity === "red").map((f) => f.code)).toEqual([
      "behaviour.wire-not-read",
    ])
    expect(b.rules).toEqual([])
  })

  test("a sweep without a wire that keeps the controller alive", () => {
    const of = one(sweepLine("left", "arrow"))
    const bare = {
      ...of,
      vehicle: { ...of.vehicle, wires: of.vehicle.wires.filter((w) => w.role !== "supply") },
    }
    expect(reds(bare)).toEqual(["behaviour.sweep-without-supply"])
  })

  test("more outputs than the controller has pins for", () => {
    const many = lamp(wires, [group("wide", 19)], [sweepLine("left", "wide")])
    expect(reds(many)).toEqual(["behaviour.too-many", "behaviour.too-many"])
  })
})

describe("cautions are amber", () => {
  const wires = [flashingWire("left"), steadyWire("tail"), steadyWire("brake")]

  test("a sweep over 200 ms (rule from memory)", () => {
    const at = (within: number) =>
      codes(lamp(wires, [group("arrow", 8)], [sweepLine("left", "arrow", { sweep: { within } })]), "amber")
    expect(at(0.21)).toContain("behaviour.sweep-end")
    expect(at(0.18)).not.toContain("behaviour.sweep-end")
  })

  test("a sweep that the described flasher will shorten", () => {
    // 120 a minute with 30 % on: 150 ms, of which 85 % are 127 ms.
    const fast = [flashingWire("left", { rate: 2, onShare: 0.3 })]
    const found = behaviourOf(lamp(fast, [group("arrow", 8)], [sweepLine("left", "arrow")])).findings.find(
      (f) => f.code === "behaviour.sweep-shortened",
    )!
    expect(found.measured).toEqual({ value: 127, unit: "ms" })
    expect(found.severity).toBe("amber")
  })

  test("less light with more wires; a level under 3.2 %; a slow stop light; a long fall nobody can see", () => {
    const rear = group("rear", 2, { functions: ["rear-position", "stop"] })
    const of = lamp(
      wires,
      [rear, group("arrow", 8)],
      [
        { ...plainLine("brake", "rear", 1), rise: 0.1 },
        plainLine("tail", "rear", 0.01),
        plainLine(["brake", "tail"], "rear", 0.5),
        sweepLine("left", "arrow", { fall: 0.06 }),
      ],
    )
    const amber = codes(of, "amber")
    for (const code of ["dimmer-with-more", "level-floor", "stop-rise", "fall-unseen"])
      expect(amber).toContain(`behaviour.${code}`)
  })
})

test("findings carry the place of the line in the description", () => {
  const of = lamp([flashingWire("left")], [group("arrow", 8)], [sweepLine("left", "arrow", { rise: 0.2 })])
  const placed = { ...of, places: { "programme.0": { line: 40, column: 3 } } }
  const found = designBehaviour(placed, circuit(of)).findings.find(
    (f) => f.code === "behaviour.rise-in-sweep",
  )!
  expect([found.where.path, found.where.line, found.where.column]).toEqual(["programme.0.rise", 40, 3])
})

test("every measured number can be asked why, and an id names one value", () => {
  const b = behaviourOf(wings)
  expect(unasked(b)).toEqual([])
})

test("a lamp without switched groups has an empty behaviour and nothing to complain about", () => {
  const of = lamp(
    [steadyWire("tail")],
    [group("plate", 4, { functions: ["plate"] })],
    [plainLine("tail", "plate", 1)],
  )
  const b = designBehaviour(of, {
    ...circuit(of),
    channels: [],
    signals: [],
    inputs: [],
    controller: undefined,
  })
  expect([b.inputs, b.channels, b.rules, b.findings]).toEqual([[], [], [], []])
})

test("a stop light held dark between flashes of a shared indicator is a caution, a tail light is not", () => {
  const at = (functions: readonly ["stop"] | readonly ["rear-position"], wire: string) =>
    codes(
      lamp(
        [flashingWire("left"), steadyWire(wire)],
        [group("rear", 3, { functions: [...functions, "direction-indicator"] })],
        [plainLine(wire, "rear", 0.5), sweepLine("left", "rear")],
      ),
      "amber",
    )
  expect(at(["stop"], "brake")).toContain("behaviour.stop-held-back")
  expect(at(["rear-position"], "tail")).not.toContain("behaviour.stop-held-back")
})

describe("the further words of the programme", () => {
  const wires = [flashingWire("left"), steadyWire("tail"), steadyWire("brake")]
  const of = (programme: Lamp["programme"], more: Partial<Lamp> = {}, count = 6) =>
    ({ ...lamp(wires, [group("arrow", count)], programme), ...more }) as Lamp
  const rules = (l: Lamp) => behaviourOf(l).rules

  test("LEDs of one step start together, the last step at the end", () => {
    const [rule] = rules(of([sweepLine("left", "arrow", { sweep: { within: 0.18, step: 2 }, rise: 0 })]))
    expect(rule!.targets.map((t) => t.startShare)).toEqual([0, 0, 0.5, 0.5, 1, 1])
    const all = sweepLine("left", "arrow", { sweep: { within: 0.18, step: 6 }, rise: 0 })
    expect(codes(of([all]), "amber")).toContain("behaviour.nothing-to-sweep")
  })

  test("a share of the on-time: its own share in the table, longest sweep of a legal flasher against the rule", () => {
    const free = sweepLine("left", "arrow", { sweep: { within: 0.167, share: 0.5 } })
    expect(rules(of([free]))[0]).toMatchObject({ sweepShare: 128, sweepNominalMs: 167, sweepWithinMs: 5000 })
    const end = (l: Lamp) => behaviourOf(l).findings.find((f) => f.code === "behaviour.sweep-end")!
    // 50 % of 750 ms on a clock 0.5 % slow.
    expect(end(of([free])).measured!.value).toBeCloseTo(376.87, 1)
    expect(end(of([free])).severity).toBe("amber")
    const held = sweepLine("left", "arrow", { sweep: { within: 0.167, share: 0.5, atMost: 0.18 } })
    expect(end(of([held])).severity).toBe("green")
    expect(reds(of([held]))).toEqual([])
  })

  test("first flash together and other lines between flashes reach the table", () => {
    const line = sweepLine("left", "arrow", { sweep: { within: 0.18, firstFlash: "together" } })
    const tail = plainLine("tail", "arrow", 0.1)
    expect(rules(of([line]))[0]!.firstTogether).toBe(true)
    expect(rules(of([line, tail])).length).toBe(3)
    expect(rules(of([{ ...line, betweenFlashes: "other-lines" }, tail])).length).toBe(2)
  })

  test("a line at 0 takes no signal away unseen", () => {
    const dark = { ...plainLine("left", "arrow", 0) }
    expect(reds(of([dark, plainLine("tail", "arrow", 0.2)]))).toContain("behaviour.signal-darkened")
    const both = plainLine(["left", "brake"], "arrow", 0)
    expect(codes(of([plainLine("left", "arrow", 1), both]), "amber")).toContain("behaviour.signal-darkened")
  })

  test("times that this vehicle's flasher would break are red, at their place; a legal flasher's amber", () => {
    const line = sweepLine("left", "arrow")
    const slow = { ...of([line]), vehicle: { ...of([line]).vehicle } }
    // 20 a minute, 75 % on: 2250 ms live, longer than the 1500 ms of steady light, which nobody wrote.
    const lazy = flashingWire("left", { rate: 1 / 3, onShare: 0.75 })
    const found = behaviourOf({ ...slow, vehicle: { ...slow.vehicle, wires: [lazy, ...wires.slice(1)] } })
    expect(
      found.findings.find((f) => f.code === "behaviour.flash-limit" && f.severity === "red")!.title,
    ).toContain("1500 ms, at least 2250 ms")
    expect(unasked(found)).toEqual([])
    const limits = (flashing: Lamp["flashing"]) => codes(of([line], { flashing }), "red")
    expect(limits({ contactGap: 0.3 })).toEqual([])
    expect(codes(of([line], { flashing: { contactGap: 0.3 } }), "amber")).toContain("behaviour.flash-limit")
    expect(limits({ shortestOn: 0.4 })).toContain("behaviour.flash-limit")
    expect(limits({ steadyAfter: 1, heldBackFor: 0.8, contactGap: 0.06 })).toEqual([])
    expect(behaviourOf(of([line], { flashing: { steadyAfter: 1 } })).timing!.steadyAfterMs).toBe(1000)
  })

  test("a contact gap that the wire's filter hides", () => {
    const slow = flashingWire("left", { deadAfter: 0.05 })
    const of = lamp([slow], [group("arrow", 2)], [sweepLine("left", "arrow")])
    const told = behaviourOf({ ...of, flashing: { contactGap: 0.02 } }).findings.find(
      (f) => f.code === "behaviour.flash-limit" && f.severity === "amber",
    )!
    expect(told.title).toContain(
      "20 ms, at least 51 ms (dead-after of left, whose filter hides every shorter gap)",
    )
  })

  test("flashes over a steady wire without a controller: red where they cannot be seen, amber where they can", () => {
    const hidden = (flash: number, steady: number, more = {}) => {
      const of = lamp(
        [flashingWire("left"), steadyWire("tail")],
        [group("rear", 2)],
        [{ ...plainLine("left", "rear", flash), ...more }, plainLine("tail", "rear", steady)],
      )
      const bare = { ...circuit(of), channels: [], signals: [] }
      const found = designBehaviour(of, bare).findings.find((f) => f.code === "behaviour.flash-hidden")
      return found?.severity
    }
    expect(hidden(1, 1)).toBe("red")
    expect(hidden(0.5, 0.8, { betweenFlashes: "other-lines" })).toBe("red")
    expect(hidden(1, 0.2)).toBe("amber")
    expect(hidden(1, 0.2, { betweenFlashes: "other-lines" })).toBe(undefined)
    const switched = lamp(
      [flashingWire("left"), steadyWire("tail")],
      [group("rear", 2)],
      [plainLine("left", "rear", 1), plainLine("tail", "rear", 1)],
    )
    expect(codes(switched, "red")).not.toContain("behaviour.flash-hidden")
  })

  test("levels that stand against the bulbs of their wires", () => {
    const bulbs = (tail: number, brake: number) => {
      const of = lamp(
        [
          { ...steadyWire("tail"), replaces: 5 },
          { ...steadyWire("brake"), replaces: 21 },
        ],
        [group("rear", 2, { functions: ["rear-position", "stop"] })],
        [plainLine("tail", "rear", tail), plainLine("brake", "rear", brake)],
      )
      return codes(of, "amber").includes("behaviour.levels-against-bulbs")
    }
    expect([bulbs(0.1, 1), bulbs(1, 0.1), bulbs(1, 1)]).toEqual([false, true, true])
  })

  test("a wire's own filter", () => {
    const filtered = { ...steadyWire("tail"), liveAfter: 0.02, deadAfter: 0.03 }
    const b = behaviourOf(lamp([filtered], [group("arrow", 2)], [plainLine("tail", "arrow", 1)]))
    expect(b.inputs.map((i) => [i.assertMs, i.releaseMs])).toEqual([[20, 30]])
    expect(b.findings.find((f) => f.code === "behaviour.first-light")!.severity).toBe("red")
  })
})
