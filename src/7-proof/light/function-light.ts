// Which programme line serves which function, and how much light each gives on the axis: from the solved LED
// currents, the stock's intensity bins and the LEDs' own warmth.

import { type Figure, fact, result } from "../../0-ground/figure.ts"
import { described, type Source } from "../../0-ground/source.ts"
import type { LedType } from "../../1-stock/artefact.ts"
import { testVoltage } from "../../1-stock/lighting-rules.ts"
import type { Face, Group, Lamp, LightFunction, ProgrammeLine } from "../../2-lamp/artefact.ts"
import type { Circuit, CornerState } from "../../3-drive/artefact.ts"
import type { LightTrace } from "../artefact.ts"
import { given, measuredOn } from "../told.ts"
import { type Kind, kindsOf, type Share, shareTogether } from "./beam-shape.ts"
import { beamExponent, ledAxis } from "./intensity.ts"
import { factsOf, ledOf } from "./led-of.ts"
import { levelSeen } from "./level-seen.ts"

export interface FunctionLight {
  readonly group: Group
  readonly led: LedType
  readonly function: LightFunction
  readonly line: ProgrammeLine
  /** Candela on the axis at the rule book's test voltage and 25 °C: weakest parts, low bin, warmed up. */
  readonly least: Figure
  readonly usual: Figure
  /** Strongest parts, high bin, before warming up. */
  readonly most: Figure
  /** All LEDs together, each on its own axis; the axis figures above are this times what reaches the lamp's axis. */
  readonly strength: { readonly least: Figure; readonly usual: Figure; readonly most: Figure }
  /** Exponent of the beam's cosine power, or the width of the measured table that stands for it. */
  readonly beam: Figure
  /** LEDs by aim and hole, with their light in any direction. */
  readonly kinds: readonly Kind[]
  /** Of the LEDs' strength together, in any direction, at the test corner of either end. */
  readonly share: Readonly<Record<"least" | "usual" | "most", Share>>
  readonly face: Face | undefined
  /** Candela of each LED on its own axis, at the test corner of either end. */
  readonly perLed: Readonly<Record<"least" | "usual" | "most", readonly LedShare[]>>
  /** The solved corners of either end: test voltage, 25 °C. */
  readonly corners: Readonly<Record<"least" | "usual" | "most", CornerState>>
  /** Mean LED current at full level, usual parts, ampere. */
  readonly fullCurrent: number
  /** The same at any solved corner; `air`: its temperature unless given. */
  ledLight(corner: CornerState, end: "least" | "usual" | "most", air?: number): readonly LedShare[]
  /** Greatest junction temperature above ambient among the LEDs while this line lights them, K. */
  readonly warmth: Figure
}

