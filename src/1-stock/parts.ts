// Everything that is not an LED: resistors, diodes, capacitors, the array, the regulator, the controller, pads.

import { type Figure, fact } from "../0-ground/figure.ts"
import type { Source } from "../0-ground/source.ts"
import type { PartType } from "./artefact.ts"
import { type Shelf, shelf } from "./find.ts"
import { modelThermalVoltage } from "./leds.ts"
import {
  array,
  at,
  capacitorMemory,
  controller,
  controllerMemory,
  filmResistor,
  headerMemory,
  landMemory,
  networkMemory,
  rectifier,
  rectifierMemory,
  regulator,
  regulatorMemory,
  resonatorMemory,
  smallDiode,
  suppressor,
} from "./sources.ts"

type Fact = readonly [name: string, what: string, value: number, unit: string, source: Source]

const part = (
  key: string,
  label: string,
  packageName: string,
  source: Source,
  model: PartType["model"],
  facts: readonly Fact[],
): PartType => ({
  key,
  label,
  package: packageName,
  source,
  model,
  facts: facts.map(([n, what, v, u, s]): Figure => fact(`stock.${key}.${n}`, what, v, u, s)),
})

const resistor = (key: string, label: string, packageName: string, rated: number) =>
  part(key, label, packageName, filmResistor, { kind: "resistor", tolerance: 0.01, rated, series: "E24" }, [
    ["rated", "rated power up to 70 °C, falling to nothing at 155 °C", rated, "W", filmResistor],
    ["tolerance", "tolerance", 0.01, "", filmResistor],
  ])

const clamp = (
  key: string,
  label: string,
  standOff: number,
  low: number,
  high: number,
  at55: number,
  current: number,
) =>
  part(
    key,
    label,
    "do-15",
    suppressor,
    {
      kind: "clamp",
      standOff,
      breakdownLow: low,
      breakdownHigh: high,
      clampAt: at55,
      clampCurrent: current,
      energy: 0.87,
    },
    [
      ["stand-off", "stand-off voltage", standOff, "V", suppressor],
      ["breakdown-low", "breakdown voltage, low part", low, "V", suppressor],
      ["breakdown-high", "breakdown voltage, high part", high, "V", suppressor],
      ["clamp", "clamping voltage", at55, "V", suppressor],
      ["clamp-current", "current at the clamping voltage", current, "A", suppressor],
      [
        "energy",
        "energy of one 10/1000 µs pulse",
        0.87,
        "J",
        at(suppressor, "600 W · half time ÷ ln 2, worked out"),
      ],
    ],
  )

const capacitor = (
  key: string,
  label: string,
  packageName: string,
  working: number,
  dielectric: string,
  farad: number,
  tolerance: number,
) =>
  part(key, label, packageName, capacitorMemory, { kind: "capacitor", working, dielectric }, [
    ["capacitance", "capacitance", farad, "F", capacitorMemory],
    ["working", "rated voltage", working, "V", capacitorMemory],
    ["tolerance", "tolerance", tolerance, "", capacitorMemory],
  ])

/** Emission and saturation of a rectifier that drops 0.6 V at 1 mA and 0.1 V more per decade. */
const rectifierLaw = {
  saturation: 1e-3 * 10 ** (-0.6 / 0.1),
  emission: 0.1 / (Math.LN10 * modelThermalVoltage),
  series: 0.03,
}

const ioPins = [
  ...[0, 1, 2, 3, 4, 5].map((n) => `PB${n}`),
  ...[0, 1, 2, 3, 4, 5].map((n) => `PC${n}`),
  ...[0, 1, 2, 3, 4, 5, 6, 7].map((n) => `PD${n}`),
]

