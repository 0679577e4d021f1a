// The lamp without its light: painted once for a place on the bench, in steps that leave the page free to move, and shown
// until the bench has come to rest somewhere else.

import type { Box } from "../../../0-ground/geometry/polygon.ts"
import { beyond, seenBox } from "./carried.ts"
import { paintLenses } from "./glow.ts"
import { widest } from "./halo.ts"
import type { BenchLayout } from "./lay-out-faces.ts"
import { paintMetal } from "./metal.ts"
import type { Viewport } from "./stage.tsx"

/** Beyond the faces their shadow still falls, mm. */
const shade = 16
/** Device pixels a lamp drawn whole may take for each of the view's. */
const most = 1.8

/** What a picture of the lamp shows when it is painted for a view: the whole lamp with its light, or what is near. */
export interface Plot {
  readonly layout: BenchLayout
  /** Bench millimetres. */
  readonly region: Box
  /** Device pixels for a millimetre. */
  readonly fine: number
  readonly roomLight: number
}

export function plotFor(layout: BenchLayout, view: Viewport, ratio: number, roomLight: number): Plot {
  const fine = view.scale * ratio
  const all = whole(layout)
  const pixels = (all.maxX - all.minX) * (all.maxY - all.minY) * fine * fine
  const room = most * view.width * view.height * ratio * ratio
  return { layout, roomLight, fine, region: pixels <= room ? all : meet(all, seenBox(view, beyond)) }
}

/** True where the picture is sharp and reaches over all of the lamp in view. */
export function fits(plot: Plot, view: Viewport, ratio: number): boolean {
  if (Math.abs(plot.fine / (view.scale * ratio) - 1) > 1e-6) return false
  const seen = meet(whole(plot.layout), seenBox(view, 0))
  const { region } = plot
  return (
    seen.minX >= region.minX - 1e-6 &&
    seen.maxX <= region.maxX + 1e-6 &&
    seen.minY >= region.minY - 1e-6 &&
    seen.maxY <= region.maxY + 1e-6
  )
}

/** The plot as a view of its own: its region fills it, one pixel for a device pixel. */
export function plotView({ region, fine }: Plot): Viewport {
  return {
    scale: fine,
    left: -region.minX * fine,
    top: -region.minY * fine,
    width: Math.max(1, Math.ceil((region.maxX - region.minX) * fine)),
    height: Math.max(1, Math.ceil((region.maxY - region.minY) * fine)),
  }
}

/** Pixels of a tile's side: painting one takes a few milliseconds. */
const tile = 256

/** Paints the lamp without its light, tile by tile: each yield is a place where the page may show a frame. */
export function* paintStill(canvas: HTMLCanvasElement, plot: Plot): Generator<void, void> {
  const { layout, roomLight } = plot
  const all = plotView(plot)
  Object.assign(canvas, { width: all.width, height: all.height })
  const ctx = canvas.getContext("2d")
  for (let y = 0; y < all.height; y += tile)
    for (let x = 0; x < all.width; x += tile) {
      // A canvas of its own is painted as soon as it is copied; the whole one would be at its first showing.
      const piece = document.createElement("canvas")
      const size = { width: Math.min(tile, all.width - x), height: Math.min(tile, all.height - y) }
      Object.assign(piece, size)
      const on = piece.getContext("2d")
      if (!ctx || !on) return
      const view = { ...all, ...size, left: all.left - x, top: all.top - y }
      paintMetal(on, layout.faces, view, roomLight)
      paintLenses(on, layout.leds, view, roomLight)
      ctx.drawImage(piece, x, y)
      yield
    }
}

const whole = ({ box, leds }: BenchLayout): Box => {
  const around = Math.max(shade, ...leds.map((l) => (l.diameter / 2) * widest))
  return {
    minX: box.minX - around,
    maxX: box.maxX + around,
    minY: box.minY - around,
    maxY: box.maxY + around,
  }
}

/** At least a millimetre wide, so that a lamp moved off the bench still has a picture. */
function meet(a: Box, b: Box): Box {
  const minX = Math.max(a.minX, b.minX)
  const minY = Math.max(a.minY, b.minY)
  return {
    minX,
    minY,
    maxX: Math.max(minX + 1, Math.min(a.maxX, b.maxX)),
    maxY: Math.max(minY + 1, Math.min(a.maxY, b.maxY)),
  }
}
