// Way in: a lamp becomes a circuit, judged at rest, over time and by lot.

import { type Crew, shareOut } from "../0-ground/crew.ts"
import { finish, type Work } from "../0-ground/progress.ts"
import type { Recall } from "../0-ground/recall.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Circuit } from "./artefact.ts"
import { countLots, type LotsAsk, type LotsSeen, together } from "./count-lots.ts"
import { type ByLot, drawCircuit } from "./draw-circuit.ts"
import { judgePulses } from "./judge-pulses.ts"
import { judgeYield, lotsAsk } from "./judge-spread.ts"
import { ladders } from "./monte-carlo.ts"
import { stressCandidate } from "./stress-candidate.ts"

/** Lamps drawn by lot: enough to tell that at most one in a hundred misses a limit. */
const drawnLamps = 500
/**
 * Where the pieces end that they are counted in, as shares of all: what another hand gets through while this one judges
 * pulses, and the rest in small pieces, of which each takes the next when done with one.
 */
const lotParts = [0, 0.5, 0.6, 0.7, 0.8, 0.9, 1] as const

export interface DriveOptions {
  /** How many are drawn by lot for the yield; 0 leaves it out. */
  readonly lamps?: number
  /** Whether pulses are run over time and ways to drive a group are compared by lots and pulses too. */
  readonly pulses?: boolean
  /** Whether anything is judged beyond that every corner has a solution. */
  readonly judged?: boolean
  /** Another hand draws the lots, where the door has one. */
  readonly crew?: Crew | undefined
  /** Ways to drive a group are compared again only when something they are compared by changed. */
  readonly recall?: Recall
}

/** In one go, by this thread alone. */
export const designDrive = (lamp: Lamp, options: Omit<DriveOptions, "crew"> = {}): Circuit =>
  finish(driveWork(lamp, options))

export function* driveWork(
  lamp: Lamp,
  { lamps = drawnLamps, pulses = true, crew, ...rest }: DriveOptions = {},
): Work<Circuit> {
  const work = drawCircuit(lamp, {
    ...rest,
    ...(pulses ? { overTime: { judge: judgePulses, stress: stressCandidate } } : {}),
    byLot: lotsOf(lamps, crew),
  })
  for (;;) {
    const step = work.next()
    if (step.done) return step.value
    crew?.ahead?.hand()
    yield step.value
  }
}

/** Lots take as long as all the rest: begun at once where there are other hands, shared with them at the end. */
const lotsOf =
  (lamps: number, crew: Crew | undefined): ByLot =>
  (made, groupOf, figures) => {
    const ask = lotsAsk(made, groupOf, lamps, figures)
    if (!ask) return undefined
    const { body, sets } = ask.lots
    const starts = ladders(body, made.lamp, groupOf, sets, lamps * sets.length)
    const jobs = lotParts.slice(1).flatMap((end, i): LotsJob[] => {
      const from = Math.floor(lamps * lotParts[i]!)
      const to = Math.floor(lamps * end)
      return from < to ? [{ lots: { ...ask.lots, starts, from, to } }] : []
    })
    const names = jobs.map((_, i) => `lots ${i}`)
    for (const [i, job] of jobs.entries()) crew?.ahead?.post(names[i]!, job, () => doLotsJob(job))
    return function* (candidates) {
      const counts = yield* shareOut("drive", jobs, doLotsJob, crew, { names })
      return judgeYield(made, ask, together(counts), candidates, figures)
    }
  }

/** Lamps drawn by lot and counted, as plain data. */
export interface LotsJob {
  readonly lots: LotsAsk
}

/** What a hand of the crew does with a job. */
export const doLotsJob = ({ lots }: LotsJob): Work<LotsSeen> => countLots(lots)
