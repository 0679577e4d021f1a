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
  /** A job of this name that was begun ahead, or waits to be. */
  readonly ahead?: Ahead
}

/** Jobs that a later stage will ask for, done while this one leaves hands idle. */
export class Ahead {
  private readonly crew: Crew
  private readonly waiting: {
    readonly name: string
    readonly job: unknown
    readonly here: () => Work<unknown>
    readonly isLong: boolean
  }[] = []
  private readonly begun = new Map<string, { readonly answer: Answer; said?: ReturnType<Answer> }>()

  constructor(crew: Crew) {
    this.crew = crew
  }

  /** `name` tells all that the job depends on. A long job is begun before those that wait. */
  post(name: string, job: unknown, here: () => Work<unknown>, { isLong = false } = {}): void {
    if (this.begun.has(name) || this.waiting.some((w) => w.name === name)) return
    const posted = { name, job, here, isLong }
    if (isLong) this.waiting.unshift(posted)
    else this.waiting.push(posted)
    this.hand()
  }

  /** The answer of a job that was begun; one that still waits is given up to whoever asks. */
  take(name: string): Answer | undefined {
    const at = this.waiting.findIndex((w) => w.name === name)
    if (at >= 0) this.waiting.splice(at, 1)
    const begun = this.begun.get(name)
    this.begun.delete(name)
    return begun && (() => begun.said ?? begun.answer())
  }

  /** Gives what waits to hands that are free; with `onlyLong` what would hold up the end if it were begun late. */
  hand(onlyLong = false): void {
    this.hear()
    for (;;) {
      const next = this.waiting[0]
      if (onlyLong && next?.isLong !== true) return
      const answer = next && this.crew.give(next.job)
      if (!answer) return
      this.waiting.shift()
      this.begun.set(next.name, { answer })
    }
  }

  /** A hand is free once its answer was heard. */
  hear(): void {
    for (const b of this.begun.values()) b.said ??= b.answer()
  }

  /** One that waits, done by this thread. */
  *spare(): Work<boolean> {
    const next = this.waiting.shift()
    if (!next) return false
    const result = yield* next.here()
    this.begun.set(next.name, { answer: () => ({ result }) })
    return true
  }
}

export type Working = Crew & { readonly ahead: Ahead }

/** The same crew, working ahead. */
export function workingAhead(crew: Crew): Working {
  const ahead = new Ahead(crew)
  const give: Crew["give"] = (job) => {
    ahead.hear()
    return crew.give(job)
  }
  return { give, rest: () => crew.rest(), ahead }
}

export interface ShareOptions<Result> {
  readonly told?: (job: number, result: Result) => void
  readonly names?: readonly string[]
  /** The first job, the longest, is kept for this thread, which has all it needs at hand. */
  readonly longestHere?: boolean
}

/**
 * Does every job, each once, and returns the results in the jobs' order. Put long jobs first.
 * `here` does a job in this thread; a hand of the crew must do the same. `told` hears of each result as it comes,
 * in whatever order that is. `names` are the names under which jobs may have been begun ahead.
 */
export function* shareOut<Job, Result>(
  stage: string,
  jobs: readonly Job[],
  here: (job: Job) => Work<Result>,
  crew?: Crew,
  { told, names, longestHere = false }: ShareOptions<Result> = {},
): Work<Result[]> {
  const results: (Result | undefined)[] = jobs.map(() => undefined)
  const waiting: number[] = []
  /** What a hand failed at is tried here, where a fault shows. */
  const lost: number[] = []
  let away: { readonly job: number; readonly answer: Answer }[] = []
  for (const i of jobs.keys()) {
    const answer = names && crew?.ahead?.take(names[i]!)
    if (answer) away.push({ job: i, answer })
    else waiting.push(i)
  }
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
      if (said === "lost") lost.push(job)
      else take(job, said.result as Result)
      return false
    })
    crew?.ahead?.hand(true)
    while (crew && waiting.length > 0) {
      const answer = crew.give(jobs[waiting[0]!])
      if (!answer) break
      away.push({ job: waiting.shift()!, answer })
    }
    if (waiting.length === 0) crew?.ahead?.hand()
  }

  let kept = longestHere ? waiting.shift() : undefined
  hand()
  while (finished < jobs.length) {
    const mine = kept ?? lost.shift() ?? waiting.shift()
    kept = undefined
    if (mine === undefined) {
      if (crew?.ahead) {
        const spare = crew.ahead.spare()
        let step = spare.next()
        while (!step.done) {
          yield { ...step.value, stage, done: finished / jobs.length }
          hand()
          step = spare.next()
        }
        if (step.value) {
          hand()
          continue
        }
      }
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
