// The bench's speed against real time: the Tern's firmware through the demonstration, in Node and in a worker of a
// headless Chromium. Both must show the same light to the cycle.

import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { chromium } from "playwright-core"
import { build } from "vite"
import { defaultStimulus, demonstrationSeconds } from "../src/7-proof/bench/default-stimulus.ts"
import { exampleLamp, makeForBench } from "../src/7-proof/bench/tern.testing.ts"
import { serveFolder } from "../tests/browser/serve-folder.testing.ts"
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
  const there = await inBrowser()
  say("a browser worker", there)
  if (there.hash !== here.hash) {
    console.error("Node and the browser do not show the same light")
    process.exitCode = 1
  }
}

async function inBrowser(): Promise<Timed> {
  const folder = mkdtempSync(join(tmpdir(), "lampwright-bench-"))
  try {
    await build({
      configFile: false,
      logLevel: "error",
      build: {
        outDir: folder,
        emptyOutDir: true,
        target: "es2022",
        lib: {
          entry: join(import.meta.dirname, "emulator-worker.ts"),
          formats: ["es"],
          fileName: () => "worker.js",
        },
      },
    })
    writeFileSync(join(folder, "index.html"), "<!doctype html><title>bench</title>")
    const served = await serveFolder(folder)
    const browser = await chromium.launch({
      executablePath: program,
      args: ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run"],
    })
    const page = await browser.newPage()
    await page.goto(served.url)
    const answer = await page.evaluate(
      (told) =>
        new Promise<Timed>((done, fail) => {
          const worker = new Worker("worker.js", { type: "module" })
          worker.onmessage = ({ data }) => done(data)
          worker.onerror = (e) => fail(new Error(e.message))
          worker.postMessage(told)
        }),
      [made, stimulus, demonstrationSeconds, runs] as const,
    )
    await browser.close()
    await served.close()
    return answer
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
