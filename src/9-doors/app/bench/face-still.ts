// The lamp without its light, painted once and moved as a picture while the bench is moved or brought closer; painted
// anew, sharp, when it has come to rest.

import type { Box } from "../../../0-ground/geometry/polygon.ts"
import { paintLenses } from "./glow.ts"
import type { BenchLayout } from "./lay-out-faces.ts"
import { paintMetal } from "./metal.ts"
import type { Viewport } from "./stage.tsx"

export interface Still {
  readonly canvas: HTMLCanvasElement
  /** Bench millimetres it shows. */
  readonly region: Box
  /** Device pixels for a millimetre. */
  readonly fine: number
}

/** Beyond the faces their shadow still falls, mm. */
const shade = 16
/** Device pixels a side may take. */
const largest = 4096
/** Share of the view painted beyond each of its edges. */
const beyond = 0.35

export function paintStill(
  canvas: HTMLCanvasElement,
  layout: BenchLayout,
  view: Viewport,
  ratio: number,
  roomLight: number,
): Still {
  const fine = view.scale * ratio
  const region = regionOf(layout, view, fine)
  const size = {
    width: (region.maxX - region.minX) * view.scale,
    height: (region.maxY - region.minY) * view.scale,
  }
  canvas.width = Math.max(1, Math.ceil(size.width * ratio))
  canvas.height = Math.max(1, Math.ceil(size.height * ratio))
  const ctx = canvas.getContext("2d")
  if (ctx) {
    const at = { ...size, scale: view.scale, left: -region.minX * view.scale, top: -region.minY * view.scale }
    paintMetal(ctx, layout.faces, at, ratio, roomLight)
    paintLenses(ctx, layout.leds, at, ratio, roomLight)
  }
  return { canvas, region, fine }
}

/** Draws it where the view has it now. */
export function drawStill(ctx: CanvasRenderingContext2D, still: Still, view: Viewport, ratio: number): void {
  const { region, canvas, fine } = still
  const k = (view.scale * ratio) / fine
  const x = Math.round(ratio * (view.left + region.minX * view.scale))
  const y = Math.round(ratio * (view.top + region.minY * view.scale))
  ctx.setTransform(1, 0, 0, 1, 0, 0)
  ctx.drawImage(canvas, x, y, canvas.width * k, canvas.height * k)
}

/** True where the picture is sharp and reaches over all of the lamp in view. */
export function fits(still: Still, layout: BenchLayout, view: Viewport, ratio: number): boolean {
  if (Math.abs(still.fine / (view.scale * ratio) - 1) > 1e-6) return false
  const seen = meet(whole(layout), seenBox(view, 0))
  const { region } = still
  return (
    seen.minX >= region.minX - 1e-6 &&
    seen.maxX <= region.maxX + 1e-6 &&
    seen.minY >= region.minY - 1e-6 &&
    seen.maxY <= region.maxY + 1e-6
  )
}

const whole = ({ box }: BenchLayout): Box => ({
  minX: box.minX - shade,
  maxX: box.maxX + shade,
  minY: box.minY - shade,
  maxY: box.maxY + shade,
})

function regionOf(layout: BenchLayout, view: Viewport, fine: number): Box {
  const all = whole(layout)
  if ((all.maxX - all.minX) * fine <= largest && (all.maxY - all.minY) * fine <= largest) return all
  return meet(all, seenBox(view, beyond))
}

function seenBox({ left, top, width, height, scale }: Viewport, more: number): Box {
  return {
    minX: (-left - more * width) / scale,
    maxX: (-left + (1 + more) * width) / scale,
    minY: (-top - more * height) / scale,
    maxY: (-top + (1 + more) * height) / scale,
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
