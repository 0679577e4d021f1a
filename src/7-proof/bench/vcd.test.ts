import { describe, expect, test } from "vitest"
import { exportPinsVcd, exportVcd } from "./export-vcd.ts"
import { readWiresVcd } from "./read-vcd.ts"

describe("value change dump", () => {
  test("wires and LEDs come out as IEEE 1364 lays down", () => {
    const text = exportVcd(
      { step: 0.002, samples: 4, wires: { left: [0, 1, 1, 0] }, leds: { "sweep-1": [0, 0, 128, 0] } },
      "Tern rear lamp",
    )
    expect(text).toBe(`$version Lampwright bench $end
$timescale 1us $end
$scope module Tern_rear_lamp $end
$scope module wires $end
$var wire 1 ! left $end
$upscope $end
$scope module leds $end
$var reg 8 " sweep_1 $end
$upscope $end
$upscope $end
$enddefinitions $end
#0
$dumpvars
0!
b0 "
$end
#2000
1!
#4000
b10000000 "
#6000
0!
b0 "
#8000
`)
  })

  test("pins stand beside them to the cycle", () => {
    const text = exportPinsVcd({ step: 0.001, samples: 1, wires: { left: [1] }, leds: {} }, [
      {
        name: "PB2",
        changes: [
          [0, true],
          [1000 / 16e6, false],
          [1001 / 16e6, true],
        ],
      },
    ])
    expect(text.split("\n").slice(-11)).toEqual([
      "#0",
      "$dumpvars",
      "1!",
      '1"',
      "$end",
      "#625000",
      '0"',
      "#625625",
      '1"',
      "#10000000",
      "",
    ])
    expect(text).toContain("$timescale 100ps $end")
    expect(text).toContain('$scope module pins $end\n$var wire 1 " PB2 $end')
  })

  test("identifiers stay different over a thousand signals", () => {
    const leds = Object.fromEntries(Array.from({ length: 1000 }, (_, i) => [`led${i}`, [0]]))
    const text = exportVcd({ step: 1, samples: 1, wires: {}, leds })
    const ids = [...text.matchAll(/\$var reg 8 (\S+) /g)].map((m) => m[1])
    expect(new Set(ids).size).toBe(1000)
  })

  test("what was written is read again", () => {
    const text = exportVcd({
      step: 0.01,
      samples: 5,
      wires: { left: [0, 1, 1, 0, 1], tail: [1, 1, 1, 1, 1] },
      leds: {},
    })
    const read = readWiresVcd(text, ["left", "tail", "right"])
    if ("fault" in read) throw Error(read.fault.reason)
    expect(read.stimulus.wires).toEqual({
      left: [
        { t: 0.01, live: true },
        { t: 0.03, live: false },
        { t: 0.04, live: true },
      ],
      tail: [{ t: 0, live: true }],
    })
    expect(read.seconds).toBeCloseTo(0.05, 12)
  })

  test("files of other programs: comments, real and wide values, x and z, other scales", () => {
    const text = `$date today $end
$comment a $end $timescale 100 ns $end
$scope module top $end
$var wire 1 # left $end $var wire 8 $ bus [7:0] $end $var real 64 % v $end
$upscope $end $enddefinitions $end
$dumpvars x# b0 $ r1.5 % $end
#100 1#
#200 z#
#300 b1010 $ 1#
`
    const read = readWiresVcd(text, ["left"])
    if ("fault" in read) throw Error(read.fault.reason)
    expect(read.stimulus.wires.left!.map((e) => [Math.round(e.t * 1e6), e.live])).toEqual([
      [10, true],
      [20, false],
      [30, true],
    ])
    expect(read.ignored).toEqual(["bus", "v"])
  })

  test.each([
    ["no time scale", "$var wire 1 ! left $end $enddefinitions $end #0 1!", /no time scale/],
    ["a strange time scale", "$timescale 3 parsec $end", /3 parsec/],
    [
      "time running back",
      "$timescale 1us $end $var wire 1 ! left $end $enddefinitions $end\n#5\n#4",
      /no later time/,
    ],
    [
      "garbage",
      "$timescale 1us $end $var wire 1 ! left $end $enddefinitions $end\n#1 hello",
      /no value change/,
    ],
    [
      "none of the wires",
      "$timescale 1us $end $var wire 1 ! foo $end $enddefinitions $end",
      /none of the wires/,
    ],
    ["a directive without end", "$timescale 1us", /no \$end/],
    ["values before definitions", "#0 1!", /before \$enddefinitions/],
    ["nothing", "", /no time scale/],
  ])("refuses %s with line and reason", (_, text, why) => {
    const read = readWiresVcd(text, ["left"])
    if (!("fault" in read)) throw Error("was read")
    expect(read.fault.reason).toMatch(why)
    expect(read.fault.line).toBeGreaterThan(0)
  })
})
