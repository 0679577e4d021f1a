// Way in: a lamp becomes a circuit, judged at rest, over time and by lot.

import { type Crew, shareOut } from "../0-ground/crew.ts"
import { finish, type Work } from "../0-ground/progress.ts"
import type { Recall } from "../0-ground/recall.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Circuit } from "./artefact.ts"
import { countLots, type LotsAsk, type LotsSeen } from "./count-lots.ts"
import { type ByLot, drawCircuit } from "./draw-circuit.ts"
import { Figures } from "./drive-figures.ts"
import { judgePulses } from "./judge-pulses.ts"
import { judgeYield, lotsAsk } from "./judge-spread.ts"
import { stressCandidate } from "./stress-candidate.ts"

/** Lamps drawn by lot: enough to tell that at most one in a hundred misses a limit. */
const drawnLamps = 500

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

/** A circuit, and what lamps drawn by lot show of it, asked for when it is wanted: other hands may count meanwhile. */
export interface Driven {
  readonly circuit: Circuit
  /** Counts what is not yet counted; absent when there is nothing to count. */
  readonly byLot?: (crew?: Crew) => Work<Pick<Circuit, "findings" | "figures">>
}

/** In one go, by this thread alone. */
export function designDrive(lamp: Lamp, options: Omit<DriveOptions, "crew"> = {}): Circuit {
  const { circuit, byLot } = finish(driveWork(lamp, options))
  if (!byLot) return circuit
  const { findings, figures } = finish(byLot())
  return {
    ...circuit,
    findings: [...circuit.findings, ...findings],
    figures: [...circuit.figures, ...figures],
  }
}

export function* driveWork(
  lamp: Lamp,
  { lamps = drawnLamps, pulses = true, crew, ...rest }: DriveOptions = {},
): Work<Driven> {
  let counting: Driven["byLot"]
  const work = drawCircuit(lamp, {
    ...rest,
    ...(pulses ? { overTime: { judge: judgePulses, stress: stressCandidate } } : {}),
    byLot: (...made) => {
      counting = beginLots(lamps, crew, made)
    },
  })
  for (;;) {
    const step = work.next()
    if (step.done) return { circuit: step.value, ...(counting ? { byLot: counting } : {}) }
    crew?.ahead?.hand()
    yield step.value
  }
}

/** Begun at once where there are other hands, shared with them in the end. */
function beginLots(
  lamps: number,
  hands: Crew | undefined,
  [made, groupOf, figures, candidates]: Parameters<ByLot>,
): Driven["byLot"] {
  const ask = lotsAsk(made, groupOf, lamps, figures)
  if (!ask) return undefined
  const job: LotsJob = { lots: ask.lots }
  // In one piece: another hand gets through it while this one makes the rest of the lamp.
  const names = ["lots"]
  hands?.ahead?.post("lots", job, () => doLotsJob(job))
  return function* (crew) {
    const [seen] = yield* shareOut("lots", [job], doLotsJob, crew, { names })
    const own = new Figures(made.lamp, figures)
    return { findings: judgeYield(made, ask, seen!, candidates, own), figures: own.all }
  }
}

/** Lamps drawn by lot and counted, as plain data. */
export interface LotsJob {
  readonly lots: LotsAsk
}

/** What a hand of the crew does with a job. */
export const doLotsJob = ({ lots }: LotsJob): Work<LotsSeen> => countLots(lots)
