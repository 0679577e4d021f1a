// The circuit: parts with pins and nets, before anything has a place on a board.

import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import type { Ampere, Ohm, Volt, Watt } from "../0-ground/units/brand.ts"

/** Where a part belongs; the board room turns this into a board's name. */
export type Home =
  | { readonly kind: "group"; readonly group: string }
  | { readonly kind: "controller" }
  | { readonly kind: "drivers" }
  | { readonly kind: "supply" }

export interface Part {
  /** `R1`, `D3`, `U1`; LEDs carry the lamp's own LED reference. */
  readonly ref: string
  readonly kind:
    | "led"
    | "resistor"
    | "diode"
    | "clamp"
    | "zener"
    | "capacitor"
    | "low-side-array"
    | "regulator"
    /** Output set by two resistors. */
    | "adjustable-regulator"
    | "transistor"
    | "relay"
    | "controller"
    | "resonator"
    | "resistor-array"
    | "header"
  /** Key into the stock. */
  readonly stock: string
  /** Package name in the stock; may differ from the stock entry's default (a standing resistor). */
  readonly package: string
  /** As printed on the parts list: `470 Ω`, `100 nF`, `ATmega328P`. */
  readonly value: string
  /** In SI: ohm, farad, volt, where the part has one. */
  readonly amount?: number
  /**
   * Pin name → net name. A pin that is left open is absent. Pin names are those of the package's lands: `A`/`K`,
   * `1`/`2`, `+`/`-`, DIP numbers. The controller lists only its fixed pins; the board adds its signals' pins
   * (numbers by port pin name: `packagePins` of its stock entry).
   * `@PB3` instead of a net name means "whatever net is on that pin of the controller": the programming header
   * shares PB3, PB4 and PB5 with signals. Where no signal is there, the header pin and the controller pin make a
   * net of their own, named `PB3`.
   */
  readonly pins: Readonly<Record<string, string>>
  readonly purpose: string
  readonly home: Home
  /** Pins of a two-pin part that may be exchanged freely (resistors, unpolarised capacitors). */
  readonly reversible: boolean
  /** Equal sections whose nets may be exchanged: pins of section i correspond to pins of section j by position. */
  readonly sections?: readonly (readonly string[])[]
  /** Id of the figure that tells why it has its value; every part with an amount has one. */
  readonly figure?: string
  /** Stands exactly behind its hole (LEDs). */
  readonly behindHole?: string
}

export interface Net {
  readonly name: string
  readonly kind: "earth" | "wire" | "supply" | "led" | "signal"
  /** Greatest steady current any of its tracks carries at the strongest corner. */
  readonly current: Ampere
  /** Greatest voltage to earth at the strongest corner. */
  readonly voltage: Volt
  /** The vehicle wire that ends on this net. */
  readonly wire?: string
}

/** A signal that needs some controller I/O pin; the board room chooses which. */
export interface ControllerSignal {
  /** `input-left`, `output-0`. */
  readonly name: string
  readonly net: string
  readonly direction: "input" | "output"
  /** Outputs: index of the channel; inputs: the wire's name. */
  readonly channel?: number
  readonly wire?: string
  /** Controller port pins (`PB0`) this signal may use. */
  readonly allowed: readonly string[]
}

/** One LED string: LEDs in series with its resistor. The order of LEDs inside is free for the board. */
export interface LedString {
  readonly name: string
  readonly group: string
  /** From the supply end to the earth end. */
  readonly leds: readonly string[]
  /** Net names between supply end and earth end: leds.length + 1 entries. */
  readonly nets: readonly string[]
  /** What sets its current: at the supply end, one for each feed; of a sink, its sense resistor at the earth end. */
  readonly resistors: readonly string[]
  /** A two-transistor sink at the earth end; the last of `nets` is then its collector. */
  readonly sink?: Sink
  /** The controller channel that switches it; absent when fed straight from its wires. */
  readonly channel?: number
}

/** `pass` carries the string; `hold` takes its base current away once the sense resistor drops its base–emitter voltage. */
export interface Sink {
  readonly pass: string
  readonly hold: string
  readonly sense: string
  readonly bias: string
  /** Net the sink stands on: earth or the channel. */
  readonly foot: string
}

/** An output of the controller: what it lights when on. */
export interface Channel {
  readonly index: number
  readonly group: string
  readonly leds: readonly string[]
  /** True: pin high lights the LEDs. */
  readonly activeHigh: boolean
  /** The low-side net the LEDs' cathodes hang on; the controller's side is the signal with this channel. */
  readonly net: string
}

