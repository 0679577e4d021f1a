// Paints the LEDs: lenses without light, and light added on top of everything, as light does.

import type { Box } from "../../../0-ground/geometry/polygon.ts"
import { type LightPaint, lightColour, paints, seen } from "../light.ts"
import type { LaidLed } from "./lay-out-faces.ts"
import { disc } from "./metal.ts"
import type { Viewport } from "./stage.tsx"

/** Lenses seen from the road: a dome in its hole, dark but coloured. */
export function paintLenses(
  ctx: CanvasRenderingContext2D,
  leds: readonly LaidLed[],
  view: Viewport,
  ratio: number,
  roomLight: number,
): void {
  const k = ratio * view.scale
  ctx.setTransform(k, 0, 0, k, ratio * view.left, ratio * view.top)
  for (const { x, y, diameter, stock } of leds) {
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

/** Device pixels of the bench for one of the wide light's: it is too soft for more to be seen. */
const coarse = 4
let spill: HTMLCanvasElement | undefined

/** Device pixels of the canvas that the light of these LEDs can reach; all of it when there are none. */
export function litRegion(leds: readonly LaidLed[], view: Viewport, ratio: number, whole: Box): Box {
  if (leds.length === 0) return whole
  const boxes = leds.map((led) => {
    const reach = (led.diameter / 2) * view.scale * ratio * widest + coarse
    const [x, y] = [(view.left + led.x * view.scale) * ratio, (view.top + led.y * view.scale) * ratio]
    return { minX: x - reach, minY: y - reach, maxX: x + reach, maxY: y + reach }
  })
  return {
    minX: Math.max(whole.minX, Math.floor(Math.min(...boxes.map((b) => b.minX)))),
    minY: Math.max(whole.minY, Math.floor(Math.min(...boxes.map((b) => b.minY)))),
    maxX: Math.min(whole.maxX, Math.ceil(Math.max(...boxes.map((b) => b.maxX)))),
    maxY: Math.min(whole.maxY, Math.ceil(Math.max(...boxes.map((b) => b.maxY)))),
  }
}

/** Adds the light of every LED that reaches into `region`; `levels` runs along with `leds`, 0…255. */
export function paintGlow(
  ctx: CanvasRenderingContext2D,
  leds: readonly LaidLed[],
  levels: ArrayLike<number>,
  view: Viewport,
  ratio: number,
  region: Box,
): void {
  const lit: Lit[] = []
  leds.forEach((led, i) => {
    const light = seen(levels[i] ?? 0)
    if (light <= 0.004) return
    const r = (led.diameter / 2) * view.scale * ratio
    const x = (view.left + led.x * view.scale) * ratio
    const y = (view.top + led.y * view.scale) * ratio
    const reach = r * widest
    if (x < region.minX - reach || y < region.minY - reach) return
    if (x > region.maxX + reach || y > region.maxY + reach) return
    lit.push({ x, y, r, light, paint: paints[lightColour(led.stock)] })
  })
  if (lit.length === 0) return
  ctx.setTransform(1, 0, 0, 1, 0, 0)
  // Spill on the sheet adds to the room's light; the lens itself covers what was there,
  // and goes pale in the middle only near full light.
  ctx.globalCompositeOperation = "lighter"
  addSpill(ctx, lit)
  layer(ctx, lit, near, (light) => [2.6 + 2 * light, 0.2 + 0.62 * light])
  ctx.globalCompositeOperation = "source-over"
  layer(ctx, lit, lens, (light) => [1, 0.3 + 0.7 * light])
  layer(ctx, lit, core, (light) => [0.98, light ** 1.8])
  ctx.globalAlpha = 1
}

/** One lit LED in device pixels. */
interface Lit {
  readonly x: number
  readonly y: number
  readonly r: number
  readonly light: number
  readonly paint: LightPaint
}

const widest = 12

/** The wide light of all LEDs, gathered on a small canvas and added at once. */
function addSpill(ctx: CanvasRenderingContext2D, lit: readonly Lit[]) {
  const { width, height } = ctx.canvas
  const size = [Math.ceil(width / coarse), Math.ceil(height / coarse)] as const
  spill ??= document.createElement("canvas")
  if (spill.width !== size[0] || spill.height !== size[1])
    Object.assign(spill, { width: size[0], height: size[1] })
  const small = spill.getContext("2d")
  if (!small) return
  small.setTransform(1, 0, 0, 1, 0, 0)
  small.globalCompositeOperation = "source-over"
  small.globalAlpha = 1
  small.clearRect(0, 0, ...size)
  small.setTransform(1 / coarse, 0, 0, 1 / coarse, 0, 0)
  small.globalCompositeOperation = "lighter"
  layer(small, lit, wide, (light) => [widest, 0.36 * light])
  ctx.globalAlpha = 1
  ctx.drawImage(spill, 0, 0, size[0] * coarse, size[1] * coarse)
}

function layer(
  ctx: CanvasRenderingContext2D,
  lit: readonly Lit[],
  sprite: (p: LightPaint) => HTMLCanvasElement,
  look: (light: number) => readonly [number, number],
) {
  for (const { x, y, r, light, paint } of lit) {
    const [radii, strength] = look(light)
    const reach = r * radii
    ctx.globalAlpha = Math.min(1, strength)
    ctx.drawImage(sprite(paint), x - reach, y - reach, 2 * reach, 2 * reach)
  }
}

const sprites = new Map<string, HTMLCanvasElement>()

function sprite(key: string, stops: readonly (readonly [number, string])[]): HTMLCanvasElement {
  const made = sprites.get(key)
  if (made) return made
  const canvas = document.createElement("canvas")
  canvas.width = canvas.height = 128
  const ctx = canvas.getContext("2d")
  if (ctx) {
    const gradient = ctx.createRadialGradient(64, 64, 0, 64, 64, 64)
    for (const [at, colour] of stops) gradient.addColorStop(at, colour)
    ctx.fillStyle = gradient
    ctx.fillRect(0, 0, 128, 128)
  }
  sprites.set(key, canvas)
  return canvas
}

const rgba = ([r, g, b]: readonly [number, number, number], a: number) => `rgba(${r},${g},${b},${a})`

const wide = (p: LightPaint) =>
  sprite(`wide ${p.halo}`, [
    [0, rgba(p.halo, 0.55)],
    [0.18, rgba(p.halo, 0.3)],
    [0.45, rgba(p.halo, 0.1)],
    [0.75, rgba(p.halo, 0.025)],
    [1, rgba(p.halo, 0)],
  ])
const near = (p: LightPaint) =>
  sprite(`near ${p.halo}`, [
    [0, rgba(p.halo, 0.95)],
    [0.22, rgba(p.halo, 0.7)],
    [0.45, rgba(p.halo, 0.24)],
    [0.75, rgba(p.halo, 0.05)],
    [1, rgba(p.halo, 0)],
  ])
const lens = (p: LightPaint) =>
  sprite(`lens ${p.halo}`, [
    [0, rgba(p.lit, 1)],
    [0.7, rgba(p.lit, 0.96)],
    [0.92, rgba(p.halo, 0.85)],
    [1, rgba(p.halo, 0)],
  ])
const core = (p: LightPaint) =>
  sprite(`core ${p.core}`, [
    [0, rgba(p.core, 1)],
    [0.4, rgba(p.core, 0.8)],
    [0.75, rgba(p.core, 0.15)],
    [1, rgba(p.core, 0)],
  ])
