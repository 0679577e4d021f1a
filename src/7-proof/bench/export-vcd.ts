// A run as a value change dump (IEEE 1364, four-state subset): wires, controller pins and LED levels.

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

/** Wires are one bit wide, LEDs eight (0…255). Time unit 1 µs, LF line ends, no date. */
export function exportVcd(trace: LightTrace, name = "lamp"): string {
  const wires = Object.entries(trace.wires)
  const leds = Object.entries(trace.leds)
  const signals = [
    ...wires.map(([n, values]) => ({ name: plain(n), width: 1, values })),
    ...leds.map(([n, values]) => ({ name: plain(n), width: 8, values })),
  ].map((s, i) => ({ ...s, id: identifier(i) }))
  const out = ["$version Lampwright bench $end", "$timescale 1us $end", `$scope module ${plain(name)} $end`]
  const scope = (title: string, own: typeof signals) => {
    out.push(`$scope module ${title} $end`)
    for (const s of own) out.push(`$var ${s.width === 1 ? "wire" : "reg"} ${s.width} ${s.id} ${s.name} $end`)
    out.push("$upscope $end")
  }
  scope("wires", signals.slice(0, wires.length))
  scope("leds", signals.slice(wires.length))
  out.push("$upscope $end", "$enddefinitions $end")
  const show = (s: (typeof signals)[number], value: number) =>
    s.width === 1 ? `${value}${s.id}` : `b${value.toString(2)} ${s.id}`
  for (let i = 0; i < trace.samples; i++) {
    const changed = signals.filter((s) => i === 0 || s.values[i] !== s.values[i - 1])
    if (changed.length === 0) continue
    out.push(`#${Math.round(i * trace.step * 1e6)}`)
    if (i === 0) out.push("$dumpvars")
    for (const s of changed) out.push(show(s, s.values[i]!))
    if (i === 0) out.push("$end")
  }
  out.push(`#${Math.round(trace.samples * trace.step * 1e6)}`, "")
  return out.join("\n")
}
