// What a door gives its other hands to do: one job of one room, as plain data.

import type { Work } from "./0-ground/progress.ts"
import { doLotsJob, type LotsJob } from "./3-drive/design-drive.ts"
import { type BoardJob, doBoardJob } from "./5-board/design-boards.ts"
import { type BoardCutJob, doCutJob } from "./6-copper/design-cut.ts"
import { doProofJob, type ProofJob } from "./7-proof/prove-lamp.ts"

export type CrewJob = LotsJob | BoardJob | BoardCutJob | ProofJob

export const doCrewJob = (job: CrewJob): Work<unknown> =>
  "lots" in job
    ? doLotsJob(job)
    : "cut" in job
      ? doCutJob(job)
      : "prove" in job
        ? doProofJob(job)
        : doBoardJob(job)
