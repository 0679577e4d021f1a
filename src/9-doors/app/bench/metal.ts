// Paints the faces as sheet metal under a lamp: brushed grain, a cut edge that catches light, holes with depth.

import { random } from "../../../0-ground/numbers/random.ts"
import type { LaidFace } from "./lay-out-faces.ts"
import type { Viewport } from "./stage.tsx"

interface Tone {
  /** Across the sheet, left to right: how the grain throws the bench light back. */
  readonly sheet: readonly string[]
  readonly edge: string
}

const tones: Record<string, Tone> = {
  stainless: { sheet: ["#6f777d", "#98a0a5", "#7d858b", "#aab1b5", "#868e94", "#717980"], edge: "#dfe4e6" },
  aluminium: { sheet: ["#8b9194", "#b4b9bb", "#9aa0a3", "#c3c7c8", "#a0a5a8", "#8d9396"], edge: "#f0f2f2" },
  brass: { sheet: ["#7d6530", "#b39447", "#93793a", "#c5a554", "#99803e", "#7f6731"], edge: "#ecd28b" },
  copper: { sheet: ["#7c4a2b", "#b5703c", "#955b33", "#c98552", "#9d6238", "#7f4c2c"], edge: "#f0b088" },
  steel: { sheet: ["#575e63", "#7c8489", "#666d72", "#899196", "#6c7378", "#596065"], edge: "#b9c0c3" },
}

const tone = (metal: string): Tone =>
  tones[Object.keys(tones).find((name) => metal.toLowerCase().includes(name)) ?? "steel"]!

/** Face outline and windows as one path in bench millimetres, y down. */
export function facePath({ face, dx, dy }: LaidFace): Path2D {
  const path = new Path2D()
  for (const ring of [face.outline, ...face.windows]) {
    for (const p of ring) path.lineTo(p.x + dx, -(p.y + dy))
    path.closePath()
  }
  return path
}

/** `view` is in pixels of the canvas. */
export function paintMetal(
  ctx: CanvasRenderingContext2D,
  faces: readonly LaidFace[],
  view: Viewport,
  roomLight: number,
): void {
  ctx.setTransform(1, 0, 0, 1, 0, 0)
  ctx.clearRect(0, 0, view.width, view.height)
  const paths = faces.map(facePath)
  ctx.setTransform(view.scale, 0, 0, view.scale, view.left, view.top)
  // The sheet stands above the bench on its boards: one soft shadow below it.
  ctx.save()
  ctx.shadowColor = `rgba(0,0,0,${0.55 + 0.2 * roomLight})`
  ctx.shadowBlur = 9 * view.scale
  ctx.shadowOffsetY = 4.5 * view.scale
  ctx.fillStyle = "#0a0b0c"
  for (const path of paths) ctx.fill(path, "evenodd")
  ctx.restore()
  faces.forEach((laid, i) => {
    paintFace(ctx, laid, paths[i]!, view, roomLight)
  })
}