/** DIP-28 numbers of every pin name. */
const atmegaPins: Readonly<Record<string, readonly string[]>> = {
  RESET: ["1"],
  PD0: ["2"],
  PD1: ["3"],
  PD2: ["4"],
  PD3: ["5"],
  PD4: ["6"],
  VCC: ["7"],
  GND: ["8", "22"],
  XTAL1: ["9"],
  XTAL2: ["10"],
  PD5: ["11"],
  PD6: ["12"],
  PD7: ["13"],
  PB0: ["14"],
  PB1: ["15"],
  PB2: ["16"],
  PB3: ["17"],
  PB4: ["18"],
  PB5: ["19"],
  AVCC: ["20"],
  AREF: ["21"],
  PC0: ["23"],
  PC1: ["24"],
  PC2: ["25"],
  PC3: ["26"],
  PC4: ["27"],
  PC5: ["28"],
}

const list: readonly PartType[] = [
  resistor("resistor-quarter-watt", "metal film resistor ¼ W 1 %", "axial-quarter-watt", 0.25),
  resistor("resistor-half-watt", "metal film resistor ½ W 1 %", "axial-half-watt", 0.5),
  resistor("resistor-one-watt", "metal film resistor 1 W 1 %", "axial-one-watt", 1),
  part(
    "diode-1n4007",
    "rectifier diode 1N4007, 1 A 1000 V",
    "do-41",
    rectifier,
    {
      kind: "diode",
      law: rectifierLaw,
      spread: 0.12,
      voltagePerKelvin: -0.002,
      reverse: 1000,
      leakage: 50e-6,
      average: 1,
      thermalResistance: 100,
      maximumJunction: 150,
    },
    [
      ["forward-voltage", "forward voltage at 100 mA, usual part", 0.8, "V", rectifierMemory],
      ["per-decade", "forward voltage per decade of current", 0.1, "V", rectifierMemory],
      ["spread", "forward voltage of the high part above the usual one", 0.12, "V", rectifierMemory],
      ["reverse", "reverse voltage", 1000, "V", rectifier],
      ["leakage", "reverse current when hot, at most", 50e-6, "A", rectifier],
      ["average", "average forward current", 1, "A", rectifier],
      ["thermal-resistance", "junction to air, long leads", 100, "K/W", rectifier],
      ["maximum-junction", "maximum junction temperature", 150, "°C", rectifierMemory],
    ],
  ),
  part(
    "diode-1n4148",
    "small-signal diode 1N4148",
    "do-35",
    smallDiode,
    {
      kind: "diode",
      law: { saturation: 2.52e-9, emission: 1.752, series: 0.568 },
      spread: 0.1,
      voltagePerKelvin: -0.002,
      reverse: 100,
      leakage: 50e-6,
      average: 0.2,
      thermalResistance: 350,
      maximumJunction: 175,
    },
    [
      ["reverse", "reverse voltage", 100, "V", smallDiode],
      ["leakage", "reverse current when hot, at most", 50e-6, "A", smallDiode],
      ["average", "average forward current", 0.2, "A", smallDiode],
      ["forward-voltage", "forward voltage at 10 mA, high part", 1, "V", smallDiode],
      ["saturation", "saturation current of the diode law", 2.52e-9, "A", smallDiode],
      ["emission", "emission coefficient of the diode law", 1.752, "", smallDiode],
    ],
  ),
  clamp("clamp-p6ke30a", "suppressor P6KE30A", 25.6, 28.5, 31.5, 41.4, 14.5),
  clamp("clamp-p6ke33a", "suppressor P6KE33A", 28.2, 31.4, 34.7, 45.7, 13.1),
  clamp("clamp-p6ke39a", "suppressor P6KE39A", 33.3, 37.1, 41, 53.9, 11.1),
  part(
    "array-uln2803a",
    "eight-section low-side darlington array ULN2803A",
    "dip-18",
    array,
    {
      kind: "low-side-array",
      sections: 8,
      dropAt: [
        { current: 0.005, low: 0.55, usual: 0.68, high: 0.85 },
        { current: 0.02, low: 0.62, usual: 0.75, high: 0.95 },
        { current: 0.1, low: 0.75, usual: 0.9, high: 1.1 },
        { current: 0.2, low: 0.9, usual: 1.1, high: 1.3 },
        { current: 0.35, low: 1.05, usual: 1.3, high: 1.6 },
      ],
      inputResistance: 2700,
      junctions: { low: 1.1, high: 1.6 },
      turnOn: 2.4,
      turnOnCurrent: 0.2,
      baseCurrent: 250e-6,
      maximumCurrent: 0.5,
      maximumVoltage: 50,
      thermalResistance: 65,
      maximumJunction: 150,
      sectionPins: [1, 2, 3, 4, 5, 6, 7, 8].map((n): [string, string] => [String(n), String(19 - n)]),
      earthPin: "9",
    },
    [
      ["drop-20", "output voltage when on at 20 mA, high part", 0.95, "V", { ...array, confidence: "L" }],
      ["drop-100", "output voltage when on at 100 mA, high part", 1.1, "V", array],
      ["drop-200", "output voltage when on at 200 mA, high part", 1.3, "V", array],
      ["drop-350", "output voltage when on at 350 mA, high part", 1.6, "V", array],
      ["input-resistance", "resistance in series with each input", 2700, "Ω", array],
      ["turn-on", "input voltage that surely turns on 200 mA", 2.4, "V", array],
      ["base-current", "input current for which the drop at 100 mA is given", 250e-6, "A", array],
      ["maximum-current", "maximum current of one section", 0.5, "A", array],
      ["maximum-voltage", "maximum output voltage", 50, "V", array],
      ["thermal-resistance", "junction to air", 65, "K/W", { ...array, confidence: "L" }],
      ["maximum-junction", "maximum junction temperature", 150, "°C", array],
    ],
  ),
  part(
    "regulator-lm2940",
    "5 V low-drop regulator LM2940CT-5",
    "to-220",
    regulator,
    {
      kind: "regulator",
      out: { low: 4.75, usual: 5, high: 5.25 },
      dropout: 1,
      dropoutCurrent: 1,
      quiescent: 0.015,
      maximumInput: 26,
      maximumSurge: 60,
      maximumReverse: 15,
      maximumCurrent: 1,
      thermalResistance: 60,
      maximumJunction: 125,
    },
    [
      ["out-low", "output voltage, low, over temperature", 4.75, "V", regulatorMemory],
      ["out", "output voltage", 5, "V", regulator],
      ["out-high", "output voltage, high, over temperature", 5.25, "V", regulatorMemory],
      ["dropout", "input–output difference needed at 1 A, at most", 1, "V", regulatorMemory],
      ["quiescent", "own current at light load, at most", 0.015, "A", regulatorMemory],
      ["maximum-input", "maximum input voltage in use", 26, "V", regulator],
      ["maximum-surge", "short surge it survives, shut down", 60, "V", regulatorMemory],
      ["maximum-reverse", "steady reversed input it survives", 15, "V", regulatorMemory],
      ["thermal-resistance", "junction to air, no heat sink", 60, "K/W", regulator],
      ["maximum-junction", "maximum junction temperature", 125, "°C", regulatorMemory],
      [
        "output-capacitor",
        "least output capacitance, series resistance 0.1–1 Ω",
        22e-6,
        "F",
        regulatorMemory,
      ],
    ],
  ),
  part(
    "controller-atmega328p",
    "controller ATmega328P",
    "dip-28",
    controller,
    {
      kind: "controller",
      ioPins,
      packagePins: atmegaPins,
      supplyCurrent: { usual: 0.009, high: 0.014 },
      supply: { low: 4.5, high: 5.5 },
      inputLow: 0.3,
      inputHigh: 0.6,
      pinCurrent: 0.04,
      totalCurrent: 0.2,
      recommendedPinCurrent: 0.02,
      pinResistance: 45,
      leakage: 1e-6,
      clampCurrent: 1e-3,
    },
    [
      ["supply-low", "supply at which the 4.3 V brown-out surely lets go", 4.5, "V", controller],
      ["supply-high", "highest supply", 5.5, "V", controller],
      ["supply-current", "supply current, 16 MHz 5 V, at most", 0.014, "A", controllerMemory],
      ["input-low", "an input below this share of the supply reads low", 0.3, "", controller],
      ["input-high", "an input above this share of the supply reads high", 0.6, "", controller],
      ["pin-current", "absolute maximum of one pin", 0.04, "A", controller],
      ["total-current", "absolute maximum of the supply pins", 0.2, "A", controller],
      ["recommended-pin-current", "test condition of the output voltages", 0.02, "A", controller],
      [
        "pin-resistance",
        "resistance of a driving pin, at most (from the output voltage limits)",
        45,
        "Ω",
        {
          document: "1.0 V ÷ 20 mA at 105 °C and its like, rounded",
          known: "computed",
        },
      ],
      ["leakage", "input leakage", 1e-6, "A", controller],
      ["clamp-current", "current through a pin's own clamp diodes", 1e-3, "A", controllerMemory],
    ],
  ),
  part(
    "resonator-16mhz",
    "three-pin ceramic resonator 16 MHz",
    "resonator-3",
    resonatorMemory,
    { kind: "resonator", frequency: 16e6, tolerance: 0.005 },
    [
      ["frequency", "frequency", 16e6, "Hz", resonatorMemory],
      ["tolerance", "tolerance over temperature", 0.005, "", resonatorMemory],
    ],
  ),
  part(
    "pull-up-8x10k",
    "resistor network 8 × 10 kΩ, common pin",
    "sip-9",
    networkMemory,
    {
      kind: "resistor-array",
      sections: 8,
      resistance: 10000,
      tolerance: 0.02,
      rated: 0.125,
      commonPin: "1",
      sectionPins: ["2", "3", "4", "5", "6", "7", "8", "9"],
    },
    [
      ["resistance", "resistance of each section", 10000, "Ω", networkMemory],
      ["tolerance", "tolerance", 0.02, "", networkMemory],
      ["rated", "rated power of each section", 0.125, "W", networkMemory],
    ],
  ),
  capacitor("capacitor-10n", "ceramic capacitor 10 nF 100 V X7R", "ceramic-5.08", 100, "X7R", 10e-9, 0.1),
  capacitor("capacitor-100n", "ceramic capacitor 100 nF 50 V X7R", "ceramic-2.54", 50, "X7R", 100e-9, 0.1),
  capacitor(
    "capacitor-100n-100v",
    "ceramic capacitor 100 nF 100 V X7R",
    "ceramic-5.08",
    100,
    "X7R",
    100e-9,
    0.1,
  ),
  capacitor(
    "capacitor-22u-63v",
    "electrolytic capacitor 22 µF 63 V 105 °C",
    "electrolytic-6.3",
    63,
    "aluminium",
    22e-6,
    0.2,
  ),
  capacitor(
    "capacitor-47u-25v",
    "electrolytic capacitor 47 µF 25 V 105 °C, series resistance 0.1–1 Ω",
    "electrolytic-6.3",
    25,
    "aluminium",
    47e-6,
    0.2,
  ),
  part("header-2x3", "pin header 2 × 3", "header-2x3", headerMemory, { kind: "header", pins: 6 }, [
    ["pin", "pin, square", 0.64, "mm", headerMemory],
  ]),
  part(
    "wire-pad",
    "wire pad, hole 1.0 mm, wire up to 0.5 mm²",
    "wire-pad",
    landMemory,
    { kind: "pad", wire: 1.0 },
    [["wire", "largest bundle of strands", 0.95, "mm", landMemory]],
  ),
  part(
    "wire-pad-large",
    "wire pad, hole 1.3 mm, wire up to 0.75 mm²",
    "wire-pad-large",
    landMemory,
    { kind: "pad", wire: 1.3 },
    [["wire", "largest bundle of strands", 1.2, "mm", landMemory]],
  ),
]

export const parts: Shelf<PartType> = shelf("part", list, (p) => p.key)

/** Throws on an unknown key (a mistake in the program). */
export const partType = (key: string): PartType => parts.get(key)

/** The model of a part of a known kind; throws when the entry is of another kind (a mistake in the program). */
export function modelOf<Kind extends PartType["model"]["kind"]>(
  key: string,
  kind: Kind,
): Extract<PartType["model"], { readonly kind: Kind }> {
  const { model } = partType(key)
  if (model.kind !== kind) throw new Error(`stock part "${key}" is a ${model.kind}, not a ${kind}`)
  return model as Extract<PartType["model"], { readonly kind: Kind }>
}
