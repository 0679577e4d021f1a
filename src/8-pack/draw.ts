// The lamp's drawings as scenes: the face from the road, each board from its copper side and its component side,
// its drill pattern and its cut. Pure data in the frame's own millimetres; nothing here is scaled or moved.

import type { Point } from "../0-ground/geometry/point.ts"
import { boundingBox } from "../0-ground/geometry/polygon.ts"
import type { Face, Group } from "../2-lamp/artefact.ts"
import type { Board, Land, PlacedPart } from "../5-board/artefact.ts"
import type { BoardCopper } from "../6-copper/artefact.ts"
import { letterWidth, placeLabels } from "./place-labels.ts"
import type { Mark, Scene } from "./scene.ts"

export { depthPlot } from "./depth-plot.ts"
export { drawAsCut } from "./draw-as-cut.ts"
export { drawSheet } from "./draw-sheet.ts"
export { surfaceSvg } from "./draw-surface.ts"
export { colours, looks, seenColour, seenFrom, times } from "./light/seen-drawing.ts"
export type { Mark, Role, Scene } from "./scene.ts"
export { sceneElement, sceneSvg } from "./scene.ts"

/** A check bar must measure this on paper; if it does not, nothing may be drilled from the print. */
export const checkBar = 80
const gap = 5

/** The face as seen from the road. */
export function drawFace(face: Face, groups: readonly Group[]): Scene {
  const refs = new Map(
    groups.filter((g) => g.face === face.name).flatMap((g) => g.leds.map((l) => [l.hole.id, l.ref])),
  )
  const marks: Mark[] = [
    { kind: "ring", role: "edge", points: face.outline, id: "edge" },
    ...face.windows.map((points): Mark => ({ kind: "ring", role: "window", points })),
    ...face.ledHoles.flatMap((h) => holeMarks(h, "led-hole", refs.get(h.id) ?? `${h.id} (no LED)`, h.id)),
    ...face.screwHoles.flatMap((h) => holeMarks(h, "screw", h.id, h.id)),
  ]
  return withBars({
    title: `Face ${face.name}, 1:1`,
    view: `Seen from the road. ${face.metal} ${face.thickness} mm, LED holes ${face.hole} mm.`,
    mirrored: false,
    outline: face.outline,
    marks,
  })
}

function holeMarks(
  h: { readonly x: number; readonly y: number; readonly diameter: number },
  role: "led-hole" | "screw",
  text: string,
  id: string,
): Mark[] {
  return [
    { kind: "disc", role, x: h.x, y: h.y, diameter: h.diameter, id },
    ...centreCross(h, h.diameter / 2 + 0.8),
    {
      kind: "text",
      role: "label",
      x: h.x,
      y: h.y - h.diameter / 2 - 1.6,
      text,
      size: letterSize(text, 10, 1.8),
    },
  ]
}

const centreCross = (p: Point, half: number): Mark[] => [
  {
    kind: "line",
    role: "bar",
    width: 0.1,
    points: [
      { x: p.x - half, y: p.y },
      { x: p.x + half, y: p.y },
    ],
  },
  {
    kind: "line",
    role: "bar",
    width: 0.1,
    points: [
      { x: p.x, y: p.y - half },
      { x: p.x, y: p.y + half },
    ],
  },
]

/** Lands, tracks and links as they lie on the mill: the copper towards you. */
export function drawCopperSide(board: Board, copper: BoardCopper | undefined): Scene {
  const marks: Mark[] = [
    ...(copper?.islands ?? []).map((i): Mark => ({ kind: "ring", role: "copper", points: i.ring })),
    { kind: "ring", role: "edge", points: board.outline, id: "edge" },
    ...board.tracks.map((t): Mark => ({ kind: "line", role: "track", points: t.points, width: t.width })),
    ...board.lands.flatMap(landMarks),
    ...board.screws.map((s): Mark => ({ kind: "disc", role: "screw", x: s.x, y: s.y, diameter: s.diameter })),
    ...slotMarks(board),
    ...polarityLetters(board),
    ...outerNames(
      board,
      board.parts.filter((p) => p.kind === "led" || p.kind === "pad"),
    ),
  ]
  return framed({
    title: `Board ${board.name}, copper side, 1:1`,
    view: "Seen from the COPPER side, as it lies on the mill and as you solder it. A = anode, K = cathode (flat side).",
    mirrored: false,
    outline: board.outline,
    marks,
  })
}

