// The circuit as a drawing, symbols in the style of IEC 60617: every string a column from its feed at the top to earth
// at the bottom; what stands apart from the strings is drawn part by part, its ends named by their nets. No two
// conductors cross.

import type { Circuit, LedString, Part } from "../3-drive/artefact.ts"
import { escapeXml, fixed } from "./scene.ts"

const cell = { w: 34, h: 36 } as const
const wide = 300
const margin = 10

export function circuitSvg(name: string, circuit: Circuit, warning?: string): string {
  const sheet = new Sheet()
  sheet.text(margin, 8, `${name}: circuit`, 5, "start", true)
  sheet.text(
    margin,
    14,
    "Ends with the same name are joined. The order of LEDs inside a string is as built; see the board drawings.",
    3,
    "start",
  )
  if (warning !== undefined) sheet.text(margin, 19, warning, 3, "start", true, "#c0281c")
  const drawn = new Set<string>()
  let y = 28
  for (const group of new Set(circuit.strings.map((s) => s.group))) {
    sheet.text(margin, y, group, 4.2, "start", true)
    y = drawGroup(sheet, circuit, group, y + 4, drawn)
  }
  const left = circuit.parts.filter((p) => !drawn.has(p.ref))
  if (left.length > 0) {
    sheet.text(margin, y, "Inputs, switches and controller", 4.2, "start", true)
    y = drawRest(sheet, circuit, left, y + 6)
  }
  return sheet.svg(y + margin)
}

/** Strings in rows of columns; each feed is a bar over its strings. */
function drawGroup(sheet: Sheet, circuit: Circuit, group: string, top: number, drawn: Set<string>): number {
  const part = new Map(circuit.parts.map((p) => [p.ref, p]))
  const strings = circuit.strings.filter((s) => s.group === group)
  const feedOf = (s: LedString, ref: string) =>
    Object.values(part.get(ref)!.pins).find((n) => !s.nets.includes(n)) ?? s.nets[0]!
  const longest = Math.max(...strings.map((s) => s.leds.length))
  // Room for the resistors that come in beside a column.
  const column = 17 + 9 * (Math.max(...strings.map((s) => s.resistors.length)) - 1)
  const height = 62 + 13 * longest
  const perRow = Math.floor((wide - 2 * margin) / column)
  // The further feeds, each with a letter where there are several.
  const further = [...new Set(strings.flatMap((s) => s.resistors.slice(1).map((ref) => feedOf(s, ref))))]
  const letterOf = (net: string) => (further.length > 1 ? String(further.indexOf(net) + 1) : "")
  // A row is filled with whole bars where they fit.
  let x = margin
  let y = top
  let k = 0
  while (k < strings.length) {
    const feed = feedOf(strings[k]!, strings[k]!.resistors[0]!)
    const same = strings.slice(k).findIndex((s) => feedOf(s, s.resistors[0]!) !== feed)
    const count = Math.min(same < 0 ? strings.length - k : same, perRow - 1)
    const diodes = circuit.parts.filter((p) => p.kind === "diode" && p.pins.K === feed)
    const width = column * (Math.max(1, diodes.length) + count)
    if (x + width > wide - margin && x > margin) {
      x = margin
      y += height
    }
    const bar = y + 20
    // Its wires come in from the left, each through its diode.
    diodes.forEach((d, i) => {
      drawn.add(d.ref)
      sheet.flag(x + 6 + i * column, y + 3, d.pins.A!)
      sheet.twoPin(d, x + 6 + i * column, y + 4, bar)
      sheet.dot(x + 6 + i * column, bar)
    })
    const first = x + column * Math.max(1, diodes.length) + 6
    if (diodes.length === 0) sheet.flag(x + 6, bar - 2, feed)
    const end = first + (count - 1) * column
    sheet.line(x + 6, bar, Math.max(end, x + 6), bar)
    sheet.text(first - 2, bar - 1.4, feed, 2.2, "start")
    const earth = y + height - 13
    let grounded = false
    strings.slice(k, k + count).forEach((s, i) => {
      const cx = first + i * column
      const joint = bar + 18
      sheet.dot(cx, bar)
      const [own, ...others] = s.resistors
      drawn.add(own!)
      sheet.twoPin(part.get(own!)!, cx, bar, joint, others.length > 0)
      others.forEach((ref, o) => {
        // A further feed comes in beside the column and is named, so that its bar need not cross this one.
        drawn.add(ref)
        const ox = cx + 8 * (o + 1)
        sheet.flag(ox, bar + 4.2, letterOf(feedOf(s, ref)))
        sheet.twoPin(part.get(ref)!, ox, bar + 5.2, joint)
        sheet.line(ox, joint, cx, joint)
        sheet.dot(cx, joint)
      })
      s.leds.forEach((ref, n) => {
        drawn.add(ref)
        sheet.twoPin(part.get(ref)!, cx, joint + 13 * n, joint + 13 * (n + 1))
      })
      const foot = joint + 13 * s.leds.length
      if (s.nets[s.nets.length - 1] === circuit.earth) {
        sheet.line(cx, foot, cx, earth)
        sheet.dot(cx, earth)
        grounded = true
      } else {
        sheet.line(cx, foot, cx, foot + 2)
        sheet.flag(cx, foot + 6.4, s.nets[s.nets.length - 1]!, true)
      }
    })
    if (grounded) {
      sheet.line(first, earth, end, earth)
      sheet.earth(first, earth)
    }
    x += width + 4
    k += count
  }
  y += height
  // The further feeds once, with their diodes.
  const row = further.flatMap((net) => circuit.parts.filter((p) => p.kind === "diode" && p.pins.K === net))
  if (row.length === 0) return y
  const words =
    further.length > 1
      ? `The right-hand resistors of the columns hang on: ${further.map((net, i) => `${i + 1} ${net}`).join(", ")}`
      : "The right-hand resistor of every column hangs on:"
  sheet.text(margin, y - 3, words, 2.8, "start")
  row.forEach((d, i) => {
    drawn.add(d.ref)
    sheet.named(d, margin + 14 + i * cell.w, y)
  })
  return y + cell.h
}

