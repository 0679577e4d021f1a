// A beam's grid of candela painted pixel by pixel: bands of equal light, brighter with every band.

import type { Beam, IntensityGrid } from "../../../7-proof/artefact.ts"
import type { Viewport } from "./stage.tsx"

/** Shares of the greatest light at which a band begins. */
export const bands = [0.02, 0.05, 0.1, 0.2, 0.35, 0.5, 0.7, 0.9] as const

export const corners = {
  least: "weakest parts, warmed up",
  usual: "usual parts, warmed up",
  most: "strongest parts, still cold",
  weatherLeast: "weakest parts, worst weather and supply",
  weatherMost: "strongest parts, worst weather and supply",
} as const
export type BeamCorner = keyof typeof corners

export function gridOf(beam: Beam, corner: BeamCorner): IntensityGrid {
  if (corner === "weatherLeast") return beam.weather.least
  if (corner === "weatherMost") return beam.weather.most
  return beam[corner]
}

/** Candela in a direction; straight between the grid's angles, 0 outside of them. */
export function candela(beam: Beam, grid: IntensityGrid, h: number, v: number): number {
  const a = between(beam.horizontal, h)
  const b = between(beam.vertical, v)
  return a && b ? mixed(grid, a, b) : 0
}

interface Between {
  readonly i: number
  readonly share: number
}

function mixed(grid: IntensityGrid, a: Between, b: Between): number {
  const at = (i: number, k: number) => grid[i]?.[k] ?? 0
  const low = at(a.i, b.i) * (1 - b.share) + at(a.i, b.i + 1) * b.share
  if (a.share === 0) return low
  const high = at(a.i + 1, b.i) * (1 - b.share) + at(a.i + 1, b.i + 1) * b.share
  return low * (1 - a.share) + high * a.share
}

function between(angles: readonly number[], angle: number): Between | undefined {
  const last = angles.length - 1
  if (last < 0 || angle < angles[0]! || angle > angles[last]!) return undefined
  let [from, to] = [0, last]
  while (to - from > 1) {
    const middle = (from + to) >> 1
    if (angles[middle]! <= angle) from = middle
    else to = middle
  }
  const wide = (angles[to] ?? 0) - angles[from]!
  return { i: from, share: wide > 0 ? (angle - angles[from]!) / wide : 0 }
}

/** The band a share of the greatest light lies in, 0 to bands.length. */
export function bandOf(share: number): number {
  let band = 0
  while (band < bands.length && share >= bands[band]!) band++
  return band
}

/** From the bench's dark through the light's own colour to nearly white. */
export function shades(
  rgb: readonly [number, number, number],
): readonly (readonly [number, number, number])[] {
  return Array.from({ length: bands.length + 1 }, (_, k) => {
    const s = k / bands.length
    const own = Math.min(1, s / 0.75)
    const pale = Math.max(0, (s - 0.75) / 0.25) * 0.72
    return rgb.map((c) => {
      const lit = 22 + (c - 22) * own ** 1.15
      return Math.round(lit + (255 - lit) * pale)
    }) as unknown as readonly [number, number, number]
  })
}

/** Pixels that are painted in a few milliseconds. */
const most = 600_000

/** Stage units are degrees, x to the right and y down. */
export function paintBeam(
  canvas: HTMLCanvasElement,
  beam: Beam,
  grid: IntensityGrid,
  peak: number,
  rgb: readonly [number, number, number],
  { width, height, scale, left, top }: Viewport,
): void {
  // A beam has no fine detail; a large screen shows fewer and larger pixels.
  const coarse = Math.max(1, Math.sqrt((width * height) / most))
  canvas.width = Math.max(1, Math.round(width / coarse))
  canvas.height = Math.max(1, Math.round(height / coarse))
  const ctx = canvas.getContext("2d")
  if (!ctx || peak <= 0) return
  const picture = ctx.createImageData(canvas.width, canvas.height)
  const colours = shades(rgb)
  const columns = Array.from({ length: canvas.width }, (_, x) =>
    between(beam.horizontal, ((x + 0.5) * coarse - left) / scale),
  )
  for (let y = 0; y < canvas.height; y++) {
    const row = between(beam.vertical, -((y + 0.5) * coarse - top) / scale)
    if (!row) continue
    for (let x = 0; x < canvas.width; x++) {
      const column = columns[x]
      if (!column) continue
      const [r, g, b] = colours[bandOf(mixed(grid, column, row) / peak)]!
      const at = 4 * (y * canvas.width + x)
      picture.data[at] = r
      picture.data[at + 1] = g
      picture.data[at + 2] = b
      picture.data[at + 3] = 255
    }
  }
  ctx.putImageData(picture, 0, 0)
}

export interface BeamPoint {
  readonly h: number
  readonly v: number
  readonly asked: number
  readonly there: number
  /** What is left, as a share of what is asked; negative: missed. */
  readonly margin: number
}

/** The directions a rule names, thinnest first. */
export function pointsOf(beam: Beam, grid: IntensityGrid): BeamPoint[] {
  return beam.asked
    .map(({ h, v, least }) => {
      const there = candela(beam, grid, h, v)
      return { h, v, asked: least, there, margin: least > 0 ? (there - least) / least : 0 }
    })
    .sort((a, b) => a.margin - b.margin || a.h - b.h || a.v - b.v)
}

/** `5° right, 10° up`; `the axis`. */
export function direction(h: number, v: number): string {
  const said = [
    h !== 0 && `${round(Math.abs(h))}° ${h < 0 ? "left" : "right"}`,
    v !== 0 && `${round(Math.abs(v))}° ${v < 0 ? "down" : "up"}`,
  ].filter((s) => s !== false)
  return said.length === 0 ? "the axis" : said.join(", ")
}

const round = (n: number) => Math.round(n * 10) / 10
