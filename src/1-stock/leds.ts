// LEDs. Intensities are the edges of one bin, so that the lower edge is what the packet promises.
// The solver's diode laws are fitted to the forward voltage at the test current with the shape (emission, series
// resistance) usual for the material; the sheet gives one point, the shape is recalled.

import { fact } from "../0-ground/figure.ts"
import type { Source } from "../0-ground/source.ts"
import type { DiodeModel, LedType } from "./artefact.ts"
import { type Shelf, shelf } from "./find.ts"
import { at, lamp3mm, lamp5mm, lampHeat, lampWhite5mm, ledBins, ledFit, ledMemory } from "./sources.ts"

/** Thermal voltage at which all models of the stock are fitted (300 K). */
export const modelThermalVoltage = 0.025852

/** The diode law through (V, I): saturation = I ÷ (exp((V − I·Rs)/(n·Vt)) − 1). */
export function fitDiode(v: number, i: number, emission: number, series: number): DiodeModel {
  const saturation = i / Math.expm1((v - i * series) / (emission * modelThermalVoltage))
  return { saturation, emission, series }
}

interface Draft {
  readonly key: string
  readonly label: string
  readonly colour: LedType["colour"]
  readonly size: 5 | 3
  /** Low, usual, high at 20 mA. */
  readonly forward: readonly [number, number, number]
  readonly forwardSource: Source
  readonly intensity: readonly [number, number, number]
  readonly intensitySource: Source
  readonly angle: number
  readonly angleSource: Source
  readonly current: readonly [maximum: number, peak: number]
  readonly currentSource: Source
  readonly junction: number
  readonly junctionSource: Source
  readonly heat: number
  readonly heatSource: Source
  readonly perKelvin: { readonly volt: number; readonly light: number }
  readonly wavelength?: readonly [number, number]
  /** White ones, K. */
  readonly kelvin?: readonly [number, number]
  readonly source: Source
}

const shapes = {
  red: { emission: 2, series: [3, 5, 8] },
  amber: { emission: 2, series: [3, 5, 8] },
  white: { emission: 2.5, series: [6, 10, 16] },
} as const

const bodies = {
  5: { diameter: 5, flangeDiameter: 5.8, flangeThickness: 1.14, heightAboveSeat: 8.71 },
  3: { diameter: 3.1, flangeDiameter: 3.8, flangeThickness: 1, heightAboveSeat: 5.2 },
} as const

function led(d: Draft): LedType {
  const test = 0.02
  const shape = shapes[d.colour]
  const [low, usual, high] = d.forward
  const id = (name: string) => `stock.${d.key}.${name}`
  const body = bodies[d.size]
  const outline = at(d.size === 5 ? lamp5mm : lamp3mm, "outline drawing")
  return {
    key: d.key,
    label: d.label,
    colour: d.colour,
    package: `led-${d.size}mm`,
    forwardVoltage: { low, usual, high },
    testCurrent: test,
    model: {
      low: fitDiode(low, test, shape.emission, shape.series[0]),
      usual: fitDiode(usual, test, shape.emission, shape.series[1]),
      high: fitDiode(high, test, shape.emission, shape.series[2]),
    },
    voltagePerKelvin: d.perKelvin.volt,
    maximumCurrent: d.current[0],
    peakCurrent: d.current[1],
    maximumReverse: 5,
    reverseCurrent: 1e-4,
    maximumJunction: d.junction,
    thermalResistance: d.heat,
    intensity: { low: d.intensity[0], usual: d.intensity[1], high: d.intensity[2] },
    intensityPerKelvin: d.perKelvin.light,
    fullAngle: d.angle,
    dominantWavelength: d.wavelength ? { low: d.wavelength[0], high: d.wavelength[1] } : undefined,
    ...(d.kelvin ? { colourTemperature: { low: d.kelvin[0], high: d.kelvin[1] } } : {}),
    body: { ...body, diameterTolerance: 0.2, leadPitch: 2.54 },
    source: d.source,
    facts: [
      fact(id("forward-voltage-low"), "forward voltage, low part, 20 mA, 25 °C", low, "V", d.forwardSource),
      fact(id("forward-voltage"), "forward voltage, usual part, 20 mA, 25 °C", usual, "V", d.forwardSource),
      fact(
        id("forward-voltage-high"),
        "forward voltage, high part, 20 mA, 25 °C",
        high,
        "V",
        d.forwardSource,
      ),
      fact(id("test-current"), "test current", test, "A", d.forwardSource),
      fact(id("emission"), "emission coefficient of the diode law", shape.emission, "", {
        ...ledMemory,
        place: ledFit.document,
      }),
      fact(id("voltage-per-kelvin"), "forward voltage change", d.perKelvin.volt, "V/K", ledMemory),
      fact(id("maximum-current"), "maximum steady current", d.current[0], "A", d.currentSource),
      fact(id("peak-current"), "maximum pulse current", d.current[1], "A", d.currentSource),
      fact(id("maximum-reverse"), "maximum reverse voltage", 5, "V", d.currentSource),
      fact(id("reverse-current"), "current at which the reverse voltage is tested", 1e-4, "A", ledMemory),
      fact(id("maximum-junction"), "maximum junction temperature", d.junction, "°C", d.junctionSource),
      fact(id("thermal-resistance"), "junction to air, on a board", d.heat, "K/W", d.heatSource),
      fact(
        id("intensity-low"),
        "intensity on the axis, lower bin edge",
        d.intensity[0],
        "cd",
        d.intensitySource,
      ),
      fact(id("intensity"), "intensity on the axis, usual", d.intensity[1], "cd", d.intensitySource),
      fact(
        id("intensity-high"),
        "intensity on the axis, upper bin edge",
        d.intensity[2],
        "cd",
        d.intensitySource,
      ),
      fact(id("full-angle"), "angle between the half-intensity directions", d.angle, "°", d.angleSource),
      fact(id("light-per-kelvin"), "change of light", d.perKelvin.light, "1/K", ledMemory),
      fact(id("diameter"), "body diameter", body.diameter, "mm", outline),
      fact(id("flange"), "flange diameter", body.flangeDiameter, "mm", outline),
      fact(id("height"), "height above the seat", body.heightAboveSeat, "mm", outline),
      ...(d.wavelength
        ? [
            fact(id("wavelength-low"), "dominant wavelength, low", d.wavelength[0], "nm", ledMemory),
            fact(id("wavelength-high"), "dominant wavelength, high", d.wavelength[1], "nm", ledMemory),
          ]
        : []),
      ...(d.kelvin
        ? [
            fact(id("temperature-low"), "colour temperature, low", d.kelvin[0], "K", ledMemory),
            fact(id("temperature-high"), "colour temperature, high", d.kelvin[1], "K", ledMemory),
          ]
        : []),
    ],
  }
}

