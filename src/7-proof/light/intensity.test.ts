import { expect, test } from "vitest"
import { beamExponent, beamFlux, beamShare, coneFlux, fromMeter, illuminance, ledAxis } from "./intensity.ts"

// Cos-power law: textbook identity (from memory), values computed in 40-digit arithmetic.
test.each([
  [60, 1, Math.PI],
  [45, 2, 2.0943951],
  [30, 4.81884167931, 1.07980001],
  [15, 19.9937273585, 0.299288697],
  [10, 45.277602154, 0.135771626],
])("half angle %i°: exponent and flux per candela", (half, m, flux) => {
  expect(beamExponent(2 * half)).toBeCloseTo(m, 8)
  expect(beamFlux(1, beamExponent(2 * half))).toBeCloseTo(flux, 7)
  expect(beamShare(beamExponent(2 * half), half, 0)).toBeCloseTo(0.5, 12)
  expect(beamShare(beamExponent(2 * half), 0, half)).toBeCloseTo(0.5, 12)
})

// Ω = 2π(1 − cos θ).
test.each([
  [10, 0.0954557],
  [15, 0.2140943],
  [30, 0.8417872],
  [60, Math.PI],
  [90, 6.2831853],
])("uniform cone of %i°", (half, flux) => {
  expect(coneFlux(1, half)).toBeCloseTo(flux, 6)
})

// Inverse square and cosine law.
test("illuminance and intensity from a meter", () => {
  expect(illuminance(100, 5)).toBe(4)
  expect((100 * Math.cos(Math.PI / 4) ** 3) / 2 ** 2).toBeCloseTo(8.838835, 6)
  expect(fromMeter(0.25, 25)).toBe(156.25)
})

test("one LED: proportional to current, less when warm, nothing behind", () => {
  const led = { intensity: 4, testCurrent: 0.02, perKelvin: -0.01 }
  expect(ledAxis(led, 0.02, 0)).toBe(4)
  expect(ledAxis(led, 0.005, 0)).toBe(1)
  expect(ledAxis(led, 0.02, 25)).toBeCloseTo(3, 12)
  expect(ledAxis(led, 0.02, 1000)).toBe(0)
  expect(beamShare(5, 100, 0)).toBe(0)
})
