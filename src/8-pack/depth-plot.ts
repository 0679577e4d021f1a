// The depth window as a picture: set depth along, height error of the surface up. Inside the triangle every net is
// apart and every track and ring keeps its least copper; the set depth and the flatness counted with are marked.

import { showNumber } from "../0-ground/text/show.ts"
import type { DepthWindow } from "../7-proof/artefact.ts"
import { escapeXml, fixed } from "./scene.ts"

const wide = 120
const high = 62
const frame = { left: 16, right: 4, top: 12, bottom: 22 }
const ink = "#1c2529"

/** An SVG element of 120 × 62 mm. */
export function depthPlot(board: string, w: DepthWindow): string {
  const spread = Math.max(w.most - w.least, 0.02)
  const low = Math.max(0, Math.min(w.least, w.set) - 0.12 * spread)
  const top = Math.min(Math.max(w.most, w.set) + 0.12 * spread, w.set + 12 * Math.max(w.set, w.error))
  // The peak of the triangle may lie far above what matters: show a little more than both errors.
  const peak = (w.most - w.least) / 2
  const tall = Math.max(
    0.005,
    Math.min(Math.max(peak * 1.08, w.error * 1.4), Math.max(w.error, w.flatness) * 3),
  )
  const x = (depth: number) => frame.left + ((depth - low) / (top - low)) * (wide - frame.left - frame.right)
  const y = (error: number) => high - frame.bottom - (error / tall) * (high - frame.top - frame.bottom)
  const clip = (depth: number) => Math.max(low, Math.min(top, depth))
  const region = [
    [clip(w.least), 0],
    [clip(w.least + tall), Math.min(tall, clip(w.least + tall) - w.least)],
    [clip(w.most - tall), Math.min(tall, w.most - clip(w.most - tall))],
    [clip(w.most), 0],
  ] as const
  // Below the meeting of both flanks it is a triangle.
  const outline: (readonly [number, number])[] =
    peak <= tall
      ? [
          [w.least, 0],
          [(w.least + w.most) / 2, peak],
          [w.most, 0],
        ]
      : [...region]
  const shape = outline.map(([d, e]) => `${fixed(x(clip(d)))},${fixed(y(e))}`).join(" ")
  const kept = w.set - w.least >= w.error && w.most - w.set >= w.error
  const text = (tx: number, ty: number, says: string, more = "") =>
    `<text x="${fixed(tx)}" y="${fixed(ty)}" font-size="2.6" fill="${ink}"${more}>${escapeXml(says)}</text>`
  const ticks = ticksOf(low, top).map(
    (d) =>
      `<path d="M${fixed(x(d))} ${fixed(y(0))}v1.2" stroke="${ink}" stroke-width="0.2"/>${text(x(d), y(0) + 4, showNumber(d), ' text-anchor="middle"')}`,
  )
  const rows = ticksOf(0, tall).map(
    (e) =>
      `<path d="M${frame.left} ${fixed(y(e))}h-1.2" stroke="${ink}" stroke-width="0.2"/>${text(frame.left - 2, y(e) + 0.9, showNumber(e), ' text-anchor="end"')}`,
  )
  const says = `Depth window of ${board}: ${showNumber(w.least + w.error)} to ${showNumber(w.most - w.error)} mm on a surface within ±${showNumber(w.error)} mm, best ${showNumber(w.best)} mm`
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${wide}mm" height="${high}mm" viewBox="0 0 ${wide} ${high}" font-family="Barlow, 'Segoe UI', 'Noto Sans', sans-serif" role="img" aria-label="${escapeXml(says)}">`,
    `<title>${escapeXml(says)}</title>`,
    text(2, 5, `Depth window of ${board}`, ' font-weight="bold"'),
    text(2, 9, "height error of the surface, ± mm"),
    `<polygon points="${shape}" fill="#cfe3d4" stroke="#2f6b45" stroke-width="0.3"/>`,
    `<path d="M${frame.left} ${frame.top}V${fixed(y(0))}H${wide - frame.right}" fill="none" stroke="${ink}" stroke-width="0.25"/>`,
    ...ticks,
    ...rows,
    `<path d="M${frame.left} ${fixed(y(w.error))}H${wide - frame.right}" stroke="${ink}" stroke-width="0.2" stroke-dasharray="1.2 0.8"/>`,
    text(wide - frame.right, y(w.error) - 0.9, `counted with: ±${showNumber(w.error)}`, ' text-anchor="end"'),
    `<path d="M${fixed(x(w.set))} ${fixed(y(0))}V${frame.top}" stroke="${kept ? "#2f6b45" : "#c0281c"}" stroke-width="0.35"/>`,
    `<circle cx="${fixed(x(w.set))}" cy="${fixed(y(w.error))}" r="1.1" fill="${kept ? "#2f6b45" : "#c0281c"}"/>`,
    text(x(w.set) + 1, frame.top + 2, `set ${showNumber(w.set)}`),
    text((frame.left + wide) / 2, high - 14, "set depth, mm", ' text-anchor="middle"'),
    text(2, high - 7.5, `too shallow first: ${short(w.shallowFails.what)}`),
    text(
      2,
      high - 3,
      w.openEnded
        ? "nothing was found to fail deeper within the search"
        : `too deep first: ${short(w.deepFails.what)}`,
    ),
    "</svg>",
  ].join("\n")
}

const short = (says: string): string => (says.length > 76 ? `${says.slice(0, 75)}…` : says)

/** Round values over a range, four to nine of them. */
function ticksOf(low: number, top: number): number[] {
  const rough = (top - low) / 6
  const ten = 10 ** Math.floor(Math.log10(rough))
  const step = [1, 2, 5, 10].map((n) => n * ten).find((s) => s >= rough) ?? 10 * ten
  const out: number[] = []
  for (let k = Math.ceil(low / step - 1e-9); k * step <= top + 1e-9; k++)
    out.push(Number((k * step).toPrecision(6)))
  return out
}
