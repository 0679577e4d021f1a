// Runs the design with progress on the terminal, stage times, and a way out (Ctrl-C leaves nothing half-made).

import { type Crew, shareOut, type Working } from "../../0-ground/crew.ts"
import { finish } from "../../0-ground/progress.ts"
import { nameOf } from "../../0-ground/recall.ts"
import type { BringUpPlan } from "../../8-pack/bring-up/plan-bring-up.ts"
import { type CutLamp, type Designed, designLamp } from "../../design-lamp.ts"
import { nodeCrew } from "./crew.ts"
import type { LampSource } from "./files.ts"
import { doBringUpJob } from "./hand-job.ts"

export interface Run {
  readonly design: Designed
  /** Milliseconds by stage, in order. */
  readonly times: Readonly<Record<string, number>>
  /** Where it was asked for and there were other hands to work it out beside the proof. */
  readonly bringUp?: BringUpPlan
}

export interface RunOptions {
  /** With the first whole boards, without the search for better ones. */
  readonly first?: boolean
  /** The readings for bring-up will be wanted. */
  readonly bringUp?: boolean
}

export function runDesign(source: LampSource, options: RunOptions = {}): Run {
  const crew = nodeCrew(new URL("./crew-hand.js", import.meta.url))
  try {
    return pump(source, crew, options)
  } finally {
    crew?.dismiss()
  }
}

function pump(
  { text, drawing }: LampSource,
  crew: Crew | undefined,
  { first = false, bringUp = false }: RunOptions,
): Run {
  const times: Record<string, number> = {}
  const show = process.stderr.isTTY === true
  let planned: (() => BringUpPlan) | undefined
  const work = designLamp(text, drawing, {
    strict: true,
    crew,
    ...(bringUp
      ? {
          onCopper: (cut, working) => {
            planned = beginPlan(cut, working)
          },
        }
      : {}),
    ...(first ? { onFirst: () => "enough" as const } : {}),
  })
  let stage = ""
  let since = performance.now()
  let shown = 0
  const close = () => {
    if (stage !== "") times[stage] = Math.round((times[stage] ?? 0) + performance.now() - since)
    since = performance.now()
  }
  for (;;) {
    const step = work.next()
    if (step.done) {
      close()
      if (show) process.stderr.write("\r\x1b[K")
      return { design: step.value, times, ...(planned ? { bringUp: planned() } : {}) }
    }
    if (step.value.stage !== stage) {
      close()
      stage = step.value.stage
      shown = 0
    }
    if (show && performance.now() - shown > 100) {
      shown = performance.now()
      const { done, note } = step.value
      process.stderr.write(`\r\x1b[K${stage} ${Math.round(done * 100)} %${note ? ` · ${note}` : ""}`)
    }
  }
}

/** Begun now, taken when what comes back is called. */
function beginPlan({ lamp, circuit, boards, copper }: CutLamp, crew: Working): () => BringUpPlan {
  const job = { bringUp: { lamp, circuit, boards, copper } }
  // Two searches of one run may each come so far.
  const name = nameOf("bring-up", [lamp, circuit, boards, copper])
  crew.ahead.post(name, job, () => doBringUpJob(job), { isLong: true })
  return () => finish(shareOut("bring-up", [job], doBringUpJob, crew, { names: [name] }))[0]!
}