/** Where the parts stand: the components towards you, copper below. */
export function drawComponentSide(board: Board): Scene {
  const marks: Mark[] = [
    { kind: "ring", role: "edge", points: board.outline, id: "edge" },
    ...board.screws.map((s): Mark => ({ kind: "disc", role: "screw", x: s.x, y: s.y, diameter: s.diameter })),
    ...slotMarks(board),
    ...board.lands.flatMap((l): Mark[] => [
      { kind: "disc", role: "hole", x: l.x, y: l.y, diameter: l.hole },
      // A cathode's hole is solid.
      ...(l.pin === "K"
        ? [{ kind: "disc", role: "label", x: l.x, y: l.y, diameter: l.hole + 0.3 } as const]
        : []),
    ]),
    ...board.links.flatMap((l): Mark[] => [
      { kind: "line", role: "link", points: [l.from, l.to], width: 0.5, id: l.ref },
      {
        kind: "text",
        role: "label",
        x: (l.from.x + l.to.x) / 2,
        y: (l.from.y + l.to.y) / 2 + 1,
        text: l.ref,
        size: 1.5,
      },
    ]),
    ...board.parts.flatMap((p) => partMarks(p, board)),
    ...polarityLetters(board),
    ...outerNames(
      board,
      board.parts.filter((p) => bodyText(p).length === 0),
    ),
  ]
  return framed({
    title: `Board ${board.name}, component side, 1:1`,
    view: "Seen from the COMPONENT side: put the parts in from here. K (cathode): solid hole, flat side of an LED, band of a diode.",
    mirrored: true,
    outline: board.outline,
    marks,
  })
}

/** What you see while you solder: lands in front, the parts behind the board as broken lines. */
export function drawSolderSide(board: Board): Scene {
  const behind = (m: Mark): Mark => (m.role === "body" && m.kind === "ring" ? { ...m, role: "behind" } : m)
  const marks: Mark[] = [
    { kind: "ring", role: "edge", points: board.outline, id: "edge" },
    ...board.screws.map((s): Mark => ({ kind: "disc", role: "screw", x: s.x, y: s.y, diameter: s.diameter })),
    ...slotMarks(board),
    ...board.parts.flatMap((p) => partMarks(p, board).map(behind)),
    ...board.links.map((l): Mark => ({ kind: "line", role: "behind", points: [l.from, l.to], width: 0.4 })),
    ...board.lands.flatMap((l): Mark[] => {
      const width = Math.min(l.w, l.h)
      // A cathode's land is solid, any other an open ring.
      return [
        { kind: "disc", role: l.pin === "K" ? "label" : "hole", x: l.x, y: l.y, diameter: width },
        { kind: "disc", role: "hole", x: l.x, y: l.y, diameter: l.hole },
      ]
    }),
    ...polarityLetters(board),
    ...outerNames(
      board,
      board.parts.filter((p) => bodyText(p).length === 0),
    ),
  ]
  return framed({
    title: `Board ${board.name}, solder side, 1:1`,
    view: "Seen from the SOLDER side, parts behind. K (cathode): solid land, flat side of an LED, band of a diode.",
    mirrored: false,
    outline: board.outline,
    marks,
  })
}

/** Hole centres to prick through paper, from the copper side. */
export function drawDrills(board: Board): Scene {
  const holes = [
    ...board.lands.map((l) => ({ x: l.x, y: l.y, diameter: l.hole })),
    ...board.screws.map((s) => ({ x: s.x, y: s.y, diameter: s.diameter })),
  ]
  const count = new Map<number, number>()
  for (const h of holes) count.set(h.diameter, (count.get(h.diameter) ?? 0) + 1)
  const list = [...count].sort(([a], [b]) => a - b).map(([d, n]) => `${n} × ${d} mm`)
  const marks: Mark[] = [
    { kind: "ring", role: "edge", points: board.outline, id: "edge" },
    ...holes.flatMap((h): Mark[] => [
      { kind: "disc", role: "hole", x: h.x, y: h.y, diameter: h.diameter },
      ...centreCross(h, h.diameter / 2 + 0.3),
    ]),
  ]
  return withBars({
    title: `Board ${board.name}, drill pattern, 1:1`,
    view: `Seen from the COPPER side. ${list.join(", ")}. Both bars must measure ${checkBar} mm on paper.`,
    mirrored: false,
    outline: board.outline,
    marks,
  })
}

