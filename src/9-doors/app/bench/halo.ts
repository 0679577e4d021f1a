// The soft light around LEDs on the sheet, added up on a coarse grid: it is too soft for more to be seen, and a sum of
// numbers takes a tenth of the time of as many pictures laid over each other.

import type { Box } from "../../../0-ground/geometry/polygon.ts"
import type { LightPaint } from "../light.ts"

/** One lit LED in pixels. */
export interface Lit {
  readonly x: number
  readonly y: number
  readonly r: number
  /** 0…1 as the eye takes it. */
  readonly light: number
  readonly paint: LightPaint
}

/** Radii of an LED that its light reaches on the sheet. */
export const widest = 12
/** Most pixels that one of the grid stands for, along a side. */
export const coarsest = 16

/** Strength over the distance as a share of the reach, by its square: no root for each pixel. */
function profile(stops: readonly (readonly [number, number])[]): Float32Array {
  const steps = 1024
  return Float32Array.from({ length: steps + 1 }, (_, i) => {
    const at = Math.sqrt(i / steps)
    const next = Math.max(
      1,
      stops.findIndex(([s]) => s >= at),
    )
    const [[s0, a0], [s1, a1]] = [stops[next - 1]!, stops[next]!]
    return a0 + ((a1 - a0) * (at - s0)) / (s1 - s0)
  })
}

const wide = profile([
  [0, 0.55],
  [0.18, 0.3],
  [0.45, 0.1],
  [0.75, 0.025],
  [1, 0],
])
const near = profile([
  [0, 0.95],
  [0.22, 0.7],
  [0.45, 0.24],
  [0.75, 0.05],
  [1, 0],
])

let grid: HTMLCanvasElement | undefined

/** Adds the light of `lit` to what lies in `region`, pixels. */
export function addHalos(ctx: CanvasRenderingContext2D, lit: readonly Lit[], region: Box): void {
  // The smallest lens stays wider than two of the grid: its near light keeps its shape.
  const coarse = Math.max(1, Math.min(coarsest, Math.round(Math.min(...lit.map((l) => l.r)) / 1.4)))
  // One more all round: its neighbours soften the outermost.
  const [x, y] = [Math.floor(region.minX / coarse) - 1, Math.floor(region.minY / coarse) - 1]
  const [w, h] = [Math.ceil(region.maxX / coarse) + 1 - x, Math.ceil(region.maxY / coarse) + 1 - y]
  const image = mixed(lit, coarse, x, y, w, h)
  grid ??= document.createElement("canvas")
  if (grid.width < w || grid.height < h)
    Object.assign(grid, { width: Math.max(w, grid.width), height: Math.max(h, grid.height) })
  grid.getContext("2d")?.putImageData(image, 0, 0)
  ctx.globalAlpha = 1
  ctx.globalCompositeOperation = "lighter"
  ctx.drawImage(grid, 0, 0, w, h, x * coarse, y * coarse, w * coarse, h * coarse)
  ctx.globalCompositeOperation = "source-over"
}

/** The halos of each colour summed, then the colours. */
function mixed(lit: readonly Lit[], coarse: number, x: number, y: number, w: number, h: number): ImageData {
  const image = new ImageData(w, h)
  const sums = new Map<LightPaint, Float32Array>()
  for (const led of lit) {
    const sum = sums.get(led.paint) ?? new Float32Array(w * h)
    sums.set(led.paint, sum)
    addHalo(sum, w, h, led.x / coarse - x, led.y / coarse - y, led.r / coarse, led.light)
  }
  const [red, green, blue] = [new Float32Array(w * h), new Float32Array(w * h), new Float32Array(w * h)]
  const alpha = new Float32Array(w * h)
  for (const [{ halo }, sum] of sums)
    for (let i = 0; i < sum.length; i++) {
      const a = sum[i]!
      if (a === 0) continue
      red[i]! += a * halo[0]
      green[i]! += a * halo[1]
      blue[i]! += a * halo[2]
      alpha[i]! += a
    }
  const { data } = image
  for (let i = 0; i < alpha.length; i++) {
    const cover = Math.min(1, alpha[i]!)
    if (cover === 0) continue
    data[4 * i] = Math.min(255, red[i]!) / cover
    data[4 * i + 1] = Math.min(255, green[i]!) / cover
    data[4 * i + 2] = Math.min(255, blue[i]!) / cover
    data[4 * i + 3] = 255 * cover
  }
  return image
}

/** Middle and radius in pixels of the grid. */
function addHalo(
  sum: Float32Array,
  w: number,
  h: number,
  x: number,
  y: number,
  r: number,
  light: number,
): void {
  const steps = wide.length - 1
  const reach = r * widest
  const [perWide, perNear] = [steps / reach ** 2, steps / (r * (2.6 + 2 * light)) ** 2]
  const [strong, bright] = [0.36 * light, 0.2 + 0.62 * light]
  const [fromX, toX] = [Math.max(0, Math.ceil(x - reach - 0.5)), Math.min(w - 1, Math.floor(x + reach - 0.5))]
  const [fromY, toY] = [Math.max(0, Math.ceil(y - reach - 0.5)), Math.min(h - 1, Math.floor(y + reach - 0.5))]
  for (let j = fromY; j <= toY; j++) {
    const dy = j + 0.5 - y
    for (let i = fromX; i <= toX; i++) {
      const dx = i + 0.5 - x
      const d = dx * dx + dy * dy
      const far = d * perWide
      if (far >= steps) continue
      const close = d * perNear
      sum[j * w + i]! += strong * wide[far | 0]! + (close < steps ? bright * near[close | 0]! : 0)
    }
  }
}
