import { afterEach, expect, test, vi } from "vitest"
import { Network } from "./network.ts"
import { real } from "./operating-point.ts"
import { PreparedNetwork } from "./prepared-network.ts"
import { SteppedNetwork } from "./stepped-network.ts"

afterEach(() => vi.restoreAllMocks())

const divider = () => {
  const n = new Network()
  n.source("V", "a", "0", 12, 1)
  n.resistor("R1", "a", "b", 99)
  n.resistor("R2", "b", "0", 100)
  n.diode("D", "0", "b", { saturation: 1e-12, nVt: 0.05, series: 1 })
  return new SteppedNetwork(n, real)
}

// Ohm's law: half of the source's voltage stands over half of the resistance.
test.each([true, false])(
  "a source set anew is solved as set, where the prepared network settles: %s",
  (settles) => {
    const stepped = divider()
    const before = stepped.solve(undefined)!
    expect(stepped.voltage(before, "b")).toBeCloseTo(6, 6)
    if (!settles) vi.spyOn(PreparedNetwork.prototype, "solve").mockReturnValue(false)
    stepped.setSource(0, 8, 1)
    const after = stepped.solve(before)!
    expect("point" in after).toBe(!settles)
    expect(stepped.voltage(after, "b")).toBeCloseTo(4, 6)
    expect(stepped.point(after).current("R1")).toBeCloseTo(0.04, 8)
    stepped.setSource(0, 10, 101)
    expect(stepped.voltage(stepped.solve(after)!, "b")).toBeCloseTo(10 / 3, 6)
  },
)
