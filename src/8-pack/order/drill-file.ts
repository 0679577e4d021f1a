// The drill and route file that goes with the Gerber layers (XNC): header with tools, then holes by tool, then slots
// as routed lines. Metric, points with a written decimal point.

import type { Board } from "../../5-board/artefact.ts"

export function drillFile(board: Board): string {
  const holes = [
    ...board.lands.filter((l) => l.hole > 0).map((l) => ({ x: l.x, y: l.y, diameter: l.hole })),
    ...board.screws.map((s) => ({ x: s.x, y: s.y, diameter: s.diameter })),
  ]
  const slots = board.slots ?? []
  const sizes = [...new Set([...holes.map((h) => key(h.diameter)), ...slots.map((s) => key(s.width))])].sort(
    (a, b) => Number(a) - Number(b),
  )
  const tool = (k: number) => `T${String(k + 1).padStart(2, "0")}`
  const at = (p: { readonly x: number; readonly y: number }) => `X${number(p.x)}Y${number(p.y)}`
  return `${[
    "M48",
    "; #@! TF.FileFunction,NonPlated,1,1,NPTH",
    "METRIC",
    ...sizes.map((s, k) => `${tool(k)}C${s}`),
    "%",
    "G05",
    ...sizes.flatMap((s, k) => {
      const own = holes.filter((h) => key(h.diameter) === s)
      const long = slots.filter((l) => key(l.width) === s)
      return [
        tool(k),
        ...own.map(at),
        ...(long.length === 0
          ? []
          : [...long.flatMap((l) => [`G00${at(l.from)}`, "M15", `G01${at(l.to)}`, "M16"]), "G05"]),
      ]
    }),
    "M30",
  ].join("\n")}\n`
}

const key = (diameter: number): string => diameter.toFixed(3)

/** At most four decimals, at least one, never minus zero. */
function number(v: number): string {
  const text = (Math.round(v * 1e4) / 1e4 || 0).toFixed(4).replace(/0{1,3}$/, "")
  return text
}
