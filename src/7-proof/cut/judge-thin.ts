// Claims about depth and about the thinnest places: foil cut through, copper, grooves and rings that are left.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import { practice } from "../../0-ground/source.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import { proof } from "../proof-findings.ts"
import { given, measuredOn, nothingTold, readOff, type Told } from "../told.ts"
import { landPlace, spot } from "./board-place.ts"
import { type Narrowest, type Ring, widestNeck } from "./measure-copper.ts"
import type { ToolMove } from "./read-cut-program.ts"

/** Ring that can be soldered, mm. */
export const enoughRing = 0.2
/** Copper thinner than this does not survive hand soldering, mm. */
export const leastCopper = 0.2
/** Share of a ring that must have that much copper. */
export const leastRing = 0.5

/** How deep the grooves of a board go and how far the surface is off. */
export interface Depths {
  readonly shallowest: Figure
  readonly deepest: Figure
  readonly error: Figure
  readonly foil: Figure
}

/** The engraving moves that run along the board below its surface, by depth; undefined where there are none. */
export function depthsOf(
  lamp: Lamp,
  board: Board,
  cuts: readonly ToolMove[],
  error: Figure,
): { readonly depths: Depths; readonly shallow: ToolMove } | undefined {
  // A ramp counts with its deep end: what its shallow part leaves standing is seen in the copper.
  const depth = (m: ToolMove) => -Math.min(m.z0, m.z1)
  const foil = lamp.copperClad.copper
  const along = cuts.filter(
    (m, k) => (m.x0 !== m.x1 || m.y0 !== m.y1) && depth(m) > 0 && !leadsIn(cuts, k, foil),
  )
  if (along.length === 0) return undefined
  const shallow = along.reduce((a, m) => (depth(m) < depth(a) ? m : a))
  const deep = along.reduce((a, m) => (depth(m) > depth(a) ? m : a))
  const figure = (name: string, title: string, m: ToolMove) =>
    fact(
      `proof.${board.name}.${name}`,
      title,
      depth(m),
      "mm",
      readOff(`engraving program of ${board.name}`, `line ${m.line}`),
    )
  const depths = {
    shallowest: figure("shallowest", `shallowest groove of ${board.name} as written`, shallow),
    deepest: figure("deepest", `deepest groove of ${board.name} as written`, deep),
    error,
    foil: given("copper-clad.copper", "copper foil", lamp.copperClad.copper, "mm"),
  }
  return { depths, shallow }
}

/** A ramp falls at least this steeply, mm per mm: a sheet does not lie so askew. */
const steepness = 0.008

/**
 * Part of a ramp from the surface into a groove that goes on falling with the next move: its depth is that of the
 * ramp's end. What it leaves standing is seen in the copper.
 */
function leadsIn(cuts: readonly ToolMove[], k: number, foil: number): boolean {
  const falls = (m: ToolMove) => m.z0 - m.z1 > steepness * Math.hypot(m.x1 - m.x0, m.y1 - m.y0)
  const follows = (m: ToolMove | undefined, before: ToolMove) =>
    m !== undefined && m.x0 === before.x1 && m.y0 === before.y1 && Math.abs(m.z0 - before.z1) < 1e-9
  const next = cuts[k + 1]
  if (!falls(cuts[k]!) || !follows(next, cuts[k]!) || !falls(next!)) return false
  let first = k
  while (first > 0 && follows(cuts[first], cuts[first - 1]!) && falls(cuts[first - 1]!)) {
    // A plunge straight down to the surface comes before the ramp.
    const m = cuts[first - 1]!
    if (m.x0 === m.x1 && m.y0 === m.y1) break
    first--
  }
  return cuts[first]!.z0 > -foil
}

