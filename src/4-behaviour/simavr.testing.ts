// Runs firmware on simavr, an emulator we did not write, through `firmware/test/run-simavr.c`.

import { execFileSync, spawnSync } from "node:child_process"
import { mkdtempSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { atmega328p, type Controller, pinCode } from "./controllers.ts"
import { clockHz } from "./table-layout.ts"

const source = join(import.meta.dirname, "../../firmware/test/run-simavr.c")

export interface Simavr {
  run(
    hex: string,
    seconds: number,
    stimulus: readonly Step[],
    flips?: readonly Flip[],
    chip?: Controller,
  ): Run
  close(): void
}

/** At `at` seconds a pin gets a level, the program counter an address, or a bit in flash turns. */
export type Step =
  | { readonly at: number; readonly pin: string; readonly level: 0 | 1 }
  | { readonly at: number; readonly astrayTo: number }
  | { readonly at: number; readonly flipAt: number }

export interface Flip {
  readonly address: number
  readonly mask: number
}

export interface Run {
  /** Seconds of every watchdog reset. */
  readonly resets: readonly number[]
  readonly overruns: number
  /** Cycles after a tick's beginning at which its work ended at the latest. */
  readonly latestCycles: number
  readonly serving: number
  readonly live: number
  readonly deepestStack: number
  /** Changes of a driven pin: cycle and level; an undriven pin (input) has level −1. */
  edges(pin: string): readonly (readonly [number, number])[]
}

/** Builds the harness; a string says in one line why it could not be. */
export function startSimavr(): Simavr | string {
  const folder = mkdtempSync(join(tmpdir(), "lampwright-simavr-"))
  const program = join(folder, "run-simavr")
  const built = spawnSync("cc", ["-O2", source, "-o", program, "-lsimavr", "-lelf"], { encoding: "utf8" })
  if (built.status !== 0) {
    rmSync(folder, { recursive: true })
    return "simavr did not run: install simavr, libsimavr-dev, libelf-dev and a C compiler"
  }
  return {
    run(hex, seconds, stimulus, flips = [], chip = atmega328p) {
      const file = join(folder, "image.hex")
      writeFileSync(file, hex)
      const input = [...stimulus]
        .sort((a, b) => a.at - b.at)
        .map((s) => {
          const cycle = Math.round(s.at * clockHz)
          if ("pin" in s) return `${cycle} ${s.pin} ${s.level}`
          return "astrayTo" in s ? `${cycle} pc ${s.astrayTo}` : `${cycle} flip ${s.flipAt}`
        })
      const text = execFileSync(
        program,
        [
          file,
          String(Math.round(seconds * clockHz)),
          `mcu=${chip === atmega328p ? "atmega328p" : "attiny84"}`,
          ...flips.map((f) => `flip=${f.address.toString(16)}:${f.mask.toString(16)}`),
        ],
        {
          input: `${input.join("\n")}\n`,
          encoding: "utf8",
          maxBuffer: 1 << 28,
          stdio: ["pipe", "pipe", "ignore"],
        },
      )
      return readRun(text, chip)
    },
    close() {
      rmSync(folder, { recursive: true })
    },
  }
}

function readRun(text: string, chip: Controller): Run {
  const resets: number[] = []
  const changes: { port: number; cycle: number; value: number; direction: number }[] = []
  let vitals: number[] = []
  let deepestStack = 0
  for (const line of text.split("\n")) {
    const [kind, ...rest] = line.split(" ")
    if (kind === "e")
      changes.push({
        cycle: Number(rest[0]),
        port: chip.ports.indexOf(rest[1]!),
        value: Number(rest[2]),
        direction: Number(rest[3]),
      })
    else if (kind === "r") resets.push(Number(rest[0]) / clockHz)
    else if (kind === "v") vitals = rest.map(Number)
    else if (kind === "s") deepestStack = Number(rest[0])
  }
  return {
    resets,
    overruns: vitals[0]!,
    latestCycles: vitals[1]! * 8,
    serving: vitals[2]!,
    live: vitals[4]!,
    deepestStack,
    edges(pin) {
      const code = pinCode(pin, chip)!
      const out: [number, number][] = []
      for (const c of changes) {
        if (c.port !== code >> 4) continue
        const bit = code & 7
        const level = (c.direction >> bit) & 1 ? (c.value >> bit) & 1 : -1
        if (out.at(-1)?.[1] !== level) out.push([c.cycle, level])
      }
      return out
    },
  }
}

/** Share of the window (seconds) for which the pin was high. */
export function duty(edges: readonly (readonly [number, number])[], from: number, to: number): number {
  let high = 0
  const [start, end] = [from * clockHz, to * clockHz]
  for (const [i, [cycle, level]] of edges.entries()) {
    const next = edges[i + 1]?.[0] ?? Number.POSITIVE_INFINITY
    if (level === 1) high += Math.max(0, Math.min(next, end) - Math.max(cycle, start))
  }
  return high / (end - start)
}

/** First moment (seconds) from `from` on at which the pin is high. */
export function firstHigh(edges: readonly (readonly [number, number])[], from: number): number | undefined {
  const at = from * clockHz
  for (const [i, [cycle, level]] of edges.entries()) {
    const next = edges[i + 1]?.[0] ?? Number.POSITIVE_INFINITY
    if (level === 1 && next > at) return Math.max(cycle, at) / clockHz
  }
  return undefined
}

/** Last moment (seconds) before `to` at which the pin was not high: from then on it is fully lit up to `to`. */
export function fullSince(edges: readonly (readonly [number, number])[], to: number): number {
  const before = edges.filter(([cycle]) => cycle < to * clockHz)
  const last = before.at(-1)
  return last?.[1] === 1 ? last[0] / clockHz : to
}
