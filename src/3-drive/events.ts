// What may come over a vehicle's wires, as voltage over time: fast pulses, load dump, starting. Levels and shapes with
// where they are known from; they are engineering stress, not a claim of conformity.

import type { Source } from "../0-ground/source.ts"
import { show } from "../0-ground/text/show.ts"
import { vehicleSupply } from "../1-stock/vehicle-supply.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Event } from "./circuit-transient.ts"
import { dumpPulse, surgeVolt, unclampedVolt } from "./limits.ts"

export interface KnownEvent extends Event {
  readonly source: Source
  /** Every output on, or none. */
  readonly on: boolean
}

const pulseSource: Source = {
  document: "ISO 7637-2:2004 level IV as printed in a switch's data sheet",
  known: "read",
}
const startSource: Source = vehicleSupply.starting.source

/** Everything that is run through a lamp's circuit. */
export function eventsOf({ supply }: Lamp["vehicle"]): readonly KnownEvent[] {
  const rest = supply.usual
  return [
    ...vehicleSupply.pulses.flatMap((p) =>
      [true, false].map((on): KnownEvent => {
        // Pulses 1 and 3a fall from a supply that is cut off; the others ride on it.
        const cut = p.volt < 0
        return {
          name: `pulse ${p.name}`,
          what: `${p.volt} V ${cut ? "from" : "on"} ${rest} V behind ${p.ohm} Ω, ${show(p.seconds, "s")}, outputs ${on ? "on" : "off"}`,
          volt: (t) => (cut ? 0 : rest) + (p.volt + (cut ? rest : 0)) * 10 ** (-t / p.seconds),
          rest,
          ohm: p.ohm,
          end: 3 * p.seconds,
          jumps: [],
          parts: "strongest",
          shutsDown: false,
          on,
          source: pulseSource,
        }
      }),
    ),
    ...[true, false].map((on) => loadDump(supply.surge === "clamped", on)),
    ...vehicleSupply.starting.levels.map((level) => starting(level)),
    runningOut(rest),
    held("jump start", vehicleSupply.jumpStart, rest),
    held("battery reversed", vehicleSupply.reversed, rest),
  ]
}

/** ISO 16750-2: up within 5 ms at the fastest, then falling to a tenth over its length; a clamp cuts its top off. */
function loadDump(clamped: boolean, on: boolean): KnownEvent {
  const peak = unclampedVolt.value
  const { rest, ohm } = dumpPulse
  const length = clamped ? vehicleSupply.clampedDump.seconds : dumpPulse.seconds
  const top = clamped ? surgeVolt.value : peak
  const rise = 0.005
  const tau = length / Math.LN10
  /** When the falling pulse leaves the clamp. */
  const leaves = clamped ? rise + tau * Math.log((peak - rest) / (top - rest)) : rise
  return {
    name: clamped ? "load dump, clamped" : "load dump",
    what: `${rest} V to ${top} V behind ${ohm} Ω, ${show(length, "s")}, outputs ${on ? "on" : "off"}`,
    volt: (t) =>
      t < rise
        ? Math.min(top, rest + ((peak - rest) * t) / rise)
        : Math.min(top, rest + (peak - rest) * Math.exp(-(t - rise) / tau)),
    rest,
    ohm,
    end: rise + 1.2 * length,
    jumps: [rise * (clamped ? (top - rest) / (peak - rest) : 1), leaves],
    parts: "strongest",
    // A linear regulator of this kind shuts down above its working range; then nothing is switched on.
    shutsDown: !on,
    on,
    source: clamped ? surgeVolt.source : unclampedVolt.source,
  }
}

/** Pulse 2b: the supply is cut off, and motors that run out lift the net again. */
function runningOut(rest: number): KnownEvent {
  const { volt, ohm, cut, pause, rise, seconds, source } = vehicleSupply.runningOut
  const t1 = cut
  const t2 = t1 + pause
  const t3 = t2 + rise
  return {
    name: "pulse 2b",
    what: `${rest} V cut off, then ${volt} V behind ${ohm} Ω, ${show(seconds, "s")}, outputs on`,
    volt: (t) =>
      t < t1
        ? rest * (1 - t / t1)
        : t < t2
          ? 0
          : t < t3
            ? (volt * (t - t2)) / rise
            : volt * 10 ** (-(t - t3) / seconds),
    rest,
    ohm,
    end: t3 + seconds,
    jumps: [t1, t2, t3],
    parts: "strongest",
    shutsDown: false,
    on: true,
    source,
  }
}

/** A voltage that stands for long on every wire. */
function held(
  name: string,
  { volt, seconds, source }: { readonly volt: number; readonly seconds: number; readonly source: Source },
  rest: number,
): KnownEvent {
  const edge = 0.01
  return {
    name,
    what: `${rest} V to ${volt} V for ${show(seconds, "s")}${volt > 0 ? ", outputs on" : ""}`,
    volt: (t) => (t < edge ? rest + ((volt - rest) * t) / edge : volt),
    rest,
    ohm: 0.01,
    end: edge + seconds,
    jumps: [edge],
    parts: "strongest",
    shutsDown: false,
    leaky: volt < 0,
    // The standard asks for room temperature.
    celsius: 25,
    on: true,
    source,
  }
}

type Level = (typeof vehicleSupply.starting.levels)[number]

/** The starting profile: fall, dip, rise to the plateau, plateau, return. */
function starting(level: Level): KnownEvent {
  const { rest } = vehicleSupply.starting
  const { dip, plateau, seconds } = level
  const t1 = seconds.fall
  const t2 = t1 + seconds.dip
  const t3 = t2 + seconds.rise
  const t4 = t3 + seconds.plateau
  const t5 = t4 + seconds.back
  const ramp = (t: number, from: number, to: number, a: number, b: number) =>
    a + ((b - a) * (t - from)) / (to - from)
  return {
    name: `starting, level ${level.name}`,
    what: `${rest} V to ${dip} V for ${show(seconds.dip, "s")}, then ${plateau} V`,
    volt: (t) =>
      t < t1
        ? ramp(t, 0, t1, rest, dip)
        : t < t2
          ? dip
          : t < t3
            ? ramp(t, t2, t3, dip, plateau)
            : t < t4
              ? plateau
              : t < t5
                ? ramp(t, t4, t5, plateau, rest)
                : rest,
    rest,
    ohm: 0.01,
    end: t5 + 0.02,
    jumps: [t1, t2, t3, t4, t5],
    parts: "weakest",
    shutsDown: false,
    on: true,
    source: startSource,
  }
}
