// Does it last: heat in the closed housing, and the board's first resonance between its screws. Rules of thumb.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import { contains, signedArea } from "../../0-ground/geometry/polygon.ts"
import { practice } from "../../0-ground/source.ts"
import { leds } from "../../1-stock/leds.ts"
import { parts } from "../../1-stock/parts.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit, CornerState } from "../../3-drive/artefact.ts"
import type { Board, Boards } from "../../5-board/artefact.ts"
import { given, measuredOn, nothingTold, readOff, type Told, tell } from "../told.ts"
import { dewPoint, waterIn } from "./dew-point.ts"
import { endurance } from "./endurance-findings.ts"
import { firstResonance, type Sheet } from "./plate-resonance.ts"
import { allowedDisplacement, neededResonance } from "./steinberg.ts"

const memory = (document: string) => ({ document, known: "memory", confidence: "M" }) as const

const film = fact(
  "endurance.film",
  "heat that leaves a closed housing through its wall, inside air to outside air",
  5,
  "W/(m²·K)",
  practice("still air inside and outside, about 10 W/(m²·K) each: rule of thumb, no source"),
)
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
  practice("rule of thumb, no source; road shocks lie far below, at 2…30 Hz"),
)
const shake = fact(
  "endurance.shake",
  "shake of the whole lamp on the road",
  5,
  "g",
  practice("rule of thumb, no source"),
)
const octave = 2
const limit = (octave * engine.value) / 60

export function checkEndurance(lamp: Lamp, circuit: Circuit, boards: Boards): Told {
  const told = nothingTold()
  for (const board of boards.boards) tell(told, heat(lamp, circuit, board), shaking(lamp, board))
  return told
}

/** All wires live; what hangs on flashing wires counts with its share of the time. */
function heat(lamp: Lamp, circuit: Circuit, board: Board): Told {
  const onBoard = board.parts.map((p) => p.ref)
  const groups = lamp.groups.filter((g) => g.leds.some((l) => onBoard.includes(l.ref)))
  const sum = (c: CornerState | undefined, refs: readonly string[]) =>
    refs.reduce((s, r) => s + (c?.dissipation[r] ?? 0), 0)
  const strongest = circuit.corners.filter((c) => c.parts === "strongest")
  const all = strongest.reduce<CornerState | undefined>(
    (a, c) => (a && sum(a, onBoard) >= sum(c, onBoard) ? a : c),
    undefined,
  )
  if (!all) return nothingTold()
  const flashing = lamp.vehicle.wires.filter((w) => w.role === "flashing")
  const steadyLive = all.live.filter((w) => !flashing.some((f) => f.name === w))
  const steady = strongest.find(
    (c) =>
      c.supply === all.supply &&
      c.temperature === all.temperature &&
      c.live.length === steadyLive.length &&
      steadyLive.every((w) => c.live.includes(w)),
  )
  const share = Math.max(0, ...flashing.filter((w) => all.live.includes(w.name)).map((w) => w.onShare ?? 1))
  const mean = (refs: readonly string[]) => sum(steady, refs) + share * (sum(all, refs) - sum(steady, refs))

  const id = (name: string) => `endurance.${board.name}.${name}`
  const request = lamp.boards.find((b) => b.name === board.name)
  const face = lamp.faces.find((f) => f.name === board.face)
  const outline = face?.outline ?? board.outline
  const depth = request?.height ?? 0
  const edge = outline.reduce((s, p, k) => {
    const q = outline[(k + 1) % outline.length]!
    return s + Math.hypot(q.x - p.x, q.y - p.y)
  }, 0)
  const surface = (2 * Math.abs(signedArea(outline)) + edge * depth) / 100
  const watt = mean(onBoard)
  const power = fact(
    id("heat"),
    `heat of ${board.name}, mean over the flashes`,
    1000 * watt,
    "mW",
    measuredOn("circuit solved", all.corner),
  )
  const skin = fact(
    id("surface"),
    `outside surface of the housing of ${board.name}`,
    surface,
    "cm²",
    readOff(`outline of ${board.face ?? board.name}`, "front, back and a rim as deep as the board's height"),
  )
  const rise = watt / (film.value * surface * 1e-4)
  const inside = result(
    id("air"),
    `air inside the housing of ${board.name} above the outside`,
    rise,
    "K",
    "heat ÷ (heat through the wall × outside surface)",
    [power, film, skin],
  )
  const told = nothingTold()
  tell(
    told,
    resistors(lamp, circuit, board, inside, mean, all.corner),
    dew(lamp, board, surfaceOf(outline) * depth),
  )
  for (const group of groups) {
    const led = leds.find(group.led)
    if (!led) continue
    const own = Math.max(...group.leds.map((l) => mean([l.ref])))
    const ambient = lamp.vehicle.ambient.highest
    const figure = result(
      id(`${group.name}.junction`),
      `hottest junction of ${group.name} in a closed housing`,
      ambient + rise + led.thermalResistance * own,
      "°C",
      "highest ambient + air inside above outside + thermal resistance × heat of the LED",
      [
        given("vehicle.ambient.highest", "highest ambient temperature", ambient, "°C"),
        inside,
        ...led.facts.filter((f) => f.id === `stock.${led.key}.thermal-resistance`),
        fact(
          id(`${group.name}.led-heat`),
          `heat of the hottest LED of ${group.name}`,
          1000 * own,
          "mW",
          measuredOn("circuit solved", all.corner),
        ),
      ],
      { corner: all.corner },
    )
    told.figures.push(figure)
    const left = 0.95 * led.maximumJunction - ambient - led.thermalResistance * own
    told.findings.push(
      endurance.judge("led-heat", {
        title: `Rule of thumb: hottest junction of ${group.name} with the housing of ${board.name} closed`,
        where: { text: board.name, board: board.name, group: group.name, path: `groups.${group.name}` },
        ...measuredBy(figure),
        limit: { value: led.maximumJunction, unit: "°C", kind: "at most" },
        corner: all.corner,
        atWorst: "amber",
        source: film.source!,
        ...(figure.value > 0.95 * led.maximumJunction && left > 0
          ? {
              advice: `Give the housing ${Math.ceil(watt / (film.value * left * 1e-4))} cm² of outside surface (it has about ${surface.toFixed(0)} cm²), or a vent. Bulb work such as a brake held for minutes is what this counts; short braking heats less.`,
            }
          : {}),
      }),
    )
  }
  return told
}

