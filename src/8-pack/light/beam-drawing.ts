// A beam as a picture: bands of equal light over the directions round the axis, the test points of the rules with what
// is asked and what is there, and a cut through the level plane.

import { type IntensityTable, intensityAt } from "../../0-ground/photometry/intensity-table.ts"
import { showNumber } from "../../0-ground/text/show.ts"
import type { Beam, IntensityGrid } from "../../7-proof/artefact.ts"
import { escapeXml, fixed } from "../scene.ts"

const mmPerDegree = 2.8
const half = { h: 30, v: 15 }
const left = 14
const top = 26
const mapWidth = 2 * half.h * mmPerDegree
const mapHeight = 2 * half.v * mmPerDegree
const wide = left + mapWidth + 10
/** Shares of the greatest light at which a band begins. */
const bands = [0.02, 0.05, 0.1, 0.2, 0.35, 0.5, 0.7, 0.9] as const
/** Paper to ink; readable in grey as well. */
const shades = [
  "#fffdf6",
  "#fbeecb",
  "#f7dd9b",
  "#f2c868",
  "#e8ab3f",
  "#d68a2a",
  "#b9671f",
  "#934a1a",
  "#682f14",
] as const

const tableOf = (beam: Beam, candela: IntensityGrid): IntensityTable => ({
  type: "A",
  horizontal: beam.horizontal,
  vertical: beam.vertical,
  candela,
})

