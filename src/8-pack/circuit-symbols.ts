// Symbols of circuit drawings in the style of IEC 60617: resistors as rectangles, diodes and LEDs, capacitors,
// transistors, chips as rectangles with their pins. Millimetres, y down. Conductors carry the class "wire".

import type { Part } from "../3-drive/artefact.ts"
import { escapeXml, fixed } from "./scene.ts"

/** Of the sheet. */
export const wide = 300
export const margin = 10

export interface Box {
  readonly x: number
  readonly y: number
  readonly w: number
  readonly h: number
}

export interface ChipPin {
  readonly name: string
  readonly number: string
  readonly side: "left" | "right" | "top" | "bottom"
  /** y of a pin at a side, x of one at top or bottom. */
  readonly at: number
  readonly lead: number
}

export class Sheet {
  private readonly out: string[] = []
  /** Where a part of the drawing begins: its first mark and its upper edge. */
  private readonly begins: { readonly mark: number; readonly y: number }[] = []

  /** What is drawn from now on lies below `y` and can stand on a page of its own. */
  begin(y: number): void {
    this.begins.push({ mark: this.out.length, y })
  }

  line(x1: number, y1: number, x2: number, y2: number): void {
    this.out.push(`<path class="wire" d="M${fixed(x1)} ${fixed(y1)}L${fixed(x2)} ${fixed(y2)}"/>`)
  }
  dot(x: number, y: number): void {
    this.out.push(`<circle cx="${fixed(x)}" cy="${fixed(y)}" r="0.7" fill="#1c2529" stroke="none"/>`)
  }
  text(
    x: number,
    y: number,
    text: string,
    size: number,
    anchor: "start" | "middle" | "end" = "middle",
    bold = false,
    fill = "#1c2529",
  ): void {
    this.out.push(
      `<text x="${fixed(x)}" y="${fixed(y)}" font-size="${size}" text-anchor="${anchor}" fill="${fill}" stroke="none"${bold ? ' font-weight="bold"' : ""}>${escapeXml(text)}</text>`,
    )
  }
  shape(d: string, fill = "none"): void {
    this.out.push(`<path d="${d}" fill="${fill}"/>`)
  }
  /** A ring with the net's name: this end is joined to every other of that name. */
  flag(x: number, y: number, net: string, below = false): void {
    const ring = below ? y - 3.4 : y
    this.out.push(`<circle cx="${fixed(x)}" cy="${fixed(ring)}" r="1" fill="#fff"/>`)
    if (net) this.text(x, below ? y + 0.6 : y - 2, net, 2.2)
  }
  earth(x: number, y: number): void {
    this.line(x, y, x, y + 3)
    this.shape(
      `M${fixed(x - 3)} ${fixed(y + 3)}h6M${fixed(x - 2)} ${fixed(y + 4)}h4M${fixed(x - 1)} ${fixed(y + 5)}h2`,
    )
  }
  box(x: number, y: number, w: number, h: number, text: string): void {
    this.shape(`M${fixed(x)} ${fixed(y)}h${fixed(w)}v${fixed(h)}h${fixed(-w)}Z`, "#fff")
    this.text(x + 2, y + 4.4, text, 2.8, "start", true)
  }
  /** A two-pin part by itself, both ends named. */
  named(part: Part, x: number, y: number, earth?: string): void {
    const [a, b] = ends(part)
    this.flag(x, y + 5, a)
    this.twoPin(part, x, y + 6, y + 24)
    if (b === earth) this.earth(x, y + 24)
    else this.flag(x, y + 28.4, b, true)
  }
  /** Vertical, anode or plus on top; of a suppressor the cathode. `turned`: the other way round. */
  twoPin(part: Part, x: number, top: number, bottom: number, leftLabel = false, turned = false): void {
    const m = (top + bottom) / 2
    const half = part.kind === "resistor" ? 3.4 : part.kind === "capacitor" ? 0.8 : 2.2
    this.line(x, top, x, m - half)
    this.line(x, m + half, x, bottom)
    const at = (dx: number, dy: number) => `${fixed(x + dx)} ${fixed(m + dy)}`
    if (part.kind === "resistor") this.shape(`M${at(-1.3, -3.4)}h2.6v6.8h-2.6Z`, "#fff")
    else if (part.kind === "capacitor") {
      this.shape(`M${at(-2.6, -0.8)}h5.2M${at(-2.6, 0.8)}h5.2`)
      if (part.pins["+"] !== undefined) this.text(x - 3.4, m - 1.4, "+", 2.4)
    } else {
      const avalanche = part.kind === "clamp" || part.kind === "zener"
      const s = avalanche !== turned ? -1 : 1
      this.shape(`M${at(-2.2, -2.2 * s)}h4.4L${at(0, 2.2 * s)}Z`, "#fff")
      this.shape(`M${at(-2.2, 2.2 * s)}h4.4${avalanche ? `v${-s}` : ""}`)
      this.line(x, m - 2.2, x, m + 2.2)
      if (part.kind === "led")
        this.shape(`M${at(-2.6, -1.6)}l-1.8 -1.8m0 1.1v-1.1h1.1M${at(-2.9, 0.4)}l-1.8 -1.8m0 1.1v-1.1h1.1`)
    }
    const beside = part.kind === "capacitor" ? 3.6 : 2.8
    const [lx, anchor] = leftLabel ? [x - 2, "end" as const] : [x + beside, "start" as const]
    this.text(lx, m - 0.4, short(part.ref), 2, anchor)
    if (part.kind !== "led") this.text(lx, m + 2, part.value, 1.8, anchor)
  }
  /** A diode that conducts upwards. */
  upward(part: Part, x: number, top: number, bottom: number): void {
    const m = (top + bottom) / 2
    this.line(x, top, x, bottom)
    this.shape(`M${fixed(x - 2.2)} ${fixed(m + 2.2)}h4.4L${fixed(x)} ${fixed(m - 2.2)}Z`, "#fff")
    this.shape(`M${fixed(x - 2.2)} ${fixed(m - 2.2)}h4.4M${fixed(x)} ${fixed(m - 2.2)}v4.4`)
    this.text(x + 2.8, m - 0.4, part.ref, 2, "start")
    this.text(x + 2.8, m + 2, part.value, 1.8, "start")
  }
  /** Lying, from `left` to `right`. */
  lying(left: number, right: number, y: number): void {
    const m = (left + right) / 2
    this.line(left, y, m - 3.4, y)
    this.line(m + 3.4, y, right, y)
    this.shape(`M${fixed(m - 3.4)} ${fixed(y - 1.3)}h6.8v2.6h-6.8Z`, "#fff")
  }
  /**
   * NPN transistor with collector on top and emitter below at `x`, `top` and `bottom`; its base comes out at
   * `x` ∓ 6 in the middle, on the right where `mirrored`. Gives the base's end.
   */
  npn(part: Part, x: number, top: number, bottom: number, mirrored = false): { x: number; y: number } {
    const m = (top + bottom) / 2
    const s = mirrored ? 1 : -1
    const bar = x + s * 3.2
    this.line(x, top, x, m - 3)
    this.line(x, m + 3, x, bottom)
    this.shape(`M${fixed(bar)} ${fixed(m - 3)}v6`)
    this.shape(`M${fixed(bar)} ${fixed(m - 1.2)}L${fixed(x)} ${fixed(m - 3)}`)
    this.shape(`M${fixed(bar)} ${fixed(m + 1.2)}L${fixed(x)} ${fixed(m + 3)}`)
    // The arrow on the emitter points out of an NPN part.
    const [ux, uy] = [x - bar, 1.8]
    const long = Math.hypot(ux, uy)
    const at = (along: number, aside: number) =>
      `${fixed(bar + ((ux * along) / long) * 1 - (uy / long) * aside)} ${fixed(m + 1.2 + (uy / long) * along + (ux / long) * aside)}`
    this.shape(`M${at(3.4, 0)}L${at(1.9, 0.7)}L${at(1.9, -0.7)}Z`, "#1c2529")
    this.line(bar, m, x + s * 6, m)
    this.text(x - s * 1.2, m - 0.1, part.ref, 2, mirrored ? "end" : "start")
    this.text(x - s * 1.2, m + 2.2, part.value, 1.8, mirrored ? "end" : "start")
    return { x: x + s * 6, y: m }
  }
  /** A relay's coil: a rectangle across its conductor (IEC 60617, 07-15-01), terminals A1 above and A2 below. */
  coil(part: Part, x: number, top: number, bottom: number): void {
    const m = (top + bottom) / 2
    this.line(x, top, x, m - 2.6)
    this.line(x, m + 2.6, x, bottom)
    this.shape(`M${fixed(x - 4.4)} ${fixed(m - 2.6)}h8.8v5.2h-8.8Z`, "#fff")
    this.text(x + 0.8, m - 3.6, "A1", 1.6, "start")
    this.text(x + 0.8, m + 5, "A2", 1.6, "start")
    this.text(x - 5.2, m - 0.4, part.ref, 2, "end")
    this.text(x - 5.2, m + 2, part.value, 1.8, "end")
  }
  /**
   * A contact that is closed at rest (IEC 60617, 07-02-03) with its middle at `m`; `common` and `rest` name the
   * terminals below and above. Gives the middle of its blade, where the mechanical link from the coil ends.
   */
  breakContact(
    pins: { readonly common: string; readonly rest: string },
    x: number,
    { top, m, bottom }: { readonly top: number; readonly m: number; readonly bottom: number },
  ): { x: number; y: number } {
    this.line(x, top, x, m - 3.2)
    this.line(x, m - 3.2, x + 2.4, m - 3.2)
    this.line(x, m + 3.6, x, bottom)
    this.line(x, m + 3.6, x + 2.7, m - 4.8)
    this.text(x - 0.8, m - 4.2, pins.rest, 1.6, "end")
    this.text(x - 0.8, m + 5.4, pins.common, 1.6, "end")
    return { x: x + 1.3, y: m }
  }
  /** A mechanical link: dashed. */
  link(x1: number, y1: number, x2: number, y2: number): void {
    this.out.push(`<path d="M${fixed(x1)} ${fixed(y1)}L${fixed(x2)} ${fixed(y2)}" stroke-dasharray="1.6 1"/>`)
  }
  /** A rectangle with named pins on its sides, each with its number and a short lead. */
  chip(at: Box, text: readonly string[], pins: readonly ChipPin[]): void {
    this.shape(`M${fixed(at.x)} ${fixed(at.y)}h${fixed(at.w)}v${fixed(at.h)}h${fixed(-at.w)}Z`, "#fff")
    const mid = at.x + at.w / 2
    const y = at.y + at.h / 2 - 1.4 * (text.length - 1)
    text.forEach((t, i) => {
      this.text(mid, y + 2.8 * i + 0.8, t, i === 0 ? 2.6 : 2, "middle", i === 0)
    })
    for (const p of pins) {
      const left = p.side === "left"
      if (left || p.side === "right") {
        const edge = left ? at.x : at.x + at.w
        const out = edge + (left ? -p.lead : p.lead)
        this.line(edge, p.at, out, p.at)
        this.text(edge + (left ? 1 : -1), p.at + 0.7, p.name, 1.9, left ? "start" : "end")
        this.text(edge + (left ? -0.8 : 0.8), p.at - 0.6, p.number, 1.6, left ? "end" : "start")
      } else {
        const edge = p.side === "top" ? at.y : at.y + at.h
        this.line(p.at, edge, p.at, edge + (p.side === "top" ? -p.lead : p.lead))
        this.text(p.at, edge + (p.side === "top" ? 2.6 : -1), p.name, 1.9)
        this.text(p.at + 0.6, edge + (p.side === "top" ? -0.8 : 2), p.number, 1.6, "start")
      }
    }
  }
  /** A ring at the end of a level lead, its net's name beyond it. */
  end(x: number, y: number, net: string, side: "left" | "right"): void {
    const s = side === "left" ? -1 : 1
    this.out.push(`<circle cx="${fixed(x + s)}" cy="${fixed(y)}" r="1" fill="#fff"/>`)
    this.text(x + 2.6 * s, y + 0.8, net, 2.2, side === "left" ? "end" : "start")
  }
  /** Resonator with two built-in capacitors: plates about a bar, its middle on earth. */
  resonator(part: Part, x: number, top: number, bottom: number): { x: number; y: number } {
    const m = (top + bottom) / 2
    this.line(x, top, x, m - 2)
    this.line(x, m + 2, x, bottom)
    this.shape(`M${fixed(x - 2.4)} ${fixed(m - 2)}h4.8M${fixed(x - 2.4)} ${fixed(m + 2)}h4.8`)
    this.shape(`M${fixed(x - 2)} ${fixed(m - 1.1)}h4v2.2h-4Z`, "#fff")
    this.shape(`M${fixed(x - 4.4)} ${fixed(m - 4)}h8.8v8h-8.8Z`)
    this.line(x - 4.4, m, x - 8, m)
    this.text(x - 5.4, m - 3.4, `${part.ref} ${part.value}`, 2, "end")
    return { x: x - 8, y: m }
  }
  svg(height: number): string {
    return `<?xml version="1.0" encoding="UTF-8"?>\n${this.page(0, height, this.out)}\n`
  }
  /** The drawing on pages no higher than `most`, cut between its parts; a part that is higher has one to itself. */
  pages(height: number, most: number): string[] {
    const starts = [...this.begins, { mark: this.out.length, y: height }]
    const out: string[] = []
    let from = { mark: 0, y: 0 }
    for (const [k, next] of starts.entries()) {
      const after = starts[k + 1]
      if (next.y === from.y || (after && after.y - from.y <= most)) continue
      out.push(this.page(from.y, next.y - from.y, this.out.slice(from.mark, next.mark)))
      from = next
    }
    return out
  }
  private page(top: number, height: number, marks: readonly string[]): string {
    const [y, h] = [fixed(top), fixed(height)]
    return [
      `<svg xmlns="http://www.w3.org/2000/svg" width="${wide}mm" height="${h}mm" viewBox="0 ${y} ${wide} ${h}" font-family="Barlow, 'Segoe UI', 'Noto Sans', sans-serif" fill="none" stroke="#1c2529" stroke-width="0.3">`,
      "<title>Circuit</title>",
      `<rect y="${y}" width="${wide}" height="${h}" fill="#fff" stroke="none"/>`,
      ...marks,
      "</svg>",
    ].join("\n")
  }
}

/** Upper and lower net of a two-pin part. */
export function ends(part: Part): [string, string] {
  const { pins } = part
  if (part.kind === "clamp" || part.kind === "zener") return [pins.K ?? "", pins.A ?? ""]
  const [a, b] = Object.values(pins)
  return [pins.A ?? pins["+"] ?? a ?? "", pins.K ?? pins["-"] ?? b ?? ""]
}

/** LEDs carry their group's name; over its own columns the number says enough. */
export const short = (ref: string) => (/-\d+$/.test(ref) ? ref.replace(/^.*-(\d+)$/, "LED $1") : ref)
