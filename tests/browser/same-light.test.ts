// Property 13 of the firmware's account: the same edges in Node and in the browser, to the cycle.

import { expect, test } from "vitest"
import { timeBench } from "../../bench/emulator-worker.ts"
import { defaultStimulus } from "../../src/7-proof/bench/default-stimulus.ts"
import { exampleLamp, makeForBench } from "../../src/7-proof/bench/tern.testing.ts"
import { timeInBrowser } from "./light-in-worker.testing.ts"
import { installed, notInstalled, program } from "./open-app.testing.ts"

test("the Tern's light is the same in Node and in a browser's worker, to the cycle", async (context) => {
  if (!installed) return context.skip(notInstalled)
  const lamp = exampleLamp("tern")
  const told = [makeForBench(lamp), defaultStimulus(lamp), 6, 1] as const
  const here = timeBench(...told)
  const there = await timeInBrowser(program, [...told])
  expect(here.hash).toMatch(/^[0-9a-f]{16}$/)
  expect(there.hash).toBe(here.hash)
  const other = timeBench(told[0], { wires: {} }, 6, 1)
  expect(other.hash).not.toBe(here.hash)
})
