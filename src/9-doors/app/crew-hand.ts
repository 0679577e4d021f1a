// What a worker of the crew runs: one board job after another.

import { finish } from "../../0-ground/progress.ts"
import { type BoardJob, doBoardJob } from "../../5-board/design-boards.ts"

const scope = self as unknown as DedicatedWorkerGlobalScope

scope.onmessage = ({ data }: MessageEvent<BoardJob>) => {
  try {
    scope.postMessage({ result: finish(doBoardJob(data)) })
  } catch {
    // The job is done again by the one who gave it, and fails there in the open.
    scope.postMessage({ failed: true })
  }
}
