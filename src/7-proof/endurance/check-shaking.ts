// Does it bear shaking: the board's first resonance between its screws against engine and road, with more screws and
// thicker laminate tried out. Rules of thumb.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import type { Finding } from "../../0-ground/finding.ts"
import { contains, signedArea } from "../../0-ground/geometry/polygon.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import { practice } from "../../0-ground/source.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import { given, nothingTold, readOff, type Told } from "../told.ts"
import { endurance } from "./endurance-findings.ts"
import { firstResonance, type Sheet } from "./plate-resonance.ts"
import { allowedDisplacement, neededResonance } from "./steinberg.ts"

const memory = (document: string) => ({ document, known: "memory", confidence: "M" }) as const

const sheetMatter = {
  FR4: { modulus: 18.6, density: 1850 },
  FR1: { modulus: 7, density: 1350 },
} as const
const poisson = 0.14
const laminate = memory("typical values of copper-clad laminate")
const body = fact(
  "endurance.part-density",
  "mean density of a part's body",
  1.5,
  "g/cm³",
  practice("plastic, ceramic and metal mixed: rule of thumb, no source"),
)
const engine = fact(
  "endurance.engine-speed",
  "turning speed of a small engine at full speed",
  8000,
  "/min",
  practice("rule of thumb, no source"),
)
const road = fact(
  "endurance.road",
  "fastest shaking that wheels and frame pass on from the road",
  30,
  "Hz",
  practice("wheels hop at 10…15 Hz, frames ring up to some 30 Hz: rule of thumb, no source"),
)
const shake = fact(
  "endurance.shake",
  "shake of the whole lamp on the road",
  5,
  "g",
  practice("rule of thumb, no source"),
)
/** A sheet an octave above what shakes it hardly swings more than its screws do (Steinberg's octave rule, memory). */
const octave = 2
const limit = (octave * engine.value) / 60
const mostScrews = 4

