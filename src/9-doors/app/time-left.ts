// How long the run still takes: the share of each stage as it was last time, and how far this one is.

import type { Progress } from "../../0-ground/progress.ts"

/** Shares of a whole run, as measured on the Tern; the last run's own take their place. */
const usual: Readonly<Record<string, number>> = {
  read: 0.01,
  drive: 0.08,
  behaviour: 0.005,
  boards: 0.7,
  firmware: 0.005,
  cut: 0.08,
  proof: 0.12,
}

export interface RunClock {
  /** Takes progress at `now` (milliseconds); gives the whole run's share done and, once it can be told, seconds left. */
  at(progress: Progress, now: number): { readonly share: number; readonly left: number | undefined }
  /** The run ended well: its stages' times are the next one's measure. */
  ended(now: number): void
}

let learned: Readonly<Record<string, number>> = usual

export function startClock(begun: number): RunClock {
  const first = new Map<string, number>()
  let most = 0
  return {
    at({ stage, done }, now) {
      if (!first.has(stage)) first.set(stage, now)
      const names = Object.keys(learned)
      const at = names.indexOf(stage)
      const sum = names.reduce((n, s) => n + (learned[s] ?? 0), 0)
      const before = names.slice(0, Math.max(0, at)).reduce((n, s) => n + (learned[s] ?? 0), 0)
      const share = Math.min(0.99, (before + (learned[stage] ?? 0) * Math.max(0, Math.min(1, done))) / sum)
      // What is done stays done, also where a search looks further than it first meant to.
      most = Math.max(most, share)
      const gone = (now - begun) / 1000
      const left = gone > 0.7 && most > 0.12 ? (gone * (1 - most)) / most : undefined
      return { share: most, left }
    },
    ended(now) {
      const names = [...first.keys()]
      const times = Object.fromEntries(
        names.map((s, i) => [s, Math.max(1, (first.get(names[i + 1] ?? "") ?? now) - (first.get(s) ?? now))]),
      )
      // A run that took stages from memory says nothing about one that does not.
      const whole = Object.values(times).reduce((n, t) => n + t, 0)
      if (whole > 2000 && names.length >= 5) learned = { ...usual, ...shares(times, whole) }
    },
  }
}

const shares = (times: Readonly<Record<string, number>>, whole: number) =>
  Object.fromEntries(Object.entries(times).map(([s, t]) => [s, t / whole]))

/** Seconds as a person waits: to five where it is long. */
export const leftInWords = (seconds: number): string =>
  seconds < 2
    ? "nearly done"
    : seconds < 10
      ? `about ${Math.ceil(seconds)} s left`
      : seconds < 90
        ? `about ${5 * Math.ceil(seconds / 5)} s left`
        : `about ${Math.ceil(seconds / 60)} min left`
