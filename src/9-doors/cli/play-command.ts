// lampwright play: the firmware image on the bench, light levels over time as text ribbons and, if asked, as VCD.

import { readFileSync } from "node:fs"
import type { LightTrace } from "../../7-proof/artefact.ts"
import {
  defaultStimulus,
  exportVcd,
  playedCsv,
  playLamp,
  readWiresVcd,
  type Stimulus,
  type WireThresholds,
} from "../../7-proof/play-lamp.ts"
import { listing, summary } from "./check-command.ts"
import { readLampSource, writeText } from "./files.ts"
import { because, Refusal } from "./refusal.ts"
import { runDesign } from "./run-design.ts"

const longest = 600
const demonstration = 8

export async function playWires(
  path: string,
  options: {
    readonly wires?: string
    readonly vcd?: string
    readonly csv?: string
    readonly seconds?: string
  },
): Promise<number> {
  const source = readLampSource(path)
  const { design } = runDesign(source)
  if (!design.lamp) {
    process.stderr.write(`${listing(design.findings, path, source.text)}${summary(design.findings)}\n`)
    return 1
  }
  const recorded =
    options.wires === undefined
      ? undefined
      : readWires(
          options.wires,
          design.lamp.vehicle.wires.map((w) => w.name),
          Object.fromEntries((design.circuit?.inputs ?? []).map((i) => [i.wire, i])),
        )
  const stimulus = recorded?.stimulus ?? defaultStimulus(design.lamp)
  const seconds = duration(options.seconds, recorded?.seconds ?? demonstration)
  const trace = playLamp(design, stimulus, seconds)
  process.stdout.write(`${ribbons(trace).join("\n")}\n`)
  if (recorded && options.seconds === undefined && recorded.seconds > longest)
    process.stderr.write(
      `The recording lasts ${recorded.seconds.toFixed(0)} s; its first ${longest} s were played.\n`,
    )
  const write = (file: string | undefined, text: () => string) => {
    if (file === undefined) return
    writeText(file, text())
    process.stdout.write(`Light levels written to ${file}\n`)
  }
  write(options.vcd, () => exportVcd(trace, design.lamp!.name))
  write(options.csv, () => playedCsv(design, trace))
  return 0
}

function readWires(
  file: string,
  names: readonly string[],
  thresholds: Readonly<Record<string, WireThresholds>>,
): { stimulus: Stimulus; seconds: number } {
  let text: string
  try {
    text = readFileSync(file, "utf8")
  } catch (error) {
    throw new Refusal(`cannot read ${file}: ${because(error)}`)
  }
  const read = readWiresVcd(text, names, thresholds)
  if ("fault" in read) {
    const { line, column, reason } = read.fault
    throw new Refusal(`${file}:${line}:${column}: ${reason}`)
  }
  if (read.ignored.length > 0) {
    const some = read.ignored.slice(0, 6).join(", ")
    process.stderr.write(`Not wires of this lamp, left out: ${some}${read.ignored.length > 6 ? " …" : ""}\n`)
  }
  return read
}

function duration(asked: string | undefined, usual: number): number {
  if (asked === undefined) return Math.min(usual, longest)
  const seconds = Number(asked)
  if (!(seconds > 0 && seconds <= longest)) {
    throw new Refusal(`--seconds takes a number above 0 and up to ${longest}, not ${asked}`)
  }
  return seconds
}

const shades = " ·░▒▓█"

/** One line for each wire and LED; a column is the mean level over its share of the time. */
export function ribbons(trace: LightTrace, columns = 96): string[] {
  const width = Math.max(...[...Object.keys(trace.wires), ...Object.keys(trace.leds)].map((n) => n.length))
  const n = Math.min(columns, trace.samples)
  const line = (name: string, levels: readonly number[], full: number, marks: string) => {
    let row = ""
    for (let c = 0; c < n; c++) {
      const from = Math.floor((c * trace.samples) / n)
      const to = Math.max(from + 1, Math.floor(((c + 1) * trace.samples) / n))
      let sum = 0
      for (let i = from; i < to; i++) sum += levels[i]!
      const share = sum / (to - from) / full
      row += marks[Math.min(marks.length - 1, Math.ceil(share * (marks.length - 1)))]
    }
    return `${name.padEnd(width)} ${row}`
  }
  const ms = (trace.samples * trace.step * 1000) / n
  return [
    `${"".padEnd(width)} one column = ${ms.toFixed(ms < 10 ? 1 : 0)} ms, ${(trace.samples * trace.step).toFixed(2)} s in all`,
    ...Object.entries(trace.wires).map(([name, v]) => line(name, v, 1, "_▔")),
    ...Object.entries(trace.leds).map(([name, v]) => line(name, v, 255, shades)),
  ]
}