const aluminium = {
  forward: [1.8, 2.1, 2.4],
  forwardSource: ledMemory,
  current: [0.05, 0.1],
  currentSource: at(ledMemory, "5 mm AlInGaP: 50 mA steady, 100 mA pulse, 5 V reverse"),
  junction: 130,
  junctionSource: lamp5mm,
  heat: 412,
  heatSource: at(lampHeat, "derating curve for 412 K/W"),
} as const

const small = {
  ...aluminium,
  current: [0.03, 0.1],
  currentSource: at(ledMemory, "3 mm AlInGaP: 30–50 mA steady, 100 mA pulse, 5 V reverse"),
  junction: 110,
  junctionSource: lampHeat,
  heat: 450,
  heatSource: at(ledMemory, "3 mm lamp: 350–550 K/W"),
  angle: 45,
  angleSource: lamp3mm,
} as const

const list: readonly LedType[] = [
  led({
    ...aluminium,
    key: "red-5mm",
    label: "5 mm red AlInGaP, clear, 30°, intensity bin U",
    colour: "red",
    size: 5,
    intensity: [3.2, 3.7, 4.2],
    intensitySource: at(ledBins, "bin U, 3200–4200 mcd at 20 mA"),
    angle: 30,
    angleSource: lamp5mm,
    perKelvin: { volt: -0.002, light: -0.007 },
    wavelength: [622, 630],
    source: lamp5mm,
  }),
  led({
    ...aluminium,
    key: "amber-5mm",
    label: "5 mm amber AlInGaP, clear, 23°, intensity bin X",
    colour: "amber",
    size: 5,
    intensity: [7.2, 8.2, 9.3],
    intensitySource: at(ledBins, "bin X, 7200–9300 mcd at 20 mA"),
    angle: 23,
    angleSource: lamp5mm,
    perKelvin: { volt: -0.002, light: -0.011 },
    wavelength: [589, 593],
    source: lamp5mm,
  }),
  led({
    key: "white-5mm",
    label: "5 mm warm white InGaN, 60°",
    colour: "white",
    size: 5,
    forward: [2.6, 3, 3.4],
    forwardSource: lampWhite5mm,
    intensity: [2.9, 5, 7],
    intensitySource: at(lampWhite5mm, "2900 least, 5000 typical; upper edge from memory"),
    angle: 60,
    angleSource: lampWhite5mm,
    current: [0.025, 0.1],
    currentSource: lampWhite5mm,
    junction: 100,
    junctionSource: at(ledMemory, "100–125 °C"),
    heat: 400,
    heatSource: at(ledMemory, "300–500 K/W"),
    perKelvin: { volt: -0.0035, light: -0.003 },
    kelvin: [2700, 3500],
    source: lampWhite5mm,
  }),
  led({
    ...small,
    key: "red-3mm",
    label: "3 mm red AlInGaP, 45°",
    colour: "red",
    size: 3,
    forward: [1.7, 2, 2.4],
    intensity: [0.24, 0.68, 1],
    intensitySource: at(lamp3mm, "240 least, 680 typical; upper edge from memory"),
    perKelvin: { volt: -0.002, light: -0.007 },
    wavelength: [622, 632],
    source: lamp3mm,
  }),
  led({
    ...small,
    key: "amber-3mm",
    label: "3 mm amber AlInGaP, 45°",
    colour: "amber",
    size: 3,
    intensity: [0.11, 0.24, 0.4],
    intensitySource: at(
      { ...lamp3mm, known: "memory", confidence: "L" },
      "the row order of the excerpt was lost",
    ),
    perKelvin: { volt: -0.002, light: -0.011 },
    wavelength: [588, 594],
    source: lamp3mm,
  }),
  led({
    key: "white-3mm",
    label: "3 mm white InGaN, 45°",
    colour: "white",
    size: 3,
    forward: [2.8, 3.2, 3.6],
    forwardSource: ledMemory,
    intensity: [2, 4, 6],
    intensitySource: ledMemory,
    angle: 45,
    angleSource: at(ledMemory, "30–60°"),
    current: [0.02, 0.1],
    currentSource: ledMemory,
    junction: 100,
    junctionSource: at(ledMemory, "100–125 °C"),
    heat: 500,
    heatSource: at(ledMemory, "400–600 K/W"),
    perKelvin: { volt: -0.0035, light: -0.003 },
    kelvin: [5000, 7000],
    source: ledMemory,
  }),
]

export const leds: Shelf<LedType> = shelf("LED", list, (l) => l.key)

/** Throws on an unknown key (a mistake in the program); for what a user wrote, ask `leds.find` and `leds.near`. */
export const ledType = (key: string): LedType => leds.get(key)
