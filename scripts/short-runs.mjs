// A run takes seconds: half of it would go into optimising code that is soon done with. Plain compiling at once, less
// inlining and later optimising take a quarter off the processor time of the run and its worker threads.

import { setFlagsFromString } from "node:v8"

/** To be called before the program is loaded. */
export function tuneForShortRuns() {
  setFlagsFromString("--max-inlined-bytecode-size-cumulative=200")
  setFlagsFromString("--interrupt-budget=600000")
  setFlagsFromString("--always-sparkplug")
  setFlagsFromString("--no-lazy-feedback-allocation")
}
