// Which programme line serves which function, and how much light each gives on the axis: from the solved LED
// currents, the stock's intensity bins and the LEDs' own warmth.

import { type Figure, fact, result } from "../../0-ground/figure.ts"
import { described, type Source } from "../../0-ground/source.ts"
import type { LedType } from "../../1-stock/artefact.ts"
import { leds } from "../../1-stock/leds.ts"
import type { Group, Lamp, LightFunction, ProgrammeLine } from "../../2-lamp/artefact.ts"
import type { Circuit, CornerState } from "../../3-drive/artefact.ts"
import { measuredOn } from "../told.ts"
import { beamExponent, ledAxis } from "./intensity.ts"

export interface FunctionLight {
  readonly group: Group
  readonly led: LedType
  readonly function: LightFunction
  readonly line: ProgrammeLine
  /** Candela on the axis at the usual supply and 25 °C: weakest parts, low bin, warmed up. */
  readonly least: Figure
  readonly usual: Figure
  /** Strongest parts, high bin, before warming up. */
  readonly most: Figure
  /** Exponent of the beam's cosine power. */
  readonly beam: Figure
  /** Greatest junction temperature above ambient among the LEDs while this line lights them, K. */
  readonly warmth: Figure
}

/**
 * The line that serves each function of each group. A line with a flashing wire serves the indicator; among steady
 * lines of a group with position and stop light the dimmer serves the position light.
 */
export function functionLines(
  lamp: Lamp,
): { readonly group: Group; readonly function: LightFunction; readonly line: ProgrammeLine }[] {
  const flashing = new Set(lamp.vehicle.wires.filter((w) => w.role === "flashing").map((w) => w.name))
  return lamp.groups.flatMap((group) => {
    const own = lamp.programme.filter((l) => l.light === group.name && l.level > 0)
    const blink = own.filter((l) => l.when.some((w) => flashing.has(w)))
    const steady = own
      .filter((l) => !blink.includes(l) && l.when.length === Math.min(...own.map((o) => o.when.length)))
      .sort((a, b) => a.level - b.level)
    return group.functions.flatMap((f) => {
      const line =
        f === "direction-indicator" ? blink[0] : f === "stop" ? steady[steady.length - 1] : steady[0]
      return line ? [{ group, function: f, line }] : []
    })
  })
}

export function functionLights(lamp: Lamp, circuit: Circuit): FunctionLight[] {
  return functionLines(lamp).flatMap(({ group, function: f, line }): FunctionLight[] => {
    const led = leds.find(group.led)
    const corner = (parts: CornerState["parts"]) => cornerFor(lamp, circuit, line, parts)
    const [weak, usual, strong] = [corner("weakest"), corner("usual"), corner("strongest")]
    if (!led || !weak || !usual || !strong) return []
    const share = drivenByController(circuit, group) ? line.level : 1
    // A flashing LED warms up with its share of the time only.
    const time = Math.min(
      1,
      ...lamp.vehicle.wires.filter((w) => line.when.includes(w.name)).map((w) => w.onShare ?? 1),
    )
    const lit: Lit = { group, led, function: f, line, share, time }
    const strongest = Math.max(0, ...group.leds.map((l) => strong.ledCurrent[l.ref] ?? 0)) * share
    return [
      {
        group,
        led,
        function: f,
        line,
        least: axis(lit, "least", "intensity-low", led.intensity.low, weak, time),
        usual: axis(lit, "usual", "intensity", led.intensity.usual, usual, time),
        most: axis(lit, "most", "intensity-high", led.intensity.high, strong, 0),
        beam: beamFigure(led),
        warmth: warmth(lit, strong, strongest),
      },
    ]
  })
}

interface Lit {
  readonly group: Group
  readonly led: LedType
  readonly function: LightFunction
  readonly line: ProgrammeLine
  /** Of the solved currents: the level, where the controller dims. */
  readonly share: number
  /** Share of the time the group is lit. */
  readonly time: number
}

const stock = (led: LedType, ...names: readonly string[]): Figure[] =>
  names.flatMap((name) => led.facts.filter((f) => f.id === `stock.${led.key}.${name}`))

/** n of the beam's cosⁿ, from the angle between the half-intensity directions. */
const beamFigure = (led: LedType): Figure =>
  result(
    `light.${led.key}.beam`,
    "exponent of the beam",
    beamExponent(led.fullAngle),
    "",
    "−ln 2 ÷ ln cos(angle between the half-intensity directions ÷ 2)",
    stock(led, "full-angle"),
  )

