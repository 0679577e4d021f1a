// What a worker of the crew runs: one job of the crew after another.

import { finish } from "../../0-ground/progress.ts"
import { type CrewJob, doCrewJob } from "../../crew-job.ts"

const scope = self as unknown as DedicatedWorkerGlobalScope

scope.onmessage = ({ data }: MessageEvent<CrewJob>) => {
  try {
    scope.postMessage({ result: finish(doCrewJob(data)) })
  } catch {
    // The job is done again by the one who gave it, and fails there in the open.
    scope.postMessage({ failed: true })
  }
}
