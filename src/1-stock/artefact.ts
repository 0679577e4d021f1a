// What the stock shelves hold: part types with their figures and sources, packages with their lands.
// Packages are drawn as data sheets draw them: from the component side (top), x right, y up, millimetres,
// origin at the middle of the lands unless the package says otherwise.

import type { Figure } from "../0-ground/figure.ts"
import type { Source } from "../0-ground/source.ts"
import type { Ampere, Celsius, Mm, Ohm, Volt, Watt } from "../0-ground/units/brand.ts"

/** A copper land with its hole. `oval` is a stadium: w × h before turning. */
export interface PackageLand {
  readonly pin: string
  readonly x: Mm
  readonly y: Mm
  readonly shape: "round" | "oval"
  readonly w: Mm
  readonly h: Mm
  /** Finished hole, from the stock drills. */
  readonly hole: Mm
}

export interface PackageBody {
  /** Rectangle or disc around (x, y), in the package frame. */
  readonly shape: "rectangle" | "disc"
  readonly x: Mm
  readonly y: Mm
  readonly w: Mm
  readonly h: Mm
  /** Top of the body above the board's component side. */
  readonly height: Mm
  /** False where a wire link or another lead may not lie under the body (it always may on the copper side). */
  readonly linkBelow: boolean
}

export interface PackageType {
  readonly name: string
  readonly lands: readonly PackageLand[]
  readonly body: PackageBody
  readonly source: Source
}

/** Diode law with series resistance: I = Is·(exp((V − I·Rs)/(n·Vt)) − 1). */
export interface DiodeModel {
  readonly saturation: Ampere
  readonly emission: number
  readonly series: Ohm
}

export interface LedType {
  readonly key: string
  readonly label: string
  readonly colour: "red" | "amber" | "white"
  readonly package: string
  /** At `testCurrent`, 25 °C. */
  readonly forwardVoltage: { readonly low: Volt; readonly usual: Volt; readonly high: Volt }
  readonly testCurrent: Ampere
  /** Solver models for the low, usual and high forward-voltage ends, 25 °C. */
  readonly model: { readonly low: DiodeModel; readonly usual: DiodeModel; readonly high: DiodeModel }
  /** Volt per kelvin at fixed current (negative). */
  readonly voltagePerKelvin: number
  readonly maximumCurrent: Ampere
  /** Short pulses; what a surge may not exceed. */
  readonly peakCurrent: Ampere
  readonly maximumReverse: Volt
  /** Current at which the reverse voltage is tested: less than this does no harm. */
  readonly reverseCurrent: Ampere
  readonly maximumJunction: Celsius
  readonly thermalResistance: number
  /** On the axis at `testCurrent`, candela; low is the bin's lower edge. */
  readonly intensity: { readonly low: number; readonly usual: number; readonly high: number }
  /** Change of light per kelvin as a share (negative). */
  readonly intensityPerKelvin: number
  /** Angle between the two half-intensity directions, degrees. */
  readonly fullAngle: number
  readonly dominantWavelength: { readonly low: number; readonly high: number } | undefined
  /** White LEDs: correlated colour temperature, K. */
  readonly colourTemperature?: { readonly low: number; readonly high: number }
  readonly body: {
    readonly diameter: Mm
    readonly diameterTolerance: Mm
    readonly flangeDiameter: Mm
    readonly flangeThickness: Mm
    readonly heightAboveSeat: Mm
    readonly leadPitch: Mm
  }
  readonly source: Source
  readonly facts: readonly Figure[]
}

