// Every reader of what comes from outside, with whole texts to spoil and what must hold of any answer.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import type { Random } from "../../src/0-ground/numbers/random.ts"
import { readIes } from "../../src/0-ground/photometry/read-ies.ts"
import { finish } from "../../src/0-ground/progress.ts"
import { readLamp } from "../../src/2-lamp/read-lamp.ts"
import { designDrive } from "../../src/3-drive/design-drive.ts"
import { identifyImage } from "../../src/4-behaviour/identify-image.ts"
import { readHex } from "../../src/4-behaviour/ihex.ts"
import { readHeights as readHeightMap } from "../../src/6-copper/height-map.ts"
import { recogniseProgram } from "../../src/6-copper/recognise-program.ts"
import { warpProgram } from "../../src/6-copper/warp-program.ts"
import { readImage } from "../../src/7-proof/bench/read-image.ts"
import { readCutProgram } from "../../src/7-proof/cut/read-cut-program.ts"
import { readMeasured } from "../../src/7-proof/fit/read-measured.ts"
import { readWiresVcd } from "../../src/7-proof/play-lamp.ts"
import { inspectBoard, readHeights } from "../../src/7-proof/prove-lamp.ts"
import { readRevision } from "../../src/8-pack/compare/revision.ts"
import { packLamp, readReadings, solveFaults } from "../../src/8-pack/pack-lamp.ts"
import { designLamp } from "../../src/design-lamp.ts"
import { designMarker, examples } from "../tern.ts"
import {
  extremeCsv,
  extremeHex,
  extremeIes,
  extremeJson,
  extremeProgram,
  extremeSvg,
  extremeVcd,
  extremeYaml,
  nearbyYaml,
} from "./extreme.testing.ts"

export interface Reader {
  readonly name: string
  /** Share of all inputs it gets. */
  readonly weight: number
  readonly texts: readonly string[]
  readonly traps: readonly string[]
  /** A text of right syntax that goes to extremes; half of the inputs, where there is one. */
  readonly extreme?: (chance: Random) => string
  /** Never spoiled: every input is made by `extreme`. */
  readonly whole?: true
  /** Reads a spoiled text; the words say what was wrong with the answer. */
  read(text: string): string | undefined
}

const example = (...path: string[]) => readFileSync(join(examples, ...path), "utf8")

/** An answer is either something read or at least one reason with a line of the text. */
const told = (read: boolean, line: number | undefined, text: string) => {
  if (read) return undefined
  if (line === undefined) return "refused without a line"
  return line >= 1 && line <= text.split(/\r\n|\r|\n/).length + 1
    ? undefined
    : `line ${line} is not in the text`
}

