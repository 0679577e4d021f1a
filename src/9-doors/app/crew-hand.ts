// What a worker of the crew runs: one job of the crew after another. It looks up every 30 ms, so that a job nobody
// waits for any more can be given up.

import { type CrewJob, doCrewJob } from "../../crew-job.ts"
import { giveUp } from "./give-up.ts"
import { takeTurn } from "./turn.ts"

const breath = 30

const scope = self as unknown as DedicatedWorkerGlobalScope
let current: object | undefined

scope.onmessage = ({ data }: MessageEvent<CrewJob | typeof giveUp>) => {
  if (data === giveUp) current = undefined
  else void run(data)
}

async function run(job: CrewJob): Promise<void> {
  try {
    const work = doCrewJob(job)
    current = work
    let due = performance.now() + breath
    for (;;) {
      const step = work.next()
      if (step.done) return scope.postMessage({ result: step.value })
      if (performance.now() < due) continue
      await takeTurn()
      if (current !== work) return scope.postMessage({ failed: true })
      due = performance.now() + breath
    }
  } catch {
    // The job is done again by the one who gave it, and fails there in the open.
    scope.postMessage({ failed: true })
  }
}