export function checkShaking(lamp: Lamp, board: Board): Told {
  if (board.screws.length === 0) return loose(board)
  const { base, thickness } = lamp.copperClad
  const { modulus, density } = sheetMatter[base]
  const volume = board.parts.reduce(
    (s, p) => s + (p.body.length < 3 ? 0 : Math.abs(signedArea(p.body)) * p.height),
    0,
  )
  const area = Math.abs(signedArea(board.outline))
  const grams = (volume * body.value) / 1000
  const sheetOf = (mm: number): Sheet => ({
    modulus: modulus * 1e9,
    poisson,
    thickness: mm / 1000,
    massPerArea: (density * mm) / 1000 + grams / 1000 / (area * 1e-6),
  })
  // A head or spacer clamps the board: four points of its rim stand still.
  const rim = (s: { readonly x: number; readonly y: number; readonly keepOut: number }) =>
    [0, 1, 2, 3].map((k) => ({
      x: s.x + (s.keepOut - 0.5) * Math.cos((k * Math.PI) / 2),
      y: s.y + (s.keepOut - 0.5) * Math.sin((k * Math.PI) / 2),
    }))
  const held = board.screws.flatMap(rim)
  const first = firstResonance(sheetOf(thickness), board.outline, held)
  if (!first) return loose(board)
  const id = (name: string) => `endurance.${board.name}.${name}`
  const figure = result(
    id("resonance"),
    `first resonance of ${board.name}`,
    first.frequency,
    "Hz",
    "least root of bending energy ÷ moving energy over shapes that stand still round the screws (Ritz's method), edges free",
    [
      fact(`endurance.${base}.modulus`, `stiffness of ${base}`, modulus, "GPa", laminate),
      fact(`endurance.${base}.density`, `density of ${base}`, density, "kg/m³", laminate),
      given("copper-clad.thickness", "thickness of the board", thickness, "mm"),
      result(id("parts"), `parts of ${board.name}`, grams, "g", "volume of the bodies × mean density", [
        fact(
          id("bodies"),
          "volume of the bodies",
          volume / 1000,
          "cm³",
          readOff(`board ${board.name}`, "body outlines × heights"),
        ),
        body,
      ]),
      fact(id("screws"), "screws", board.screws.length, "", readOff(`board ${board.name}`)),
      fact(
        id("area"),
        `area of ${board.name}`,
        area / 100,
        "cm²",
        readOff(`board ${board.name}`, "its outline"),
      ),
    ],
  )
  const at = (mm: number, more: readonly Place[] = []) =>
    firstResonance(sheetOf(mm), board.outline, [...held, ...more.flatMap(rim)])?.frequency ?? 0
  // Dual-in-line leads reach through 2.4 mm at most.
  const thicker = (board.parts.some((p) => p.package.startsWith("dip-")) ? [2, 2.4] : [2, 2.4, 3.2]).filter(
    (mm) => mm > thickness,
  )
  const laminateThat = (does: (frequency: number, mm: number) => boolean): Remedy[] =>
    thicker
      .map((mm) => ({ mm, frequency: at(mm) }))
      .filter(({ mm, frequency }) => does(frequency, mm))
      .slice(0, 1)
      .map(({ mm, frequency }) => ({
        says: `Make the boards from ${mm} mm copper-clad.`,
        changes: [{ path: "copper-clad.thickness", value: `${mm} mm` }],
        gives: { value: frequency, unit: "Hz" },
      }))
  const where = { text: board.name, board: board.name, path: `boards.${board.name}` }
  const advised = first.frequency < limit ? screwsThat(limit) : undefined
  const judge = (
    code: "resonance" | "road-resonance",
    what: string,
    least: number,
    source: Figure,
  ): Finding =>
    endurance.judge(code, {
      title: `Rule of thumb: first resonance of ${board.name} on its ${board.screws.length} screws, an octave above ${what}`,
      where,
      ...measuredBy(figure),
      limit: { value: least, unit: "Hz", kind: "at least" },
      atWorst: "amber",
      amberBelow: 0,
      source: source.source!,
      ...(first.frequency < least
        ? {
            advice: [advised, endurance.entries[code].advice].filter((w) => w).join(" "),
            remedies: laminateThat((f) => f >= least),
          }
        : {}),
    })
  const swing = partSwing(board, figure, thickness, laminateThat, screwsThat)
  return {
    figures: [figure, engine, road, ...swing.figures],
    findings: [
      judge("resonance", `${engine.value} turns a minute of the engine`, limit, engine),
      judge("road-resonance", `the ${road.value} Hz of the road`, octave * road.value, road),
      ...swing.findings,
    ],
  }

  /** Screws with spacers, one after the other where a free place of the board moves farthest, until they do. */
  function screwsThat(least: number): string {
    const free = freePlaces(board)
    const more: Place[] = []
    let now = first!
    while (now.frequency < least && more.length < mostScrews) {
      const left = free.filter((p) => more.every((q) => Math.hypot(p.x - q.x, p.y - q.y) > 2 * p.keepOut))
      const spot = left.reduce<Place | undefined>(
        (a, b) => (a && now.moves(a.x, a.y) >= now.moves(b.x, b.y) ? a : b),
        undefined,
      )
      if (!spot) break
      const next = firstResonance(sheetOf(thickness), board.outline, [
        ...held,
        ...[...more, spot].flatMap(rim),
      ])
      if (!next || next.frequency <= now.frequency) break
      more.push(spot)
      now = next
    }
    if (more.length === 0) return ""
    const places = more.map((p) => `x ${p.x.toFixed(0)}, y ${p.y.toFixed(0)} mm`).join("; ")
    return `${more.length === 1 ? "One more screw and spacer" : `${more.length} more screws and spacers`} at ${places} (board seen from its copper side) ${more.length === 1 ? "raises" : "raise"} it to ${now.frequency.toFixed(0)} Hz${now.frequency < least ? ", which is not yet enough" : ""}.`
  }
}

/** Held by nothing that the description knows but the leads of its LEDs. */
function loose(board: Board): Told {
  const leds = board.parts.filter((p) => p.kind === "led").length
  return {
    figures: [],
    findings: [
      endurance.state("unheld", {
        severity: "green",
        title: `Rule of thumb: ${board.name} has ${board.screws.length === 0 ? "no screws" : "too few screws to be held by"}; ${leds > 0 ? `the leads of its ${leds} LEDs carry it` : "nothing described carries it"}, and its resonance is not computed`,
        where: { text: board.name, board: board.name, path: `boards.${board.name}` },
        source: practice("rule of thumb, no source"),
      }),
    ],
  }
}

