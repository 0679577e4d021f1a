import { expect, test } from "vitest"
import { type Crew, shareOut } from "./crew.ts"
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