/** What the engraver removes, at its true width, and the copper that stays. */
export function drawCut(board: Board, copper: BoardCopper): Scene {
  return framed({
    title: `Board ${board.name}, grooves, 1:1`,
    view: `Seen from the COPPER side. Grooves ${copper.grooveWidth.toFixed(3)} mm wide at the surface, ${copper.depth} mm deep.`,
    mirrored: false,
    outline: board.outline,
    marks: [
      ...copper.islands.map((i): Mark => ({ kind: "ring", role: "copper", points: i.ring })),
      { kind: "ring", role: "edge", points: board.outline, id: "edge" },
      ...copper.grooves.map(
        (g): Mark => ({ kind: "line", role: "groove", points: g.points, width: copper.grooveWidth }),
      ),
      ...board.lands.map((l): Mark => ({ kind: "disc", role: "hole", x: l.x, y: l.y, diameter: l.hole })),
    ],
  })
}

/** Slots as the router leaves them. */
const slotMarks = ({ slots = [] }: Board): Mark[] =>
  slots.map(({ from, to, width }) => ({
    kind: "line",
    role: "bore",
    width,
    // A stroke needs some length for its round ends to show everywhere.
    points: [from, { x: to.x + (from.x === to.x && from.y === to.y ? 1e-3 : 0), y: to.y }],
  }))

/** A land as a stroke with round ends: a stadium w × h turned by its rotation. */
function landMarks(l: Land): Mark[] {
  const width = Math.min(l.w, l.h)
  const half = (Math.max(l.w, l.h) - width) / 2
  const angle = ((l.rotation + (l.w >= l.h ? 0 : 90)) * Math.PI) / 180
  const [dx, dy] = [half * Math.cos(angle), half * Math.sin(angle)]
  return [
    {
      kind: "line",
      role: "land",
      width,
      // A stroke needs some length for its round ends to show everywhere.
      points: [
        { x: l.x - dx, y: l.y - dy },
        { x: l.x + dx + (half === 0 ? 1e-3 : 0), y: l.y + dy },
      ],
    },
    { kind: "disc", role: "hole", x: l.x, y: l.y, diameter: l.hole },
  ]
}

function landOf(board: Board, ref: string, pin: string): Land | undefined {
  return board.lands.find((l) => l.ref === ref && l.pin === pin)
}

/** A and K beside the lands of everything that has them, + beside a plus: no colour is needed to read them. */
function polarityLetters(board: Board): Mark[] {
  return board.lands.flatMap((l): Mark[] => {
    if (!["A", "K", "+"].includes(l.pin)) return []
    const other = board.lands.find((o) => o.ref === l.ref && o.pin !== l.pin)
    const [dx, dy] = other ? unit(other, l) : [0, 1]
    const part = board.parts.find((p) => p.ref === l.ref)
    // Outside the rim, so that the flat stays whole.
    const rim = part?.kind === "led" ? (boundingBox(part.body).maxX - boundingBox(part.body).minX) / 2 : 0
    const from = part?.kind === "led" ? middle(part.body) : l
    const off = Math.max(rim, Math.max(l.w, l.h) / 2) + 1
    return [
      { kind: "text", role: "label", x: from.x + dx * off, y: from.y + dy * off, text: l.pin, size: 1.7 },
    ]
  })
}

function partMarks(part: PlacedPart, board: Board): Mark[] {
  const marks: Mark[] = []
  const anode = landOf(board, part.ref, "A")
  const cathode = landOf(board, part.ref, "K")
  if (part.kind === "led" && anode && cathode) marks.push(...ledBody(part, unit(anode, cathode)))
  else {
    marks.push({ kind: "ring", role: "body", points: part.body })
    if (anode && cathode) marks.push(...band(part, anode, cathode))
    const first = landOf(board, part.ref, "1")
    const many = board.lands.filter((l) => l.ref === part.ref).length > 2
    if (first && many) marks.push({ kind: "disc", role: "polarity", x: first.x, y: first.y, diameter: 2.2 })
  }
  marks.push(...bodyText(part))
  return marks
}

