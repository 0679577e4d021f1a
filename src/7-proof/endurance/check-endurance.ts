// Does it last: heat in the closed housing. Rules of thumb.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import { signedArea } from "../../0-ground/geometry/polygon.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import { practice } from "../../0-ground/source.ts"
import { leds } from "../../1-stock/leds.ts"
import { parts } from "../../1-stock/parts.ts"
import type { Group, Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit, CornerState } from "../../3-drive/artefact.ts"
import type { Board, Boards } from "../../5-board/artefact.ts"
import { given, measuredOn, nothingTold, readOff, type Told, tell } from "../told.ts"
import { checkLeads } from "./check-leads.ts"
import { checkRegulators } from "./check-regulators.ts"
import { checkSealing } from "./check-sealing.ts"
import { checkShaking } from "./check-shaking.ts"
import { dewPoint, waterIn } from "./dew-point.ts"
import { endurance } from "./endurance-findings.ts"

const memory = (document: string) => ({ document, known: "memory", confidence: "M" }) as const

const film = fact(
  "endurance.film",
  "heat that leaves a closed housing through its wall, inside air to outside air",
  5,
  "W/(m²·K)",
  practice("still air inside and outside, about 10 W/(m²·K) each: rule of thumb, no source"),
)
/** `shaking`: what is known of how a board shakes; worked out here where nobody remembers it. */
export function checkEndurance(
  lamp: Lamp,
  circuit: Circuit,
  boards: Boards,
  shaking = (board: Board): Told => checkShaking(lamp, board),
): Told {
  const told = nothingTold()
  for (const board of boards.boards)
    tell(told, heat(lamp, circuit, board), shaking(board), checkLeads(lamp, board))
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
    checkRegulators(lamp, circuit, board, inside, mean, all.corner),
    dew(lamp, board, surfaceOf(outline) * depth),
    checkSealing(lamp, board, closedAt, inside),
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
    const strings = circuit.parts.filter((p) => p.home.kind === "group" && p.home.group === group.name)
    const groupHeat = mean(strings.map((p) => p.ref).filter((ref) => onBoard.includes(ref)))
    const perSurface = 1 / (film.value * surface * 1e-4)
    // Less current: LEDs and resistors of the group share one voltage, so their heat falls in proportion.
    const cooled = (factor: number) =>
      ambient + perSurface * (watt - (1 - factor) * groupHeat) + led.thermalResistance * own * factor
    const hot = figure.value > 0.95 * led.maximumJunction
    told.findings.push(
      endurance.judge("led-heat", {
        title: `Rule of thumb: hottest junction of ${group.name} with the housing of ${board.name} closed`,
        where: { text: board.name, board: board.name, group: group.name, path: `groups.${group.name}` },
        ...measuredBy(figure),
        limit: { value: led.maximumJunction, unit: "°C", kind: "at most" },
        corner: all.corner,
        atWorst: "amber",
        source: film.source!,
        remedies: hot ? lessCurrent(circuit, group, cooled, 0.95 * led.maximumJunction) : [],
        ...(hot && left > 0
          ? {
              advice: `Give the housing ${Math.ceil(watt / (film.value * left * 1e-4))} cm² of outside surface (it has about ${surface.toFixed(0)} cm²), or a vent. Bulb work such as a brake held for minutes is what this counts; short braking heats less.`,
            }
          : {}),
      }),
    )
  }
  return told
}

/** The highest whole milliampere that keeps a temperature, `at` a share of the current now. */
function lessCurrent(circuit: Circuit, group: Group, at: (share: number) => number, limit: number): Remedy[] {
  const means = circuit.corners
    .filter((c) => c.parts === "usual")
    .map((c) => group.leds.reduce((s, l) => s + (c.ledCurrent[l.ref] ?? 0), 0) / group.leds.length)
  const most = Math.max(0, ...means)
  // Its brightest line alone; with another feed beside it there is a little more.
  const solved = Math.min(...means.filter((i) => i >= 0.7 * most))
  // The drive gives less than is asked where parts could not bear it.
  const now = 1000 * Math.min(group.current ?? solved, solved)
  // Resistors come in steps of 5 %, now and then: twice as much lower is aimed.
  for (let next = Math.ceil(now) - 1; next >= 1; next--)
    if (at((1.1 * next) / now) <= limit)
      return [
        {
          says: `Lower the current of ${group.name} to ${next} mA.`,
          changes: [{ path: `groups.${group.name}.current`, value: `${next} mA` }],
          gives: { value: at(next / now), unit: "°C" },
        },
      ]
  return []
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
    remedies: figure.value > most.value ? cooler() : [],
  })
  return { findings: [finding], figures: [figure] }

  /** FR4 bears more than FR1; less current in its group heats it by the square, reckoned in proportion. */
  function cooler(): Remedy[] {
    const home = circuit.parts.find((p) => p.ref === hot!.ref)?.home
    const group = home?.kind === "group" ? lamp.groups.find((g) => g.name === home.group) : undefined
    const tougher = laminateLimit.FR4
    return [
      ...(lamp.copperClad.base === "FR1" && figure.value <= tougher.value
        ? [
            {
              says: "Make the boards from FR4.",
              changes: [{ path: "copper-clad.base", value: "FR4" }],
              gives: { value: figure.value, unit: "°C" },
            },
          ]
        : []),
      ...(group ? lessCurrent(circuit, group, (f) => ambient + inside.value + hot!.own * f, most.value) : []),
    ]
  }
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
