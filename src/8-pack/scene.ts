// A drawing as data: marks in the millimetres of their own frame, y up. Whoever shows it chooses the looks;
// `sceneSvg` writes it 1:1 for paper. The coordinates in the file are the frame's own: one group does all flipping.

import type { Point } from "../0-ground/geometry/point.ts"

/** What a mark stands for; looks follow from it. */
export type Role =
  | "edge"
  | "window"
  | "led-hole"
  | "screw"
  | "copper"
  | "track"
  | "land"
  | "hole"
  | "body"
  | "behind"
  | "polarity"
  | "link"
  | "groove"
  | "laminate"
  | "bare-copper"
  | "loose-copper"
  | "bore"
  | "fault"
  | "caution"
  | "bar"
  | "label"
  | "warning"

export type Mark =
  | {
      readonly kind: "ring"
      readonly role: Role
      readonly points: readonly Point[]
      /** Further rings, filled with the first by the even-odd rule. */
      readonly others?: readonly (readonly Point[])[]
      readonly id?: string
    }
  | {
      readonly kind: "line"
      readonly role: Role
      readonly points: readonly Point[]
      readonly width: number
      readonly id?: string
    }
  | {
      readonly kind: "disc"
      readonly role: Role
      readonly x: number
      readonly y: number
      readonly diameter: number
      readonly id?: string
    }
  | {
      readonly kind: "text"
      readonly role: Role
      readonly x: number
      readonly y: number
      readonly text: string
      /** Height of capitals is about 0.7 of it, mm. */
      readonly size: number
      readonly anchor?: "start" | "middle" | "end"
      /** Degrees counter-clockwise in the frame; 0 when absent. */
      readonly turn?: number
    }

export interface Scene {
  readonly title: string
  /** Which way one looks at it, in words. */
  readonly view: string
  /** Seen from the back of its frame: x runs to the left. */
  readonly mirrored: boolean
  /** What must be on the sheet, in the frame's millimetres. */
  readonly box: { readonly minX: number; readonly minY: number; readonly maxX: number; readonly maxY: number }
  readonly marks: readonly Mark[]
}

interface Look {
  readonly fill: string
  readonly stroke: string
  readonly width: number
  readonly dash?: string
}

const ink = "#1c2529"
const looks: Readonly<Record<Role, Look>> = {
  edge: { fill: "none", stroke: ink, width: 0.25 },
  window: { fill: "none", stroke: ink, width: 0.2, dash: "1.5 0.8" },
  "led-hole": { fill: "none", stroke: ink, width: 0.2 },
  screw: { fill: "none", stroke: ink, width: 0.2, dash: "0.8 0.5" },
  copper: { fill: "#ecd9c6", stroke: "none", width: 0 },
  track: { fill: "none", stroke: "#b5703c", width: 0 },
  land: { fill: "none", stroke: "#8a5128", width: 0 },
  hole: { fill: "#ffffff", stroke: ink, width: 0.1 },
  body: { fill: "none", stroke: ink, width: 0.15 },
  behind: { fill: "none", stroke: ink, width: 0.15, dash: "1 0.7" },
  polarity: { fill: "none", stroke: ink, width: 0.45 },
  link: { fill: "none", stroke: "#0b6e6e", width: 0.5 },
  groove: { fill: "none", stroke: "#0b6e6e", width: 0 },
  laminate: { fill: "#d8d6b4", stroke: ink, width: 0.15 },
  "bare-copper": { fill: "#c77f4a", stroke: "none", width: 0 },
  "loose-copper": { fill: "#dcae86", stroke: "none", width: 0 },
  bore: { fill: "#33383a", stroke: "#33383a", width: 0 },
  fault: { fill: "none", stroke: "#c0281c", width: 0.5 },
  caution: { fill: "none", stroke: "#9a6a00", width: 0.35, dash: "1.2 0.7" },
  bar: { fill: "none", stroke: ink, width: 0.2 },
  label: { fill: ink, stroke: "none", width: 0 },
  warning: { fill: "#c0281c", stroke: "none", width: 0 },
}

const margin = 4
const lineHeight = 4.2

/** A letter's width in its size, of the widest font that may stand in for ours; nothing is clipped at the edge. */
const letterWide = 0.58
/** Letters in a line of the head: no wider than the narrower paper. */
const longestLine = 88

/** Broken between words. */
function linesOf(text: string): string[] {
  const out: string[] = []
  for (const word of text.split(" ")) {
    const last = out.at(-1)
    if (last !== undefined && last.length + 1 + word.length <= longestLine)
      out[out.length - 1] = `${last} ${word}`
    else out.push(word)
  }
  return out
}

/** The whole SVG file, 1:1 in millimetres, with its title and view written above. */
export function sceneSvg(scene: Scene, warning?: string): string {
  return `<?xml version="1.0" encoding="UTF-8"?>\n${sceneElement(scene, warning)}\n`
}