/** How a vehicle wire reaches a controller pin: solved thresholds and delays of the input network. */
export interface WireInput {
  readonly wire: string
  readonly net: string
  /** Wire voltage that surely reads as live, and that surely reads as dead, over all tolerances. */
  readonly liveAbove: Volt
  readonly deadBelow: Volt
  /** Longest delay of the network for a rising and a falling edge at the usual supply, seconds. */
  readonly riseDelay: number
  readonly fallDelay: number
}

export interface CornerState {
  /** `tail at 13.5 V, 25 °C, usual parts`. */
  readonly corner: string
  /** Which wires are live. */
  readonly live: readonly string[]
  readonly supply: Volt
  readonly temperature: number
  readonly parts: "weakest" | "usual" | "strongest"
  /** Current through each LED, ampere. */
  readonly ledCurrent: Readonly<Record<string, Ampere>>
  readonly nodeVoltage: Readonly<Record<string, Volt>>
  readonly wireCurrent: Readonly<Record<string, Ampere>>
  readonly dissipation: Readonly<Record<string, Watt>>
}

/** How a group is driven, with the reason it was chosen. */
export interface GroupDrive {
  readonly group: string
  readonly topology: "direct" | "two-feed" | "switched"
  /** What sets the current: the candidate that was taken. */
  readonly way?: Candidate["kind"]
  readonly why: string
  readonly inSeries: number
  readonly fullCurrent: Ampere
  readonly resistance: Ohm
}

/** One way to drive a group that was looked at: solved at the corners, scored, and taken or not. */
export interface Candidate {
  readonly group: string
  readonly kind:
    | "resistor-strings"
    | "two-feed"
    | "pwm"
    | "current-sinks"
    | "regulated-rail"
    | "rail-switched"
    | "rail-relay"
  /** `resistor strings, 3 in series`. */
  readonly label: string
  readonly inSeries: number
  readonly taken: boolean
  /** Current of the dimmest LED at the lowest supply as a share of its usual current. */
  readonly weakestShare: number
  /** Greatest LED current over the corners. */
  readonly strongest: Ampere
  /** Two-level groups: brighter level against the lower one, least and greatest over the corners. */
  readonly ratio?: { readonly least: number; readonly greatest: number }
  /** Everything the group takes less what its LEDs take, at the strongest corner. */
  readonly heat: Watt
  /** Beside the LEDs. */
  readonly parts: number
  /** Bodies of those parts, mm². */
  readonly area: number
  /** Share of the lamps by lot that miss a limit; only of ways that lots and pulses were needed to tell apart. */
  readonly missed?: number
  /** Greatest share of what any part bears in a pulse, and what that is; as `missed`. */
  readonly pulse?: { readonly share: number; readonly worst: string }
  /** What lights with the controller dead. */
  readonly silent: string
  /** Points lost; fewer is better. */
  readonly score: number
  /** Why it must not be taken; empty for a sound one. */
  readonly fails: readonly string[]
  /** Why it was taken, or what it lost by. */
  readonly why: string
}

/** What one part goes through in one event on the vehicle's wires. */
export interface PulseStress {
  readonly event: string
  readonly what: string
  readonly part: string
  /** Greatest and least voltage between its pins: input to earth of a regulator, cathode to anode of a diode. */
  readonly highest: Volt
  readonly lowest: Volt
  readonly current: Ampere
  /** Heat it takes while the event lasts, joule. */
  readonly energy: number
}

export interface Circuit {
  readonly parts: readonly Part[]
  readonly nets: readonly Net[]
  /** Name of the earth net. */
  readonly earth: string
  readonly strings: readonly LedString[]
  readonly channels: readonly Channel[]
  readonly signals: readonly ControllerSignal[]
  /** Ref of the controller part, absent in a lamp without one. */
  readonly controller?: string
  readonly inputs: readonly WireInput[]
  readonly drives: readonly GroupDrive[]
  /** Every way to drive each group that was compared. */
  readonly candidates?: readonly Candidate[]
  readonly corners: readonly CornerState[]
  /** Every part in every pulse that was run through the circuit. */
  readonly pulses?: readonly PulseStress[]
  readonly figures: readonly Figure[]
  readonly findings: readonly Finding[]
}