const surfaceOf = (ring: readonly { readonly x: number; readonly y: number }[]) => Math.abs(signedArea(ring))

const derating = fact("endurance.resistor-span", "from full rating at 70 °C to none", 85, "K", {
  document: "film resistors: full rating up to 70 °C, none at 155 °C (IEC 60115 style)",
  known: "memory",
  confidence: "H",
})
/** Highest steady temperature of the laminate, °C. */
const laminateLimit = {
  FR4: { value: 130, source: memory("FR-4: 130 °C maximum operating temperature (UL 746E)") },
  FR1: { value: 105, source: memory("FR-1: 105 °C maximum operating temperature (UL 746E)") },
} as const

/** Air inside and the hottest resistor's own heat, by the line along which its rating falls. */
function resistors(
  lamp: Lamp,
  circuit: Circuit,
  board: Board,
  inside: Figure,
  mean: (refs: readonly string[]) => number,
  corner: string,
): Told {
  const hot = board.parts
    .flatMap((p) => {
      const part = circuit.parts.find((c) => c.ref === p.ref)
      const model = part && parts.find(part.stock)?.model
      return model?.kind === "resistor"
        ? [
            {
              ref: p.ref,
              watt: mean([p.ref]),
              rated: model.rated,
              own: (derating.value * mean([p.ref])) / model.rated,
            },
          ]
        : []
    })
    .reduce<{ ref: string; watt: number; rated: number; own: number } | undefined>(
      (a, b) => (a && a.own >= b.own ? a : b),
      undefined,
    )
  if (!hot) return nothingTold()
  const id = (name: string) => `endurance.${board.name}.resistor.${name}`
  const ambient = lamp.vehicle.ambient.highest
  const most = laminateLimit[lamp.copperClad.base]
  const figure = result(
    id("temperature"),
    `${hot.ref}, the hottest resistor of ${board.name}, in a closed housing`,
    ambient + inside.value + hot.own,
    "°C",
    "highest ambient + air inside above outside + span of the derating × heat ÷ rating",
    [
      given("vehicle.ambient.highest", "highest ambient temperature", ambient, "°C"),
      inside,
      derating,
      fact(
        id("heat"),
        `heat of ${hot.ref}, mean over the flashes`,
        1000 * hot.watt,
        "mW",
        measuredOn("circuit solved", corner),
      ),
      fact(
        id("rated"),
        `rating of ${hot.ref}`,
        1000 * hot.rated,
        "mW",
        readOff("the parts of the circuit", hot.ref),
      ),
    ],
    { corner },
  )
  const finding = endurance.judge("resistor-heat", {
    title: `Rule of thumb: ${hot.ref}, the hottest resistor of ${board.name}, with its housing closed, against the ${lamp.copperClad.base} under it`,
    where: { text: `${board.name}, ${hot.ref}`, board: board.name, part: hot.ref },
    ...measuredBy(figure),
    limit: { value: most.value, unit: "°C", kind: "at most" },
    corner,
    // The hottest day, the highest supply and the brake held for good: kept is kept.
    amberBelow: 0,
    atWorst: "amber",
    source: most.source,
  })
  return { findings: [finding], figures: [figure] }
}