export interface LedShare {
  readonly ref: string
  /** cd */
  readonly light: number
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

/** `trace`: the bench's light, which tells the level a controller really gives; as described where it is absent. */
export function functionLights(lamp: Lamp, circuit: Circuit, trace?: LightTrace): FunctionLight[] {
  return functionLines(lamp).flatMap(({ group, function: f, line }): FunctionLight[] => {
    const led = ledOf(group)
    const corner = (parts: CornerState["parts"]) => cornerFor(lamp, circuit, line, parts)
    const [weak, usual, strong] = [corner("weakest"), corner("usual"), corner("strongest")]
    if (!led || !weak || !usual || !strong) return []
    const seen = drivenByController(circuit, group) ? levelSeen(trace, group, line) : undefined
    const share = drivenByController(circuit, group) ? (seen ?? line.level) : 1
    // A flashing LED warms up with its share of the time only.
    const time = Math.min(
      1,
      ...lamp.vehicle.wires.filter((w) => line.when.includes(w.name)).map((w) => w.onShare ?? 1),
    )
    const lit: Lit = { group, led, function: f, line, share, seen: seen !== undefined, time }
    const strongest = Math.max(0, ...group.leds.map((l) => strong.ledCurrent[l.ref] ?? 0)) * share
    const beam = beamFigure(group, led)
    const face = lamp.faces.find((x) => x.name === group.face)
    const kinds = kindsOf(group, led, face, beamExponent(led.fullAngle))
    const ends = {
      least: { bin: "intensity-low", intensity: led.intensity.low, corner: weak, warmTime: time },
      usual: { bin: "intensity", intensity: led.intensity.usual, corner: usual, warmTime: time },
      most: { bin: "intensity-high", intensity: led.intensity.high, corner: strong, warmTime: 0 },
    } as const
    const ledLight: FunctionLight["ledLight"] = (at, end, air = at.temperature) => {
      const { intensity, warmTime } = ends[end]
      const own = { intensity, testCurrent: led.testCurrent, perKelvin: led.intensityPerKelvin }
      return group.leds.map((l) => {
        const i = (at.ledCurrent[l.ref] ?? 0) * share
        const warmer = warmthOf(led, i) * warmTime + air - 25
        return { ref: l.ref, light: ledAxis(own, i, warmer) * (group.lens ?? 1) }
      })
    }
    const strength = (end: "least" | "usual" | "most", of: string) => {
      const { bin, intensity, corner: at, warmTime } = ends[end]
      return axis(lit, end, of, bin, intensity, at, warmTime)
    }
    const straight = kinds.every((k) => k.share(0, 0) === 1)
    const on = (end: "least" | "usual" | "most"): readonly [Figure, Figure] => {
      if (straight) {
        const whole = strength(end, "")
        return [whole, whole]
      }
      const sum = strength(end, ".own-axes")
      const per = ledLight(ends[end].corner, end)
      const all = per.reduce((s, l) => s + l.light, 0)
      const ahead = kinds.reduce(
        (s, k) => s + k.share(0, 0) * per.reduce((t, l) => t + (k.refs.includes(l.ref) ? l.light : 0), 0),
        0,
      )
      const part = all > 0 ? ahead / all : 0
      const id = `light.${group.name}.${f}.${end}`
      const factor = result(
        `${id}.ahead`,
        "share of the LEDs' light that reaches the lamp's axis",
        part,
        "",
        "mean over the LEDs, weighted by their light: beam in the direction from the LED's own aim to the axis × share of the dome that the hole leaves open",
        [beam, ...aimFigures(lamp, group, kinds)],
      )
      return [
        sum,
        result(
          id,
          `${end} intensity of ${group.name} on the axis as ${f}`,
          sum.value * part,
          "cd",
          "LEDs together, each on its own axis × share that reaches the lamp's axis",
          [sum, factor],
          { corner: ends[end].corner.corner },
        ),
      ]
    }
    const [least, middle, most] = [on("least"), on("usual"), on("most")]
    const perLed = {
      least: ledLight(weak, "least"),
      usual: ledLight(usual, "usual"),
      most: ledLight(strong, "most"),
    }
    return [
      {
        group,
        led,
        function: f,
        line,
        strength: { least: least[0], usual: middle[0], most: most[0] },
        least: least[1],
        usual: middle[1],
        most: most[1],
        beam,
        kinds,
        face,
        perLed,
        corners: { least: weak, usual, most: strong },
        fullCurrent:
          group.leds.reduce((s, x) => s + (usual.ledCurrent[x.ref] ?? 0), 0) / Math.max(1, group.leds.length),
        share: {
          least: shareTogether(kinds, perLed.least),
          usual: shareTogether(kinds, perLed.usual),
          most: shareTogether(kinds, perLed.most),
        },
        ledLight,
        warmth: warmth(lit, strong, strongest),
      },
    ]
  })
}

/** Where LEDs look and how deep their domes stand in the metal, as far as either changes the light. */
export function aimFigures(lamp: Lamp, group: Group, kinds: readonly Kind[]): Figure[] {
  const id = (name: string) => `light.${group.name}.${name}`
  const aimed = kinds.filter((k) => k.aim)
  const deep = kinds.filter((k) => k.window.depth > 0)
  const spread = (of: "right" | "up") => aimed.map((k) => Math.abs(k.aim?.[of] ?? 0))
  const mean = (ns: readonly number[]) => ns.reduce((s, n) => s + n, 0) / Math.max(1, ns.length)
  const face = lamp.faces.find((x) => x.name === group.face)
  return [
    ...(aimed.length === 0
      ? []
      : [
          fact(
            id("aim.right"),
            `LEDs of ${group.name} turned aside, to either side, mean of those that are`,
            mean(spread("right")),
            "°",
            described(`groups.${group.name}.aim`),
          ),
          fact(
            id("aim.up"),
            `LEDs of ${group.name} turned up or down, mean of those that are`,
            mean(spread("up")),
            "°",
            described(`groups.${group.name}.aim`),
          ),
        ]),
    ...(deep[0]
      ? [
          result(
            id("dome-inside"),
            "foot of the dome behind the face's front",
            deep[0].window.depth,
            "mm",
            "thickness of the face + flange + half the body − height of the LED above its seat",
            [
              ...(face
                ? [
                    given(
                      `faces.${face.name}.thickness`,
                      `thickness of face ${face.name}`,
                      face.thickness,
                      "mm",
                    ),
                  ]
                : []),
              ...(ledOf(group) ? factsOf(ledOf(group)!, "diameter", "height") : []),
            ],
          ),
          fact(
            id("dome-hole"),
            "LED hole in the face",
            2 * deep[0].window.hole,
            "mm",
            described(`faces.${group.face}`),
          ),
        ]
      : []),
  ]
}

interface Lit {
  readonly group: Group
  readonly led: LedType
  readonly function: LightFunction
  readonly line: ProgrammeLine
  /** Of the solved currents: the level, where the controller dims. */
  readonly share: number
  /** The level was measured on the bench. */
  readonly seen: boolean
  /** Share of the time the group is lit. */
  readonly time: number
}

/** n of the beam's cosⁿ, from the angle between the half-intensity directions; or the measured table's file. */
const beamFigure = (group: Group, led: LedType): Figure =>
  group.beam
    ? fact(
        `light.${group.name}.beam`,
        `measured light of one LED of ${group.name}: directions in the table`,
        group.beam.table.vertical.length * group.beam.table.horizontal.length,
        "",
        { document: `the photometric file ${group.beam.file}`, place: "LM-63", known: "read" },
      )
    : result(
        group.bin?.beam === undefined ? `light.${led.key}.beam` : `light.${group.name}.beam`,
        "exponent of the beam",
        beamExponent(led.fullAngle),
        "",
        "−ln 2 ÷ ln cos(angle between the half-intensity directions ÷ 2)",
        factsOf(led, "full-angle"),
      )

/**
 * Intensity of all LEDs of a group together, each on its own axis. `warmTime`: share of the time in which they warm up;
 * 0: cold. `of`: ends the figure's id where the lamp's axis is told apart.
 */
function axis(
  lit: Lit,
  end: "least" | "usual" | "most",
  of: string,
  bin: string,
  intensity: number,
  corner: CornerState,
  warmTime: number,
): Figure {
  const { group, led, share } = lit
  const id = `light.${group.name}.${lit.function}.${end}`
  const lens = group.lens ?? 1
  const currents = group.leds.map((l) => (corner.ledCurrent[l.ref] ?? 0) * share)
  const own = { intensity, testCurrent: led.testCurrent, perKelvin: led.intensityPerKelvin }
  const warm = (current: number) => warmthOf(led, current) * warmTime
  const bare = currents.reduce((sum, i) => sum + ledAxis(own, i, warm(i)), 0)
  const value = bare * lens
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
          cold > 0 ? bare / cold : 1,
          "",
          "1 + change of light per kelvin × junction above 25 °C, never below 0",
          [
            ...factsOf(led, "light-per-kelvin"),
            result(
              `${id}.warmth`,
              "junctions above 25 °C, mean weighted by current",
              warmer,
              "K",
              "thermal resistance × LED current × usual forward voltage × share of the time lit",
              [
                ...factsOf(led, "thermal-resistance"),
                current(lit, end, mean, corner),
                ...factsOf(led, "forward-voltage"),
                onShare(lit),
              ],
            ),
          ],
        )
  return result(
    `${id}${of}`,
    of === ""
      ? `${end} intensity of ${group.name} on the axis as ${lit.function}`
      : `${end} intensity of ${group.name} as ${lit.function}, each LED on its own axis`,
    value,
    "cd",
    `LEDs × intensity of the bin × LED current ÷ test current × temperature factor${lens === 1 ? "" : " × lens"}`,
    [
      fact(
        `light.${group.name}.leds`,
        `LEDs of ${group.name}`,
        group.leds.length,
        "",
        described(`groups.${group.name}`),
      ),
      ...factsOf(led, bin),
      current(lit, end, mean, corner),
      ...factsOf(led, "test-current"),
      factor,
      ...(lens === 1
        ? []
        : [given(`groups.${group.name}.lens`, "share of the light that the lens lets through", lens, "")]),
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
    fact(
      `${id}.level`,
      "level",
      lit.share,
      "",
      lit.seen
        ? measuredOn("light on the virtual bench", "brightest LED while its wires are live")
        : described("programme"),
    ),
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
      ...factsOf(lit.led, "thermal-resistance"),
      fact(`${id}.current`, "strongest LED current", 1000 * strongest, "mA", solved),
      ...factsOf(lit.led, "forward-voltage"),
      onShare(lit),
    ],
  )
}