/** Anything that is not an LED, in enough detail for the circuit, the solver and the shopping list. */
export interface PartType {
  readonly key: string
  readonly label: string
  readonly package: string
  readonly source: Source
  readonly model:
    | {
        readonly kind: "resistor"
        readonly tolerance: number
        /** Change per kelvin from 25 °C, at most, up or down, as a share. */
        readonly perKelvin: number
        readonly rated: Watt
        readonly series: "E12" | "E24" | "E96"
      }
    | {
        readonly kind: "diode"
        /** Usual part, 25 °C. */
        readonly law: DiodeModel
        /** How far the forward voltage of the low and the high part lies from the usual one. */
        readonly spread: Volt
        readonly voltagePerKelvin: number
        readonly reverse: Volt
        /** Reverse current when hot, at most. */
        readonly leakage: Ampere
        readonly average: Ampere
        /** One surge: half a sine of 8.3 ms, or what the sheet gives. */
        readonly surge: Ampere
        readonly thermalResistance: number
        readonly maximumJunction: Celsius
      }
    | {
        readonly kind: "clamp"
        readonly standOff: Volt
        readonly breakdownLow: Volt
        readonly breakdownHigh: Volt
        readonly clampAt: Volt
        readonly clampCurrent: Ampere
        readonly energy: number
      }
    | {
        readonly kind: "zener"
        readonly low: Volt
        readonly high: Volt
        readonly at: Ampere
        readonly slope: Ohm
        readonly rated: Watt
      }
    | { readonly kind: "capacitor"; readonly working: Volt; readonly dielectric: string }
    | {
        readonly kind: "low-side-array"
        readonly sections: number
        /** Output voltage when on, rising current. */
        readonly dropAt: readonly {
          readonly current: Ampere
          readonly low: Volt
          readonly usual: Volt
          readonly high: Volt
        }[]
        readonly inputResistance: Ohm
        /** Two base–emitter voltages behind the input resistance, low and high part at 25 °C. */
        readonly junctions: { readonly low: Volt; readonly high: Volt }
        /** Input voltage that surely turns a section on at `turnOnCurrent`. */
        readonly turnOn: Volt
        readonly turnOnCurrent: Ampere
        /** Base current for which the drops are given. */
        readonly baseCurrent: Ampere
        readonly maximumCurrent: Ampere
        readonly maximumVoltage: Volt
        readonly thermalResistance: number
        readonly maximumJunction: Celsius
        /** Section i: input pin, output pin. */
        readonly sectionPins: readonly (readonly [string, string])[]
        readonly earthPin: string
      }
    | {
        readonly kind: "regulator"
        readonly out: { readonly low: Volt; readonly usual: Volt; readonly high: Volt }
        /** Greatest input–output difference needed at `dropoutCurrent`; falls in proportion below it. */
        readonly dropout: Volt
        readonly dropoutCurrent: Ampere
        readonly quiescent: Ampere
        readonly maximumInput: Volt
        /** Short surges it survives, shut down. */
        readonly maximumSurge: Volt
        readonly maximumReverse: Volt
        readonly maximumCurrent: Ampere
        readonly thermalResistance: number
        readonly maximumJunction: Celsius
      }
    | {
        readonly kind: "controller"
        readonly ioPins: readonly string[]
        /** Every pin's name to its package pin numbers: `PB0` → 14, `GND` → 8 and 22. */
        readonly packagePins: Readonly<Record<string, readonly string[]>>
        readonly supplyCurrent: { readonly usual: Ampere; readonly high: Ampere }
        readonly supply: { readonly low: Volt; readonly high: Volt }
        readonly inputLow: number
        readonly inputHigh: number
        readonly pinCurrent: Ampere
        readonly totalCurrent: Ampere
        /** From which the design value per pin comes: test condition of the output voltages. */
        readonly recommendedPinCurrent: Ampere
        /** Greatest resistance of a pin that drives, for the solver. */
        readonly pinResistance: Ohm
        readonly leakage: Ampere
        readonly clampCurrent: Ampere
      }
    | {
        readonly kind: "npn"
        /** Collector current ÷ base current: least over parts at −40 °C, usual and greatest. */
        readonly gain: { readonly low: number; readonly usual: number; readonly high: number }
        /** At `baseEmitterAt`, 25 °C. */
        readonly baseEmitter: { readonly low: Volt; readonly usual: Volt; readonly high: Volt }
        readonly baseEmitterAt: Ampere
        readonly voltagePerKelvin: number
        /** Between collector and emitter while it is full on, at most. */
        readonly saturation: Volt
        /** Voltage at which the rise of collector current with collector voltage seems to begin (Early). */
        readonly early: Volt
        readonly maximumCurrent: Ampere
        readonly maximumVoltage: Volt
        /** Emitter to base, backwards. */
        readonly maximumReverse: Volt
        readonly thermalResistance: number
        readonly maximumJunction: Celsius
      }
    | {
        readonly kind: "adjustable-regulator"
        /** Between output and set pin. */
        readonly reference: { readonly low: Volt; readonly usual: Volt; readonly high: Volt }
        /** Out of the set pin. */
        readonly adjustCurrent: { readonly low: Ampere; readonly usual: Ampere; readonly high: Ampere }
        /** Lost between input and output at the least current, and the rest per ampere. */
        readonly headroom: Volt
        readonly dropout: Ohm
        /** It regulates only while at least this flows out of it. */
        readonly minimumLoad: Ampere
        /** Between input and output, at most. */
        readonly maximumAcross: Volt
        readonly maximumCurrent: Ampere
        readonly thermalResistance: number
        readonly maximumJunction: Celsius
        readonly pins: { readonly input: string; readonly output: string; readonly set: string }
      }
    | {
        readonly kind: "relay"
        /** Of the coil at 20 °C, and how far a part may lie from it. */
        readonly coil: Ohm
        readonly coilTolerance: number
        /** Change of a copper winding per kelvin from 20 °C, as a share. */
        readonly coilPerKelvin: number
        /** Coil voltage at 20 °C at which it surely pulls in, and below which it surely lets go. */
        readonly pullIn: Volt
        readonly dropOut: Volt
        readonly inductance: { readonly low: number; readonly high: number }
        readonly contactResistance: Ohm
        /** Least current that keeps a silver contact clean. */
        readonly contactLeast: Ampere
        readonly contactMost: Ampere
        /** Coil to air. */
        readonly thermalResistance: number
        readonly maximumCoilTemperature: Celsius
        /** Times its contact surely switches. */
        readonly operations: number
        /** Without bounce, second. */
        readonly operateTime: number
        readonly releaseTime: number
        /** Coil A1–A2; change-over contact: common, closed at rest, closed when pulled in (EN 50005). */
        readonly pins: {
          readonly coil: readonly [string, string]
          readonly common: string
          readonly rest: string
          readonly make: string
        }
      }
    | { readonly kind: "resonator"; readonly frequency: number; readonly tolerance: number }
    | {
        readonly kind: "resistor-array"
        readonly sections: number
        readonly resistance: Ohm
        readonly tolerance: number
        /** Each section. */
        readonly rated: Watt
        readonly commonPin: string
        readonly sectionPins: readonly string[]
      }
    | { readonly kind: "pad"; readonly wire: Mm }
    | { readonly kind: "header"; readonly pins: number }
  readonly facts: readonly Figure[]
}
