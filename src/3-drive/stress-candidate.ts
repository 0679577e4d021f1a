// What a way to drive a group goes through by lot and in pulses: lamps built from parts anywhere in their tolerances,
// and every pulse of a vehicle's wires over time, both on the candidate's own circuit. Dear, so only those that are
// still in the running are looked at.

import { runEvent } from "./circuit-transient.ts"
import { eventsOf } from "./events.ts"
import { type DesignAsk, type GroupDesign, limitOf } from "./group-design.ts"
import { airOf, aspects } from "./judge-pulses.ts"
import { leastShare, stopRatio } from "./limits.ts"
import type { CircuitBody } from "./model-circuit.ts"
import { drawLamps } from "./monte-carlo.ts"
import { writeAlone } from "./try-design.ts"

export interface Stressed {
  /** Share of the lamps drawn in which an LED gets too much or too little, or stop is too near to position. */
  readonly missed: number
  readonly drawn: number
  /** Greatest share of what a part bears over all pulses, and which part, what and when. */
  readonly pulse: number
  readonly worst: string
  /** Both the pulse and the limit were read, not recalled: beyond it the way must not be taken. */
  readonly sure: boolean
}

/** Enough to tell ways apart; the one taken is drawn again in the whole lamp. */
const lots = 120

export function stressCandidate(ask: DesignAsk, design: GroupDesign): Stressed {
  const { lamp, plan } = ask
  const alone = writeAlone({ lamp, design })
  const wires = (f: number) => plan.feeds[f]?.wires[0]?.name
  const levels = plan.topology === "two-feed" ? plan.feeds.length : 1
  const { signals, channels } = alone.draft
  const body: CircuitBody = { ...alone.body, parts: alone.draft.parts, signals }
  const groupOf = new Map(channels.map((c) => [c.index, c.group]))
  const name = (list: readonly (string | undefined)[]) => [...new Set(list.flatMap((w) => w ?? []))]
  const all = name(plan.feeds.map((_, f) => wires(f)))
  const sets = levels > 1 ? [name([wires(levels - 1)]), name([wires(0)]), all] : [name([wires(0)])]
  const dim = sets[0]!
  const limit = limitOf({ ...ask, plan: design.plan })
  const refs = body.parts.filter((p) => p.kind === "led").map((p) => p.ref)
  const both = plan.group.functions.includes("stop") && plan.group.functions.includes("rear-position")
  const compare = both && levels > 1 && design.plan.topology !== "switched"
  // What each LED gets usually, with each set: lots of no width at the usual supply.
  const { supply } = lamp.vehicle
  const steady = {
    ...lamp,
    vehicle: {
      ...lamp.vehicle,
      supply: { ...supply, lowest: supply.usual, highest: supply.usual },
      ambient: { lowest: 25, highest: 25 },
    },
  }
  const usual = new Map<string, Float64Array>()
  drawLamps(
    body,
    steady,
    groupOf,
    sets,
    sets.length,
    (d) => {
      usual.set(
        d.live.join("+"),
        Float64Array.from(refs, (r) => leastShare.value * d.current(r)),
      )
    },
    { width: 0 },
  )
  const missed = new Uint8Array(lots)
  const low = new Float64Array(compare ? lots * refs.length : 0)
  const { stuck } = drawLamps(body, lamp, groupOf, sets, lots * sets.length, (d) => {
    const floor = usual.get(d.live.join("+"))
    refs.forEach((ref, k) => {
      const i = d.current(ref)
      const at = d.lamp * refs.length + k
      if (!(i <= limit) || !(i >= (floor?.[k] ?? 0))) missed[d.lamp] = 1
      if (!compare) return
      if (d.live === dim) low[at] = i
      else if (d.live.length === all.length && !(i >= stopRatio.value * low[at]!)) missed[d.lamp] = 1
    })
  })
  const lost = Math.min(lots, missed.reduce((a, b) => a + b, 0) + stuck)
  return { missed: lost / lots, drawn: lots, ...pulsesThrough(ask, alone, all) }
}

/** Every pulse that is not about the controller, through one string of each kind. */
function pulsesThrough(
  { lamp }: DesignAsk,
  { body, alike }: ReturnType<typeof writeAlone>,
  wires: readonly string[],
): Pick<Stressed, "pulse" | "worst" | "sure"> {
  const part = new Map(body.parts.map((p) => [p.ref, p]))
  const made = { lamp, body, controller: undefined, part }
  let worst = { pulse: 0, worst: "", sure: false }
  for (const event of eventsOf(lamp.vehicle)) {
    // What lasts is told by the corners.
    if (!event.on || event.end > 1) continue
    const run = runEvent(made, event, wires, (s) => (s.direction === "output" ? "high" : "open"), alike)
    if (!run.finished) continue
    for (const aspect of aspects) {
      if (event.name === aspect.without) continue
      for (const [ref, stress] of run.stress) {
        const limit = aspect.limit(made, ref, part.get(ref), event.end, airOf(made, event))
        const value = limit ? aspect.of(stress) / limit.value : 0
        if (limit && value > worst.pulse)
          worst = {
            pulse: value,
            worst: `${aspect.name} in the ${event.name}`,
            sure: event.source.known === "read" && limit.source.known === "read",
          }
      }
    }
  }
  return worst
}
