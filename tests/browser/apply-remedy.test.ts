// A spoiled Tern in the app: its finding is opened, the remedy's button pressed, and the finding is gone.

import type { Page } from "playwright-core"
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest"
import { installed, notInstalled, type Opened, openApp, patience } from "./open-app.testing.ts"

let app: Opened
let page: Page

beforeAll(async () => {
  if (!installed) return
  app = await openApp({ width: 1440, height: 860 })
  page = app.page
  await page.getByRole("tab", { name: "Text", exact: true }).click()
})
afterAll(() => app?.close())
beforeEach((ctx) => {
  if (!installed) ctx.skip(notInstalled)
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
