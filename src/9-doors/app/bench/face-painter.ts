// Keeps the canvas of the Face view: the lamp without light under the light at the play head. Its pixels belong to a
// place on the bench and not to the view, so that moving the lamp paints nothing; brought closer, it is stretched until a
// sharp one is ready.

import type { Box } from "../../../0-ground/geometry/polygon.ts"
import { play, sampleAt } from "../play.ts"
import { type Plot, paintStill, plotView } from "./face-still.ts"
import { litRegion, paintGlow } from "./glow.ts"
import type { BenchLayout } from "./lay-out-faces.ts"
import type { Viewport } from "./stage.tsx"

/** What painting ahead may take of a frame, ms. */
const slice = 3

export class FacePainter {
  plot: Plot | undefined
  private still = document.createElement("canvas")
  /** The level of every LED of the plot as painted, a character each. */
  word = ""
  private readonly picture: HTMLCanvasElement

  constructor(picture: HTMLCanvasElement) {
    this.picture = picture
  }

  /** Paints another plot at once. */
  paint(plot: Plot): void {
    for (const _ of paintStill(this.still, plot));
    this.show(plot, this.still)
  }

  /** Paints another plot a slice a frame, then shows it and calls `ready`. Returns what gives it up. */
  prepare(plot: Plot, ready: () => void): () => void {
    const still = document.createElement("canvas")
    const steps = paintStill(still, plot)
    const step = () => {
      const begun = performance.now()
      let done = false
      while (!done && performance.now() - begun < slice) done = steps.next().done === true
      next = requestAnimationFrame(done ? last : step)
    }
    // A frame of its own: all of the light is painted in it.
    const last = () => {
      this.show(plot, still)
      ready()
    }
    let next = requestAnimationFrame(step)
    return () => cancelAnimationFrame(next)
  }

  private show(plot: Plot, still: HTMLCanvasElement): void {
    this.plot = plot
    this.still = still
    const { width, height } = still
    if (this.picture.width !== width || this.picture.height !== height)
      Object.assign(this.picture, { width, height })
    this.word = ""
    this.light()
  }

  /** Lays the canvas where the view has its part of the bench, on whole device pixels. */
  place({ left, top, scale }: Viewport, ratio: number): void {
    if (!this.plot) return
    const { region, fine } = this.plot
    const whole = (px: number) => `${Math.round(px * ratio) / ratio}px`
    Object.assign(this.picture.style, {
      left: whole(left + region.minX * scale),
      top: whole(top + region.minY * scale),
      width: `${(this.picture.width / fine) * scale}px`,
      height: `${(this.picture.height / fine) * scale}px`,
    })
  }

  /** Paints the light at the play head; most of the time nothing changes from one sample to the next. */
  light(): void {
    if (!this.plot) return
    const { layout } = this.plot
    const word = lightAt(layout)
    const ctx = word === this.word ? undefined : this.picture.getContext("2d")
    if (!ctx) return
    const { word: before, picture, still } = this
    this.word = word
    const levels = layout.leds.map((_, i) => word.charCodeAt(i))
    // Only where light changed since it was last painted; what other LEDs add there is added again.
    const changed = layout.leds.filter((_, i) => before.charCodeAt(i) !== levels[i])
    const view = plotView(this.plot)
    const all: Box = { minX: 0, minY: 0, maxX: picture.width, maxY: picture.height }
    const { minX, minY, maxX, maxY } = before === "" ? all : litRegion(changed, view, all)
    const [w, h] = [maxX - minX, maxY - minY]
    if (w <= 0 || h <= 0) return
    ctx.save()
    ctx.setTransform(1, 0, 0, 1, 0, 0)
    ctx.beginPath()
    ctx.rect(minX, minY, w, h)
    ctx.clip()
    ctx.globalCompositeOperation = "copy"
    ctx.drawImage(still, minX, minY, w, h, minX, minY, w, h)
    ctx.globalCompositeOperation = "source-over"
    paintGlow(ctx, layout.leds, levels, view, { minX, minY, maxX, maxY })
    ctx.restore()
  }
}

/** Every LED's level in one word, to be compared. */
function lightAt(layout: BenchLayout): string {
  const { trace, time } = play.getState()
  const sample = trace ? sampleAt(trace, time) : 0
  let word = ""
  for (const { ref } of layout.leds) word += String.fromCharCode(trace?.leds[ref]?.[sample] ?? 0)
  return word
}
