import { expect, test } from "vitest"
import { readWiresVcd } from "../../7-proof/play-lamp.ts"
import { asWires, signalsOf, usualFits } from "./recording.ts"

const vcd = `$timescale 1ms $end
$scope module probe $end
$var wire 1 ! D0 $end
$var wire 1 " LEFT $end
$var wire 8 # bus $end
$var real 64 % tail $end
$upscope $end
$enddefinitions $end
#0
0!
1"
r13.2 %
#100
1!
#200
0!
`

test("signals that can be a wire are named; those that bear a wire's name fit by themselves", () => {
  expect(signalsOf(vcd)).toEqual(["D0", "LEFT", "tail"])
  expect(usualFits(signalsOf(vcd), ["tail", "left", "brake"])).toEqual({ tail: "tail", left: "LEFT" })
})

test("a signal of another name is read as the wire it is said to be", () => {
  const read = readWiresVcd(vcd, ["D0", "LEFT"])
  if ("fault" in read) throw new Error(read.fault.reason)
  const { wires } = asWires(read.stimulus, { brake: "D0", left: "LEFT" })
  expect(Object.keys(wires)).toEqual(["brake", "left"])
  expect(wires.brake).toEqual(read.stimulus.wires.D0)
  expect(wires.brake?.some((e) => e.live && Math.abs(e.t - 0.1) < 1e-9)).toBe(true)
})

test("one signal can feed two wires, and a file without declarations has no signals", () => {
  const read = readWiresVcd(vcd, ["D0"])
  if ("fault" in read) throw new Error(read.fault.reason)
  expect(Object.keys(asWires(read.stimulus, { left: "D0", right: "D0" }).wires)).toEqual(["left", "right"])
  expect(signalsOf("#0\n")).toEqual([])
})
