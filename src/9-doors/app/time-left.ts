// How long the run still takes, first to a whole lamp, then to better boards: the share of each stage as it was last
// time, and how far this one is.

import type { Progress } from "../../0-ground/progress.ts"

type Shares = Readonly<Record<string, number>>
type Round = "first" | "better"

/** Shares as measured on the Tern; the last run's own take their place. */
const usual: Readonly<Record<Round, Shares>> = {
  first: { read: 0.01, drive: 0.35, behaviour: 0.005, boards: 0.12, firmware: 0.005, cut: 0.33, proof: 0.18 },
  better: { boards: 0.7, firmware: 0.01, cut: 0.17, proof: 0.12 },
}

export interface RunClock {
  /** Takes progress at `now` (milliseconds); gives the round's share done and, once it can be told, seconds left. */
  at(progress: Progress, now: number): { readonly share: number; readonly left: number | undefined }
  /** The lamp is whole; what follows is the search for better boards, with a measure of its own. */
  whole(now: number): void
  /** The run ended well: its stages' times are the next one's measure. */
  ended(now: number): void
}

const learned: Record<Round, Shares> = { ...usual }

export function startClock(begun: number): RunClock {
  let round: Round = "first"
  let since = begun
  let first = new Map<string, number>()
  let most = 0
  const learn = (now: number) => {
    const names = [...first.keys()]
    const times = Object.fromEntries(
      names.map((s, i) => [s, Math.max(1, (first.get(names[i + 1] ?? "") ?? now) - (first.get(s) ?? now))]),
    )
    // A run that took stages from memory says nothing about one that does not.
    const sum = Object.values(times).reduce((n, t) => n + t, 0)
    const enough = round === "first" ? 5 : 3
    if (sum > 2000 && names.length >= enough) learned[round] = { ...usual[round], ...shares(times, sum) }
  }
  return {
    at({ stage, done }, now) {
      if (!first.has(stage)) first.set(stage, now)
      const of = learned[round]
      const names = Object.keys(of)
      const at = names.indexOf(stage)
      const sum = names.reduce((n, s) => n + (of[s] ?? 0), 0)
      const before = names.slice(0, Math.max(0, at)).reduce((n, s) => n + (of[s] ?? 0), 0)
      const share = Math.min(0.99, (before + (of[stage] ?? 0) * Math.max(0, Math.min(1, done))) / sum)
      // What is done stays done, also where a search looks further than it first meant to.
      most = Math.max(most, share)
      const gone = (now - since) / 1000
      const left = gone > 0.7 && most > 0.12 ? (gone * (1 - most)) / most : undefined
      return { share: most, left }
    },
    whole(now) {
      learn(now)
      round = "better"
      since = now
      first = new Map()
      most = 0
    },
    ended: learn,
  }
}

const shares = (times: Shares, sum: number): Shares =>
  Object.fromEntries(Object.entries(times).map(([s, t]) => [s, t / sum]))

/** Seconds as a person waits: to five where it is long. */
export const leftInWords = (seconds: number): string =>
  seconds < 2
    ? "nearly done"
    : seconds < 10
      ? `about ${Math.ceil(seconds)} s left`
      : seconds < 90
        ? `about ${5 * Math.ceil(seconds / 5)} s left`
        : `about ${Math.ceil(seconds / 60)} min left`
