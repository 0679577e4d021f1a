// The bench as it runs in the browser's worker, timed there: told a lamp and a stimulus, it answers how long they took.

import { contentHash } from "../src/0-ground/numbers/hash.ts"
import type { Made } from "../src/7-proof/bench/lamp-on-bench.ts"
import { startBench } from "../src/7-proof/bench/start-bench.ts"
import type { Stimulus } from "../src/7-proof/bench/wires.ts"

export interface Timed {
  /** Milliseconds of the fastest run. */
  readonly ms: number
  /** Of every frame of every output. */
  readonly hash: string
}

/** The same lamp several times; the first runs are slower until the engine has compiled the core. */
export function timeBench(made: Made, stimulus: Stimulus, seconds: number, runs: number): Timed {
  let ms = Number.POSITIVE_INFINITY
  let hash = ""
  for (let n = 0; n < runs; n++) {
    const from = performance.now()
    const run = startBench(made).controller!.run(stimulus)
    run.advance(seconds)
    ms = Math.min(ms, performance.now() - from)
    hash = contentHash(run.onCycles.subarray(0, run.frames * run.bench.channels.length).join())
  }
  return { ms, hash }
}

const scope = globalThis as unknown as {
  WorkerGlobalScope?: unknown
  onmessage: ((event: { data: [Made, Stimulus, number, number] }) => void) | null
  postMessage(answer: Timed): void
}
if (scope.WorkerGlobalScope !== undefined)
  scope.onmessage = ({ data }) => scope.postMessage(timeBench(...data))