const closedAt = fact(
  "endurance.closed-at",
  "air when the housing was closed",
  25,
  "°C",
  practice("a mild day: rule of thumb, no source"),
)
const closedDamp = fact(
  "endurance.closed-damp",
  "its humidity",
  60,
  "%",
  practice("a mild day: rule of thumb, no source"),
)

/** Volume in mm³. */
function dew(lamp: Lamp, board: Board, volume: number): Told {
  const { lowest } = lamp.vehicle.ambient
  const id = (name: string) => `endurance.${board.name}.${name}`
  const share = closedDamp.value / 100
  const point = dewPoint(closedAt.value, share)
  if (lowest >= point) return nothingTold()
  const air = fact(
    id("volume"),
    `air behind the face at ${board.name}`,
    volume / 1000,
    "cm³",
    readOff(`outline of ${board.face ?? board.name}`, "its area × the board's height"),
  )
  const settles = Math.max(0, waterIn(closedAt.value, share) - waterIn(lowest, 1))
  const water = result(
    id("dew"),
    `water that settles in the housing of ${board.name} at ${lowest} °C, at most`,
    (settles * volume) / 1e6,
    "mg",
    "(water in the closed air − what cold air holds) × volume; Magnus' formula, ideal gas",
    [air, closedAt, closedDamp, given("vehicle.ambient.lowest", "lowest ambient temperature", lowest, "°C")],
    { source: memory("WMO guide no. 8: Magnus' formula") },
  )
  const dewFigure = result(
    "endurance.dew-point",
    "dew point of air closed in on a mild damp day",
    point,
    "°C",
    "Magnus' formula turned round, constants 17.62 and 243.12 °C",
    [closedAt, closedDamp],
    { source: memory("WMO guide no. 8: Magnus' formula") },
  )
  const finding = endurance.state("condensation", {
    severity: "green",
    title: `Rule of thumb: closed at ${closedAt.value} °C and ${closedDamp.value} % humidity, the housing of ${board.name} is wet inside below this; up to ${water.value.toFixed(1)} mg of water at ${lowest} °C`,
    where: { text: board.name, board: board.name },
    ...measuredBy(dewFigure),
    source: closedAt.source!,
  })
  return { findings: [finding], figures: [water, dewFigure] }
}

function shaking(lamp: Lamp, board: Board): Told {
  if (board.screws.length === 0) return nothingTold()
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
  if (!first) return nothingTold()
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
  const swing = partSwing(board, figure, thickness)
  return {
    figures: [figure, engine, ...swing.figures],
    findings: [
      endurance.judge("resonance", {
        title: `Rule of thumb: first resonance of ${board.name} on its ${board.screws.length} screws, an octave above ${engine.value} turns a minute`,
        where: { text: board.name, board: board.name, path: `boards.${board.name}` },
        ...measuredBy(figure),
        limit: { value: limit, unit: "Hz", kind: "at least" },
        atWorst: "amber",
        amberBelow: 0,
        source: engine.source!,
        ...(first.frequency < limit ? { advice: remedy() } : {}),
      }),
      ...swing.findings,
    ],
  }

  /** One screw where a free place of the board moves farthest, and the thickness that does; both computed. */
  function remedy(): string {
    const free = freePlaces(board)
    const spot = free.reduce<Place | undefined>(
      (a, b) => (a && first!.moves(a.x, a.y) >= first!.moves(b.x, b.y) ? a : b),
      undefined,
    )
    const thick = [2, 2.4, 3.2].find((mm) => {
      const f = mm > thickness && firstResonance(sheetOf(mm), board.outline, held)
      return f && f.frequency >= limit
    })
    const more = spot && firstResonance(sheetOf(thickness), board.outline, [...held, ...rim(spot)])
    return [
      more && more.frequency > first!.frequency
        ? `One more screw and spacer at x ${spot.x.toFixed(0)}, y ${spot.y.toFixed(0)} mm (board seen from its copper side) raises it to ${more.frequency.toFixed(0)} Hz.`
        : "",
      thick ? `Laminate of ${thick} mm alone would do.` : "",
      endurance.entries.resonance.advice,
    ]
      .filter((s) => s !== "")
      .join(" ")
  }
}

/** The longest dual-in-line part; the board's shorter edge and the middle of the board are the cautious reading. */
function partSwing(board: Board, resonance: Figure, thickness: number): Told {
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
  const needed = result(
    id("part-swing.needed"),
    `resonance from which ${part.ref} outlives a shake of ${shake.value} g`,
    neededResonance(shake.value, allowedDisplacement(edge, thickness, part.length)),
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
