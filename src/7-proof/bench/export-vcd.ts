// A run as a value change dump (IEEE 1364, four-state subset): wires, LED levels and, where asked, controller pins.

import type { LightTrace } from "../artefact.ts"

/** Names of a few letters for many signals: printable characters from "!" on, least significant first. */
function identifier(n: number): string {
  let out = ""
  for (let left = n; ; left = Math.floor(left / 94) - 1) {
    out += String.fromCharCode(33 + (left % 94))
    if (left < 94) return out
  }
}

const plain = (name: string) => name.replace(/[^A-Za-z0-9_$]/g, "_")

interface Signal {
  readonly name: string
  readonly width: number
  readonly scope: string
}

/** Values in time order; `time` in the units of `timescale`. */
interface Change {
  readonly time: number
  readonly signal: number
  readonly value: number
}

/** Wires are one bit wide, LEDs eight (0…255). Time unit 1 µs, LF line ends, no date. */
export function exportVcd(trace: LightTrace, name = "lamp"): string {
  const { signals, changes } = ofTrace(trace, 1e6)
  return dump(name, "1us", signals, changes, Math.round(trace.samples * trace.step * 1e6))
}

/**
 * The same with every controller output pin to the cycle (1 = lights its LEDs): about 1 MB for each second with
 * lit LEDs. Time unit 100 ps, because a cycle of 16 MHz is 62.5 ns.
 */
export function exportPinsVcd(trace: LightTrace, pins: readonly PinTrack[], name = "lamp"): string {
  const { signals, changes } = ofTrace(trace, 1e10)
  const first = signals.length
  pins.forEach((pin, i) => {
    for (const [seconds, lit] of pin.changes)
      changes.push({ time: Math.round(seconds * 1e10), signal: first + i, value: lit ? 1 : 0 })
  })
  changes.sort((a, b) => a.time - b.time || a.signal - b.signal)
  const more = pins.map((pin) => ({ name: plain(pin.name), width: 1, scope: "pins" }))
  return dump(name, "100ps", [...signals, ...more], changes, Math.round(trace.samples * trace.step * 1e10))
}

/** A controller output pin and when it changed, from the start of the run. */
export interface PinTrack {
  readonly name: string
  readonly changes: readonly (readonly [seconds: number, lit: boolean])[]
}

function ofTrace(trace: LightTrace, perSecond: number): { signals: Signal[]; changes: Change[] } {
  const rows = [
    ...Object.entries(trace.wires).map(([n, values]) => ({ n, values, width: 1, scope: "wires" })),
    ...Object.entries(trace.leds).map(([n, values]) => ({ n, values, width: 8, scope: "leds" })),
  ]
  const changes: Change[] = []
  for (let i = 0; i < trace.samples; i++)
    for (const [signal, { values }] of rows.entries())
      if (i === 0 || values[i] !== values[i - 1])
        changes.push({ time: Math.round(i * trace.step * perSecond), signal, value: values[i]! })
  return { signals: rows.map(({ n, width, scope }) => ({ name: plain(n), width, scope })), changes }
}

function dump(
  name: string,
  timescale: string,
  signals: readonly Signal[],
  changes: readonly Change[],
  end: number,
): string {
  const out = [
    "$version Lampwright bench $end",
    `$timescale ${timescale} $end`,
    `$scope module ${plain(name)} $end`,
  ]
  for (const scope of new Set(signals.map((s) => s.scope))) {
    out.push(`$scope module ${scope} $end`)
    for (const [i, s] of signals.entries())
      if (s.scope === scope)
        out.push(`$var ${s.width === 1 ? "wire" : "reg"} ${s.width} ${identifier(i)} ${s.name} $end`)
    out.push("$upscope $end")
  }
  out.push("$upscope $end", "$enddefinitions $end")
  let time = -1
  for (const change of changes) {
    if (change.time !== time) {
      if (time === 0) out.push("$end")
      time = change.time
      out.push(`#${time}`)
      if (time === 0) out.push("$dumpvars")
    }
    const id = identifier(change.signal)
    out.push(
      signals[change.signal]!.width === 1 ? `${change.value}${id}` : `b${change.value.toString(2)} ${id}`,
    )
  }
  if (time === 0) out.push("$end")
  out.push(`#${end}`, "")
  return out.join("\n")
}
