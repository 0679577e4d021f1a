// What a worker thread of the crew runs: one board job after another.

import { type MessagePort, workerData } from "node:worker_threads"
import { finish } from "../../0-ground/progress.ts"
import { type BoardJob, doBoardJob } from "../../5-board/design-boards.ts"

const port = workerData as MessagePort
port.on("message", (job: BoardJob) => {
  try {
    port.postMessage({ result: finish(doBoardJob(job)) })
  } catch {
    // The job is done again by the one who gave it, and fails there in the open.
    port.postMessage({ failed: true })
  }
})
port.postMessage("here")
