// npm run bench -- app: the app in a real browser on this machine. First paint, the Tern's face, its first margins and
// its whole proof; an edit until its first results are painted; JavaScript that the first view asks for, compressed.

import { existsSync, readdirSync, readFileSync } from "node:fs"
import { join, resolve } from "node:path"
import { gzipSync } from "node:zlib"
import { chromium } from "playwright-core"
import { appServer } from "../src/9-doors/cli/app-command.ts"

const program = process.env.LAMPWRIGHT_CHROMIUM ?? "/usr/bin/chromium"
const folder = resolve(import.meta.dirname, "../dist/app")
if (!existsSync(program) || !existsSync(join(folder, "index.html"))) {
  console.error(`The app's bench needs Chromium (${program}) and the built app (npm run build).`)
  process.exit(1)
}

const kilobytes = (names: readonly string[]) =>
  names.reduce((n, name) => n + gzipSync(readFileSync(join(folder, "assets", name))).length, 0) / 1000
const scripts = readdirSync(join(folder, "assets")).filter((n) => n.endsWith(".js"))
const page = scripts.filter((n) => n.startsWith("index-"))
const quick = scripts.filter((n) => n.startsWith("quick-worker-"))
console.log(`JavaScript of the page: ${kilobytes(page).toFixed(0)} kB compressed`)
console.log(`and of the first look beside it: ${kilobytes(quick).toFixed(0)} kB compressed`)

const server = appServer(folder)
await new Promise<void>((ready) => server.listen(0, "127.0.0.1", ready))
const address = server.address()
const url = `http://localhost:${typeof address === "object" && address ? address.port : 0}/`
const browser = await chromium.launch({
  executablePath: program,
  args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
})
const median = (all: readonly number[]) => [...all].sort((a, b) => a - b)[all.length >> 1] ?? Number.NaN
const told = (what: string, all: readonly number[]) =>
  console.log(`${what}: ${median(all).toFixed(0)} ms (${all.map((n) => n.toFixed(0)).join(", ")})`)

const rounds = Number(process.argv[2] ?? 3)
const paints: number[] = []
const faces: number[] = []
const margins: number[] = []
const proofs: number[] = []
const edits: number[] = []
for (let round = 0; round < rounds; round++) {
  const context = await browser.newContext({
    viewport: { width: 1440, height: 900 },
    reducedMotion: "reduce",
  })
  const tab = await context.newPage()
  await tab.goto(url)
  const now = () => tab.evaluate(() => performance.now())
  await tab.locator("circle[data-led]").first().waitFor({ state: "attached", timeout: 120_000 })
  faces.push(await now())
  paints.push(
    await tab.evaluate(
      () => performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? Number.NaN,
    ),
  )
  await tab.locator('.margin[data-code^="light."]').first().waitFor({ state: "attached", timeout: 120_000 })
  margins.push(await now())
  await tab.locator("[data-verdict]").waitFor({ timeout: 600_000 })
  proofs.push(await now())
  await tab.getByRole("tab", { name: "Text", exact: true }).click()
  for (const level of [12, 13, 14, 15]) {
    const took = await tab.evaluate(
      (level) =>
        new Promise<number>((done) => {
          const area = document.querySelector("textarea")
          const set = Object.getOwnPropertyDescriptor(HTMLTextAreaElement.prototype, "value")?.set
          if (!area || !set) return done(Number.NaN)
          performance.clearMeasures("first look")
          const from = performance.now()
          set.call(
            area,
            area.value.replace(/light: tail-stop, level: \d+ %/, `light: tail-stop, level: ${level} %`),
          )
          area.dispatchEvent(new Event("input", { bubbles: true }))
          const look = () => {
            if (performance.getEntriesByName("first look").length === 0) setTimeout(look, 2)
            // Two frames: results are in the page, then painted.
            else requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now() - from)))
          }
          look()
        }),
      level,
    )
    edits.push(took)
    await tab.waitForTimeout(1200)
  }
  await context.close()
}
told("First paint", paints)
told("Tern's face on the bench", faces)
told("Its first margins, lights and rules", margins)
told("Its whole proof", proofs)
told("An edit until its first results are painted", edits)
await browser.close()
server.close()
