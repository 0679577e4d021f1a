// The app for everyone: what an accessibility checker finds in every view, keys alone, a small screen, a slow machine.
// Checked with axe-core, an open checker of the published accessibility rules (WCAG 2.2 A and AA).

import { readFileSync } from "node:fs"
import { createRequire } from "node:module"
import type { Page } from "playwright-core"
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest"
import { installed, judged, notInstalled, type Opened, openApp, patience } from "./open-app.testing.ts"

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8")
let app: Opened
let page: Page

beforeAll(async () => {
  if (!installed) return
  app = await openApp()
  page = app.page
})
afterAll(() => app?.close())
beforeEach((ctx) => {
  if (!installed) ctx.skip(notInstalled)
})

interface Violation {
  readonly id: string
  readonly impact: string
  readonly nodes: readonly { readonly html: string; readonly failureSummary: string }[]
}

/** Serious and critical findings, each with the first places. */
async function serious(p: Page, only?: readonly string[]): Promise<string[]> {
  if (!(await p.evaluate(() => "axe" in globalThis))) await p.evaluate(axe)
  const found = await p.evaluate(async (rules) => {
    const run = (globalThis as unknown as { axe: { run(o: object): Promise<{ violations: Violation[] }> } })
      .axe.run
    const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
    const which = rules ? { type: "rule", values: rules } : { type: "tag", values: tags }
    return (await run({ runOnly: which, resultTypes: ["violations"] })).violations
  }, only)
  return found
    .filter((v) => v.impact === "serious" || v.impact === "critical")
    .map(
      (v) =>
        `${v.id}: ${v.nodes
          .slice(0, 3)
          .map((n) => `${n.html.slice(0, 140)} (${n.failureSummary.slice(0, 220)})`)
          .join("\n")}`,
    )
}

const tab = (name: string) => page.getByRole("tab", { name, exact: true }).click()

test(
  "no serious accessibility finding in any view or form, on paper and in the dark",
  async () => {
    // The small lamp has every view and form; the checker looks at each of its elements.
    await tab("Start")
    await page.getByRole("button", { name: "Tern side marker" }).click()
    await expect.poll(() => page.locator("h1").textContent(), { timeout: patience }).toBe("Tern side marker")
    await judged(page)
    for (const scheme of ["light", "dark"] as const) {
      await page.emulateMedia({ colorScheme: scheme })
      // What colours decide is all that changes in the dark.
      const only = scheme === "dark" ? ["color-contrast"] : undefined
      for (const view of await page.locator(".view-tabs [role=tab]").allTextContents()) {
        await tab(view)
        expect(await serious(page, only), `${view}, ${scheme}`).toEqual([])
      }
      for (const form of ["Start", "Text", "Description"]) {
        await tab(form)
        expect(await serious(page, only), `${form}, ${scheme}`).toEqual([])
      }
      await page.locator(".short-head", { hasText: "battery" }).click()
      await page.locator(".margin-head").first().click()
      expect(await serious(page, only), `an open line and margin, ${scheme}`).toEqual([])
      await page.locator(".short-head", { hasText: "battery" }).click()
      await page.locator(".margin-head").first().click()
    }
    await page.emulateMedia({ colorScheme: "light" })
    await page.getByRole("button", { name: /^Undo beginning/ }).click()
    await page.locator(".margins-early").waitFor({ timeout: patience })
  },
  patience,
)

test("holes are picked, and the steps of the walk stand, without a serious finding", async () => {
  await tab("Start")
  for (const step of [
    "Name the lamp",
    "Choose the wires",
    "Bring the face",
    "Say what lights when",
    "Group the holes",
  ]) {
    await page.getByRole("button", { name: new RegExp(step) }).click()
    expect(await serious(page), step).toEqual([])
  }
  await page.getByRole("button", { name: "Pick holes of tail stop" }).click()
  await page.getByRole("checkbox", { name: /^Hole u1,/ }).waitFor()
  expect(await serious(page), "picking").toEqual([])
  await page.getByRole("button", { name: "Done" }).click()
})

test("the question mark brings the list of keys, and what it lists works", async () => {
  await tab("Description")
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur())
  await page.keyboard.press("?")
  await page.getByRole("heading", { name: "Keys", exact: true }).waitFor()
  await expect.poll(() => page.evaluate(() => document.activeElement?.id)).toBe("keys")
  expect(await page.locator(".keys dt").allTextContents()).toContain("Ctrl S")
})

test("words that can stand in the text are offered, taken by key, and undone as typing", async () => {
  await tab("Text")
  const field = page.getByLabel("Description of the lamp as text")
  const before = await field.inputValue()
  await field.press("Control+End")
  await page.keyboard.type("cutti")
  const list = page.getByRole("listbox", { name: "Words that can stand here" })
  await list.getByRole("option", { name: /^cutting/ }).waitFor()
  expect(await serious(page), "words offered").toEqual([])
  await page.keyboard.press("Enter")
  expect(await field.inputValue()).toBe(`${before}cutting: `)
  await page.keyboard.type("{ direc")
  await page.keyboard.press("Tab")
  await page.keyboard.type("cl")
  await list.getByRole("option", { name: "climb" }).click()
  expect(await field.inputValue()).toBe(`${before}cutting: { direction: climb`)
  await page.keyboard.type(" }")
  await expect.poll(() => list.count()).toBe(0)
  await field.fill(before)
})

test("nothing moves on its own where reduced motion is asked for", async () => {
  expect(await page.getByRole("button", { name: "Play", exact: true }).isVisible()).toBe(true)
  const moving = await page.evaluate(
    () => document.getAnimations().filter((a) => a.playState === "running").length,
  )
  expect(moving).toBe(0)
})

test("no part of the page runs out of its window, from a tablet to a large screen", async () => {
  for (const [width, height] of [
    [820, 1180],
    [1180, 820],
    [1280, 720],
    [3840, 2160],
  ] as const) {
    await page.setViewportSize({ width, height })
    const over = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
    expect(over, `${width} × ${height}`).toBeLessThanOrEqual(0)
    await page.getByRole("button", { name: "Make the pack" }).waitFor()
  }
  await page.setViewportSize({ width: 1280, height: 800 })
})

test(
  "a machine six times slower still types, selects and stops",
  async () => {
    const session = await app.browser.newCDPSession(page)
    await session.send("Emulation.setCPUThrottlingRate", { rate: 6 })
    await tab("Text")
    const field = page.getByLabel("Description of the lamp as text")
    const before = await field.inputValue()
    await field.press("Control+Home")
    await page.keyboard.type("# slow but whole ")
    expect(await field.inputValue()).toBe(`# slow but whole ${before}`)
    await field.fill(before.replace("tip: 0.2 mm", "tip: 0.22 mm"))
    await page.locator(".margins-early").waitFor({ timeout: patience })
    // By selector: to name everything on the page takes the slowed page seconds that are not its own.
    await page.locator(".running button").click({ timeout: patience })
    await page.locator(".running .verdict", { hasText: "Stopped" }).waitFor({ timeout: patience })
    await session.send("Emulation.setCPUThrottlingRate", { rate: 1 })
  },
  patience,
)

test("the browser had nothing to complain about", () => {
  expect(app.complaints).toEqual([])
})