const yamlTraps = [
  "&a [*a, *a]",
  "&b {x: *b}",
  "<<: *a",
  "!!js/function 'x'",
  "!!binary aGk=",
  "? [complex]",
  "---\n",
  "...\n",
  "'",
  "- - - - -",
  "lampwright: 2",
  "__proto__: {}",
  "constructor: x",
  "toString: 1",
  "5 V V",
  "1..2 mm",
  "mm",
  "sweep: inward",
  "[".repeat(300),
  "{a: ".repeat(200),
  "drawing: ../../../etc/passwd",
]
const svgTraps = [
  "<script>alert(1)</script>",
  '<image href="http://x/"/>',
  '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>',
  "&b;",
  "&#0;",
  "<g>",
  "</g>",
  "<g>".repeat(400),
  'transform="scale(1e300)"',
  'transform="matrix(1 2 3)"',
  'transform="rotate(NaN)"',
  'd="M0 0 L1e308 1e308 A1 1 0 0 1 9e99 0"',
  'd="m 0,0 a 0 0 0 1 1 0 0 z z z"',
  '<use href="#face"/>',
  'viewBox="0 0 0 0"',
  'width="1e9mm"',
  "<![CDATA[",
  "]]>",
  "<?xml",
]
const csvTraps = [
  ",",
  ";",
  ",,,,",
  "x,y,z\n",
  '"',
  '"""',
  "\r\n",
  "0,0,0\n0,0,0\n",
  "1e9,1e9,0\n",
  "=1+1",
  "open",
  "OL",
]
const vcdTraps = [
  "$var wire 1 ! left $end",
  "$var real 64 # left $end",
  "$scope module a $end",
  "$upscope $end",
  "$enddefinitions $end",
  "$timescale 1 fs $end",
  "$timescale 100 s $end",
  "$dumpvars",
  "$end",
  "#18446744073709551616",
  "#-5",
  "bxz01 !",
  "r1e400 !",
  "x!",
]
const gTraps = [
  "G20",
  "G91",
  "G2 X1 Y1 I0 J0",
  "G3 X0 Y0 R1e9",
  "G1 X1e9",
  "G1 F0",
  "G0 Z-5",
  "M98 P1 L9999",
  "O100 WHILE [1]",
  "#1=2",
  "X#1",
  "(",
  ")",
  "(((",
  ";",
  "%",
  "/G0 X1",
  "N1 N2",
  "G81 X1 Y1 Z-2 R1 F100",
  "G92 X0",
  "G53",
  "M6 T9",
  "M30",
]
const iesTraps = [
  "TILT=INCLUDE\n1\n2\n0 90\n1 1",
  "TILT=other.tlt",
  "IESNA:LM-63-2002",
  "[MORE] and on",
  "[__proto__] x",
  "1 -1 1 10000 10000 1 2 0 0 0",
  "1 -1 1 3 1 4 2 0 0 0",
  "0 90 45",
  "-90 0 90",
  "1e999",
]
const jsonTraps = [
  "null",
  "{}",
  "[]",
  '"__proto__": {}',
  '"figures": null',
  "1e400",
  "\\u0000",
  "[".repeat(3000),
  '{"a":'.repeat(3000),
]
const hexTraps = [
  ":00000001FF",
  ":020000021000EC",
  ":020000040800F2",
  ":0400000300003800C1",
  ":FF",
  "::",
  ":10",
  ":020000040000FA",
]

/** Steps of work a design may take before it is cancelled; the marker lamp takes some hundred. */
const mostSteps = 1500
/** A face of hundreds of LEDs is not seen to its end, ms; a single step as long is a hang. */
const longest = 30_000

/** The whole chain and its pack: a lamp or a red finding, no number that is none, no file that leaves its folder. */
function designed(text: string): string | undefined {
  const work = designLamp(text, () => undefined)
  const begun = performance.now()
  for (let steps = 0; steps < mostSteps && performance.now() - begun < longest; steps++) {
    const since = performance.now()
    const step = work.next()
    if (performance.now() - since > longest) return `step ${steps} took ${performance.now() - since} ms`
    if (!step.done) continue
    const design = step.value
    if (!design.lamp)
      return design.findings.some((f) => f.severity === "red") ? undefined : "neither lamp nor red finding"
    const { files } = packLamp(design)
    const stray = files.find((f) => !/^[\w.-]+(\/[\w.-]+)*$/.test(f.path) || f.path.split("/").includes(".."))
    if (stray) return `file at ${stray.path}`
    const none = files.find(
      (f) =>
        f.path !== "description.yaml" &&
        /\b(NaN|undefined|Infinity)\b/.test(f.text.replaceAll(design.lamp.name, "")),
    )
    if (none) return `${none.path}: ${/.{0,60}\b(NaN|undefined|Infinity)\b.{0,30}/.exec(none.text)?.[0]}`
    const script = files.find(
      (f) => /\.(html|svg)$/.test(f.path) && /<script|\son\w+=|javascript:/i.test(f.text),
    )
    return script ? `${script.path} holds a script` : undefined
  }
  work.return(undefined as never)
  return undefined
}

