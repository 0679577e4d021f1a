// Netlist test records by IPC-D-356A: one line of at most 80 columns for each land and tooling hole, in micrometres
// (UNITS CUST 1). Names longer than their columns get short ones; comment lines tell which.

import type { Board, Land } from "../../5-board/artefact.ts"

const netColumns = 14
const refColumns = 6

export function testRecords(lamp: string, board: Board): string {
  const nets = shortNames(
    board.lands.flatMap((l) => (l.net === undefined ? [] : [l.net])),
    netColumns,
    "NET",
  )
  const refs = shortNames(
    board.lands.map((l) => l.ref),
    refColumns,
    "P",
  )
  const told = (kind: string, names: ReadonlyMap<string, string>) =>
    [...names]
      .filter(([long, short]) => long !== short)
      .map(([long, short]) => `C  ${kind} ${short} is ${ascii(long)}`)
  return `${[
    `C  ${ascii(`Lampwright: ${lamp}, board ${board.name}`)}`,
    "C  one side of copper, seen from the copper side; holes not plated",
    ...told("net", nets),
    ...told("part", refs),
    `P  JOB   ${ascii(board.name)}`,
    "P  CODE  00",
    "P  UNITS CUST 1",
    `P  TITLE ${ascii(lamp)}`,
    "P  NUM   1",
    "P  REV   A",
    "P  VER   IPC-D-356A",
    "P  IMAGE PRIMARY",
    ...board.lands.map((l) => record(l, nets, refs)),
    ...board.screws.map((s, k) => tooling(s, k + 1)),
    "999",
  ]
    .map((line) => line.slice(0, 80).trimEnd())
    .join("\n")}\n`
}

function record(land: Land, nets: ReadonlyMap<string, string>, refs: ReadonlyMap<string, string>): string {
  const round = Math.abs(land.w - land.h) < 1e-9
  const turn = Math.round(((land.rotation % 360) + 360) % 360) % 360
  return [
    "317",
    (land.net === undefined ? "N/C" : nets.get(land.net)!).padEnd(netColumns),
    "   ",
    refs.get(land.ref)!.padEnd(refColumns),
    "-",
    ascii(land.pin).slice(0, 4).padEnd(4),
    " ",
    `D${micrometres(land.hole, 4)}U`,
    "A01",
    place(land),
    `X${micrometres(land.w, 4)}Y${round ? "0000" : micrometres(land.h, 4)}`,
    `R${String(round ? 0 : turn).padStart(3, "0")}`,
    " ",
    "S1",
  ].join("")
}

/** An unplated hole that no net reaches. */
const tooling = (s: { readonly x: number; readonly y: number; readonly diameter: number }, n: number) =>
  [
    "367",
    "N/C".padEnd(netColumns),
    "   ",
    `SCR${n}`.padEnd(refColumns),
    "-",
    "    ",
    " ",
    `D${micrometres(s.diameter, 4)}U`,
    "A00",
    place(s),
    "X0000Y0000R000 S0",
  ].join("")

const place = ({ x, y }: { readonly x: number; readonly y: number }) => `X${signed(x)}Y${signed(y)}`

const signed = (v: number): string => `${v < 0 ? "-" : "+"}${micrometres(Math.abs(v), 6)}`

/** Digits of micrometres; what does not fit is told as nines, never cut off. */
function micrometres(v: number, columns: number): string {
  const digits = String(Math.round(v * 1000))
  return digits.length > columns ? "9".repeat(columns) : digits.padStart(columns, "0")
}

const ascii = (text: string): string =>
  text
    .normalize("NFKD")
    .replace(/[\u0300-\u036f]/g, "")
    .replace(/[^\x20-\x7e]/g, "?")

/** Long name → one that fits, unique among all, the same every time; blanks become underscores. */
function shortNames(names: readonly string[], columns: number, prefix: string): Map<string, string> {
  const all = [...new Set(names)]
  const plain = (name: string) => ascii(name).toUpperCase().replaceAll(" ", "_")
  const taken = new Map<string, number>()
  for (const name of all) taken.set(plain(name), (taken.get(plain(name)) ?? 0) + 1)
  let next = 1
  return new Map(
    all.map((name) => {
      const short = plain(name)
      if (short.length <= columns && taken.get(short) === 1 && short !== "N/C") return [name, short]
      let made = `${prefix}${next++}`
      while (taken.has(made)) made = `${prefix}${next++}`
      return [name, made]
    }),
  )
}
