// The bench's speed against real time: the Tern's firmware through the demonstration, in Node and in a worker of a
// headless Chromium. Both must show the same light to the cycle.

import { existsSync } from "node:fs"
import { defaultStimulus, demonstrationSeconds } from "../src/7-proof/bench/default-stimulus.ts"
import { exampleLamp, makeForBench } from "../src/7-proof/bench/tern.testing.ts"
import { timeInBrowser } from "../tests/browser/light-in-worker.testing.ts"
import { type Timed, timeBench } from "./emulator-worker.ts"

const runs = 5
const lamp = exampleLamp("tern")
const made = makeForBench(lamp)
const stimulus = defaultStimulus(lamp)
const say = (where: string, { ms, hash }: Timed) =>
  console.log(
    `bench in ${where.padEnd(17)} ${((1000 * demonstrationSeconds) / ms).toFixed(1).padStart(5)} × real time  (${demonstrationSeconds} s in ${ms.toFixed(0)} ms, best of ${runs})  ${hash}`,
  )

const here = timeBench(made, stimulus, demonstrationSeconds, runs)
say("Node", here)
const program = process.env.LAMPWRIGHT_CHROMIUM ?? "/usr/bin/chromium"
if (!existsSync(program)) console.log(`bench in the browser: not run, Chromium is not at ${program}`)
else {
  const there = await timeInBrowser(program, [made, stimulus, demonstrationSeconds, runs])
  say("a browser worker", there)
  if (there.hash !== here.hash) {
    console.error("Node and the browser do not show the same light")
    process.exitCode = 1
  }
}