/** Two-pin parts in a grid, then the parts with many pins as boxes with the net of every pin. */
function drawRest(sheet: Sheet, circuit: Circuit, parts: readonly Part[], top: number): number {
  const small = parts.filter((p) => Object.keys(p.pins).length === 2)
  const big = parts.filter((p) => Object.keys(p.pins).length > 2)
  const perRow = Math.floor((wide - 2 * margin) / cell.w)
  small.forEach((p, i) => {
    sheet.named(p, margin + 14 + (i % perRow) * cell.w, top + Math.floor(i / perRow) * cell.h, circuit.earth)
  })
  let y = top + Math.ceil(small.length / perRow) * cell.h
  let x = margin
  let tallest = 0
  for (const p of big) {
    const signals = circuit.controller === p.ref ? circuit.signals.map((s) => ["pin as placed", s.net]) : []
    const pins = [...Object.entries(p.pins).sort(([a], [b]) => Number(a) - Number(b)), ...signals]
    const w = 64
    const h = 9 + 3.6 * pins.length
    if (x + w > wide - margin) {
      x = margin
      y += tallest + 8
      tallest = 0
    }
    sheet.box(x, y, w - 24, h, `${p.ref} ${p.value}`)
    pins.forEach(([pin, net], i) => {
      const py = y + 8 + 3.6 * i
      sheet.text(x + w - 26, py + 0.8, pin!, 2.2, "end")
      sheet.line(x + w - 24, py, x + w - 20, py)
      sheet.text(x + w - 19, py + 0.8, net!, 2.2, "start")
    })
    x += w + 4
    tallest = Math.max(tallest, h)
  }
  return y + tallest
}

class Sheet {
  private readonly out: string[] = []

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
  /** Vertical, anode or plus on top. */
  twoPin(part: Part, x: number, top: number, bottom: number, leftLabel = false): void {
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
      const up = part.kind === "clamp" || part.kind === "zener"
      const s = up ? -1 : 1
      this.shape(`M${at(-2.2, -2.2 * s)}h4.4L${at(0, 2.2 * s)}Z`, "#fff")
      this.shape(`M${at(-2.2, 2.2 * s)}h4.4${up ? "v1" : ""}`)
      this.line(x, m - 2.2, x, m + 2.2)
      if (part.kind === "led")
        this.shape(`M${at(-2.6, -1.6)}l-1.8 -1.8m0 1.1v-1.1h1.1M${at(-2.9, 0.4)}l-1.8 -1.8m0 1.1v-1.1h1.1`)
    }
    const [lx, anchor] = leftLabel ? [x - 2, "end" as const] : [x + 2.8, "start" as const]
    this.text(lx, m - 0.4, short(part.ref), 2, anchor)
    if (part.kind !== "led") this.text(lx, m + 2, part.value, 1.8, anchor)
  }
  svg(height: number): string {
    return [
      '<?xml version="1.0" encoding="UTF-8"?>',
      `<svg xmlns="http://www.w3.org/2000/svg" width="${wide}mm" height="${fixed(height)}mm" viewBox="0 0 ${wide} ${fixed(height)}" font-family="Barlow, 'Segoe UI', 'Noto Sans', sans-serif" fill="none" stroke="#1c2529" stroke-width="0.3">`,
      "<title>Circuit</title>",
      `<rect width="${wide}" height="${fixed(height)}" fill="#fff" stroke="none"/>`,
      ...this.out,
      "</svg>",
      "",
    ].join("\n")
  }
}

/** Upper and lower net of a two-pin part. */
function ends(part: Part): [string, string] {
  const { pins } = part
  if (part.kind === "clamp" || part.kind === "zener") return [pins.K ?? "", pins.A ?? ""]
  const [a, b] = Object.values(pins)
  return [pins.A ?? pins["+"] ?? a ?? "", pins.K ?? pins["-"] ?? b ?? ""]
}

/** LEDs carry their group's name; over its own columns the number says enough. */
const short = (ref: string) => (/-\d+$/.test(ref) ? ref.replace(/^.*-(\d+)$/, "LED $1") : ref)