/** The solved corner nearest to 25 °C and the rule book's test voltage in which just the line's wires (and supplies) are live. */
export function cornerFor(
  lamp: Lamp,
  circuit: Circuit,
  line: ProgrammeLine,
  parts: CornerState["parts"],
): CornerState | undefined {
  const off = (c: CornerState) =>
    Math.abs(c.supply - testVoltage(lamp.vehicle.rules, lamp.vehicle.supply)) * 10 +
    Math.abs(c.temperature - 25)
  return cornersOf(lamp, circuit, line, parts).sort((a, b) => off(a) - off(b))[0]
}

/** Every solved corner in which just the line's wires (and supplies) are live. */
export function cornersOf(
  lamp: Lamp,
  circuit: Circuit,
  line: ProgrammeLine,
  parts: CornerState["parts"],
): CornerState[] {
  const always = lamp.vehicle.wires.filter((w) => w.role === "supply").map((w) => w.name)
  const wanted = new Set([...line.when, ...always])
  return circuit.corners.filter(
    (c) => c.parts === parts && c.live.length === wanted.size && c.live.every((w) => wanted.has(w)),
  )
}

/** True when the controller dims the group, so that solved currents are those at full level. */
const drivenByController = (circuit: Circuit, group: Group) =>
  circuit.channels.some((c) => c.group === group.name)

/** Junction above its surroundings, K, about 2.1 V (red, amber) to 3.2 V (white) at that mean current. */
function warmthOf(led: LedType, current: number): number {
  return led.thermalResistance * current * led.forwardVoltage.usual
}
