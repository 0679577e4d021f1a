// What the judging files of this room look at: the lamp, the written circuit and its solved corners.

import type { Where } from "../0-ground/finding.ts"
import { ledType } from "../1-stock/leds.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { LedString, Part, WireInput } from "./artefact.ts"
import type { CornerCase, SolvedCorner } from "./corners.ts"
import { type CircuitBody, modelCircuit, type Setting } from "./model-circuit.ts"
import { type OperatingPoint, operatingPoint, real } from "./solver/operating-point.ts"
import type { WrittenController } from "./write-controller.ts"
import type { WrittenGroup } from "./write-group.ts"

export interface MadeCircuit {
  readonly lamp: Lamp
  readonly body: CircuitBody
  readonly groups: readonly WrittenGroup[]
  readonly controller: WrittenController | undefined
  readonly strings: readonly LedString[]
  readonly solved: readonly SolvedCorner[]
  readonly inputs: readonly WireInput[]
  readonly part: ReadonlyMap<string, Part>
}

export const ledsOf = (group: WrittenGroup) => group.plan.group.leds.map((l) => l.ref)

/** 0…1 of full that the programme gives the group with these wires live. */
export function levelOf(group: WrittenGroup, live: readonly string[]): number {
  let level = 0
  for (const l of group.plan.lines)
    if (l.when.every((w) => live.includes(w))) level = Math.max(level, l.level)
  return level
}

/** True when one of the wires that feed the group is live. */
export const isFed = (group: WrittenGroup, live: readonly string[]) =>
  group.plan.feeds.some((f) => f.wires.some((w) => live.includes(w.name)))

export interface Extreme {
  readonly value: number
  readonly corner: string
  readonly ref: string
  readonly at: CornerCase
  readonly point: OperatingPoint
}

/** The greatest (or least) of a quantity over solved corners and refs; undefined when there is nothing to look at. */
export function extreme(
  solved: readonly SolvedCorner[],
  refs: readonly string[],
  of: (point: OperatingPoint, ref: string, at: CornerCase) => number,
  which: "greatest" | "least" = "greatest",
): Extreme | undefined {
  let best: Extreme | undefined
  for (const { at, point } of solved) {
    for (const ref of refs) {
      const value = of(point, ref, at)
      if (Number.isNaN(value)) continue
      if (best === undefined || (which === "greatest" ? value > best.value : value < best.value)) {
        best = { value, corner: at.name, ref, at, point }
      }
    }
  }
  return best
}

/** Solves the circuit once more under a setting outside the usual corners. */
export const solveUnder = (made: MadeCircuit, setting: Setting): OperatingPoint =>
  operatingPoint(modelCircuit(made.body, made.lamp, setting), real, ordersOf(made))

/** A start without voltages: only the elimination orders are of use under another setting. */
function ordersOf(made: MadeCircuit): OperatingPoint | undefined {
  const point = made.solved[0]?.point
  return point && { ...point, converged: false }
}

export function placeOf(lamp: Lamp, path: string, text: string, more: Partial<Where> = {}): Where {
  const place = lamp.places[path]
  return { text, path, ...(place ? { line: place.line, column: place.column } : {}), ...more }
}

export const groupPlace = (
  made: MadeCircuit,
  group: WrittenGroup,
  text?: string,
  more: Partial<Where> = {},
): Where =>
  placeOf(made.lamp, `groups.${group.plan.group.name}`, text ?? `group ${group.plan.group.name}`, {
    group: group.plan.group.name,
    ...more,
  })

export const wirePlace = (made: MadeCircuit, wire: string): Where =>
  placeOf(made.lamp, `vehicle.wires.${wire}`, `wire ${wire}`, { wire })

/** Volt over an LED in its forward direction. */
export function forwardVolt(made: MadeCircuit, point: OperatingPoint, ref: string): number {
  const { pins } = made.part.get(ref)!
  return point.voltage(pins.A!) - point.voltage(pins.K!)
}

/** Junction temperature of an LED in a solved corner. */
export function junctionOf(made: MadeCircuit, point: OperatingPoint, ref: string, celsius: number): number {
  const led = ledType(made.part.get(ref)!.stock)
  const watt = Math.max(0, forwardVolt(made, point, ref) * point.current(ref))
  return celsius + led.thermalResistance * watt
}