export function readers(): Reader[] {
  const marker = designMarker()
  const tern = example("tern", "tern.yaml")
  const marked = example("marker", "marker.yaml")
  const face = example("tern", "tern-face.svg")
  const ternLamp = readLamp(tern, () => face).lamp!
  const heights =
    "x,y,z\n0,0,0.01\n40,0,0.02\n80,0,0\n0,30,-0.01\n40,30,0\n80,30,0.03\n0,60,0.01\n40,60,0.02\n80,60,0\n"
  const { map } = readHeightMap(heights, "heights.csv")
  const programs = marker.plan.programs
  const board = marker.lamp.boards[0]!.name
  const circuit = designDrive(marker.lamp)
  const solved = solveFaults(marker)
  const pack = packLamp(marker).files
  const packed = (path: RegExp) => pack.find((f) => path.test(f.path))!.text
  const csv = packed(/^bring-up\.csv$/)
  const [report, manifest] = [packed(/^report\.json$/), packed(/^manifest\.json$/)]
  const light = packed(/\.ies$/)
  const holes = marker.lamp.faces[0]!.ledHoles
  const ids = holes.map((h) => h.id)
  const measured = ["hole,x,y", ...holes.map((h) => `${h.id},${h.x + 0.03},${h.y - 0.02}`)].join("\n")
  const filled = csv.replace(/^(.*),$/gm, "$1,1.5")
  const wires = ternLamp.vehicle.wires.map((w) => w.name)
  const vcd = [
    "$timescale 1 ms $end",
    "$scope module vehicle $end",
    ...wires.map((w, i) => `$var wire 1 ${String.fromCharCode(33 + i)} ${w} $end`),
    "$upscope $end",
    "$enddefinitions $end",
    "#0",
    ...wires.map((_, i) => `0${String.fromCharCode(33 + i)}`),
    ...Array.from(
      { length: 40 },
      (_, k) => `#${(k + 1) * 330}\n${k % 2}${String.fromCharCode(33 + (k % wires.length))}`,
    ),
  ].join("\n")
  const lampTold = ({ lamp, findings }: ReturnType<typeof readLamp>, text: string) => {
    const red = findings.find((f) => f.severity === "red")
    if (lamp || red) {
      const bad = findings.find((f) => f.where.line !== undefined && told(false, f.where.line, text))
      return bad && bad.where.file === undefined
        ? `${bad.code}: line ${bad.where.line} is not in the text`
        : undefined
    }
    return "neither lamp nor red finding"
  }
  const hex = example("..", "firmware", "image", "lampwright-atmega328p.hex")
  return [
    {
      name: "description",
      weight: 20,
      texts: [tern, marked, marked, marked],
      traps: yamlTraps,
      extreme: (chance) => extremeYaml(chance.below(4) === 0 ? tern : marked, chance),
      read: (text) =>
        lampTold(
          readLamp(text, (f) => (f.endsWith(".svg") ? face : undefined)),
          text,
        ),
    },
    {
      name: "drawing",
      weight: 14,
      texts: [face],
      traps: svgTraps,
      extreme: (chance) => extremeSvg(["crescent", "left", "right"], chance),
      read: (text) => {
        const { lamp, findings } = readLamp(tern, () => text)
        if (!lamp && !findings.some((f) => f.severity === "red")) return "neither lamp nor red finding"
        return undefined
      },
    },
    {
      name: "heights for bending",
      weight: 8,
      texts: [heights],
      traps: csvTraps,
      extreme: (chance) => extremeCsv("x,y,z", [], chance),
      read: (text) => {
        const { map, findings } = readHeightMap(text, "heights.csv")
        return map || findings.some((f) => f.severity === "red") ? undefined : "neither grid nor red finding"
      },
    },
    {
      name: "heights for the proof",
      weight: 8,
      texts: [heights],
      traps: csvTraps,
      extreme: (chance) => extremeCsv("x,y,z", [], chance),
      read: (text) => {
        const read = readHeights(text)
        return read.heights ? undefined : told(false, read.fault.line, text)
      },
    },
    {
      name: "readings",
      weight: 8,
      texts: [csv, filled],
      traps: [...csvTraps, ...solved.plan.readings.slice(0, 3).map((r) => r.id)],
      extreme: (chance) =>
        extremeCsv(
          "reading,measured",
          solved.plan.readings.map((r) => r.id),
          chance,
        ),
      read: (text) => {
        const read = readReadings(text, solved.plan)
        return "fault" in read ? told(false, read.fault.line, text) : undefined
      },
    },
    {
      name: "recorded wires",
      weight: 10,
      texts: [vcd],
      traps: vcdTraps,
      extreme: (chance) => extremeVcd(wires, chance),
      read: (text) => {
        const read = readWiresVcd(text, wires)
        return "fault" in read ? told(false, read.fault.line, text) : undefined
      },
    },
    {
      name: "program for bending",
      weight: 8,
      texts: programs.map((p) => p.text),
      traps: gTraps,
      extreme: extremeProgram,
      read: (text) => {
        recogniseProgram("some.ngc", text)
        const bent = warpProgram(text, map!, "some.ngc")
        return bent.text !== undefined || bent.findings.some((f) => f.severity === "red")
          ? undefined
          : "refused without a red finding"
      },
    },
    {
      name: "program",
      weight: 8,
      texts: programs.map((p) => p.text),
      traps: gTraps,
      extreme: extremeProgram,
      read: (text) => {
        readCutProgram(text)
        return undefined
      },
    },
    {
      name: "board with a foreign program",
      weight: 0.2,
      texts: programs.filter((p) => p.purpose === "engrave").map((p) => p.text),
      traps: gTraps,
      extreme: extremeProgram,
      read: (text) => {
        const seen = finish(
          inspectBoard(
            { lamp: marker.lamp, circuit, boards: marker.boards },
            board,
            programs.map((p) => (p.purpose === "engrave" ? { ...p, text } : p)),
          ),
        )
        return seen ? undefined : "board not found"
      },
    },
    {
      name: "firmware image",
      weight: 8,
      texts: [hex],
      traps: hexTraps,
      extreme: extremeHex,
      read: (text) => {
        const blocks = readHex(text)
        const image = readImage(text)
        if (typeof blocks === "string" && blocks === "") return "refused without a reason"
        return "fault" in image ? told(false, image.fault.record, text) : undefined
      },
    },
    {
      name: "image to identify",
      weight: 4,
      texts: [hex, marker.firmware?.hex ?? hex],
      traps: hexTraps,
      extreme: extremeHex,
      read: (text) => (identifyImage(text) === "" ? "refused without a reason" : undefined),
    },
    {
      name: "measured light",
      weight: 8,
      texts: [light],
      traps: iesTraps,
      extreme: extremeIes,
      read: (text) => {
        const read = readIes(text)
        if ("fault" in read) return told(false, read.fault.line, text)
        const { candela } = read.file.table
        return candela.every((row) => row.every((c) => Number.isFinite(c) && c >= 0))
          ? undefined
          : "intensities that are none"
      },
    },
    {
      name: "measured holes",
      weight: 6,
      texts: [measured, measured.replaceAll(",", ";")],
      traps: [...csvTraps, ...ids],
      extreme: (chance) => extremeCsv("hole,x,y", ids, chance),
      read: (text) => {
        const read = readMeasured(text, ids)
        return "fault" in read ? told(false, read.fault.line, text) : undefined
      },
    },
    {
      name: "whole design",
      weight: 0.15,
      texts: [],
      traps: [],
      whole: true,
      extreme: (chance) => nearbyYaml(marked, chance),
      read: designed,
    },
    {
      name: "another revision",
      weight: 1.5,
      texts: [report, manifest],
      traps: jsonTraps,
      extreme: (chance) => extremeJson(chance.below(2) === 0 ? report : manifest, chance),
      read: (text) => {
        const whole = { "report.json": report, "manifest.json": manifest, "description.yaml": tern }
        for (const path of ["report.json", "manifest.json", "description.yaml"]) {
          const files: Readonly<Record<string, string>> = { ...whole, [path]: text }
          if (readRevision((p) => files[p]) === "") return "refused without a reason"
        }
        return undefined
      },
    },
  ]
}
