// What a worker thread of the crew runs: one job of the crew after another.

import { type MessagePort, workerData } from "node:worker_threads"
import { finish } from "../../0-ground/progress.ts"
import { doHandJob, type HandJob } from "./hand-job.ts"

const port = workerData as MessagePort
port.on("message", (job: HandJob) => {
  try {
    port.postMessage({ result: finish(doHandJob(job)) })
  } catch {
    // The job is done again by the one who gave it, and fails there in the open.
    port.postMessage({ failed: true })
  }
})
port.postMessage("here")
