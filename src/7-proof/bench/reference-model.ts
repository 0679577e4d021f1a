// The light the description promises, look by look, from the Lamp and the written semantics alone
// (`src/4-behaviour/SEMANTICS.md`). It never sees the firmware's table or program. From the bench it takes
// two facts: when the controller looked, and what stood on its input pins then.

import type { Lamp } from "../../2-lamp/artefact.ts"
import { GroupLight } from "./model/group-light.ts"
import { WireState } from "./model/wire-state.ts"

/** Outputs of one group in sweep order: positions in the list of channels. */
export interface ModelGroup {
  readonly group: string
  readonly channels: readonly number[]
}

export class ReferenceModel {
  private readonly wires: ReadonlyMap<string, WireState>
  private readonly groups: readonly { readonly light: GroupLight; readonly channels: readonly number[] }[]

  constructor(lamp: Lamp, groups: readonly ModelGroup[]) {
    const named = new Map(lamp.vehicle.wires.map((w) => [w.name, w]))
    const stop = new Set(lamp.groups.filter((g) => g.functions.includes("stop")).map((g) => g.name))
    const used = new Set(lamp.programme.flatMap((l) => l.when))
    this.wires = new Map(
      [...used].map((name) => {
        const flashing = named.get(name)?.role === "flashing"
        const brakes = lamp.programme.some((l) => l.when.includes(name) && stop.has(l.light))
        return [name, new WireState(flashing, flashing || brakes)]
      }),
    )
    this.groups = groups.map(({ group, channels }) => ({
      channels,
      light: new GroupLight(
        lamp.groups.find((g) => g.name === group)!,
        lamp.programme,
        channels.length,
        named,
      ),
    }))
  }

  /**
   * One look, with what each wire's pin shows. Writes by channel the codes that follow into `codes`, and into
   * `ahead` those a millisecond further along.
   */
  step(reads: Readonly<Record<string, boolean>>, codes: Float64Array, ahead: Float64Array): void {
    for (const [name, wire] of this.wires) wire.step(reads[name] ?? false)
    for (const { light, channels } of this.groups) {
      light.step(this.wires)
      channels.forEach((channel, i) => {
        codes[channel] = light.codes[i]!
        ahead[channel] = light.ahead[i]!
      })
    }
  }
}
