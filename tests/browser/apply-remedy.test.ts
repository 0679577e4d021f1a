// A spoiled Tern in the app: its finding is opened, the remedy's button pressed, and the finding is gone.

import { existsSync, mkdtempSync, rmSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { type BrowserContext, chromium, type Page } from "playwright-core"
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest"
import { builtApp } from "./built-app.testing.ts"
import { type Served, serveFolder } from "./serve-folder.testing.ts"

const program = process.env.LAMPWRIGHT_CHROMIUM ?? "/usr/bin/chromium"
const installed = existsSync(program)
/** Findings of the drive come before boards are laid; a loaded machine takes its time. */
const patience = 180_000

let served: Served | undefined
let profile: string | undefined
let browser: BrowserContext | undefined
let page: Page

beforeAll(async () => {
  if (!installed) return
  served = await serveFolder(builtApp())
  profile = mkdtempSync(join(tmpdir(), "lampwright-apply-"))
  browser = await chromium.launchPersistentContext(profile, {
    executablePath: program,
    viewport: { width: 1440, height: 860 },
    reducedMotion: "reduce",
    args: [
      "--headless",
      "--no-sandbox",
      "--disable-gpu",
      "--no-first-run",
      "--disable-background-networking",
    ],
  })
  page = browser.pages()[0] ?? (await browser.newPage())
  await page.goto(served.url)
  await page.getByRole("tab", { name: "Text", exact: true }).click()
}, patience)

afterAll(async () => {
  await browser?.close()
  await served?.close()
  if (profile) rmSync(profile, { recursive: true, force: true })
})

beforeEach((ctx) => {
  if (!installed) ctx.skip(`Chromium is not installed at ${program}: the app was not tried in a browser`)
})

test(
  "Apply writes the remedy into the description and the finding goes; undo brings both back",
  async () => {
    const field = page.getByLabel("Description of the lamp as text")
    const whole = await field.inputValue()
    const dim = "when: tail, light: tail-stop, level: 11 %"
    expect(whole.split(dim)).toHaveLength(2)
    const spoiled = whole.replace(dim, dim.replace("11 %", "24 %"))
    await field.fill(spoiled)
    const bad = page.locator('li[data-code="drive.stop-ratio"]:not([data-severity="green"])')
    await bad.first().waitFor({ timeout: patience })
    await bad.first().locator("button.margin-head").click()
    const apply = bad
      .first()
      .getByRole("button", { name: /^Apply: / })
      .first()
    const says = await apply.getAttribute("aria-label")
    await apply.click()
    // Only the value that the remedy names is rewritten.
    const mended = await field.inputValue()
    const level = /when: tail, light: tail-stop, level: (\d+) %/.exec(mended)?.[1]
    expect(Number(level)).toBeLessThan(24)
    expect(says).toContain(`${level} %`)
    expect(mended.replace(`level: ${level} %`, "level: 24 %")).toBe(spoiled)
    await page
      .locator('li[data-code="drive.stop-ratio"][data-severity="green"]')
      .first()
      .waitFor({ timeout: patience })
    expect(await bad.count()).toBe(0)
    await field.focus()
    await page.keyboard.press("Control+z")
    expect(await field.inputValue()).toBe(spoiled)
    await bad.first().waitFor({ timeout: patience })
  },
  3 * patience,
)