/** The rim of an LED with the flat that marks its cathode, drawn heavy. */
function ledBody(part: PlacedPart, [dx, dy]: readonly [number, number]): Mark[] {
  const c = middle(part.body)
  const r = Math.max(...part.body.map((p) => Math.hypot(p.x - c.x, p.y - c.y)))
  // The flat of a 5 mm LED stands about 0.86 of the rim's radius from the middle (outline drawing).
  const flat = 0.86
  const toward = Math.atan2(dy, dx)
  const half = Math.acos(flat)
  const sides = 40
  const rim: Point[] = Array.from({ length: sides + 1 }, (_, i) => {
    const a = toward + half + ((2 * Math.PI - 2 * half) * i) / sides
    return { x: c.x + r * Math.cos(a), y: c.y + r * Math.sin(a) }
  })
  return [
    { kind: "ring", role: "body", points: rim },
    {
      kind: "line",
      role: "polarity",
      width: 0.45,
      points: [rim[0]!, rim[rim.length - 1]!],
      id: `flat-${part.ref}`,
    },
  ]
}

/** The band of a diode: across the body, near its cathode. */
function band(part: PlacedPart, anode: Land, cathode: Land): Mark[] {
  const [dx, dy] = unit(anode, cathode)
  const c = middle(part.body)
  const reach = (ux: number, uy: number) =>
    Math.max(...part.body.map((p) => (p.x - c.x) * ux + (p.y - c.y) * uy))
  const along = reach(dx, dy) * 0.7
  const across = reach(-dy, dx)
  const at = { x: c.x + dx * along, y: c.y + dy * along }
  return [
    {
      kind: "line",
      role: "polarity",
      width: 0.6,
      points: [
        { x: at.x - dy * across, y: at.y + dx * across },
        { x: at.x + dy * across, y: at.y - dx * across },
      ],
      id: `band-${part.ref}`,
    },
  ]
}

/** What can still be read on paper, mm. */
const smallest = 1.2

/** Name and value along the body's longer side: both, or the name alone; nothing when not even that can be read. */
function bodyText(part: PlacedPart): Mark[] {
  if (part.kind === "led" || part.kind === "pad") return []
  const { centre, long, short, turn } = along(part.body)
  const text = (words: string, size: number, down: number): Mark => {
    const a = (turn * Math.PI) / 180
    return {
      kind: "text",
      role: "label",
      x: centre.x + down * Math.sin(a),
      y: centre.y - down * Math.cos(a),
      text: words,
      size,
      turn,
    }
  }
  const fitted = (words: string, high: number) =>
    Math.min(1.7, short * high, (long * 0.92) / (letterWidth * words.length))
  const both = `${part.ref} ${part.value}`.trim()
  if (fitted(both, 0.8) >= smallest) return [text(both, fitted(both, 0.8), 0)]
  const size = Math.min(fitted(part.ref, 0.42), fitted(part.value, 0.42))
  if (part.value !== "" && size >= smallest)
    return [text(part.ref, size, -short * 0.2), text(part.value, size, short * 0.22)]
  return fitted(part.ref, 0.8) >= smallest ? [text(part.ref, fitted(part.ref, 0.8), 0)] : []
}

/** A body's middle and its sides, the longer one and where it points. */
function along(ring: readonly Point[]) {
  const centre = middle(ring)
  if (ring.length !== 4) {
    const { minX, maxX } = boundingBox(ring)
    return { centre, long: maxX - minX, short: maxX - minX, turn: 0 }
  }
  const [p, q, r] = [ring[0]!, ring[1]!, ring[2]!]
  const a = Math.hypot(q.x - p.x, q.y - p.y)
  const b = Math.hypot(r.x - q.x, r.y - q.y)
  const [from, to] = a >= b ? [p, q] : [q, r]
  return {
    centre,
    long: Math.max(a, b),
    short: Math.min(a, b),
    turn: (Math.atan2(to.y - from.y, to.x - from.x) * 180) / Math.PI,
  }
}