export function judgeDepth(board: Board, { shallowest, error, foil }: Depths, shallow: ToolMove): Told {
  const depth = result(
    `proof.${board.name}.cut-depth`,
    `shallowest groove of ${board.name} where the surface is low`,
    shallowest.value - error.value,
    "mm",
    "shallowest groove as written − height error of the surface",
    [shallowest, error],
  )
  const finding = proof.judge("cut-depth", {
    title: `Shallowest groove on ${board.name}, less the sheet's height error`,
    where: { ...spot(board, shallow.x1, shallow.y1), path: "cutter.engraver.depth" },
    ...measuredBy(depth),
    limit: { value: foil.value, unit: "mm", kind: "at least" },
    amberBelow: 0.25,
  })
  return { findings: [finding], figures: [depth] }
}

export interface Thin {
  readonly neck: Narrowest | undefined
  /** Narrowest groove, mm; 0: not measured. */
  readonly groove: number
  readonly rings: readonly Ring[]
  /** Raster, mm. */
  readonly pixel: number
}

/** Rings are judged on whole boards only: `whole` is false when a net is broken. */
export function judgeThin(board: Board, { neck, groove, rings, pixel }: Thin, whole: boolean): Told {
  const told = nothingTold()
  const id = (name: string) => `proof.${board.name}.${name}`
  const onGrid = (how: string) => measuredOn(`board ${board.name} cut on a grid of ${pixel} mm`, how)
  if (neck) {
    const wide = neck.width >= widestNeck
    const width = neckFigure(board, neck, pixel)
    told.figures.push(width)
    told.findings.push(
      proof.judge("narrowest-copper", {
        title: wide
          ? `All copper of ${board.name} is wider than`
          : `Narrowest copper of ${board.name}, in net ${neck.net}`,
        where: wide
          ? { text: board.name, board: board.name }
          : { ...spot(board, neck.x, neck.y), net: neck.net },
        ...measuredBy(width),
        limit: { value: leastCopper, unit: "mm", kind: "at least" },
        atWorst: "amber",
        amberBelow: 0.25,
        source: practice("0.2 mm of copper survives hand soldering: common practice, no source"),
      }),
    )
  }
  if (groove > 0) {
    const how = "grooves narrowed until two nets touch, foil's bottom, shallowest cut, less up to one cell"
    const width = fact(id("narrowest-groove"), `narrowest groove of ${board.name}`, groove, "mm", onGrid(how))
    told.figures.push(width)
    told.findings.push(
      proof.judge("narrowest-groove", {
        title: `Narrowest groove of ${board.name} at the foil's bottom`,
        where: { text: board.name, board: board.name, path: "cutter.engraver" },
        ...measuredBy(width),
        limit: { value: 0.15, unit: "mm", kind: "at least" },
        atWorst: "amber",
        source: practice("gap of at least 0.15 mm after one pass: common practice, no source"),
      }),
    )
  }
  if (rings.length > 0) {
    const worst = rings.reduce((a, r) =>
      r.share < a.share || (r.share === a.share && r.narrowest < a.narrowest) ? r : a,
    )
    const how = `share of 24 directions with ${enoughRing} mm of copper beside the hole of ${worst.land.ref}.${worst.land.pin}, deepest cut`
    const share = fact(id("land-ring"), `land ring of ${board.name}`, 100 * worst.share, "%", onGrid(how))
    told.figures.push(share)
    if (whole)
      told.findings.push(
        proof.judge("land-ring", {
          title: `Share of the ring with ${enoughRing} mm of copper, worst land of ${board.name}: ${worst.land.ref}.${worst.land.pin}`,
          where: landPlace(board, worst.land),
          ...measuredBy(share),
          limit: { value: 100 * leastRing, unit: "%", kind: "at least" },
          source: practice("half a ring of 0.2 mm can be soldered: common practice, no source"),
        }),
      )
  }
  return told
}

export const neckFigure = (board: Board, neck: Narrowest, pixel: number): Figure =>
  fact(
    `proof.${board.name}.narrowest-copper`,
    `narrowest copper of ${board.name}${neck.width >= widestNeck ? ", at least" : ""}`,
    neck.width,
    "mm",
    measuredOn(
      `board ${board.name} cut on a grid of ${pixel} mm`,
      "grooves widened until a net falls apart, deepest cut, less up to one cell",
    ),
  )
