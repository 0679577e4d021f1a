// Independent jobs shared between this thread and other hands, where a door has any. Who did which job changes
// nothing in the result; without a crew everything is done here.

import type { Work } from "./progress.ts"

/** A job's answer, asked for again and again until it is there. "lost" when the hand failed: it is then done here. */
export type Answer = () => { readonly result: unknown } | "lost" | undefined

/** Other hands, given by a door. Jobs and results are plain data. */
export interface Crew {
  /** Gives the job to a free hand; undefined when none is free. */
  give(job: unknown): Answer | undefined
  /** Called when there is nothing left to do here but wait; may sleep for a few milliseconds. */
  rest(): void
}

/**
 * A job begun before its result is needed: a free hand does it while this thread goes on. What comes back gives the
 * result when it is asked for; where no hand was free, the job is done then, here.
 */
export function sendAhead<Job, Result>(
  stage: string,
  job: Job,
  here: (job: Job) => Work<Result>,
  crew?: Crew,
): () => Work<Result> {
  const answer = crew?.give(job)
  return function* () {
    for (;;) {
      const said = answer ? answer() : "lost"
      if (said === "lost") return yield* here(job)
      if (said) return said.result as Result
      crew?.rest()
      yield { stage, done: 0.9 }
    }
  }
}

/**
 * Does every job, each once, and returns the results in the jobs' order. Put long jobs first.
 * `here` does a job in this thread; a hand of the crew must do the same. `told` hears of each result as it comes,
 * in whatever order that is.
 */
export function* shareOut<Job, Result>(
  stage: string,
  jobs: readonly Job[],
  here: (job: Job) => Work<Result>,
  crew?: Crew,
  told?: (job: number, result: Result) => void,
): Work<Result[]> {
  const results: (Result | undefined)[] = jobs.map(() => undefined)
  const waiting: number[] = jobs.map((_, i) => i)
  let away: { readonly job: number; readonly answer: Answer }[] = []
  let finished = 0
  const take = (job: number, result: Result) => {
    results[job] = result
    finished++
    told?.(job, result)
  }

  const hand = () => {
    away = away.filter(({ job, answer }) => {
      const said = answer()
      if (said === undefined) return true
      if (said === "lost") waiting.unshift(job)
      else take(job, said.result as Result)
      return false
    })
    while (crew && waiting.length > 0) {
      const answer = crew.give(jobs[waiting[0]!])
      if (!answer) break
      away.push({ job: waiting.shift()!, answer })
    }
  }

  hand()
  while (finished < jobs.length) {
    const mine = waiting.shift()
    if (mine === undefined) {
      crew?.rest()
      yield { stage, done: finished / jobs.length }
      hand()
      continue
    }
    const work = here(jobs[mine]!)
    for (;;) {
      const step = work.next()
      if (step.done) {
        take(mine, step.value)
        hand()
        break
      }
      yield { ...step.value, stage, done: (finished + step.value.done) / jobs.length }
      hand()
    }
  }
  return results as Result[]
}
