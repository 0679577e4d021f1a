// How many lamps drawn by lot miss a limit, as plain data in and out, so that another hand may count them.

import type { Work } from "../0-ground/progress.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import { stopRatio } from "./limits.ts"
import type { CircuitBody } from "./model-circuit.ts"
import { type Draw, drawLamps } from "./monte-carlo.ts"

export interface LotsAsk {
  readonly body: CircuitBody
  readonly lamp: Pick<Lamp, "vehicle" | "programme" | "seed">
  /** Channel and its group. */
  readonly groupOf: readonly (readonly [number, string])[]
  /** Wires that may be live together; one that others are compared with stands before them. */
  readonly sets: readonly (readonly string[])[]
  readonly lamps: number
  readonly groups: readonly GroupLots[]
}

export interface GroupLots {
  /** LEDs. */
  readonly refs: readonly string[]
  /** Most current of an LED, mA. */
  readonly limit: number
  /** By set of live wires, joined with +: the least current of each LED that still lights, A; absent where it is dark. */
  readonly floor: Readonly<Record<string, readonly number[]>>
  /** The set of the position light alone and the one of stop and position, where the two are compared. */
  readonly low?: string
  readonly high?: string
}

export interface LotsSeen {
  /** Lamps for which a set of wires had no solution. */
  readonly stuck: number
  readonly groups: readonly {
    /** Lamps in which the group misses a limit. */
    readonly missed: number
    /** Times, over all sets. */
    readonly tooMuch: number
    readonly tooLittle: number
    readonly tooAlike: number
  }[]
}

/** A lamp misses where any set of live wires gives an LED too much, too little, or stop too near to position. */
export function* countLots(ask: LotsAsk): Work<LotsSeen> {
  const tallies = ask.groups.map((g) => ({
    ...g,
    missed: new Uint8Array(ask.lamps),
    current: new Float64Array(g.low === undefined ? 0 : ask.lamps * g.refs.length),
    tooMuch: 0,
    tooLittle: 0,
    tooAlike: 0,
  }))
  const count = ask.lamps * ask.sets.length
  const see = (d: Draw) => {
    const live = d.live.join("+")
    for (const t of tallies) {
      const floor = t.floor[live]
      if (!floor) continue
      let miss = 0
      for (let k = 0; k < t.refs.length; k++) {
        const i = d.current(t.refs[k]!)
        const at = d.lamp * t.refs.length + k
        if (!(1000 * i <= t.limit)) miss |= 1
        if (!(i >= floor[k]!)) miss |= 2
        if (t.low === live) t.current[at] = i
        if (t.low !== undefined && t.high === live && !(i >= stopRatio.value * t.current[at]!)) miss |= 4
      }
      if (miss & 1) t.tooMuch++
      if (miss & 2) t.tooLittle++
      if (miss & 4) t.tooAlike++
      if (miss !== 0) t.missed[d.lamp] = 1
    }
  }
  const drawn = drawLamps(ask.body, ask.lamp, new Map(ask.groupOf), ask.sets, count, see)
  return {
    stuck: drawn.stuck,
    groups: tallies.map(({ missed, tooMuch, tooLittle, tooAlike }) => ({
      missed: missed.reduce((a, b) => a + b, 0),
      tooMuch,
      tooLittle,
      tooAlike,
    })),
  }
}
