// Paints the LEDs: lenses without light, and lit ones with what they throw on the sheet.

import type { Box } from "../../../0-ground/geometry/polygon.ts"
import { type LightPaint, lightColour, paints, seen } from "../light.ts"
import { addHalos, coarsest, type Lit, widest } from "./halo.ts"
import type { LaidLed } from "./lay-out-faces.ts"
import { disc, inView } from "./metal.ts"
import type { Viewport } from "./stage.tsx"

/** Lenses seen from the road: a dome in its hole, dark but coloured. `view` is in pixels of the canvas. */
export function paintLenses(
  ctx: CanvasRenderingContext2D,
  leds: readonly LaidLed[],
  view: Viewport,
  roomLight: number,
): void {
  ctx.setTransform(view.scale, 0, 0, view.scale, view.left, view.top)
  for (const { x, y, diameter, stock } of leds) {
    if (!inView(view, x, y, diameter)) continue
    const r = (diameter / 2) * 0.94
    const [light, middle, dark] = paints[lightColour(stock)].lens
    const dome = ctx.createRadialGradient(x - r * 0.25, y - r * 0.35, r * 0.1, x, y, r)
    dome.addColorStop(0, light)
    dome.addColorStop(0.55, middle)
    dome.addColorStop(1, dark)
    ctx.fillStyle = dome
    ctx.globalAlpha = 0.5 + 0.5 * roomLight
    disc(ctx, x, y, r)
    ctx.fill()
    ctx.fillStyle = "rgba(255,255,255,0.5)"
    ctx.globalAlpha = 0.25 + 0.6 * roomLight
    ctx.beginPath()
    ctx.ellipse(x - r * 0.3, y - r * 0.42, r * 0.22, r * 0.13, -0.5, 0, 2 * Math.PI)
    ctx.fill()
    ctx.globalAlpha = 1
  }
}

/** Pixels of the canvas that the light of these LEDs can reach; all of it when there are none. */
export function litRegion(leds: readonly LaidLed[], view: Viewport, whole: Box): Box {
  if (leds.length === 0) return whole
  let { minX, minY, maxX, maxY } = { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity }
  for (const led of leds) {
    const reach = (led.diameter / 2) * view.scale * widest + coarsest
    const [x, y] = [view.left + led.x * view.scale, view.top + led.y * view.scale]
    minX = Math.min(minX, x - reach)
    minY = Math.min(minY, y - reach)
    maxX = Math.max(maxX, x + reach)
    maxY = Math.max(maxY, y + reach)
  }
  return {
    minX: Math.max(whole.minX, Math.floor(minX)),
    minY: Math.max(whole.minY, Math.floor(minY)),
    maxX: Math.min(whole.maxX, Math.ceil(maxX)),
    maxY: Math.min(whole.maxY, Math.ceil(maxY)),
  }
}

/** Adds the light of every LED that reaches into `region`, pixels; `levels` runs along with `leds`, 0…255. */
export function paintGlow(
  ctx: CanvasRenderingContext2D,
  leds: readonly LaidLed[],
  levels: ArrayLike<number>,
  view: Viewport,
  region: Box,
): void {
  const lit: Lit[] = []
  leds.forEach((led, i) => {
    const light = seen(levels[i] ?? 0)
    if (light <= 0.004) return
    const r = (led.diameter / 2) * view.scale
    const x = view.left + led.x * view.scale
    const y = view.top + led.y * view.scale
    const reach = r * widest
    if (x < region.minX - reach || y < region.minY - reach) return
    if (x > region.maxX + reach || y > region.maxY + reach) return
    lit.push({ x, y, r, light, paint: paints[lightColour(led.stock)] })
  })
  if (lit.length === 0) return
  ctx.setTransform(1, 0, 0, 1, 0, 0)
  // Light on the sheet adds to the room's; the lens itself covers what was there.
  addHalos(ctx, lit, region)
  for (const { x, y, r, light, paint } of lit) {
    if (x < region.minX - r || y < region.minY - r || x > region.maxX + r || y > region.maxY + r) continue
    ctx.drawImage(bulb(paint, light, r), x - r, y - r, 2 * r, 2 * r)
  }
}

/** By colour, and by light and size in one number. */
const bulbs = new Map<LightPaint, Map<number, ImageBitmap>>()

/** A lit lens with its core, which goes pale only near full light; at least as large as it is drawn. */
function bulb(paint: LightPaint, light: number, r: number): ImageBitmap {
  const side = 2 ** Math.max(3, Math.min(8, Math.ceil(Math.log2(2 * r))))
  const own = bulbs.get(paint) ?? new Map<number, ImageBitmap>()
  bulbs.set(paint, own)
  // Light is at most 1.
  const key = 2 * side + light
  const made = own.get(key)
  if (made) return made
  const canvas = new OffscreenCanvas(side, side)
  const ctx = canvas.getContext("2d")!
  const half = side / 2
  const layer = (reach: number, strength: number, stops: readonly (readonly [number, string])[]) => {
    const gradient = ctx.createRadialGradient(half, half, 0, half, half, half * reach)
    for (const [at, colour] of stops) gradient.addColorStop(at, colour)
    ctx.globalAlpha = strength
    ctx.fillStyle = gradient
    ctx.fillRect(0, 0, side, side)
  }
  layer(1, 0.3 + 0.7 * light, [
    [0, rgba(paint.lit, 1)],
    [0.7, rgba(paint.lit, 0.96)],
    [0.92, rgba(paint.halo, 0.85)],
    [1, rgba(paint.halo, 0)],
  ])
  layer(0.98, light ** 1.8, [
    [0, rgba(paint.core, 1)],
    [0.4, rgba(paint.core, 0.8)],
    [0.75, rgba(paint.core, 0.15)],
    [1, rgba(paint.core, 0)],
  ])
  const picture = canvas.transferToImageBitmap()
  if (own.size >= 256) own.clear()
  own.set(key, picture)
  return picture
}

const rgba = ([r, g, b]: readonly [number, number, number], a: number) => `rgba(${r},${g},${b},${a})`
