// Choices held by hand: `pins:` in the description, by path. They are used as given and judged like our own.
//   drive.<group>.way                  which way the group is driven: resistor-strings, current-sinks or regulated-rail
//                                      (one level); two-feed, rail-switched, rail-relay or pwm (two levels);
//                                      pwm (timed)
//   drive.<group>.in-series            LEDs in one string
//   drive.<group>.resistor             resistor of the longest strings, full level; of a sink its sense resistor
//   drive.<group>.second-resistor      resistor of the longest strings, the lower level of a two-level group; of a
//                                      switched rail the resistor laid beside the set resistor, with a relay the
//                                      one its contact leaves
//   drive.<group>.resistor-part        stock key of the resistors: resistor-half-watt …
//   drive.controller                   ATtiny84A or ATmega328P
//   drive.regulator.heat-sink          heat sink of the regulator: 20 K/W

import { nearMatch } from "../0-ground/text/near-match.ts"
import { parts } from "../1-stock/parts.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import { controllerHeld, controllerNames, controllerPin } from "./choose-controller.ts"

export const ways = [
  "resistor-strings",
  "two-feed",
  "pwm",
  "current-sinks",
  "regulated-rail",
  "rail-switched",
  "rail-relay",
] as const

export interface Pinned {
  readonly way?: (typeof ways)[number]
  readonly inSeries?: number
  readonly ohm?: number
  readonly secondOhm?: number
  readonly resistorPart?: string
}

export interface PinFault {
  readonly path: string
  readonly text: string
  readonly near?: string
}

const names = ["way", "in-series", "resistor", "second-resistor", "resistor-part"] as const

export function pinnedFor(lamp: Lamp, group: string): Pinned {
  const held = (name: (typeof names)[number]) => lamp.pins[`drive.${group}.${name}`]
  const inSeries = Number(held("in-series"))
  const ohm = readOhm(held("resistor"))
  const secondOhm = readOhm(held("second-resistor"))
  const part = held("resistor-part")
  const way = ways.find((w) => w === held("way"))
  return {
    ...(way === undefined ? {} : { way }),
    ...(Number.isInteger(inSeries) && inSeries >= 1 ? { inSeries } : {}),
    ...(ohm === undefined ? {} : { ohm }),
    ...(secondOhm === undefined ? {} : { secondOhm }),
    ...(typeof part === "string" && parts.find(part)?.model.kind === "resistor"
      ? { resistorPart: part }
      : {}),
  }
}

/** Pins that begin with `drive.` and mean nothing: an unknown group or choice, or a value that cannot be read. */
export function pinFaults(lamp: Lamp): PinFault[] {
  const known = [
    heatSinkPin,
    controllerPin,
    ...lamp.groups.flatMap((g) => names.map((n) => `drive.${g.name}.${n}`)),
  ]
  const faults: PinFault[] = []
  for (const [path, value] of Object.entries(lamp.pins)) {
    if (!path.startsWith("drive.")) continue
    if (!known.includes(path)) {
      const near = nearMatch(path, known)
      faults.push({ path, text: `there is no choice called ${path}`, ...(near ? { near } : {}) })
      continue
    }
    const name = path.slice(path.lastIndexOf(".") + 1)
    const bad =
      path === heatSinkPin
        ? readKelvinPerWatt(value) === undefined
        : path === controllerPin
          ? controllerHeld(lamp.pins) === undefined
          : name === "way"
            ? !ways.some((w) => w === value)
            : name === "in-series"
              ? !(Number.isInteger(Number(value)) && Number(value) >= 1)
              : name === "resistor-part"
                ? parts.find(String(value))?.model.kind !== "resistor"
                : readOhm(value) === undefined
    if (bad) {
      const near =
        name === "resistor-part"
          ? parts.near(String(value))
          : name === "way"
            ? nearMatch(String(value), ways)
            : path === controllerPin
              ? nearMatch(String(value), controllerNames)
              : undefined
      faults.push({ path, text: `${path}: "${value}" cannot be used here`, ...(near ? { near } : {}) })
    }
  }
  return faults
}

const heatSinkPin = "drive.regulator.heat-sink"

/** Sink to air, K/W; undefined without one. */
export const heatSink = (lamp: Lamp): number | undefined => readKelvinPerWatt(lamp.pins[heatSinkPin])

/** `20`, `"20 K/W"`; undefined outside 0.5 … 60 K/W. */
function readKelvinPerWatt(value: string | number | undefined): number | undefined {
  const found = /^(\d+(?:\.\d+)?)\s*(?:K\/W)?$/.exec(String(value ?? "").trim())
  const own = found ? Number(found[1]) : Number.NaN
  return own >= 0.5 && own <= 60 ? own : undefined
}

/** `470`, `"470 Ω"`, `"4k7"`, `"4.7 kΩ"` → ohm; undefined for anything else, and outside 0.1 Ω … 10 MΩ. */
export function readOhm(value: string | number | undefined): number | undefined {
  if (value === undefined) return undefined
  const ohm = typeof value === "number" ? value : fromText(value.trim())
  return ohm !== undefined && ohm >= 0.1 && ohm <= 1e7 ? ohm : undefined
}

function fromText(text: string): number | undefined {
  const scale = { "": 1, R: 1, k: 1e3, K: 1e3, M: 1e6 } as Readonly<Record<string, number>>
  const code = /^(\d+)([RkKM])(\d+)$/.exec(text)
  if (code) return Number(`${code[1]}.${code[3]}`) * scale[code[2]!]!
  const plain = /^(\d+(?:\.\d+)?)\s*([kKMR]?)\s*(?:Ω|ohm)?$/.exec(text)
  return plain ? Number(plain[1]) * scale[plain[2]!]! : undefined
}