/** Names beside LEDs and wire pads, and of parts too small to carry theirs. A pad is named by its wire's net and colour. */
function outerNames(board: Board, parts: readonly PlacedPart[]): Mark[] {
  const taken = [
    ...board.lands.map((l) => around(l, Math.max(l.w, l.h) / 2)),
    ...board.parts.filter((p) => p.kind !== "pad").map((p) => boundingBox(p.body)),
    ...board.screws.map((s) => around(s, s.diameter / 2)),
    ...polarityLetters(board).flatMap((m) => (m.kind === "text" ? [around(m, 0.9)] : [])),
  ]
  const wanted = parts.map((p) => {
    const land = board.lands.find((l) => l.ref === p.ref)
    const { minX, minY, maxX, maxY } = boundingBox(p.body)
    return {
      text: p.kind === "pad" ? [land?.net ?? p.ref, ...p.value.split(", ").slice(1)].join(" ") : p.ref,
      at: middle(p.body),
      halfWidth: (maxX - minX) / 2,
      halfHeight: (maxY - minY) / 2,
    }
  })
  return placeLabels(wanted, taken, boundingBox(board.outline), 1.5)
}

const around = (p: Point, r: number) => ({ minX: p.x - r, minY: p.y - r, maxX: p.x + r, maxY: p.y + r })

const middle = (ring: readonly Point[]): Point => {
  const { minX, minY, maxX, maxY } = boundingBox(ring)
  return { x: (minX + maxX) / 2, y: (minY + maxY) / 2 }
}
function unit(a: Point, b: Point): [number, number] {
  const d = Math.hypot(b.x - a.x, b.y - a.y)
  return d === 0 ? [1, 0] : [(b.x - a.x) / d, (b.y - a.y) / d]
}
/** Letters no wider than the room, no smaller than can be printed. */
const letterSize = (text: string, room: number, size: number) =>
  Math.max(0.9, Math.min(size, room / (letterWidth * Math.max(1, text.length))))

interface Framed extends Omit<Scene, "box"> {
  readonly outline: readonly Point[]
}

function framed({ outline, ...scene }: Framed): Scene {
  const { minX, minY, maxX, maxY } = boundingBox(outline)
  return { ...scene, box: { minX: minX - gap, minY: minY - gap, maxX: maxX + gap, maxY: maxY + gap } }
}

/** Below and left of the outline: a bar in x and a bar in y, each to be measured on paper. */
function withBars({ outline, ...scene }: Framed): Scene {
  const { minX, minY, maxX, maxY } = boundingBox(outline)
  const y = minY - gap
  const x = minX - gap
  const tick = 1.5
  const bars: Mark[] = [
    {
      kind: "line",
      role: "bar",
      width: 0.2,
      points: [
        { x: minX, y },
        { x: minX + checkBar, y },
      ],
      id: "bar-x",
    },
    {
      kind: "line",
      role: "bar",
      width: 0.2,
      points: [
        { x, y: minY },
        { x, y: minY + checkBar },
      ],
      id: "bar-y",
    },
    ...[minX, minX + checkBar].map(
      (at): Mark => ({
        kind: "line",
        role: "bar",
        width: 0.2,
        points: [
          { x: at, y: y - tick },
          { x: at, y: y + tick },
        ],
      }),
    ),
    ...[minY, minY + checkBar].map(
      (at): Mark => ({
        kind: "line",
        role: "bar",
        width: 0.2,
        points: [
          { x: x - tick, y: at },
          { x: x + tick, y: at },
        ],
      }),
    ),
    { kind: "text", role: "label", x: minX + checkBar / 2, y: y - 2.4, text: `${checkBar} mm`, size: 2.4 },
    {
      kind: "text",
      role: "label",
      x: x - 0.6,
      y: minY + checkBar / 2,
      text: `${checkBar} mm`,
      size: 2.4,
      anchor: "end",
    },
  ]
  return {
    ...scene,
    marks: [...scene.marks, ...bars],
    box: {
      minX: x - 12,
      minY: y - gap,
      maxX: Math.max(maxX, minX + checkBar) + gap,
      maxY: Math.max(maxY, minY + checkBar) + gap,
    },
  }
}
