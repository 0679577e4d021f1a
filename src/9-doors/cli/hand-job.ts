// What the command line gives its other hands beside the jobs of the rooms: the readings for bring-up.

import type { Work } from "../../0-ground/progress.ts"
import { type BenchInput, type BringUpPlan, planBringUp } from "../../8-pack/bring-up/plan-bring-up.ts"
import { type CrewJob, doCrewJob } from "../../crew-job.ts"

export interface BringUpJob {
  readonly bringUp: BenchInput
}

export type HandJob = CrewJob | BringUpJob

export const doHandJob = (job: HandJob): Work<unknown> =>
  "bringUp" in job ? doBringUpJob(job) : doCrewJob(job)

export function* doBringUpJob({ bringUp }: BringUpJob): Work<BringUpPlan> {
  yield { stage: "bring-up", done: 0 }
  return planBringUp(bringUp)
}