function paintFace(
  ctx: CanvasRenderingContext2D,
  laid: LaidFace,
  path: Path2D,
  view: Viewport,
  roomLight: number,
) {
  const { face, dx, dy } = laid
  const xs = face.outline.map((p) => p.x + dx)
  const ys = face.outline.map((p) => -(p.y + dy))
  const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)]
  const { sheet, edge } = tone(face.metal)

  ctx.save()
  ctx.clip(path, "evenodd")
  const across = ctx.createLinearGradient(x0, y0, x1, y0 + (y1 - y0) * 0.35)
  sheet.forEach((colour, i) => {
    across.addColorStop(i / (sheet.length - 1), colour)
  })
  ctx.fillStyle = across
  ctx.fillRect(x0, y0, x1 - x0, y1 - y0)
  const grain = grainPattern(ctx)
  if (grain) {
    grain.setTransform(new DOMMatrix().scale(0.14, 0.14))
    ctx.globalCompositeOperation = "overlay"
    ctx.globalAlpha = 0.42
    ctx.fillStyle = grain
    ctx.fillRect(x0, y0, x1 - x0, y1 - y0)
    ctx.globalCompositeOperation = "source-over"
    ctx.globalAlpha = 1
  }
  const fall = ctx.createLinearGradient(0, y0, 0, y1)
  fall.addColorStop(0, "rgba(255,255,255,0.10)")
  fall.addColorStop(0.45, "rgba(0,0,0,0.04)")
  fall.addColorStop(1, "rgba(0,0,0,0.34)")
  ctx.fillStyle = fall
  ctx.fillRect(x0, y0, x1 - x0, y1 - y0)
  // Room light down: the sheet goes dark before its edge does.
  ctx.fillStyle = `rgba(9,11,12,${0.8 * (1 - roomLight)})`
  ctx.fillRect(x0, y0, x1 - x0, y1 - y0)
  ctx.lineJoin = "round"
  ctx.translate(0, 0.42)
  ctx.strokeStyle = edge
  ctx.globalAlpha = 0.16 + 0.5 * roomLight
  ctx.lineWidth = 0.55
  ctx.stroke(path)
  ctx.translate(0, -0.84)
  ctx.strokeStyle = "#000"
  ctx.globalAlpha = 0.45
  ctx.lineWidth = 0.8
  ctx.stroke(path)
  ctx.restore()

  for (const hole of [...face.ledHoles, ...face.screwHoles]) {
    const [x, y] = [hole.x + dx, -(hole.y + dy)]
    if (inView(view, x, y, hole.diameter)) paintHole(ctx, x, y, hole.diameter / 2, edge, roomLight)
  }
}

function paintHole(
  ctx: CanvasRenderingContext2D,
  x: number,
  y: number,
  r: number,
  edge: string,
  roomLight: number,
) {
  ctx.fillStyle = "#050606"
  disc(ctx, x, y, r)
  ctx.fill()
  // The far wall of the hole catches the light from above.
  ctx.lineWidth = 0.28
  ctx.strokeStyle = edge
  ctx.globalAlpha = 0.12 + 0.5 * roomLight
  ctx.beginPath()
  ctx.arc(x, y, r + 0.06, 0.15 * Math.PI, 0.85 * Math.PI)
  ctx.stroke()
  ctx.strokeStyle = "#000"
  ctx.globalAlpha = 0.5
  ctx.beginPath()
  ctx.arc(x, y, r + 0.1, 1.15 * Math.PI, 1.85 * Math.PI)
  ctx.stroke()
  ctx.globalAlpha = 1
}

/** Whether a square of `reach` each way round a point lies in view, at least in part. */
export function inView({ left, top, width, height, scale }: Viewport, x: number, y: number, reach: number) {
  const [px, py, r] = [left + x * scale, top + y * scale, reach * scale]
  return px > -r && py > -r && px < width + r && py < height + r
}

export function disc(ctx: CanvasRenderingContext2D, x: number, y: number, r: number) {
  ctx.beginPath()
  ctx.arc(x, y, r, 0, 2 * Math.PI)
}

let grainTile: HTMLCanvasElement | undefined

/** Fine streaks along x, the mark of a brushed sheet; drawn once. */
function grainPattern(ctx: CanvasRenderingContext2D): CanvasPattern | null {
  if (!grainTile) {
    grainTile = document.createElement("canvas")
    grainTile.width = 1024
    grainTile.height = 512
    const g = grainTile.getContext("2d")
    if (!g) return null
    g.fillStyle = "#808080"
    g.fillRect(0, 0, 1024, 512)
    const chance = random(7)
    for (let i = 0; i < 5200; i++) {
      const light = chance.next() > 0.5
      const x = chance.next() * 1024
      const long = 60 + chance.next() * 420
      g.fillStyle = `rgba(${light ? "255,255,255" : "0,0,0"},${0.03 + chance.next() * 0.1})`
      const y = chance.next() * 512
      const h = 0.5 + chance.next() * 1.1
      g.fillRect(x, y, long, h)
      // Streaks that leave on the right come back on the left, so the tile has no seam.
      if (x + long > 1024) g.fillRect(x - 1024, y, long, h)
    }
  }
  return ctx.createPattern(grainTile, "repeat")
}
