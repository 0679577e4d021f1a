// Way in: a cutter program bent to a measured surface. Every cutting move follows the surface's height; long moves
// are split, at most 10 mm apart and where they cross the measured grid. Rapid moves keep their height. Inches,
// increments, arcs by radius and drilling cycles come out as plain moves in absolute millimetres.

import { type Figure, fact, measuredBy } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { chordsPerTurn } from "../0-ground/geometry/segment.ts"
import type { Source } from "../0-ground/source.ts"
import { showNumber } from "../0-ground/text/show.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import { cutFindings as report } from "./copper-findings.ts"
import { beyondGrid, type HeightMap, heightAt, worstResidual } from "./height-map.ts"
import { comment, number } from "./program-writer.ts"

/** Longest stretch between two heights: unsplit, 10 mm err by 3 µm on a sheet bowed by 0.3 mm over 100 mm. */
const longestStretch = 10
/** How far a chord may leave an arc, mm. */
const chordError = 0.002
/** Room a rapid move keeps over the highest place measured, mm (common practice, no source). */
const rapidRoom = 0.5
/** Cutting further outside the measured grid than this is cautioned, mm. */
const farOutside = 5
/** No machine this tool is for reaches further, mm. */
const furthest = 10_000

const kept = new Set([
  "G4",
  "G17",
  "G40",
  "G49",
  "G54",
  "G55",
  "G56",
  "G57",
  "G58",
  "G59",
  "G61",
  "G64",
  "G80",
  "G94",
])

/**
 * The program's text with bent cutting moves; undefined when it holds a word whose meaning a bend cannot keep
 * (other planes, offsets, tool compensation): `findings` then has a red one that names the line.
 */
