import { expect, test } from "vitest"
import { edgesHeld, firstResonance, type Sheet, stiffness } from "./plate-resonance.ts"
import { allowedDisplacement, neededResonance, sineDisplacement } from "./steinberg.ts"

const psi = 6894.757293168
const inch = 0.0254
const epoxy: Sheet = { modulus: 18.6e9, poisson: 0.14, thickness: 0.0016, massPerArea: 1850 * 0.0016 }
const rectangle = (a: number, b: number) => [
  { x: 0, y: 0 },
  { x: a, y: 0 },
  { x: a, y: b },
  { x: 0, y: b },
]

test("plate stiffness 40.3017 lb·in (E 2e6 psi, 0.062 in, 0.12: from a page that cites Steinberg, chapter 6)", () => {
  const d = stiffness({ modulus: 2e6 * psi, poisson: 0.12, thickness: 0.062 * inch })
  expect(d / (4.4482216152605 * inch)).toBeCloseTo(40.3017, 3)
})

test("edges held: 50.93 Hz for 9 × 7 in and 1 lb (g 386 in/s²); 595.36 and 337.52 Hz for 100 × 80 mm", () => {
  const mass = 4.4482216152605 / (386 * inch) / (63 * inch ** 2)
  const sheet = { modulus: 2e6 * psi, poisson: 0.12, thickness: 0.062 * inch, massPerArea: mass }
  expect(edgesHeld(sheet, 9 * inch, 7 * inch)).toBeCloseTo(50.934, 2)
  expect(edgesHeld(epoxy, 0.1, 0.08)).toBeCloseTo(595.3633, 3)
  expect(edgesHeld({ ...epoxy, massPerArea: 2.96 + 0.05 / 0.008 }, 0.1, 0.08)).toBeCloseTo(337.5189, 3)
})

test("Ritz's method with points all along the edges comes to the closed form, from above", () => {
  const held = Array.from({ length: 12 }, (_, k) => k / 12).flatMap((t) => [
    { x: 100 * t, y: 0 },
    { x: 100, y: 80 * t },
    { x: 100 - 100 * t, y: 80 },
    { x: 0, y: 80 - 80 * t },
  ])
  const { frequency } = firstResonance(epoxy, rectangle(100, 80), held)!
  expect(frequency / 595.3633).toBeGreaterThan(0.98)
  expect(frequency / 595.3633).toBeLessThan(1.04)
})

test("a square on its four corners: 7.1·√(D ÷ ρ) ÷ 2πa² (Leissa, Vibration of Plates, ν 0.3; from memory)", () => {
  const sheet = { ...epoxy, poisson: 0.3 }
  const { frequency } = firstResonance(sheet, rectangle(100, 100), rectangle(100, 100))!
  const root = Math.sqrt(stiffness(sheet) / sheet.massPerArea) / (2 * Math.PI * 0.1 ** 2)
  expect(frequency / root).toBeGreaterThan(6.9)
  expect(frequency / root).toBeLessThan(7.4)
})

test("a strip clamped at one end: 3.516·√(EI ÷ m) ÷ 2πl² (textbook)", () => {
  const sheet = { ...epoxy, poisson: 0 }
  const clamp = [0, 2, 4, 6, 8, 10].flatMap((y) => [
    { x: 0, y },
    { x: 2, y },
  ])
  const { frequency, moves } = firstResonance(sheet, rectangle(102, 10), clamp)!
  const root = Math.sqrt(stiffness(sheet) / sheet.massPerArea) / (2 * Math.PI * 0.1 ** 2)
  expect(frequency / root).toBeGreaterThan(3.3)
  expect(frequency / root).toBeLessThan(3.8)
  expect(moves(102, 5)).toBeCloseTo(1, 1)
  expect(moves(5, 5)).toBeLessThan(0.02)
})

test("half the size rings four times as high; a screw more rings higher; screws on one line hold nothing", () => {
  const four = (s: number) => rectangle(60 * s, 40 * s)
  const whole = firstResonance(epoxy, four(2), four(2))!.frequency
  expect(firstResonance(epoxy, four(1), four(1))!.frequency / whole).toBeCloseTo(4, 6)
  expect(firstResonance(epoxy, four(2), [...four(2), { x: 60, y: 40 }])!.frequency).toBeGreaterThan(
    1.2 * whole,
  )
  expect(
    firstResonance(
      epoxy,
      four(1),
      [0, 30, 60].map((x) => ({ x, y: 20 })),
    ),
  ).toBeUndefined()
})

test("Steinberg: 1 g at 100 Hz; allowed swings; needed resonance 143.90 Hz at 5 g", () => {
  expect(sineDisplacement(1, 100) / 25.4).toBeCloseTo(0.000977974, 6)
  const first = allowedDisplacement(8 * 25.4, 0.062 * 25.4, 25.4)
  expect(first / 25.4).toBeCloseTo(0.0283871, 7)
  expect(allowedDisplacement(4 * 25.4, 0.062 * 25.4, 0.8 * 25.4, 1.26) / 25.4).toBeCloseTo(0.0125943, 7)
  expect(neededResonance(5, first)).toBeCloseTo(143.9, 1)
})
