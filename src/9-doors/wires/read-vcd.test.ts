import fc from "fast-check"
import { expect, test } from "vitest"
import { readVcd } from "./read-vcd.ts"

// Layout as in IEEE 1364-2001 clause 18 (from memory): header sections, #times, value changes.
const sample = `$date today $end
$timescale 1 ms $end
$scope module vehicle $end
$var wire 1 ! left $end
$var wire 1 " brake $end
$var wire 1 % lefft $end
$var wire 8 & bus $end
$upscope $end
$enddefinitions $end
$dumpvars 0! 0" b00000000 & $end
#100 1!
#433
0!
1"
#500
`

test("times and levels of a small recording", () => {
  const read = readVcd(sample, ["left", "brake"])
  expect(read).toEqual({
    recorded: {
      wires: {
        left: [
          { t: 0, live: false },
          { t: 0.1, live: true },
          { t: 0.433, live: false },
        ],
        brake: [
          { t: 0, live: false },
          { t: 0.433, live: true },
        ],
      },
      end: 0.5,
      ignored: ["lefft (did you mean left?)", "bus"],
    },
  })
})

test.each([
  ["", "no $timescale"],
  ["#5 1!", "before $timescale"],
  ["$timescale 7 ms $end", "not 1, 10 or 100"],
  [sample.replace("#433", "#4x3"), "not a time"],
  [sample.replace("#433", "#33"), "backwards"],
  [sample.replace("1!", "hello"), "not a value change"],
  ["$timescale 1 ms", "no $end"],
  [sample.replaceAll("left", "port").replace("brake", "pedal"), "none of its variables"],
])("refused with a reason: %#", (text, why) => {
  const read = readVcd(text, ["left", "brake"])
  expect("fault" in read ? read.fault : "accepted").toContain(why)
})

test("any text is read or refused, never thrown", () => {
  fc.assert(
    fc.property(fc.array(fc.constantFrom(...sample.split(/(\s+)/), "$end", "#", "b", "x!")), (words) => {
      readVcd(words.join(""), ["left", "__proto__"])
    }),
    { seed: 1, numRuns: 500 },
  )
})
