// Why a group's LEDs can get no more than that current: the ends of the intervals, down to stock and description.

import { type Figure, fact, result } from "../../0-ground/figure.ts"
import { computed } from "../../0-ground/source.ts"
import type { LedType } from "../../1-stock/artefact.ts"
import { partType } from "../../1-stock/parts.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit } from "../../3-drive/artefact.ts"
import { given, readOff } from "../told.ts"
import { type Conditions, greatestCurrent, type StringEnds } from "./bound-currents.ts"
import { drift } from "./resistor-drift.ts"

/** The greatest current of a string, mA, at conditions that span all of supply and weather. */
export function boundFigure(
  lamp: Lamp,
  circuit: Circuit,
  group: string,
  led: LedType,
  string: string,
  at: Conditions,
): Figure | undefined {
  const ends = greatestCurrent(circuit, at, string)
  if (!ends) return undefined
  const id = `proof.${group}.current-bound`
  if (ends.sink) return sinkFigure(id, lamp, circuit, group, ends, at)
  return result(
    id,
    `greatest LED current of ${group}, string ${string}`,
    1000 * ends.current,
    "mA",
    "sum over the string's resistors of (greatest voltage of the feed − least voltage of the LEDs) ÷ resistance; intervals drawn together until nothing moves",
    [
      ...ends.branches.flatMap((b) => [feed(id, lamp, b), resistance(id, circuit, b, at)]),
      ledVoltage(id, lamp, led, ends),
    ],
    {
      corner: `${at.live.join(" + ")} at ${at.supply.high} V, every temperature, every part within its tolerance`,
    },
  )
}

/** A sink holds it: the supply counts only for the base current. */
function sinkFigure(
  id: string,
  lamp: Lamp,
  circuit: Circuit,
  group: string,
  { string, current, sink }: StringEnds,
  at: Conditions,
): Figure {
  const { volt, ohm, bias, sense } = sink!
  const hold = circuit.parts.find((p) => p.ref === string.sink!.hold)!
  const facts = partType(hold.stock).facts.filter((f) =>
    /\.(base-emitter-high|per-kelvin|gain-low)$/.test(f.id),
  )
  return result(
    id,
    `greatest LED current of ${group}, string ${string.name}`,
    1000 * current,
    "mA",
    "greatest base–emitter voltage ÷ least sense resistor + greatest base current ÷ least gain; less where the supply gives out",
    [
      result(
        `${id}.base-emitter`,
        `greatest base–emitter voltage of ${hold.ref}`,
        volt,
        "V",
        "high part at 2 mA + change per kelvin × (coldest − 25 °C) + 26 mV × ln(base resistor's current ÷ 2 mA)",
        [
          ...facts,
          given("vehicle.ambient.lowest", "lowest ambient temperature", lamp.vehicle.ambient.lowest, "°C"),
        ],
      ),
      resistance(id, circuit, { resistor: sense, ohm }, at),
      fact(
        `${id}.bias`,
        "greatest current of its base resistor",
        1000 * bias,
        "mA",
        readOff("the circuit", string.sink!.bias),
      ),
    ],
    {
      corner: `${at.live.join(" + ")} at ${at.supply.high} V, every temperature, every part within its tolerance`,
    },
  )
}

type Branch = StringEnds["branches"][number]

function feed(id: string, lamp: Lamp, { feed: name, live, volt }: Branch): Figure {
  const { highest } = lamp.vehicle.supply
  const own = `${id}.feed.${name.toLowerCase()}`
  if (!live) {
    const how = computed("a feed without a live wire floats at the mean of its strings' ends, weighted")
    return fact(own, `greatest voltage of ${name}, which no live wire feeds`, volt, "V", how)
  }
  return result(own, `greatest voltage of ${name}`, volt, "V", "highest supply − least drop of its diodes", [
    given("vehicle.supply.highest", "highest supply", highest, "V"),
    fact(
      `${own}.drop`,
      `least drop of the diodes before ${name}`,
      highest - volt,
      "V",
      computed("diode law of the low part, hottest, at the least current its strings surely take"),
    ),
  ])
}

function resistance(
  id: string,
  circuit: Circuit,
  { resistor, ohm }: Pick<Branch, "resistor" | "ohm">,
  at: Conditions,
): Figure {
  const part = circuit.parts.find((p) => p.ref === resistor)
  const own = `${id}.${resistor.toLowerCase()}`
  const tolerance = part
    ? partType(part.stock).facts.filter((f) => /\.(tolerance|per-kelvin)$/.test(f.id))
    : []
  return result(
    own,
    `resistance of ${resistor} at the end that gives more current`,
    ohm,
    "Ω",
    "resistance × (1 − tolerance − change), or × (1 + tolerance + change) where current flows back",
    [
      fact(`${own}.value`, `${resistor} as chosen`, part?.amount ?? 0, "Ω", readOff("the circuit", resistor)),
      ...tolerance,
      fact(
        `${own}.drift`,
        `change of ${resistor} by warmth and age, at most`,
        part ? drift(partType(part.stock), at) : 0,
        "",
        computed(
          "change per kelvin × the warmest body (85 K above the air) or the coldest air, and half a percent of age",
        ),
      ),
    ],
  )
}

function ledVoltage(id: string, lamp: Lamp, led: LedType, ends: StringEnds): Figure {
  const { leds } = ends.string
  return result(
    `${id}.leds-voltage`,
    `least voltage of the LEDs of ${ends.string.name} at that current`,
    ends.leds,
    "V",
    "sum over the LEDs of the diode law of the low part + change per kelvin × warmth of the hottest junction",
    [
      fact(`${id}.in-series`, "LEDs in series", leds.length, "", readOff("the circuit", ends.string.name)),
      ...led.facts.filter((f) =>
        /\.(forward-voltage-low|test-current|emission|voltage-per-kelvin|thermal-resistance)$/.test(f.id),
      ),
      given("vehicle.ambient.highest", "highest ambient temperature", lamp.vehicle.ambient.highest, "°C"),
    ],
  )
}
