// What a way to drive a group is worth: solved at every corner, then points lost for what a builder pays for.
// The points are chosen by this program; every number they are made of is solved or counted.

import type { Candidate } from "./artefact.ts"
import type { Bench, GroupMake, Outcome } from "./candidate-network.ts"
import { solveMake } from "./candidate-network.ts"
import { leastShare, stopRatio } from "./limits.ts"

/** Points lost for each. */
export const points = {
  /** Per factor of e that the dimmest LED loses at the lowest supply. */
  dim: 0.5,
  /** At the current limit; in proportion below it. */
  strong: 1,
  /** Per factor of e between the least and the greatest ratio of the two levels. */
  spread: 3,
  /** Per watt turned to heat beside the LEDs. */
  heat: 0.3,
  part: 0.15,
  /** Per cm² of board under bodies. */
  area: 0.1,
  /** When the two levels cannot be told apart with the controller dead. */
  silent: 2,
} as const

export interface Setup {
  readonly group: string
  readonly label: string
  readonly make: GroupMake
  readonly parts: number
  readonly area: number
  readonly silent: string
  /** With the controller dead both levels look the same. */
  readonly silentSame: boolean
  /** Stop and position from the same LEDs: the levels must be told apart. */
  readonly stop: boolean
  /** LED current allowed at the strongest corner. */
  readonly limit: number
  readonly corners: readonly Bench[]
  readonly levels: number
}

export type Scored = Omit<Candidate, "taken" | "why"> & {
  readonly terms: Readonly<Record<keyof typeof points, number>>
}

export function scoreCandidate(setup: Setup): Scored {
  const { make, corners, levels } = setup
  const sets = levels > 1 ? [[0], Array.from({ length: levels }, (_, f) => f), [levels - 1]] : [[0]]
  let weakest = Number.POSITIVE_INFINITY
  let strongest = 0
  let least = Number.POSITIVE_INFINITY
  let greatest = 0
  let heat = 0
  let stuck = 0
  const usualOf = new Map<string, Outcome>()
  for (const live of sets)
    usualOf.set(live.join(), solveMake(make, corners.find((c) => c.parts === "usual")!, live))
  const lowest = Math.min(...corners.map((c) => c.supply))
  for (const at of corners) {
    const solved = sets.map((live) => ({ live, out: solveMake(make, at, live) }))
    for (const { live, out } of solved) {
      if (!out.converged) {
        stuck++
        continue
      }
      strongest = Math.max(strongest, ...out.led)
      heat = Math.max(heat, out.taken - out.light)
      if (at.supply !== lowest || at.parts !== "weakest") continue
      const usual = usualOf.get(live.join())!
      out.led.forEach((i, k) => {
        weakest = Math.min(weakest, i / usual.led[k]!)
      })
    }
    if (levels > 1) {
      const both = solved[1]!.out
      const low = solved[2]!.out
      both.led.forEach((i, k) => {
        const ratio = i / Math.max(low.led[k]!, 1e-9)
        least = Math.min(least, ratio)
        greatest = Math.max(greatest, ratio)
      })
    }
  }
  const fails = [
    ...(stuck > 0 ? ["a corner has no solution"] : []),
    ...(weakest < leastShare.value ? ["dark at the lowest supply"] : []),
    ...(strongest > setup.limit ? ["LEDs get too much at the strongest corner"] : []),
    ...(setup.stop && levels > 1 && least < stopRatio.value ? ["stop does not stand out from tail"] : []),
    ...(setup.stop && setup.silentSame
      ? ["with the controller dead the tail wire lights it as bright as stop"]
      : []),
  ]
  const terms = {
    dim: points.dim * -Math.log(Math.max(Math.min(weakest, 1), 1e-3)),
    strong: points.strong * (strongest / setup.limit),
    spread: levels > 1 ? points.spread * Math.log(greatest / Math.max(least, 1e-9)) : 0,
    heat: points.heat * heat,
    part: points.part * setup.parts,
    area: (points.area * setup.area) / 100,
    silent: setup.silentSame ? points.silent : 0,
  }
  return {
    group: setup.group,
    kind: make.kind,
    label: setup.label,
    inSeries: Math.max(...make.strings.map((s) => s.length)),
    weakestShare: weakest,
    strongest,
    ...(levels > 1 ? { ratio: { least, greatest } } : {}),
    heat,
    parts: setup.parts,
    area: setup.area,
    silent: setup.silent,
    score: Object.values(terms).reduce((a, b) => a + b, 0),
    fails,
    terms,
  }
}
