import { describe, expect, test } from "vitest"
import { exportCsv } from "./export-csv.ts"
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

  test("wires in volts, by the thresholds of their inputs; one bit as a vector; a byte order mark, CRLF", () => {
    const text = [
      "\uFEFF$timescale 10 us $end",
      "$scope module logger $end",
      "$var real 64 a left $end",
      "$var reg 1 b tail $end",
      "$var wire 1 c D7 $end",
      "$upscope $end",
      "$enddefinitions $end",
      "#0 r0.12 a b0 b 1c",
      "#100 r5.5 a",
      "#110 r11.9 a b1 b",
      "#200 r6.2 a",
      "#300 r1e-1 a bx b",
      "#400",
    ].join("\r\n")
    const read = readWiresVcd(text, ["left", "tail"])
    if ("fault" in read) throw Error(read.fault.reason)
    const ms = (name: string) => read.stimulus.wires[name]!.map((e) => [Math.round(e.t * 1e5) / 100, e.live])
    expect(ms("left")).toEqual([
      [1.1, true],
      [3, false],
    ])
    expect(ms("tail")).toEqual([
      [1.1, true],
      [3, false],
    ])
    expect(read.ignored).toEqual(["D7"])
    const low = readWiresVcd(text, ["left"], { left: { liveAbove: 5, deadBelow: 1 } })
    if ("fault" in low) throw Error(low.fault.reason)
    expect(low.stimulus.wires.left![0]!.t).toBeCloseTo(0.001, 9)
  })

  const head =
    "$timescale 1 us $end\n$var wire 1 ! left $end $var real 64 % right $end\n$enddefinitions $end\n"
  test.each([
    ["a wire of eight bits", "$timescale 1 us $end\n$var wire 8 ! left $end", "2:11", /8 bits wide/],
    [
      "a wire that stands twice",
      "$timescale 1 us $end\n$var wire 1 ! left $end $var wire 1 % left $end",
      "2:39",
      /stands twice/,
    ],
    ["a value of nobody", `${head}#3\n  1?`, "5:3", /not declared/],
    ["a value without a name", `${head}#3 b1`, "4:4", /says not whose/],
    ["a voltage that is none", `${head}#3 rlow %`, "4:4", /no voltage of right/],
    ["a bit for a voltage", `${head}#3 1%`, "4:4", /no voltage of right/],
    ["two bits for one", `${head}#3 b10 !`, "4:4", /no single bit of left/],
    ["a broken time", `${head}#3.5 1!`, "4:1", /no whole number/],
    ["time running back", `${head}#30 1! #29 0!`, "4:8", /earlier than #30/],
    ["a strange time scale", "$timescale 2 ns $end", "1:12", /2 ns/],
  ])("refuses %s with line and column", (_, text, place, why) => {
    const read = readWiresVcd(text, ["left", "right"])
    if (!("fault" in read)) throw Error("was read")
    expect(read.fault.reason).toMatch(why)
    expect(`${read.fault.line}:${read.fault.column}`).toBe(place)
  })

  test("names of the file are told where none is a wire, the nearest with it", () => {
    const read = readWiresVcd("$timescale 1us $end $var wire 1 ! LEFT $end $enddefinitions $end", ["left"])
    expect("fault" in read && read.fault.reason).toBe(
      "none of the wires left is in the file, which has LEFT; name LEFT as left",
    )
  })

  test.each([
    ["no time scale", "$var wire 1 ! left $end $enddefinitions $end #0 1!", /no time scale/],
    ["a strange time scale", "$timescale 3 parsec $end", /3 parsec/],
    [
      "time running back",
      "$timescale 1us $end $var wire 1 ! left $end $enddefinitions $end\n#5\n#4",
      /earlier than #5/,
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

describe("comma-separated values", () => {
  test("time, wires, outputs and LEDs; light as a share of full current", () => {
    const text = exportCsv(
      {
        step: 0.002,
        samples: 3,
        wires: { left: [0, 1, 1] },
        leds: { "sweep-1": [0, 128, 255], 'odd, "name"': [0, 0, 8] },
      },
      [{ name: "output 0 (PB2, sweep)", led: "sweep-1" }],
    )
    expect(text).toBe(
      [
        'seconds,left,"output 0 (PB2, sweep)",sweep-1,"odd, ""name"""',
        "0.000,0,0,0,0",
        "0.002,1,0.502,0.502,0",
        "0.004,1,1,1,0.031",
        "",
      ].join("\n"),
    )
  })
})