/** The longest dual-in-line part; the board's shorter edge and the middle of the board are the cautious reading. */
function partSwing(
  board: Board,
  resonance: Figure,
  thickness: number,
  laminateThat: (does: (frequency: number, mm: number) => boolean) => Remedy[],
  screwsThat: (least: number) => string,
): Told {
  const parts = board.parts
    .filter((p) => p.package.startsWith("dip-") && p.body.length > 0)
    .map((p) => ({
      ref: p.ref,
      length: Math.max(...p.body.flatMap((a) => p.body.map((b) => Math.max(b.x - a.x, b.y - a.y)))),
    }))
    .sort((a, b) => b.length - a.length)
  const part = parts[0]
  if (!part) return nothingTold()
  const edge = Math.min(board.size.w, board.size.h)
  const id = (name: string) => `endurance.${board.name}.${name}`
  const need = (mm: number) => neededResonance(shake.value, allowedDisplacement(edge, mm, part.length))
  const needed = result(
    id("part-swing.needed"),
    `resonance from which ${part.ref} outlives a shake of ${shake.value} g`,
    need(thickness),
    "Hz",
    "(9.8 × shake × thickness × √part length ÷ (0.00022 × board edge))^⅔, lengths in inches; the board swings √frequency times the shake",
    [
      shake,
      given("copper-clad.thickness", "thickness of the board", thickness, "mm"),
      fact(
        id("part-swing.length"),
        `length of ${part.ref}`,
        part.length,
        "mm",
        readOff(`board ${board.name}`, part.ref),
      ),
      fact(id("part-swing.edge"), "shorter edge", edge, "mm", readOff(`board ${board.name}`, "its size")),
    ],
    { source: steinberg },
  )
  const finding = endurance.judge("part-swing", {
    title: `Rule of thumb: resonance of ${board.name} against what its longest part ${part.ref} outlives`,
    where: { text: `${board.name}, ${part.ref}`, board: board.name, part: part.ref },
    ...measuredBy(resonance),
    limit: { value: needed.value, unit: "Hz", kind: "at least" },
    atWorst: "amber",
    amberBelow: 0,
    source: steinberg,
    ...(resonance.value < needed.value
      ? {
          advice: [screwsThat(needed.value), endurance.entries["part-swing"].advice]
            .filter((w) => w)
            .join(" "),
          remedies: laminateThat((f, mm) => f >= need(mm)),
        }
      : {}),
  })
  return { findings: [finding], figures: [needed] }
}

const steinberg = memory("Steinberg, Vibration Analysis for Electronic Equipment: swing of parts")

interface Place {
  readonly x: number
  readonly y: number
  readonly keepOut: number
}

/** Places on a 4 mm grid where a screw head stays off lands, parts and tracks and inside the edge. */
function freePlaces(board: Board): Place[] {
  const keepOut = Math.max(...board.screws.map((s) => s.keepOut))
  const clear = (x: number, y: number) => (p: { readonly x: number; readonly y: number }) =>
    Math.hypot(p.x - x, p.y - y) > keepOut + 1.5
  const out: Place[] = []
  const points = [
    ...board.outline.flatMap((p, k) => between(p, board.outline[(k + 1) % board.outline.length]!)),
    ...board.lands,
    ...board.parts.flatMap((p) => p.body.flatMap((a, k) => between(a, p.body[(k + 1) % p.body.length]!))),
    ...board.parts,
    ...board.tracks.flatMap((t) => t.points.slice(1).flatMap((p, k) => between(t.points[k]!, p))),
    ...board.links.flatMap((l) => between(l.from, l.to)),
  ]
  const xs = board.outline.map((p) => p.x)
  const ys = board.outline.map((p) => p.y)
  for (let x = Math.min(...xs) + 4; x < Math.max(...xs); x += 4)
    for (let y = Math.min(...ys) + 4; y < Math.max(...ys); y += 4)
      if (contains(board.outline, { x, y }) && points.every(clear(x, y))) out.push({ x, y, keepOut })
  return out
}

/** Points every 2 mm from a to b. */
function between(a: { x: number; y: number }, b: { x: number; y: number }) {
  const n = Math.max(1, Math.ceil(Math.hypot(b.x - a.x, b.y - a.y) / 2))
  return Array.from({ length: n + 1 }, (_, k) => ({
    x: a.x + ((b.x - a.x) * k) / n,
    y: a.y + ((b.y - a.y) * k) / n,
  }))
}