/** The svg element alone, to stand inside a page. Every look is an attribute, so that no page style reaches in. */
export function sceneElement(scene: Scene, warning?: string): string {
  const { box, mirrored } = scene
  const texts = [
    { text: scene.title, size: 3.4, bold: true, red: false },
    ...linesOf(scene.view).map((text) => ({ text, size: 2.8, bold: false, red: false })),
    ...(warning === undefined ? [] : [{ text: warning, size: 2.8, bold: true, red: true }]),
  ]
  const widest = Math.max(box.maxX - box.minX, ...texts.map((t) => t.text.length * t.size * letterWide))
  const w = widest + 2 * margin
  const top = margin + texts.length * lineHeight
  const h = top + (box.maxY - box.minY) + margin
  // Frame → paper: x from the left edge (or mirrored from the right one), y down from the top.
  const tx = mirrored ? box.maxX + margin : margin - box.minX
  const ty = top + box.maxY
  const flip = mirrored ? "scale(-1 -1)" : "scale(1 -1)"
  const out = [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${fixed(w)}mm" height="${fixed(h)}mm" viewBox="0 0 ${fixed(w)} ${fixed(h)}" font-family="Barlow, 'Segoe UI', 'Noto Sans', sans-serif">`,
    `<title>${escapeXml(`${scene.title}. ${scene.view}`)}</title>`,
    ...texts.map(
      ({ text, size, bold, red }, i) =>
        `<text x="${margin}" y="${fixed(margin + (i + 0.7) * lineHeight)}" font-size="${size}" fill="${red ? looks.warning.fill : ink}"${bold ? ' font-weight="bold"' : ""}>${escapeXml(text)}</text>`,
    ),
    `<g id="drawing" transform="translate(${fixed(tx)} ${fixed(ty)}) ${flip}">`,
    ...scene.marks.map((m) => markElement(m, flip, mirrored)),
    "</g>",
    "</svg>",
  ]
  return out.join("\n")
}

function markElement(mark: Mark, flip: string, mirrored: boolean): string {
  const look = looks[mark.role]
  const id = "id" in mark && mark.id !== undefined ? ` id="${escapeXml(mark.id)}"` : ""
  const dash = look.dash === undefined ? "" : ` stroke-dasharray="${look.dash}"`
  const paint = `fill="${look.fill}" stroke="${look.stroke}" stroke-width="${look.width}"${dash}`
  switch (mark.kind) {
    case "ring":
      return `<path${id} d="${[mark.points, ...(mark.others ?? [])].map((r) => `M${pairs(r)}Z`).join("")}"${mark.others ? ' fill-rule="evenodd"' : ""} ${paint}/>`
    case "line":
      return `<path${id} d="M${pairs(mark.points)}" fill="none" stroke="${look.stroke}" stroke-width="${fixed(mark.width)}" stroke-linecap="round" stroke-linejoin="round"${dash}/>`
    case "disc":
      return `<circle${id} cx="${fixed(mark.x)}" cy="${fixed(mark.y)}" r="${fixed(mark.diameter / 2)}" ${paint}/>`
    case "text": {
      const turn = upright(mark.turn ?? 0, mirrored)
      const rotate = turn === 0 ? "" : ` rotate(${fixed(-turn)})`
      return `<text transform="translate(${fixed(mark.x)} ${fixed(mark.y)}) ${flip}${rotate}" y="${fixed(mark.size * 0.35)}" font-size="${fixed(mark.size)}" fill="${look.fill}" stroke="#ffffff" stroke-width="0.3" stroke-linejoin="round" paint-order="stroke" text-anchor="${mark.anchor ?? "middle"}">${escapeXml(mark.text)}</text>`
    }
  }
}

/** The angle at which a text is read, never upside down; seen from the back a turn runs the other way. */
function upright(turn: number, mirrored: boolean): number {
  const seen = mirrored ? -turn : turn
  const half = ((seen % 180) + 180) % 180
  return half > 90 ? half - 180 : half
}

const pairs = (points: readonly Point[]) => points.map((p) => `${fixed(p.x)} ${fixed(p.y)}`).join("L")

/** A tenth of a micrometre, no trailing zeros, never −0. */
export function fixed(n: number): string {
  const rounded = Math.round(n * 1e4) / 1e4
  return String(rounded === 0 ? 0 : rounded)
}

/** For text and attribute values in XML and HTML. Characters XML cannot hold become a question mark. */
export function escapeXml(text: string): string {
  let out = ""
  // Code points, so that a lone half of a surrogate pair shows itself.
  for (const c of text) out += entities[c] ?? (allowed(c.codePointAt(0)!) ? c : "?")
  return out
}

const entities: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
}

/** Char of XML 1.0, production 2. */
function allowed(code: number): boolean {
  if (code < 0x20) return code === 0x9 || code === 0xa || code === 0xd
  return code < 0xd800 || (code > 0xdfff && code !== 0xfffe && code !== 0xffff)
}