export function warpProgram(
  text: string,
  map: HeightMap,
  file = "program",
): { text: string | undefined; findings: Finding[]; figures: Figure[] } {
  const lines: string[] = []
  const findings: Finding[] = []
  const at = { x: 0, y: 0, z: Number.NaN }
  let motion: string | undefined
  let feed: number | undefined
  let unit = 1
  let incremental = false
  let retractToR = false
  const cycle = { z: Number.NaN, r: Number.NaN, q: Number.NaN, p: 0 }
  let shallowest = Number.POSITIVE_INFINITY
  let lowestRapid = Number.POSITIVE_INFINITY
  let outside = 0
  const highest = map.z.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
  const lowest = map.z.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY)
  const refuse = (line: number, why: string) => {
    findings.push(
      report.state("cannot-warp", {
        severity: "red",
        title: why,
        where: { text: `${file}, line ${line}`, file, line },
      }),
    )
    return { text: undefined, findings, figures: [] }
  }
  let told = false
  for (const [index, raw] of text.split(/\r?\n/).entries()) {
    const bare = raw
      .replace(/\([^()]*\)/g, "")
      .replace(/\s+/g, "")
      .toUpperCase()
    if (!told && bare !== "" && bare !== "%") {
      told = true
      lines.push(
        comment(
          `bent to a measured surface: ${map.xs.length} x ${map.ys.length} places, ${showNumber(lowest)} to ${showNumber(highest)} mm`,
        ),
      )
    }
    if (bare === "" || bare === "%") {
      lines.push(raw)
      continue
    }
    const words = [...bare.matchAll(/([A-Z])([+-]?(?:\d+\.?\d*|\.\d+))/g)].map((m) => ({
      letter: m[1]!,
      value: Number(m[2]),
    }))
    if (words.map((w) => w.letter).join("") !== bare.replace(/[^A-Z]/g, "") || !/^[A-Z0-9.+-]+$/.test(bare)) {
      return refuse(index + 1, `"${raw.slice(0, 60)}" cannot be read`)
    }
    const rest: string[] = []
    const axis: Record<string, number> = {}
    const before = motion
    for (const { letter, value } of words) {
      const code = `${letter}${value}`
      if (letter === "G" && motions.has(value)) {
        motion = code
        if (value >= 81 && before !== motion)
          Object.assign(cycle, { z: Number.NaN, r: Number.NaN, q: Number.NaN })
      } else if (letter === "G" && (value === 20 || value === 21)) {
        unit = value === 20 ? 25.4 : 1
        rest.push("G21")
      } else if (letter === "G" && (value === 90 || value === 91)) {
        incremental = value === 91
        rest.push("G90")
      } else if (letter === "G" && (value === 98 || value === 99)) retractToR = value === 99
      else if ("XYZIJRQ".includes(letter)) {
        if (!(Math.abs(value) <= furthest))
          return refuse(
            index + 1,
            `${letter} ${showNumber(value)} mm lies further off than any machine reaches (${furthest / 1000} m)`,
          )
        axis[letter] = value
      } else if (letter === "F") feed = value
      else if (letter === "G" && !kept.has(code)) {
        return refuse(index + 1, `${code} cannot be bent: its meaning depends on the machine`)
      } else if ("KABCL".includes(letter)) return refuse(index + 1, `${code} cannot be bent`)
      else if (letter === "G" && code === "G80") motion = undefined
      if (letter === "G" ? kept.has(code) && code !== "G80" : "MSTN".includes(letter))
        rest.push(`${letter}${number(value)}`)
      if (letter === "P") {
        if (motion === "G82") cycle.p = value
        if (rest.includes("G4")) rest.push(`P${number(value)}`)
      }
    }
    for (const letter of "XYZIJRQ") if (axis[letter] !== undefined) axis[letter] *= unit
    if (words.some((w) => w.letter === "F")) feed = feed! * unit
    if (rest.length > 0) lines.push(rest.join(" "))
    const moves = ["X", "Y", "Z"].some((a) => axis[a] !== undefined)
    if (!moves) {
      if (words.some((w) => w.letter === "F") && feed !== undefined) lines.push(`F${number(feed)}`)
      continue
    }
    if (motion === undefined) return refuse(index + 1, "a place without G0, G1, G2 or G3")
    if (incremental) {
      for (const [letter, was] of [
        ["X", at.x],
        ["Y", at.y],
        ["Z", motion >= "G81" && motion <= "G83" ? Number.NaN : at.z],
      ] as const) {
        if (axis[letter] === undefined || Number.isNaN(was)) continue
        axis[letter] += was
      }
      const far = (["X", "Y", "Z"] as const).find((a) => Math.abs(axis[a] ?? 0) > furthest)
      if (far) return refuse(index + 1, `${far} adds up to further off than any machine reaches`)
      if (axis.Z !== undefined && Number.isNaN(at.z))
        return refuse(index + 1, "an increment of height before any height was given")
    }
    if (motion === "G81" || motion === "G82" || motion === "G83") {
      if (Number.isNaN(at.z)) return refuse(index + 1, "a drilling cycle before any height was given")
      if (!(feed! > 0)) return refuse(index + 1, "a drilling cycle before any F")
      if (axis.R !== undefined) cycle.r = incremental ? at.z + axis.R : axis.R
      if (axis.Z !== undefined) cycle.z = incremental ? cycle.r + axis.Z : axis.Z
      if (axis.Q !== undefined) cycle.q = axis.Q
      if (Number.isNaN(cycle.z) || Number.isNaN(cycle.r))
        return refuse(index + 1, "a drilling cycle without Z or R")
      if (motion === "G83" && !(cycle.q > 0)) return refuse(index + 1, "G83 without a peck Q")
      const x = axis.X ?? at.x
      const y = axis.Y ?? at.y
      outside = Math.max(outside, beyondGrid(map, x, y))
      const off = heightAt(map, x, y)
      const high = Math.max(at.z, cycle.r)
      const back = retractToR ? cycle.r : high
      if (x !== at.x || y !== at.y) lowestRapid = Math.min(lowestRapid, high)
      lines.push(`G0 X${number(x)} Y${number(y)} Z${number(high)}`, `G0 Z${number(cycle.r + off)}`)
      const pecks = motion === "G83" ? Math.max(1, Math.ceil((cycle.r - cycle.z) / cycle.q - 1e-9)) : 1
      if (pecks > 10_000) return refuse(index + 1, "more pecks than can be meant")
      for (let k = 1; k <= pecks; k++) {
        const z = k === pecks ? cycle.z : cycle.r - k * cycle.q
        lines.push(`G1 Z${number(z + off)} F${number(feed!)}`)
        if (k < pecks) lines.push(`G0 Z${number(cycle.r + off)}`)
      }
      if (motion === "G82") lines.push(`G4 P${number(cycle.p)}`)
      lines.push(`G0 Z${number(back)}`)
      Object.assign(at, { x, y, z: back })
      continue
    }
    const to = { x: axis.X ?? at.x, y: axis.Y ?? at.y, z: axis.Z ?? at.z }
    if (Number.isNaN(to.z)) return refuse(index + 1, "moves sideways before any height was given")
    if (motion === "G0") {
      if (to.x !== at.x || to.y !== at.y) lowestRapid = Math.min(lowestRapid, to.z)
      lines.push(`G0 X${number(to.x)} Y${number(to.y)} Z${number(to.z)}`)
    } else {
      if (!(feed! > 0)) return refuse(index + 1, "a cutting move before any F")
      const from = { x: at.x, y: at.y, z: Number.isNaN(at.z) ? to.z : at.z }
      if (axis.R !== undefined && from.x === to.x && from.y === to.y)
        return refuse(index + 1, "an arc by its radius that ends where it began")
      const [i, j] =
        axis.R === undefined ? [axis.I ?? 0, axis.J ?? 0] : centreOf(from, to, axis.R, motion === "G2")
      const path = motion === "G1" ? [from, to] : arcChords(from, to, i, j, motion === "G2")
      if (to.z < 0 && (to.x !== from.x || to.y !== from.y)) shallowest = Math.min(shallowest, -to.z)
      for (let k = 1; k < path.length; k++) {
        for (const t of splits(path[k - 1]!, path[k]!, map)) {
          const p = between(path[k - 1]!, path[k]!, t)
          outside = Math.max(outside, beyondGrid(map, p.x, p.y))
          lines.push(
            `G1 X${number(p.x)} Y${number(p.y)} Z${number(p.z + heightAt(map, p.x, p.y))} F${number(feed!)}`,
          )
        }
      }
    }
    at.x = to.x
    at.y = to.y
    at.z = to.z
  }
  const seen = (place: string): Source => ({ document: file, place, known: "computed" })
  const rapid = fact(
    "cut.bent.lowest-rapid",
    "lowest rapid move across the measured surface",
    Math.min(lowestRapid, 1000),
    "mm",
    seen("least Z of its rapid moves; 1000 mm where it has none"),
  )
  const beyond = fact(
    "cut.bent.outside",
    "furthest cut outside the measured grid",
    outside,
    "mm",
    seen("its cutting moves against the grid of heights"),
  )
  findings.push(
    report.judge("rapid-over-surface", {
      title: "lowest rapid move across the measured surface",
      where: { text: file, file },
      ...measuredBy(rapid),
      limit: { kind: "at least", value: highest + rapidRoom, unit: "mm" },
    }),
    report.judge("heights-reach", {
      title: "cutting outside the measured grid",
      where: { text: file, file },
      ...measuredBy(beyond),
      limit: { kind: "at most", value: farOutside, unit: "mm" },
      atWorst: "amber",
    }),
  )
  if (Number.isFinite(shallowest)) {
    const left = fact(
      "cut.bent.residual",
      "height error left between the places measured",
      worstResidual(map) / 4,
      "mm",
      {
        document: "the measured surface",
        place:
          "a quarter of the greatest difference between a place and the straight line between its neighbours: the error goes with the square of the spacing",
        known: "computed",
      },
    )
    findings.push(
      report.judge("heights-residual", {
        title: `height error left between the places measured, cutting ${showNumber(shallowest)} mm deep`,
        where: { text: file, file },
        ...measuredBy(left),
        limit: { kind: "at most", value: shallowest / 3, unit: "mm" },
        atWorst: "amber",
      }),
    )
    return { text: lines.join("\n"), findings, figures: [rapid, beyond, left] }
  }
  return { text: lines.join("\n"), findings, figures: [rapid, beyond] }
}

