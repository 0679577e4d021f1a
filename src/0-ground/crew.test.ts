import { describe, expect, test } from "vitest"
import { type Crew, shareOut, workingAhead } from "./crew.ts"
import { finish } from "./progress.ts"

function* square(n: number) {
  for (let i = 0; i < 3; i++) yield { stage: "inner", done: i / 3 }
  return n * n
}

/** A crew of `hands` that answer after a few polls; every job in `loses` is lost. */
function slowCrew(hands: number, loses: readonly number[] = []): Crew & { readonly did: number[] } {
  let busy = 0
  const did: number[] = []
  return {
    did,
    rest() {},
    give(job) {
      if (busy >= hands) return undefined
      busy++
      did.push(job as number)
      let polls = 0
      return () => {
        if (++polls < 5) return undefined
        busy--
        return loses.includes(job as number) ? "lost" : { result: (job as number) ** 2 }
      }
    },
  }
}

const jobs = [5, 4, 3, 2, 1, 9, 8, 7]
const squares = jobs.map((n) => n * n)

test("results stand in the jobs' order, whoever did them", () => {
  expect(finish(shareOut("s", jobs, square))).toEqual(squares)
  for (const hands of [1, 2, 20]) {
    const crew = slowCrew(hands)
    expect(finish(shareOut("s", jobs, square, crew))).toEqual(squares)
    expect(crew.did.length).toBeGreaterThan(0)
  }
})

test("a job a hand lost is done here", () => {
  let done = 0
  const lossy: Crew = {
    rest() {},
    give: (job) => (done++ === 0 && job === 5 ? () => "lost" : undefined),
  }
  expect(finish(shareOut("s", jobs, square, lossy))).toEqual(squares)
  expect(finish(shareOut("s", [], square))).toEqual([])
})

test("progress never runs backwards without a crew", () => {
  let last = 0
  finish(shareOut("s", jobs, square), ({ stage, done }) => {
    expect(stage).toBe("s")
    expect(done).toBeGreaterThanOrEqual(last)
    last = done
  })
})

describe("jobs begun ahead", () => {
  const names = jobs.map((n) => `job ${n}`)

  test("are asked for under their names, each done once, by a hand or here", () => {
    for (const hands of [0, 1, 2, 20]) {
      const did: number[] = []
      const base = slowCrew(hands)
      const crew = workingAhead(base)
      const here = (n: number) =>
        (function* () {
          did.push(n)
          return yield* square(n)
        })()
      for (const n of jobs) crew.ahead.post(`job ${n}`, n, () => here(n))
      // Posted again under the same name: still one job.
      crew.ahead.post("job 1", 1, () => here(1))
      expect(finish(shareOut("s", jobs, here, crew, { names }))).toEqual(squares)
      expect([...did, ...base.did].sort((a, b) => a - b)).toEqual([...jobs].sort((a, b) => a - b))
    }
  })

  test("are done by this thread while it would wait for a hand, and by hands while it works", () => {
    const crew = workingAhead(slowCrew(1))
    crew.ahead.post("later", 100, () => square(100))
    crew.ahead.post("much later", 101, () => square(101))
    expect(finish(shareOut("s", jobs, square, crew))).toEqual(squares)
    expect(finish(shareOut("t", [100, 101], square, crew, { names: ["later", "much later"] }))).toEqual([
      10000, 10201,
    ])
  })

  test("a job a hand lost is done when it is asked for", () => {
    const crew = workingAhead(slowCrew(1, [3]))
    crew.ahead.post("job 3", 3, () => square(3))
    // Lost by the only hand, and by it once more; no hand is left then.
    const once = { ...crew, give: () => undefined }
    expect(finish(shareOut("s", [3], square, once, { names: ["job 3"] }))).toEqual([9])
  })

  /** One hand that is free only when its last answer was heard, done at once. */
  const promptCrew = (): Crew & { readonly did: number[] } => {
    let free = true
    const did: number[] = []
    return {
      did,
      rest() {},
      give(job) {
        if (!free) return undefined
        free = false
        did.push(job as number)
        return () => {
          free = true
          return { result: (job as number) ** 2 }
        }
      },
    }
  }

  test("a hand that is done with one is given the stage's own jobs next", () => {
    const base = promptCrew()
    const crew = workingAhead(base)
    crew.ahead.post("later", 100, () => square(100))
    expect(finish(shareOut("s", [2, 1], square, crew))).toEqual([4, 1])
    expect(base.did.slice(0, 2)).toEqual([100, 2])
  })

  test("long ones go before the stage's own, others after", () => {
    for (const isLong of [true, false]) {
      const base = promptCrew()
      const crew = workingAhead(base)
      // The hand is busy while it is posted.
      const first = crew.give(50)!
      crew.ahead.post("later", 100, () => square(100), { isLong })
      first()
      const own = finish(shareOut("s", [3, 2, 1], square, crew))
      expect(own).toEqual([9, 4, 1])
      expect(base.did[1]).toBe(isLong ? 100 : 3)
    }
  })
})
