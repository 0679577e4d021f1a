// A run as comma-separated values (RFC 4180): one row for each sample, wires as 0 or 1, the light of every LED as a
// share of its full current, and the same of every controller output.

import type { LightTrace } from "../artefact.ts"

/** Names of a controller output and one LED that hangs on it. */
export interface CsvChannel {
  readonly name: string
  readonly led: string
}

/** Time in seconds at the start of each sample, levels 0…1 with three places, LF line ends. */
export function exportCsv(trace: LightTrace, channels: readonly CsvChannel[] = []): string {
  const share = (level: number) => String(Math.round((1000 * level) / 255) / 1000)
  const columns = [
    ...Object.entries(trace.wires).map(([name, values]) => ({ name, values, show: String })),
    ...channels.map(({ name, led }) => ({ name, values: trace.leds[led] ?? [], show: share })),
    ...Object.entries(trace.leds).map(([name, values]) => ({ name, values, show: share })),
  ]
  const places = Math.max(0, Math.ceil(-Math.log10(trace.step) - 1e-9))
  const rows = [["seconds", ...columns.map((c) => quoted(c.name))].join(",")]
  for (let i = 0; i < trace.samples; i++)
    rows.push([(i * trace.step).toFixed(places), ...columns.map((c) => c.show(c.values[i] ?? 0))].join(","))
  return `${rows.join("\n")}\n`
}

/** Quoted where it must be; a name that a spreadsheet would run as a formula is kept from it. */
const quoted = (name: string) => {
  const safe = /^[=+\-@]/.test(name) ? `'${name}` : name
  return /[",\n\r]/.test(safe) ? `"${safe.replace(/"/g, '""')}"` : safe
}