/** Intensity on the axis of all LEDs of a group together. `warmTime`: share of the time in which they warm up; 0: cold. */
function axis(
  lit: Lit,
  end: "least" | "usual" | "most",
  bin: string,
  intensity: number,
  corner: CornerState,
  warmTime: number,
): Figure {
  const { group, led, share } = lit
  const id = `light.${group.name}.${lit.function}.${end}`
  const currents = group.leds.map((l) => (corner.ledCurrent[l.ref] ?? 0) * share)
  const own = { intensity, testCurrent: led.testCurrent, perKelvin: led.intensityPerKelvin }
  const warm = (current: number) => warmthOf(led, current) * warmTime
  const value = currents.reduce((sum, i) => sum + ledAxis(own, i, warm(i)), 0)
  const sum = currents.reduce((s, i) => s + i, 0)
  const mean = sum / Math.max(1, currents.length)
  // Stronger LEDs give more light and get warmer: weighted by current, the factors multiply to the very sum.
  const warmer = sum > 0 ? currents.reduce((s, i) => s + i * warm(i), 0) / sum : 0
  const cold = sum > 0 ? (intensity * sum) / led.testCurrent : 0
  const factor =
    warmTime === 0
      ? fact(`${id}.temperature-factor`, "temperature factor", 1, "", chosen("just switched on: still cold"))
      : result(
          `${id}.temperature-factor`,
          "temperature factor",
          cold > 0 ? value / cold : 1,
          "",
          "1 + change of light per kelvin × junction above 25 °C, never below 0",
          [
            ...stock(led, "light-per-kelvin"),
            result(
              `${id}.warmth`,
              "junctions above 25 °C, mean weighted by current",
              warmer,
              "K",
              "thermal resistance × LED current × usual forward voltage × share of the time lit",
              [
                ...stock(led, "thermal-resistance"),
                current(lit, end, mean, corner),
                ...stock(led, "forward-voltage"),
                onShare(lit),
              ],
            ),
          ],
        )
  return result(
    id,
    `${end} intensity of ${group.name} on the axis as ${lit.function}`,
    value,
    "cd",
    "LEDs × intensity of the bin × LED current ÷ test current × temperature factor",
    [
      fact(
        `light.${group.name}.leds`,
        `LEDs of ${group.name}`,
        group.leds.length,
        "",
        described(`groups.${group.name}`),
      ),
      ...stock(led, bin),
      current(lit, end, mean, corner),
      ...stock(led, "test-current"),
      factor,
    ],
    { corner: corner.corner },
  )
}

const chosen = (document: string): Source => ({ document, known: "chosen" })

/** Mean over the group's LEDs, mA. */
function current(lit: Lit, end: string, ampere: number, corner: CornerState): Figure {
  const id = `light.${lit.group.name}.${lit.function}.${end}.current`
  const name = "LED current, mean of the group"
  const solved = measuredOn("circuit solved", corner.corner)
  if (lit.share === 1) return fact(id, name, 1000 * ampere, "mA", solved)
  return result(id, name, 1000 * ampere, "mA", "LED current at full level × level", [
    fact(`${id}.full`, "LED current at full level", (1000 * ampere) / lit.share, "mA", solved),
    fact(`${id}.level`, "level", lit.share, "", described("programme")),
  ])
}

const onShare = ({ group, function: f, line, time }: Lit): Figure =>
  fact(
    `light.${group.name}.${f}.on-share`,
    "share of the time lit",
    100 * time,
    "%",
    described(line.when.map((w) => `vehicle.wires.${w}`).join(", ")),
  )

function warmth(lit: Lit, corner: CornerState, strongest: number): Figure {
  const id = `light.${lit.group.name}.${lit.function}.warmth`
  const solved = measuredOn("circuit solved", corner.corner)
  return result(
    id,
    `hottest junction of ${lit.group.name} as ${lit.function} above its surroundings`,
    warmthOf(lit.led, strongest) * lit.time,
    "K",
    "thermal resistance × LED current × usual forward voltage × share of the time lit",
    [
      ...stock(lit.led, "thermal-resistance"),
      fact(`${id}.current`, "strongest LED current", 1000 * strongest, "mA", solved),
      ...stock(lit.led, "forward-voltage"),
      onShare(lit),
    ],
  )
}

/** The solved corner nearest to 25 °C and the usual supply in which just the line's wires (and supplies) are live. */
export function cornerFor(
  lamp: Lamp,
  circuit: Circuit,
  line: ProgrammeLine,
  parts: CornerState["parts"],
): CornerState | undefined {
  const always = lamp.vehicle.wires.filter((w) => w.role === "supply").map((w) => w.name)
  const wanted = new Set([...line.when, ...always])
  const off = (c: CornerState) =>
    Math.abs(c.supply - lamp.vehicle.supply.usual) * 10 + Math.abs(c.temperature - 25)
  return circuit.corners
    .filter((c) => c.parts === parts && c.live.length === wanted.size && c.live.every((w) => wanted.has(w)))
    .sort((a, b) => off(a) - off(b))[0]
}

/** True when the controller dims the group, so that solved currents are those at full level. */
const drivenByController = (circuit: Circuit, group: Group) =>
  circuit.channels.some((c) => c.group === group.name)

/** Junction above its surroundings, K, about 2.1 V (red, amber) to 3.2 V (white) at that mean current. */
function warmthOf(led: LedType, current: number): number {
  return led.thermalResistance * current * led.forwardVoltage.usual
}
