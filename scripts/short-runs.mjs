// A run takes seconds: half of it would go into optimising code that is soon done with. Plain compiling at once, less
// inlining and later optimising take a quarter off the processor time of the run and its worker threads.

import { setFlagsFromString } from "node:v8"

/**
 * Flags by the V8 that has them, as `--v8-options` of Node 20.20 (V8 11), 22.23 (12) and 24.22 (13) lists them. V8 says
 * so on stderr when it does not know a flag, and nothing can hush it; so one that is not listed here is left as it is.
 */
const everywhere = [
  "--max-inlined-bytecode-size-cumulative=200",
  "--always-sparkplug",
  "--no-lazy-feedback-allocation",
]
const known = {
  11: [...everywhere, "--interrupt-budget=600000"],
  12: everywhere,
  13: everywhere,
}

/** To be called before the program is loaded. */
export function tuneForShortRuns(v8 = process.versions.v8) {
  for (const flag of flagsFor(v8)) setFlagsFromString(flag)
}

export const flagsFor = (v8) => known[Number.parseInt(v8, 10)] ?? []
