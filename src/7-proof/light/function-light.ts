// Which programme line serves which function, and how much light each gives on the axis: from the solved LED
// currents, the stock's intensity bins and the LEDs' own warmth.

import { type Figure, fact, result } from "../../0-ground/figure.ts"
import { computed, described } from "../../0-ground/source.ts"
import type { LedType } from "../../1-stock/artefact.ts"
import { leds } from "../../1-stock/leds.ts"
import type { Group, Lamp, LightFunction, ProgrammeLine } from "../../2-lamp/artefact.ts"
import type { Circuit, CornerState } from "../../3-drive/artefact.ts"
import { beamExponent, ledAxis } from "./intensity.ts"

export interface FunctionLight {
  readonly group: Group
  readonly led: LedType
  readonly function: LightFunction
  readonly line: ProgrammeLine
  /** Candela on the axis at the usual supply and 25 °C: weakest parts, low bin, warmed up. */
  readonly least: number
  readonly usual: number
  /** Strongest parts, high bin, before warming up. */
  readonly most: number
  /** Exponent of the beam's cosine power. */
  readonly beam: number
  readonly figures: readonly Figure[]
  /** Greatest junction temperature above ambient among the LEDs while this line lights them, K. */
  readonly warmth: number
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
    const least = axisOf(group, led, led.intensity.low, weak, share, time)
    const most = axisOf(group, led, led.intensity.high, strong, share, 0)
    const mid = axisOf(group, led, led.intensity.usual, usual, share, time)
    const id = (end: string) => `light.${group.name}.${f}.${end}`
    const figure = (end: "least" | "usual" | "most", value: number, c: CornerState) =>
      result(
        id(end),
        `${end} intensity of ${group.name} on the axis as ${f}`,
        value,
        "cd",
        "sum over LEDs of bin intensity × current ÷ test current × (1 + change per kelvin × warmth)",
        [
          fact(`${id(end)}.leds`, "LEDs", group.leds.length, "", described(`groups.${group.name}`)),
          fact(
            `${id(end)}.current`,
            "mean LED current, solved",
            meanCurrent(group, c) * share,
            "A",
            computed(`circuit at ${c.corner}`),
          ),
          ...led.facts.filter((x) => /intensity|test-current|light-per-kelvin|thermal-resistance/.test(x.id)),
        ],
        { corner: c.corner },
      )
    return [
      {
        group,
        led,
        function: f,
        line,
        least,
        usual: mid,
        most,
        beam: beamExponent(led.fullAngle),
        warmth:
          warmthOf(led, Math.max(0, ...group.leds.map((l) => strong.ledCurrent[l.ref] ?? 0)) * share) * time,
        figures: [figure("least", least, weak), figure("usual", mid, usual), figure("most", most, strong)],
      },
    ]
  })
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

const meanCurrent = (group: Group, c: CornerState) =>
  group.leds.reduce((sum, l) => sum + (c.ledCurrent[l.ref] ?? 0), 0) / Math.max(1, group.leds.length)

/** Junction above its surroundings, K, about 2.1 V (red, amber) to 3.2 V (white) at that mean current. */
function warmthOf(led: LedType, current: number): number {
  return led.thermalResistance * current * led.forwardVoltage.usual
}

function axisOf(
  group: Group,
  led: LedType,
  intensity: number,
  corner: CornerState,
  share: number,
  warmTime: number,
): number {
  return group.leds.reduce((sum, l) => {
    const current = (corner.ledCurrent[l.ref] ?? 0) * share
    const own = { intensity, testCurrent: led.testCurrent, perKelvin: led.intensityPerKelvin }
    return sum + ledAxis(own, current, warmthOf(led, current) * warmTime)
  }, 0)
}
