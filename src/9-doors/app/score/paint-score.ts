// Draws the score on its canvas: time ruler, wires as levels, LEDs as ribbons whose strength is their brightness.

import { showNumber } from "../../../0-ground/text/show.ts"
import type { LightTrace } from "../../../7-proof/artefact.ts"
import { roundLength } from "../bench/scale-bar.tsx"
import { seen } from "../light.ts"
import { ms, type WireEvent } from "./measured-times.ts"
import type { GroupRows, Rows, WireRow } from "./rows.ts"
import { rulerHeight } from "./rows.ts"
import type { Span } from "./span.ts"

export interface Inks {
  readonly ink: string
  readonly soft: string
  readonly hair: string
  readonly red: string
  readonly amber: string
  readonly white: string
  readonly font: string
}

export function paintScore(
  canvas: HTMLCanvasElement,
  rows: Rows,
  trace: LightTrace,
  span: Span,
  width: number,
  inks: Inks,
  events: readonly WireEvent[] = [],
): void {
  const ratio = Math.min(2, globalThis.devicePixelRatio || 1)
  canvas.width = Math.round(width * ratio)
  canvas.height = Math.round(rows.height * ratio)
  const ctx = canvas.getContext("2d")
  if (!ctx) return
  ctx.setTransform(ratio, 0, 0, ratio, 0, 0)
  ctx.clearRect(0, 0, width, rows.height)
  paintRuler(ctx, rows, span, width, inks)
  const columns = columnsOf(trace, span, width)
  for (const row of rows.groups) paintGroup(ctx, row, columns, width, inks)
  for (const row of rows.wires) paintWire(ctx, row, rows.wireHeight, columns, width, inks)
  for (const event of events) paintTimes(ctx, event, rows, span, width, inks)
}

/** From the wire's edge to all of the light, where there is room for the number. */
function paintTimes(
  ctx: CanvasRenderingContext2D,
  { group, on, allLit }: WireEvent,
  rows: Rows,
  span: Span,
  width: number,
  inks: Inks,
) {
  const row = rows.groups.find((g) => g.name === group)
  if (!row || allLit === undefined) return
  const x = (time: number) => ((time - span.from) / (span.to - span.from)) * width
  const [from, to] = [x(on), x(on + allLit)]
  const words = ms(allLit)
  ctx.font = `600 12px ${inks.font}`
  const wide = ctx.measureText(words).width
  if (to - from < wide + 14 || to < 0 || from > width) return
  const y = row.y + Math.min(9, (row.rowHeight * row.leds.length) / 2)
  ctx.strokeStyle = inks.ink
  ctx.fillStyle = inks.ink
  ctx.lineWidth = 1
  ctx.beginPath()
  ctx.moveTo(from + 0.5, y - 5)
  ctx.lineTo(from + 0.5, y + 5)
  ctx.moveTo(from, y + 0.5)
  ctx.lineTo(from + (to - from - wide) / 2 - 4, y + 0.5)
  ctx.moveTo(from + (to - from + wide) / 2 + 4, y + 0.5)
  ctx.lineTo(to, y + 0.5)
  ctx.moveTo(to + 0.5, y - 5)
  ctx.lineTo(to + 0.5, y + 5)
  ctx.stroke()
  ctx.textBaseline = "middle"
  ctx.fillText(words, from + (to - from - wide) / 2, y + 1)
}

function paintRuler(ctx: CanvasRenderingContext2D, rows: Rows, span: Span, width: number, inks: Inks) {
  const length = span.to - span.from
  const tick = roundLength((length * 90) / width)
  ctx.font = `12px ${inks.font}`
  ctx.textBaseline = "middle"
  const first = Math.ceil(span.from / tick - 1e-9)
  for (let i = first; i * tick <= span.to + 1e-9; i++) {
    const x = Math.round(((i * tick - span.from) / length) * width) + 0.5
    ctx.strokeStyle = inks.hair
    ctx.lineWidth = 1
    ctx.beginPath()
    ctx.moveTo(x, rulerHeight - 5)
    ctx.lineTo(x, rows.height)
    ctx.stroke()
    ctx.fillStyle = inks.soft
    const label =
      tick >= 1
        ? `${i * tick} s`
        : tick < 0.1
          ? `${Math.round(i * tick * 1000)} ms`
          : `${showNumber(i * tick, 4)} s`
    if (x + 4 + ctx.measureText(label).width < width) ctx.fillText(label, x + 4, rulerHeight / 2 - 1)
  }
}

/** First sample of each pixel column, one more at the end. */
function columnsOf(trace: LightTrace, span: Span, width: number): Int32Array {
  const columns = new Int32Array(width + 1)
  for (let x = 0; x <= width; x++) {
    const t = span.from + ((span.to - span.from) * x) / width
    columns[x] = Math.max(0, Math.min(trace.samples, Math.floor(t / trace.step + 1e-9)))
  }
  return columns
}

function paintWire(
  ctx: CanvasRenderingContext2D,
  row: WireRow,
  wireHeight: number,
  columns: Int32Array,
  width: number,
  inks: Inks,
) {
  const high = row.y + 4.5
  const low = row.y + wireHeight - 5.5
  ctx.strokeStyle = inks.ink
  ctx.lineWidth = 1.5
  ctx.lineJoin = "round"
  ctx.beginPath()
  let before: number | undefined
  for (let x = 0; x < width; x++) {
    const y = (row.levels[columns[x] ?? 0] ?? 0) > 0 ? high : low
    if (before === undefined) ctx.moveTo(x, y)
    else if (y !== before) {
      ctx.lineTo(x, before)
      ctx.lineTo(x, y)
    }
    before = y
  }
  ctx.lineTo(width, before ?? low)
  ctx.stroke()
}

function paintGroup(
  ctx: CanvasRenderingContext2D,
  row: GroupRows,
  columns: Int32Array,
  width: number,
  inks: Inks,
) {
  const ribbon = Math.max(1, row.rowHeight - (row.rowHeight >= 4 ? 1.5 : 0.5))
  row.leds.forEach(({ levels }, i) => {
    const y = row.y + i * row.rowHeight
    ctx.globalAlpha = 0.5
    ctx.fillStyle = inks.hair
    ctx.fillRect(0, y + ribbon / 2 - 0.25, width, 0.5)
    ctx.fillStyle = inks[row.colour]
    let from = 0
    let shown = -1
    for (let x = 0; x <= width; x++) {
      const level = x === width ? -2 : Math.round(mean(levels, columns[x] ?? 0, columns[x + 1] ?? 0))
      if (level === shown) continue
      if (shown > 0) {
        ctx.globalAlpha = Math.max(0.06, seen(shown))
        ctx.fillRect(from, y, x - from, ribbon)
      }
      from = x
      shown = level
    }
  })
  ctx.globalAlpha = 1
}

function mean(levels: readonly number[], from: number, to: number): number {
  const end = Math.max(from + 1, to)
  let sum = 0
  for (let i = from; i < end; i++) sum += levels[i] ?? 0
  return sum / (end - from)
}
