// A measured surface as two pictures side by side: the heights, and what straight interpolation between the places
// does not catch (how far each lies from the line between its neighbours). Numbers stand in every cell, in micrometres.

import { showNumber } from "../0-ground/text/show.ts"
import { type HeightMap, residuals } from "../6-copper/height-map.ts"
import { escapeXml, fixed } from "./scene.ts"

const panel = 88
const gap = 10
const top = 16
const foot = 12
const ink = "#1c2529"
/** Numbers are left out where cells get narrower than this, mm. */
const legible = 5

/** A whole SVG file. */
export function surfaceSvg(map: HeightMap, name: string): string {
  const { xs, ys, z } = map
  const w = xs[xs.length - 1]! - xs[0]!
  const h = ys[ys.length - 1]! - ys[0]!
  const scale = Math.min(panel / w, (1.4 * panel) / h)
  const high = top + h * scale + foot + 2 * margin(map, scale)
  const wide = 2 * (w * scale + 2 * margin(map, scale)) + gap + 8
  const left = residuals(map)
  const worst = left.reduce((a, r) => Math.max(a, Math.abs(r)), 0)
  const low = Math.min(...z)
  const tall = Math.max(...z)
  const says = `Surface of ${name}: ${xs.length} × ${ys.length} places, heights ${um(low)} to ${um(tall)} µm`
  const second = `Off the line between neighbours: at most ${um(worst)} µm; between places about a quarter, ${showNumber(worst * 250)} µm`
  const x1 = 4
  const x2 = 4 + w * scale + 2 * margin(map, scale) + gap
  return `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="${fixed(wide)}mm" height="${fixed(high)}mm" viewBox="0 0 ${fixed(wide)} ${fixed(high)}" font-family="Barlow, 'Segoe UI', 'Noto Sans', sans-serif">
<title>${escapeXml(`${says}. ${second}`)}</title>
<rect width="100%" height="100%" fill="#ffffff"/>
${label(4, 5, says, true)}
${label(4, 9.5, second, false)}
${label(x1, 14, "heights, µm", false)}
${cells(map, z, Math.max(Math.abs(low), Math.abs(tall)), x1, scale)}
${label(x2, 14, "residual, µm", false)}
${cells(map, left, worst, x2, scale)}
</svg>
`
}

/** Cells reach half a spacing beyond the outer places. */
const margin = ({ xs, ys }: HeightMap, scale: number): number =>
  (Math.max(
    (xs[xs.length - 1]! - xs[0]!) / (xs.length - 1),
    (ys[ys.length - 1]! - ys[0]!) / (ys.length - 1),
  ) *
    scale) /
  2

function cells(map: HeightMap, values: readonly number[], most: number, left: number, scale: number): string {
  const { xs, ys } = map
  const edge = margin(map, scale)
  const out: string[] = []
  const border = (places: readonly number[], i: number) =>
    i === 0
      ? places[0]! - edge / scale
      : i === places.length
        ? places[places.length - 1]! + edge / scale
        : (places[i - 1]! + places[i]!) / 2
  const px = (x: number) => left + edge + (x - xs[0]!) * scale
  const py = (y: number) => top + edge + (ys[ys.length - 1]! - y) * scale
  ys.forEach((y, j) => {
    xs.forEach((x, i) => {
      const v = values[j * xs.length + i]!
      const [x0, x1] = [px(border(xs, i)), px(border(xs, i + 1))]
      const [y0, y1] = [py(border(ys, j + 1)), py(border(ys, j))]
      out.push(
        `<rect x="${fixed(x0)}" y="${fixed(y0)}" width="${fixed(x1 - x0)}" height="${fixed(y1 - y0)}" fill="${tint(most === 0 ? 0 : v / most)}" stroke="#ffffff" stroke-width="0.15"/>`,
      )
      if (x1 - x0 >= legible)
        out.push(
          `<text x="${fixed(px(x))}" y="${fixed(py(y) + 0.8)}" font-size="2.2" text-anchor="middle" fill="${ink}">${um(v)}</text>`,
        )
    })
  })
  for (const [text, x, y] of [
    [`lower left place: x ${showNumber(xs[0]!)}, y ${showNumber(ys[0]!)} mm`, left, py(ys[0]!) + edge + 4],
  ] as const)
    out.push(label(x, y, text, false))
  return out.join("\n")
}

/** Low blue, middle white, high amber; −1 … 1. */
function tint(share: number): string {
  const s = Math.max(-1, Math.min(1, share))
  const end = s < 0 ? [108, 154, 196] : [222, 160, 72]
  return `#${end
    .map((c) =>
      Math.round(255 + (c - 255) * Math.abs(s))
        .toString(16)
        .padStart(2, "0"),
    )
    .join("")}`
}

const label = (x: number, y: number, text: string, bold: boolean): string =>
  `<text x="${fixed(x)}" y="${fixed(y)}" font-size="${bold ? 3.2 : 2.6}" fill="${ink}"${bold ? ' font-weight="bold"' : ""}>${escapeXml(text)}</text>`

const um = (mm: number): string => String(Math.round(mm * 1000) || 0)