export function beamSvg(lamp: string, beam: Beam, warning?: string): string {
  const out: string[] = []
  const text = (x: number, y: number, words: string, size: number, anchor = "start", more = "") =>
    out.push(
      `<text x="${fixed(x)}" y="${fixed(y)}" font-size="${size}" text-anchor="${anchor}"${more}>${escapeXml(words)}</text>`,
    )
  const usual = tableOf(beam, beam.usual)
  const peak = Math.max(1e-9, ...beam.usual.flat())
  text(left, 8, `${lamp}: ${beam.group} as ${beam.function}`, 5, "start", ' font-weight="700"')
  text(
    left,
    14,
    `Computed, not measured. Usual light ${showNumber(peak)} cd at most, ${showNumber(beam.flux)} lm; seen from in front, degrees.`,
    3.2,
  )
  text(
    left,
    18.5,
    "A hand-built lamp is not type-approved: rules from memory or summaries; local law and a test house decide.",
    3.2,
  )
  if (warning !== undefined) text(left, 23, warning, 3.2, "start", ' font-weight="700" fill="#c0281c"')

  // Bands, degree by degree, runs of one shade as one piece of a path.
  const runs: string[][] = shades.map(() => [])
  const cells = 2
  for (let j = 0; j < 2 * half.v * cells; j++) {
    const v = half.v - (j + 0.5) / cells
    let from = 0
    let before = -1
    for (let i = 0; i <= 2 * half.h * cells; i++) {
      const h = -half.h + (i + 0.5) / cells
      const share = i === 2 * half.h * cells ? Number.NaN : intensityAt(usual, h, v) / peak
      const shade = Number.isNaN(share) ? -2 : bands.filter((b) => share >= b).length
      if (shade === before) continue
      if (before >= 0) runs[before]!.push(`M${from} ${j}h${i - from}v1h${from - i}z`)
      from = i
      before = shade
    }
  }
  out.push(
    `<g transform="translate(${left} ${top}) scale(${mmPerDegree / cells})" shape-rendering="crispEdges">`,
  )
  runs.forEach((r, k) => {
    if (r.length > 0) out.push(`<path fill="${shades[k]}" d="${r.join("")}"/>`)
  })
  out.push("</g>")
  const x = (h: number) => left + (h + half.h) * mmPerDegree
  const y = (v: number) => top + (half.v - v) * mmPerDegree
  for (let h = -30; h <= 30; h += 10) {
    out.push(line(x(h), top, x(h), top + mapHeight, "#1c2529", h === 0 ? 0.25 : 0.1))
    text(
      x(h),
      top + mapHeight + 4,
      h === 0 ? "0" : `${Math.abs(h)}° ${h < 0 ? "left" : "right"}`,
      2.8,
      "middle",
    )
  }
  for (let v = -15; v <= 15; v += 5) {
    out.push(line(left, y(v), left + mapWidth, y(v), "#1c2529", v === 0 ? 0.25 : 0.1))
    text(left - 1.5, y(v) + 1, v === 0 ? "0" : `${Math.abs(v)}° ${v < 0 ? "D" : "U"}`, 2.8, "end")
  }

  const least = tableOf(beam, beam.least)
  for (const p of beam.asked) {
    if (Math.abs(p.h) > half.h || Math.abs(p.v) > half.v) continue
    const there = intensityAt(least, p.h, p.v)
    const kept = there >= p.least
    const [px, py] = [x(p.h), y(p.v)]
    out.push(
      `<rect x="${fixed(px - 5.6)}" y="${fixed(py - 3.4)}" width="11.2" height="6.8" rx="1" fill="#fff" fill-opacity="0.88" stroke="${kept ? "#3c6332" : "#c0281c"}" stroke-width="${kept ? 0.2 : 0.6}"/>`,
    )
    text(px, py - 0.4, `${kept ? "" : "✕ "}${showNumber(there)}`, 2.7, "middle", ' font-weight="700"')
    text(px, py + 2.6, `≥ ${showNumber(p.least)}`, 2.3, "middle")
  }
  let below = top + mapHeight + 9
  text(
    left,
    below,
    beam.asked.length > 0
      ? "In each box: least light of the weakest parts, cd, and below it what the rule asks there. ✕: less than asked."
      : beam.function === "plate"
        ? "A plate lamp is judged by the light on every place of its plate: see the findings."
        : "No rule for this function is known here.",
    3,
  )
  below += 3
  const step = mapWidth / shades.length
  shades.forEach((shade, k) => {
    out.push(
      `<rect x="${fixed(left + k * step)}" y="${fixed(below)}" width="${fixed(step)}" height="4" fill="${shade}" stroke="#1c2529" stroke-width="0.1"/>`,
    )
    text(
      left + k * step + 1,
      below + 7.5,
      k === 0 ? "0 cd" : `${showNumber(bands[k - 1]! * peak, 2)} cd`,
      2.6,
    )
  })
  below = cut(beam, below + 14, out, text)
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${fixed(wide)}mm" height="${fixed(below)}mm" viewBox="0 0 ${fixed(wide)} ${fixed(below)}" font-family="Barlow, 'Segoe UI', 'Noto Sans', sans-serif" fill="#1c2529">
<title>${escapeXml(`${lamp}: ${beam.group} as ${beam.function}, beam`)}</title>
<rect width="${fixed(wide)}" height="${fixed(below)}" fill="#fff"/>
${out.join("\n")}
</svg>
`
}

/** Light in the level plane from side to side: weakest, usual and strongest parts, one decade for each line. */
function cut(
  beam: Beam,
  from: number,
  out: string[],
  text: (x: number, y: number, words: string, size: number, anchor?: string, more?: string) => number,
): number {
  const height = 56
  const most = Math.max(1e-9, ...beam.most.flat())
  const high = Math.ceil(Math.log10(most))
  const low = high - 5
  const x = (h: number) => left + ((h + 90) / 180) * mapWidth
  const y = (cd: number) =>
    from + 4 + ((high - Math.max(low, Math.log10(Math.max(1e-12, cd)))) / (high - low)) * height
  text(
    left,
    from,
    "Cut through the level plane, cd; each line is ten times the one below",
    3.2,
    "start",
    ' font-weight="700"',
  )
  for (let d = low; d <= high; d++) {
    out.push(line(left, y(10 ** d), left + mapWidth, y(10 ** d), "#1c2529", 0.1))
    text(left - 1.5, y(10 ** d) + 1, showNumber(10 ** d), 2.8, "end")
  }
  for (let h = -90; h <= 90; h += 30) {
    out.push(line(x(h), from + 4, x(h), from + 4 + height, "#1c2529", 0.1))
    text(
      x(h),
      from + 8 + height,
      h === 0 ? "0" : `${Math.abs(h)}° ${h < 0 ? "left" : "right"}`,
      2.8,
      "middle",
    )
  }
  const curves = [
    { grid: beam.least, dash: "1.2 0.8", words: "weakest parts" },
    { grid: beam.usual, dash: "", words: "usual parts" },
    { grid: beam.most, dash: "0.3 0.7", words: "strongest parts" },
  ]
  for (const { grid, dash } of curves) {
    // Through the grid's own angles: on a scale of tens a beam's flank is straight between them.
    const table = tableOf(beam, grid)
    const points = beam.horizontal.map((h) => `${fixed(x(h))},${fixed(y(intensityAt(table, h, 0)))}`)
    out.push(
      `<polyline points="${points.join(" ")}" fill="none" stroke="#0b6e6e" stroke-width="0.45"${dash === "" ? "" : ` stroke-dasharray="${dash}"`}/>`,
    )
  }
  for (const p of beam.asked) {
    if (p.v !== 0) continue
    out.push(
      `<path d="M${fixed(x(p.h) - 1.2)} ${fixed(y(p.least))}h2.4m-1.2 0v2" stroke="#c0281c" stroke-width="0.4" fill="none"/>`,
    )
  }
  text(
    left,
    from + 13.5 + height,
    "Broken line: weakest parts. Full line: usual. Dots: strongest. Marks: least light asked in the level plane.",
    3,
  )
  return from + 18 + height
}

const line = (x1: number, y1: number, x2: number, y2: number, stroke: string, width: number) =>
  `<line x1="${fixed(x1)}" y1="${fixed(y1)}" x2="${fixed(x2)}" y2="${fixed(y2)}" stroke="${stroke}" stroke-width="${width}"/>`
