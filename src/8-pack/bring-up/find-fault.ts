// Fault finder: readings a builder got → the single faults that explain them, likeliest first, from the solved faults.

import { meterError } from "./candidates.ts"
import type { BringUpPlan, Signature, Signatures } from "./plan-bring-up.ts"
import { type How, open, type Range } from "./readings.ts"

export interface Suspect {
  /** Faults that none of the plan's readings tells apart; most suspects hold one. */
  readonly faults: readonly string[]
  /** 0: every reading is as this fault would show it; each reading that contradicts it adds up to 36. */
  readonly misfit: number
  /** Readings that contradict it. */
  readonly against: readonly string[]
}

export interface Verdict {
  /** Best first. */
  readonly suspects: readonly Suspect[]
  /** How badly a sound lamp would explain the readings. */
  readonly sound: Suspect
  /** Readings outside their limits. */
  readonly outside: readonly string[]
}

/** `readings`: reading id → value in the plan's unit; resistances of `open` and more mean "open". */
export function findFaults(
  solved: {
    readonly plan: BringUpPlan
    readonly sound: ReadonlyMap<string, Range>
    readonly signatures: Signatures
  },
  readings: ReadonlyMap<string, number>,
): Verdict {
  const { plan, sound, signatures } = solved
  const given = plan.readings.filter((r) => readings.has(r.id))
  const weigh = (faults: readonly string[], shows: ReadonlyMap<string, Signature>): Suspect => {
    let misfit = 0
    const against: string[] = []
    for (const r of given) {
      const range = shows.get(r.id)
      if (range === undefined) continue
      const value = readings.get(r.id)!
      const faulty = distance(value, range, r.how)
      const z = range.orSound ? Math.min(faulty, distance(value, sound.get(r.id)!, r.how)) : faulty
      misfit += Math.min(36, z * z)
      if (z > 2) against.push(r.id)
    }
    return { faults, misfit, against }
  }
  const suspects = groupsOf(plan, signatures)
    .map((group) =>
      weigh(
        group.map((f) => f.text),
        signatures.get(group[0]!.id)!,
      ),
    )
    .map((suspect, k) => ({ suspect, k }))
    .sort((a, b) => a.suspect.misfit - b.suspect.misfit || a.k - b.k)
    .map(({ suspect }) => suspect)
  const outside = given.filter((r) => {
    const v = readings.get(r.id)!
    return v < r.low || v > r.high
  })
  return { suspects, sound: weigh([], sound), outside: outside.map((r) => r.id) }
}

/** Worked out once for a set of solved faults. */
function groupsOf(plan: BringUpPlan, signatures: Signatures): ReturnType<typeof alike> {
  const known = grouped.get(signatures)
  if (known) return known
  const groups = alike(plan, signatures)
  grouped.set(signatures, groups)
  return groups
}
const grouped = new WeakMap<Signatures, ReturnType<typeof alike>>()

/** Faults in groups that show the same in every reading, to three digits. */
function alike(plan: BringUpPlan, signatures: Signatures): (readonly { id: string; text: string }[])[] {
  const groups = new Map<string, { id: string; text: string }[]>()
  for (const fault of plan.faults) {
    const own = signatures.get(fault.id)!
    const key = plan.readings
      .map((r) => {
        const range = own.get(r.id)
        return range === undefined ? "?" : `${rounded(range.usual, r.how)}${range.orSound ? "?" : ""}`
      })
      .join(" ")
    const group = groups.get(key) ?? []
    group.push(fault)
    groups.set(key, group)
  }
  return [...groups.values()]
}

function rounded(value: number, how: How): string {
  const error = meterError(how, value)
  if (how === "resistance" && value < 1) return "0"
  return Math.abs(value) < error ? "0" : value.toPrecision(3)
}

/** How far outside the range a value lies, in errors of the meter; within, a little for being off the middle. */
function distance(value: number, { low, usual, high }: Range, how: How): number {
  const v = how === "resistance" ? Math.min(value, open) : value
  const error = meterError(how, usual) || 1e-3
  const width = Math.max(high - low, error)
  const outside = Math.max(0, low - v, v - high)
  return outside / error + Math.min(1, Math.abs(v - usual) / width) * 0.5
}
