// npm run bench -- app [ROUNDS] [SLOWER]: the app in a real browser on this machine. First paint, the Tern's face, its
// first margins, its light and its whole proof; an edit until its first results and its light are painted, and one that
// asks for new boards until the first is; how long the
// page itself was busy at a stretch; JavaScript that was asked for until the lamp was alive, compressed.
// SLOWER: by how much the processor is slowed down through the browser's protocol.

import { existsSync, readFileSync } from "node:fs"
import { join, resolve } from "node:path"
import { gzipSync } from "node:zlib"
import { chromium, type Page } from "playwright-core"
import { appServer } from "../src/9-doors/cli/app-command.ts"

const program = process.env.LAMPWRIGHT_CHROMIUM ?? "/usr/bin/chromium"
const folder = resolve(import.meta.dirname, "../dist/app")
if (!existsSync(program) || !existsSync(join(folder, "index.html"))) {
  console.error(`The app's bench needs Chromium (${program}) and the built app (npm run build).`)
  process.exit(1)
}

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
  console.log(
    `${what}: least ${Math.min(...all).toFixed(0)}, median ${median(all).toFixed(0)} ms (${all.map((n) => n.toFixed(0)).join(", ")})`,
  )

/** The page's own policy forbids it to be handed text to run again and again, so it is asked from here. */
async function until(tab: Page, what: string) {
  while (!(await tab.evaluate<boolean>(what))) await tab.waitForTimeout(100)
}

const rounds = Number(process.argv[2] ?? 3)
const slower = Number(process.argv[3] ?? 1)

/** In the page, as text so that no build step touches it: when each thing was first there, looked at every frame. */
const watch = `
window.first = {}
const signs = {
  face: "circle[data-led]",
  margins: '.margin[data-code^="light."]',
  alive: 'circle[data-level]:not([data-level="0"])',
  proof: "[data-verdict]",
};
(function look() {
  for (const [name, sign] of Object.entries(signs))
    if (!(name in window.first) && document.querySelector(sign)) window.first[name] = performance.now()
  requestAnimationFrame(look)
})()
window.busy = []
new PerformanceObserver((list) => { for (const e of list.getEntries()) window.busy.push([e.startTime, e.duration]) }).observe({ type: "longtask", buffered: true })
window.edited = (level) => new Promise((done) => {
  const area = document.querySelector("textarea")
  const set = Object.getOwnPropertyDescriptor(HTMLTextAreaElement.prototype, "value").set
  performance.clearMeasures()
  window.busy.length = 0
  const from = performance.now()
  let results
  set.call(area, area.value.replace(/light: tail-stop, level: \\d+ %/, "light: tail-stop, level: " + level + " %"))
  area.dispatchEvent(new Event("input", { bubbles: true }))
  ;(function look() {
    const known = (name) => performance.getEntriesByName(name).length > 0
    // The frame after the one that finds it: it has been painted.
    if (results === undefined && known("first look")) results = requestAnimationFrame(() => { results = performance.now() - from })
    if (known("first light")) requestAnimationFrame(() => done([results, performance.now() - from, Math.max(0, ...window.busy.map((b) => b[1]))]))
    else requestAnimationFrame(look)
  })()
})
window.cutOtherwise = (tip) => new Promise((done) => {
  const area = document.querySelector("textarea")
  const set = Object.getOwnPropertyDescriptor(HTMLTextAreaElement.prototype, "value").set
  performance.clearMeasures()
  const from = performance.now()
  set.call(area, area.value.replace(/tip: [0-9.]+ mm/, "tip: " + tip + " mm"))
  area.dispatchEvent(new Event("input", { bubbles: true }))
  ;(function look() {
    if (performance.getEntriesByName("first board").length === 0) return requestAnimationFrame(look)
    requestAnimationFrame(() => done(performance.now() - from))
  })()
})
`
type Name = "face" | "margins" | "alive" | "proof"

const paints: number[] = []
const times: Record<Name, number[]> = { face: [], margins: [], alive: [], proof: [] }
const results: number[] = []
const lights: number[] = []
const stretches: number[] = []
const opening: number[] = []
const boards: number[] = []
for (let round = 0; round < rounds; round++) {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 } })
  const tab = await context.newPage()
  if (slower > 1) {
    const protocol = await context.newCDPSession(tab)
    await protocol.send("Emulation.setCPUThrottlingRate", { rate: slower })
  }
  await tab.addInitScript(watch)
  const asked = new Map<string, number>()
  // The copy for when there is no server asks for all of them again later.
  const note = ({ url: of = "" }: { readonly url?: string }) => {
    if (of.endsWith(".js") && !asked.has(of)) asked.set(of, Date.now())
  }
  if (round === 0) server.on("request", note)
  await tab.goto(url)
  await until(tab, "window.first.alive !== undefined")
  const lit = "performance.getEntriesByName('first light')[0]"
  const litAt =
    Date.now() - (await tab.evaluate<number>(`performance.now() - ${lit}.startTime - ${lit}.duration`))
  await until(tab, "window.first.proof !== undefined")
  if (round === 0) {
    server.off("request", note)
    const first = [...asked].filter(([, at]) => at <= litAt).map(([name]) => name)
    const sizes = first.map((name) => [name, gzipSync(readFileSync(join(folder, name))).length] as const)
    const all = sizes.reduce((n, [, size]) => n + size, 0)
    console.log(
      `JavaScript until the lamp was alive: ${(all / 1000).toFixed(0)} kB compressed, ${first.length} files`,
    )
    for (const [name, size] of sizes) console.log(`  ${(size / 1000).toFixed(1).padStart(6)} kB ${name}`)
  }
  const first = await tab.evaluate<Record<Name, number>>("window.first")
  for (const name of ["face", "margins", "alive", "proof"] as const) times[name].push(first[name])
  paints.push(
    await tab.evaluate<number>("performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? NaN"),
  )
  opening.push(await tab.evaluate<number>("Math.max(0, ...window.busy.map((b) => b[1]))"))
  await tab.getByRole("tab", { name: "Text", exact: true }).click()
  await tab.locator("textarea").waitFor()
  for (const level of [12, 13, 14, 15, 16, 17]) {
    const [result, light, stretch] = await tab.evaluate<[number, number, number]>(`window.edited(${level})`)
    results.push(result)
    lights.push(light)
    stretches.push(stretch)
    await tab.waitForTimeout(1200)
  }
  // Wider grooves: every board is laid anew.
  for (const tip of [0.21, 0.205]) {
    boards.push(await tab.evaluate<number>(`window.cutOtherwise(${tip})`))
    await tab.waitForTimeout(6000)
  }
  await context.close()
}
told("First paint", paints)
told("Tern's face on the bench", times.face)
told("Its first margins, lights and rules", times.margins)
told("Alive: lit by its firmware and playing", times.alive)
told("Its whole proof", times.proof)
told("The page busy at a stretch while it opened", opening)
told("An edit until its first results are painted", results)
told("until its light is, too", lights)
told("the page busy at a stretch meanwhile", stretches)
told("An edit until the first of its new boards is painted", boards)
await browser.close()
server.close()
