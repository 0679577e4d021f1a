// A recording of the vehicle's wires: its signals bear whatever names the recorder gave them, and each wire of the
// lamp takes one of them. Signals that bear a wire's name fit by themselves.

import type { Stimulus } from "../../7-proof/play-lamp.ts"

/** Wire of the lamp → signal of the recording; a wire that is not there stays dead. */
export type Fits = Readonly<Record<string, string>>

/** Names of the signals that can be a wire (one bit, or real-valued volts), in the recording's order. */
export function signalsOf(text: string): readonly string[] {
  const head = text.slice(0, text.search(/\$enddefinitions/) + 1 || text.length)
  const found = [...head.matchAll(/\$var\s+(\S+)\s+(\d+)\s+(\S+)\s+(\S+)/g)]
  const names = found.flatMap(([, type = "", width, , name = ""]) =>
    /^real/.test(type) || width === "1" ? [name] : [],
  )
  return [...new Set(names)].filter((n) => n !== "$end")
}

/** The same name first, then the same but for capitals and what stands between the letters. */
export function usualFits(signals: readonly string[], wires: readonly string[]): Fits {
  const bare = (name: string) => name.toLowerCase().replace(/[^a-z0-9]/g, "")
  const fits: Record<string, string> = {}
  for (const wire of wires) {
    const signal = signals.find((s) => s === wire) ?? signals.find((s) => bare(s) === bare(wire))
    if (signal !== undefined) fits[wire] = signal
  }
  return fits
}

/** What was read by the signals' names, by the names of the wires they are. */
export function asWires(read: Stimulus, fits: Fits): Stimulus {
  const wires = Object.entries(fits).flatMap(([wire, signal]) => {
    const edges = read.wires[signal]
    return edges ? [[wire, edges] as const] : []
  })
  return { ...read, wires: Object.fromEntries(wires) }
}
