// The light the description promises, look by look, from the Lamp and the written semantics alone
// (`src/4-behaviour/SEMANTICS.md`). It never sees the firmware's table or program. From the bench it takes
// two facts: when the controller looked, and what stood on its input pins then.

import type { Lamp } from "../../2-lamp/artefact.ts"
import { type Departure, GroupLight } from "./model/group-light.ts"
import { timingOf } from "./model/timing.ts"
import { WireState } from "./model/wire-state.ts"

/** Outputs of one group in sweep order: positions in the list of channels. */
export interface ModelGroup {
  readonly group: string
  readonly channels: readonly number[]
  /** Place of each channel's first LED in the group's order. */
  readonly places: readonly number[]
}

/**
 * Where a whole millisecond falls on an LED's turn in a sweep, rounding decides whether the LED has begun; and fades
 * are a little early, long ones perhaps late. All are followed up: the light must lie between them.
 */
const departures: readonly Departure[] = [
  { turn: 0, pace: "exact" },
  { turn: -0.01, pace: "early" },
  { turn: 0, pace: "late" },
]

export class ReferenceModel {
  /** By name: the wires that some line of the programme asks for. */
  readonly wires: ReadonlyMap<string, WireState>
  private readonly groups: readonly {
    readonly lights: readonly GroupLight[]
    readonly channels: readonly number[]
  }[]

  constructor(lamp: Lamp, groups: readonly ModelGroup[]) {
    const named = new Map(lamp.vehicle.wires.map((w) => [w.name, w]))
    const stop = new Set(lamp.groups.filter((g) => g.functions.includes("stop")).map((g) => g.name))
    const timing = timingOf(lamp)
    const used = new Set(lamp.programme.flatMap((l) => l.when))
    this.wires = new Map(
      [...used].map((name) => {
        const brakes = lamp.programme.some((l) => l.when.includes(name) && stop.has(l.light))
        return [name, new WireState(named.get(name), brakes, timing)]
      }),
    )
    this.groups = groups.map(({ group, channels, places }) => {
      const described = lamp.groups.find((g) => g.name === group)!
      const lights = departures.map(
        (d) => new GroupLight(described, lamp.programme, places, named, timing, d),
      )
      return { channels, lights }
    })
  }

  /** One look, with what each wire's pin shows. Writes by channel the least and greatest code that may follow. */
  step(reads: Readonly<Record<string, boolean>>, low: Float64Array, high: Float64Array): void {
    for (const [name, wire] of this.wires) wire.step(reads[name] ?? false)
    for (const { lights, channels } of this.groups) {
      for (const light of lights) light.step(this.wires)
      for (let i = 0; i < channels.length; i++) {
        let least = 255
        let most = 0
        for (const light of lights) {
          const code = light.codes[i]!
          const either = light.loose[i]!
          least = Math.min(least, code - either)
          most = Math.max(most, code + either)
        }
        low[channels[i]!] = Math.max(0, least)
        high[channels[i]!] = Math.min(255, most)
      }
    }
  }
}
