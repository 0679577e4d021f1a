// The main journey with the processor slowed down five times through the browser's protocol: nothing freezes, waits
// show how far they are, and everything still works. How long things take is told by `npm run bench -- app`.

import type { CDPSession, Page } from "playwright-core"
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest"
import { installed, judged, notInstalled, type Opened, openApp, patience } from "./open-app.testing.ts"

const slower = 5
/** The longest stretch in which the page hears nothing, as a share of the whole run: it holds on any machine. */
const longestShare = 0.3

let opened: Opened | undefined
let page: Page
/** From opening to the verdict, ms. */
let whole = 0
let protocol: CDPSession

beforeAll(async () => {
  if (!installed) return
  opened = await openApp({ width: 1366, height: 768 })
  page = opened.page
  // How long a press takes is not asked here.
  page.setDefaultTimeout(patience)
  await opened.browser.addInitScript({
    content:
      "window.busy = []; new PerformanceObserver((l) => { for (const e of l.getEntries()) window.busy.push(e.duration) }).observe({ type: 'longtask', buffered: true })",
  })
  protocol = await opened.browser.newCDPSession(page)
  await protocol.send("Emulation.setCPUThrottlingRate", { rate: slower })
  await page.reload()
})

afterAll(async () => {
  await opened?.close()
})

beforeEach((ctx) => {
  if (!installed) ctx.skip(notInstalled)
})

// By selector, not by role and name: to name everything on the page takes the slowed page seconds that are not its own.
const progress = () => page.locator(".running [role=progressbar]")
const lit = () => page.locator('circle[data-level]:not([data-level="0"])')
const tab = (of: "bench" | "description", id: string) => page.locator(`#${of}-tab-${id}`)
const wait = () => page.locator(".bench-wait", { hasText: "Lit by its own firmware" })

test("says from the start what it does, and shows the lamp and its margins while the rest is worked out", async () => {
  await progress().waitFor()
  expect(await progress().textContent()).toMatch(/\w/)
  await page.locator("circle[data-led]").first().waitFor({ state: "attached", timeout: patience })
  await page.locator('.margin[data-code^="light."]').first().waitFor({ state: "attached", timeout: patience })
})

test("is lit by its own firmware and played while the boards are laid out", async () => {
  await wait().waitFor()
  const play = page.locator(".play-button")
  await play.click()
  await lit().first().waitFor({ state: "attached", timeout: patience })
  expect(await play.textContent()).toBe("Pause")
  await play.click()
  await expect.poll(() => play.textContent(), { timeout: patience }).toBe("Play")
})

test("takes a change of the text, says what it brings, stops when told, and takes it back", async () => {
  await tab("description", "text").click()
  const text = page.locator(".text-field textarea")
  const before = await text.inputValue()
  await text.fill(before.replace("within: 180 ms", "within: 450 ms"))
  await page.locator(".margins-early").waitFor()
  await page.locator(".running button").click()
  await expect
    .poll(() => page.locator(".running .verdict").textContent(), { timeout: patience })
    .toBe("Stopped")
  await page.locator(".back-and-forth button").first().click()
  await expect.poll(() => text.inputValue(), { timeout: patience }).toBe(before)
  await tab("description", "short").click()
})

test(
  "comes to its verdict, draws every view and makes the pack",
  async () => {
    await judged(page)
    whole = await page.evaluate<number>("performance.now()")
    for (const id of ["drive", "board", "cut", "beam", "fit", "wiring", "face"]) {
      await tab("bench", id).click()
      const panel = page.locator(`#bench-panel-${id}`)
      await panel.locator("svg, table").first().waitFor({ state: "attached" })
      expect(await panel.locator(".part-broken").count()).toBe(0)
    }
    const pack = page.waitForEvent("download", { timeout: patience })
    await page.locator(".pack button").click()
    expect((await pack).suggestedFilename()).toMatch(/\.zip$/)
  },
  2 * patience,
)

test("never stood still meanwhile, and the browser had nothing to complain of", async () => {
  const longest = await page.evaluate<number>("Math.max(0, ...window.busy)")
  expect(longest / whole).toBeLessThan(longestShare)
  expect(opened?.complaints).toEqual([])
})
