// Frame times of the app in a browser: 400 LEDs, playing, panning and zooming, in a production build, on the Face, Board
// and Cut views. The light comes from the emulated firmware. Prints for each scene the time between frames and what one
// asks of the main thread in processor time, which other programs on the machine disturb little.
// npm run bench -- frames [SECONDS]

import { mkdtempSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join, resolve } from "node:path"
import { chromium, type Page } from "playwright-core"
import { build } from "vite"
import { serveFolder } from "../tests/browser/serve-folder.testing.ts"
import { bigBoard } from "./big-boards.ts"
import { bigLamp } from "./big-lamp.ts"

const heads = ["median gap", "95 in 100", "median work", "95 in 100", "worst"]
const categories = [
  "toplevel",
  "devtools.timeline",
  "devtools.timeline.frame",
  "disabled-by-default-devtools.timeline",
]
const seconds = Number(process.argv[2] ?? 4)
const folder = mkdtempSync(join(tmpdir(), "lampwright-frames-"))
const { text, lamp, circuit, behaviour, firmware, trace } = bigLamp()
const { board, copper } = bigBoard(lamp)
const none = { findings: [], figures: [] }
const design = {
  text,
  lamp,
  circuit,
  behaviour,
  firmware,
  boards: { boards: [board], harness: [], pinChoice: { controller: {}, sections: {}, strings: {} }, ...none },
  copper: { boards: [copper] },
  plan: { programs: [], ...none },
  proof: { boards: [], trace, beams: [], ...none },
  ...none,
  verdict: "ready",
  stages: [],
}

await build({
  configFile: resolve(import.meta.dirname, "../vite.config.ts"),
  logLevel: "error",
  build: { outDir: folder, emptyOutDir: true },
  plugins: [
    {
      name: "a made lamp instead of a computed one",
      enforce: "pre",
      transform: (code, id) =>
        /9-doors[\\/]app[\\/]main\.tsx$/.test(id)
          ? code.replace(
              /^void begin\(\)$/m,
              'void fetch("big.json").then((r) => r.json()).then((d) => page.getState().take(d.text, d, false))',
            )
          : undefined,
    },
  ],
})
writeFileSync(join(folder, "big.json"), JSON.stringify(design))
const served = await serveFolder(folder)
const browser = await chromium.launch({
  executablePath: process.env.LAMPWRIGHT_CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
})
try {
  const page = await browser.newPage({ viewport: { width: 1440, height: 860 } })
  await page.goto(served.url)
  await page.locator("circle[data-led]").nth(399).waitFor({ timeout: 120_000 })
  const pause = page.getByRole("button", { name: "Pause", exact: true })
  await pause.waitFor()
  console.log(`${"400 LEDs".padEnd(30)}${heads.map((h) => h.padStart(12)).join("")}`)
  await scene(page, "playing", () => page.waitForTimeout(seconds * 1000))
  await scene(page, "playing and panning", (at) => panned(page, at))
  await nearer(page)
  await scene(page, "playing and panning, nearer", (at) => panned(page, at))
  await scene(page, "playing and zooming", () => zoomed(page))
  for (const view of ["Board", "Cut"]) {
    await page.getByRole("tab", { name: view, exact: true }).click()
    await page.locator(".board-picture").waitFor()
    await scene(page, `${view}, playing and panning`, (at) => panned(page, at))
    await nearer(page)
    await scene(page, `${view}, panning, nearer`, (at) => panned(page, at))
    await scene(page, `${view}, playing and zooming`, () => zoomed(page))
  }
  await page.getByRole("tab", { name: "Face", exact: true }).click()
  await pause.click()
  await scene(page, "panning, paused", (at) => panned(page, at))
} finally {
  await browser.close()
  await served.close()
  rmSync(folder, { recursive: true, force: true })
}

async function nearer(page: Page) {
  const closer = page.locator(".stage-zoom").getByRole("button", { name: "Closer" })
  await closer.click()
  await closer.click()
  await page.waitForTimeout(1000)
}

