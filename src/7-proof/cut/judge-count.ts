// Time, travel and length as the programs claim them, against what the proof counts in their text.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import { showNumber } from "../../0-ground/text/show.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { CutterProgram } from "../../6-copper/artefact.ts"
import { proof } from "../proof-findings.ts"
import { given, measuredOn, nothingTold, type Told } from "../told.ts"
import { type Counted, countProgram } from "./program-time.ts"
import type { ProgramReading } from "./read-cut-program.ts"

/** Claims may differ from what is counted by this share, %: numbers in a program have four decimals. */
const mostOff = 2

export function judgeCount(
  lamp: Lamp,
  board: string,
  readings: ReadonlyMap<CutterProgram, ProgramReading>,
): Told {
  const told = nothingTold()
  const { machine } = lamp.cutter
  const axes = [
    given("cutter.machine.rapid", "rapid speed", machine.rapid, "mm/min"),
    given("cutter.machine.acceleration", "acceleration of the machine", machine.acceleration, "mm/s²"),
  ]
  let worst: { off: number; figure: Figure; title: string; file: string } | undefined
  const times: Figure[] = []
  const travels: Figure[] = []
  for (const [p, read] of readings) {
    const counted = countProgram(read.moves, machine, read.dwellSeconds)
    const seen = (name: string, value: number, unit: string) =>
      fact(
        `proof.${p.file}.${name}`,
        `${name} of ${p.file}`,
        value,
        unit,
        measuredOn(p.file, "counted again"),
      )
    const time = result(
      `proof.${p.file}.time`,
      `time of ${p.file}, counted again`,
      counted.time,
      "s",
      "sum over its moves with straight speed ramps, and its dwells",
      axes,
      { source: measuredOn(p.file, "its moves, read by the proof's own reader") },
    )
    times.push(time)
    travels.push(seen("travel", counted.travel, "mm"))
    for (const c of claims(p, counted)) {
      if (!(c.claimed > 0)) continue
      const off = (100 * Math.abs(c.counted - c.claimed)) / c.claimed
      if (worst && off <= worst.off) continue
      const figure = result(
        `proof.${board}.count-off`,
        `claim of ${p.file} furthest from what is counted: ${c.name}`,
        off,
        "%",
        "|counted − claimed| ÷ claimed",
        [
          fact(
            `proof.${p.file}.${c.name}.claimed`,
            `${c.name} claimed`,
            c.claimed,
            c.unit,
            measuredOn(p.file, "as told by its maker"),
          ),
          c.name === "time" ? time : seen(c.name, c.counted, c.unit),
        ],
      )
      worst = { off, figure, title: c.name, file: p.file }
    }
  }
  if (times.length === 0) return told
  const sum = (figures: readonly Figure[]) => figures.reduce((a, f) => a + f.value, 0)
  const time = result(
    `proof.${board}.program-time`,
    `time of all programs of ${board}, counted again`,
    sum(times),
    "s",
    "sum over the programs, changing of tools left out",
    times,
  )
  const travel = result(
    `proof.${board}.travel`,
    `rapid travel of all programs of ${board}, counted again`,
    sum(travels),
    "mm",
    "sum over the programs",
    travels,
  )
  told.figures.push(time, travel)
  told.findings.push(
    proof.state("program-time", {
      severity: "green",
      title: `${board}: all programs take ${minutes(time.value)}, with ${showNumber(travel.value / 1000)} m of rapid travel; changing tools not counted`,
      where: { text: board, board },
      ...measuredBy(time),
    }),
  )
  if (worst) {
    told.figures.push(worst.figure)
    told.findings.push(
      proof.judge("program-count", {
        title: `Claims of ${board}'s programs against what is counted in them, furthest off: ${worst.title} of ${worst.file}`,
        where: { text: worst.file, file: worst.file, board },
        ...measuredBy(worst.figure),
        limit: { kind: "at most", value: mostOff, unit: "%" },
        amberBelow: 0,
        atWorst: "amber",
      }),
    )
  }
  return told
}

const claims = (p: CutterProgram, counted: Counted) => [
  { name: "time", claimed: p.time, counted: counted.time, unit: "s" },
  { name: "travel", claimed: p.travel, counted: counted.travel, unit: "mm" },
  { name: "cut length", claimed: p.cutLength, counted: counted.cut, unit: "mm" },
]

const minutes = (s: number): string =>
  s < 90 ? `${Math.round(s)} s` : `${Math.floor(s / 60)} min ${Math.round(s % 60)} s`