/** Motion words by number. */
const motions = new Set([0, 1, 2, 3, 81, 82, 83])

/** From an arc's start to its centre, given its radius; negative: the long way round (NISTIR 6556, 3.5.3.1). */
function centreOf(from: Place, to: Place, radius: number, clockwise: boolean): [number, number] {
  const [dx, dy] = [to.x - from.x, to.y - from.y]
  const half = Math.hypot(dx, dy) / 2
  const rise = Math.sqrt(Math.max(0, radius * radius - half * half))
  const side = (clockwise ? -1 : 1) * (radius < 0 ? -1 : 1)
  return [dx / 2 - (side * rise * dy) / (2 * half), dy / 2 + (side * rise * dx) / (2 * half)]
}

interface Place {
  readonly x: Mm
  readonly y: Mm
  readonly z: Mm
}

const between = (a: Place, b: Place, t: number): Place =>
  t === 1 ? b : { x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y), z: a.z + t * (b.z - a.z) }

/** Shares of the way a → b at which the height is taken: grid lines crossed, and no stretch too long; ends with 1. */
function splits(a: Place, b: Place, map: HeightMap): number[] {
  const cuts = new Set<number>([1])
  for (const [places, from, to] of [
    [map.xs, a.x, b.x],
    [map.ys, a.y, b.y],
  ] as const) {
    for (const p of places) {
      const t = (p - from) / (to - from)
      if (t > 1e-6 && t < 1 - 1e-6) cuts.add(t)
    }
  }
  const sorted = [...cuts].sort((p, q) => p - q)
  const length = Math.hypot(b.x - a.x, b.y - a.y)
  const out: number[] = []
  let before = 0
  for (const t of sorted) {
    const n = Math.max(1, Math.ceil(((t - before) * length) / longestStretch - 1e-9))
    for (let k = 1; k < n; k++) out.push(before + ((t - before) * k) / n)
    out.push(t)
    before = t
  }
  return out
}

/** An arc about (from + I, from + J) as chords; a full circle when both ends are one place. */
function arcChords(from: Place, to: Place, i: number, j: number, clockwise: boolean): Place[] {
  const cx = from.x + i
  const cy = from.y + j
  const radius = Math.hypot(i, j)
  const start = Math.atan2(-j, -i)
  let sweep = Math.atan2(to.y - cy, to.x - cx) - start
  if (clockwise) while (sweep >= -1e-9) sweep -= 2 * Math.PI
  else while (sweep <= 1e-9) sweep += 2 * Math.PI
  const n = Math.max(1, Math.ceil((Math.abs(sweep) / (2 * Math.PI)) * chordsPerTurn(radius, chordError)))
  return Array.from({ length: n + 1 }, (_, k) => {
    if (k === 0) return from
    if (k === n) return to
    const angle = start + (sweep * k) / n
    return {
      x: cx + radius * Math.cos(angle),
      y: cy + radius * Math.sin(angle),
      z: from.z + ((to.z - from.z) * k) / n,
    }
  })
}
