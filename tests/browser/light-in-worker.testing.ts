// The bench in a worker of a headless Chromium, told the same as the one here.

import { mkdtempSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { chromium } from "playwright-core"
import { build } from "vite"
import type { Timed, timeBench } from "../../bench/emulator-worker.ts"
import { serveFolder } from "./serve-folder.testing.ts"

export async function timeInBrowser(program: string, told: Parameters<typeof timeBench>): Promise<Timed> {
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
          entry: join(import.meta.dirname, "../../bench/emulator-worker.ts"),
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
      (given) =>
        new Promise<Timed>((done, fail) => {
          const worker = new Worker("worker.js", { type: "module" })
          worker.onmessage = ({ data }) => done(data)
          worker.onerror = (e) => fail(new Error(e.message))
          worker.postMessage(given)
        }),
      told,
    )
    await browser.close()
    await served.close()
    return answer
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