async function toMiddle(page: Page): Promise<readonly [number, number]> {
  const box = await page.locator(".stage-frame").boundingBox()
  if (!box) throw new Error("no stage")
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2]
  await page.mouse.move(x, y)
  return [x, y]
}

async function panned(page: Page, [x, y]: readonly [number, number]) {
  await page.mouse.down()
  const until = Date.now() + seconds * 1000
  for (let i = 0; Date.now() < until; i++) {
    await page.mouse.move(x + 120 * Math.sin(i / 9), y + 50 * Math.cos(i / 7))
    await page.waitForTimeout(8)
  }
  await page.mouse.up()
}

async function zoomed(page: Page) {
  const until = Date.now() + seconds * 1000
  for (let i = 0; Date.now() < until; i++) {
    await page.mouse.wheel(0, i % 40 < 20 ? -40 : 40)
    await page.waitForTimeout(16)
  }
}

/** The pointer lies in the middle of the stage when `act` begins, and is told where that is. */
async function scene(page: Page, name: string, act: (at: readonly [number, number]) => Promise<void>) {
  const middle = await toMiddle(page)
  // As text: the runner gives named functions a helper that the page does not know.
  await page.evaluate(
    "window.frameTimes = []; window.scene = (window.scene ?? 0) + 1; (function next(t, mine = window.scene) { if (mine !== window.scene) return; window.frameTimes.push(t); requestAnimationFrame((u) => next(u, mine)) })(performance.now())",
  )
  await browser.startTracing(page, { categories })
  await act(middle)
  const trace = JSON.parse((await browser.stopTracing()).toString()) as {
    readonly traceEvents: readonly Traced[]
  }
  const times = await page.evaluate<number[]>("window.frameTimes")
  const gaps = times.slice(1).map((t, i) => t - times[i]!)
  const work = workPerFrame(trace.traceEvents)
  const row = [at(gaps, 0.5), at(gaps, 0.95), at(work, 0.5), at(work, 0.95), at(work, 1)]
  console.log(`${name.padEnd(30)}${row.map((ms) => `${ms.toFixed(1)} ms`.padStart(12)).join("")}`)
}

function at(values: readonly number[], share: number): number {
  const all = [...values].sort((a, b) => a - b)
  return all[Math.min(all.length - 1, Math.floor(share * all.length))] ?? Number.NaN
}

/** What the browser's own tracing writes down, times in microseconds; `tdur` is the processor's time in the thread. */
interface Traced {
  readonly name: string
  readonly ph: string
  readonly pid: number
  readonly tid: number
  readonly ts: number
  readonly dur?: number
  readonly tdur?: number
  readonly args: { readonly name?: string }
}

/** Processor time of the page's main thread for each frame, ms: all since the frame before was handed on. */
function workPerFrame(events: readonly Traced[]): number[] {
  const mains = events.filter((e) => e.name === "thread_name" && e.args.name === "CrRendererMain")
  const frames = events.filter((e) => e.name === "BeginCommitCompositorFrame")
  const main = mains.find((m) => frames.some((f) => f.pid === m.pid && f.tid === m.tid))
  if (!main) throw new Error("the trace holds no frame of the page")
  const here = (e: Traced) => e.pid === main.pid && e.tid === main.tid
  const handed = frames
    .filter(here)
    .map((f) => f.ts)
    .sort((a, b) => a - b)
  const work = new Float64Array(handed.length + 1)
  let known = 0
  for (const e of events) {
    if (e.ph !== "X" || !here(e) || e.name !== "RunTask") continue
    // The first frame that is handed on after the task began: a frame's own task hands it on.
    let [frame, beyond] = [0, handed.length]
    while (frame < beyond) {
      const middle = (frame + beyond) >> 1
      if (handed[middle]! < e.ts) frame = middle + 1
      else beyond = middle
    }
    known++
    work[frame]! += (e.tdur ?? e.dur ?? 0) / 1000
  }
  if (known === 0) throw new Error("the trace holds no task of the page")
  return [...work].slice(1, -1)
}
