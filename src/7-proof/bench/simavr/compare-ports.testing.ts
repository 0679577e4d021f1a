// Port changes of a bench program on our chip and, through harness.c, on simavr.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { Chip } from "../chip/atmega328p.ts"
import { type FlashImage, readImage } from "../read-image.ts"

export interface PortEdge {
  readonly cycle: number
  /** 0 = B, 1 = C, 2 = D. */
  readonly port: number
  readonly bit: number
  readonly high: boolean
}

export interface PortRun {
  readonly program: string
  readonly cycles: number
  /** Which bits of PORTB, PORTC, PORTD are compared. */
  readonly masks: readonly [number, number, number]
}

export const portRuns: readonly PortRun[] = [
  { program: "slots", cycles: 400_000, masks: [255, 255, 255] },
  // simavr counts no cycles for interrupt entry, so the main program runs ahead there; its own pins are left out.
  { program: "busy", cycles: 300_000, masks: [3, 0, 0] },
  { program: "bite", cycles: 2_000_000, masks: [255, 255, 255] },
]

export const portEdges: readonly PortEdge[] = [
  { cycle: 100_000, port: 2, bit: 2, high: true },
  { cycle: 233_333, port: 2, bit: 2, high: false },
  { cycle: 350_000, port: 2, bit: 2, high: true },
]

export function programImage(name: string): FlashImage {
  const read = readImage(readFileSync(join(import.meta.dirname, "programs", `${name}.hex`), "utf8"))
  if ("fault" in read) throw Error(`${name}.hex, record ${read.fault.record}: ${read.fault.reason}`)
  return read.image
}

/** "cycle latchB latchC latchD directionB directionC directionD" at every change of what the masks leave. */
export function ourPorts(run: PortRun): string[] {
  const chip = new Chip(programImage(run.program).bytes)
  const out: string[] = []
  chip.ports.onChange = (cycle) => {
    const { latch, direction } = chip.ports
    out.push([cycle, ...[...latch, ...direction].map((v) => v.toString(16))].join(" "))
  }
  for (const e of portEdges) {
    if (e.cycle >= run.cycles) break
    chip.run(e.cycle)
    chip.ports.setOutside(e.port, e.bit, e.high)
  }
  chip.run(run.cycles)
  if (chip.core.fault) throw Error(chip.core.fault.reason)
  return masked(out, run)
}

export function portsInput(run: PortRun): string {
  const { bytes } = programImage(run.program)
  const words = Array.from({ length: Math.ceil(bytes.length / 2) }, (_, i) =>
    (bytes[2 * i]! | ((bytes[2 * i + 1] ?? 255) << 8)).toString(16),
  )
  const edges = portEdges.map((e) => `edge ${e.cycle} ${"BCD"[e.port]} ${e.bit} ${e.high ? 1 : 0}`)
  return `words ${words.length}\n${words.join(" ")}\n${edges.join("\n")}\n`
}

/** Applies the masks and drops lines that change nothing then. */
export function masked(lines: readonly string[], run: PortRun): string[] {
  let last = "0 0 0 0 0 0"
  return lines.flatMap((line) => {
    const [cycle, ...values] = line.split(" ")
    const kept = values.map((v, i) => (Number.parseInt(v, 16) & run.masks[i % 3]!).toString(16)).join(" ")
    if (kept === last) return []
    last = kept
    return [`${cycle} ${kept}`]
  })
}
