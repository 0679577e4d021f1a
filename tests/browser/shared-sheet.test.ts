// Boards that are milled from one sheet, seen as they lie on it.

import type { Page } from "playwright-core"
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest"
import { nameless } from "./nameless.testing.ts"
import { installed, judged, notInstalled, type Opened, openApp, patience } from "./open-app.testing.ts"

let app: Opened
let page: Page
const shots = process.env.LAMPWRIGHT_SHOTS

beforeAll(async () => {
  if (!installed) return
  app = await openApp({ width: 1440, height: 860 })
  page = app.page
  await page.getByRole("tab", { name: "Start", exact: true }).click()
  await page.getByRole("button", { name: "Tern front lamps" }).click()
  await page.getByRole("heading", { name: "Tern front lamps" }).waitFor({ timeout: patience })
  await judged(page)
  await page.locator("#bench-tab-cut").click()
  await page.getByRole("radio", { name: "sheet 1" }).waitFor({ state: "attached" })
}, patience + 120_000)
afterAll(() => app?.close())
beforeEach((ctx) => {
  if (!installed) ctx.skip(notInstalled)
})

const choose = (name: string) => page.getByRole("radio", { name, exact: true }).press("Space")
const boxOf = async (selector: string) => {
  const box = await page.locator(selector).first().boundingBox()
  return box ?? expect.fail(`${selector} is not drawn`)
}

test("the sheet is drawn with every board inside the clamps' edge, its grooves and its holes", async () => {
  await choose("sheet 1")
  const sheet = await boxOf(".sheet-copper")
  const pieces = page.locator("[data-piece]")
  expect(await pieces.count()).toBe(2)
  const boxes = []
  for (const name of await pieces.evaluateAll((all) => all.map((p) => p.getAttribute("data-piece")))) {
    const box = await boxOf(`[data-piece="${name}"] .edge`)
    expect(box.x).toBeGreaterThan(sheet.x)
    expect(box.y).toBeGreaterThan(sheet.y)
    expect(box.x + box.width).toBeLessThan(sheet.x + sheet.width)
    expect(box.y + box.height).toBeLessThan(sheet.y + sheet.height)
    expect(await page.locator(`[data-piece="${name}"] [data-groove]`).count()).toBeGreaterThan(0)
    boxes.push(box)
  }
  // Both are round: their middles lie further apart than their radii reach.
  const [a, b] = boxes as [(typeof boxes)[0], (typeof boxes)[0]]
  const middle = (box: typeof a) => ({ x: box.x + box.width / 2, y: box.y + box.height / 2 })
  const apart = Math.hypot(middle(a).x - middle(b).x, middle(a).y - middle(b).y)
  expect(apart).toBeGreaterThan((a.width + b.width) / 2)
  expect(await page.locator(".sheet-clamps").count()).toBe(1)
  if (shots) await page.screenshot({ path: `${shots}/sheet.png` })
})

test("its programs are those of the sheet, and its boards are told in the order they are cut out", async () => {
  const files = await page.locator(".programs tbody th").allTextContents()
  expect(files.length).toBeGreaterThan(2)
  expect(files.filter((f) => !f.startsWith("sheet-1-"))).toEqual([])
  const told = await page.locator(".sheet-boards li").allTextContents()
  expect(told.length).toBe(2)
  for (const words of told) expect(words).toMatch(/: 0 shorts, 0 opens, narrowest copper [\d.]+ mm/)
  const named = await page.locator(".sheet-name").allTextContents()
  expect(named.map((n) => n.replace(/^\d+ /, ""))).toEqual(
    await page.locator(".sheet-boards li button").allTextContents(),
  )
  expect(await nameless(page)).toEqual([])
})

test("from the sheet to one of its boards and back, and from what is told of the sheet to the sheet", async () => {
  const board = await page.locator(".sheet-boards li").first().getAttribute("data-board")
  await page.locator(".sheet-boards li button").first().click()
  await expect.poll(() => page.locator(".board-picture").getAttribute("data-board")).toBe(board)
  await page.locator('.margin[data-code="cut.sheet-used"] .margin-head').click()
  await expect.poll(() => page.locator(".board-picture").getAttribute("data-sheet")).toBe("sheet-1")
  await choose("One board")
  await expect.poll(() => page.locator(".board-picture").getAttribute("data-board")).toBe(board)
})

test("a lamp whose boards share no sheet is offered none", async () => {
  await page.getByRole("tab", { name: "Start", exact: true }).click()
  await page.getByRole("button", { name: "Tern side marker" }).click()
  await page.getByRole("heading", { name: "Tern side marker" }).waitFor({ timeout: patience })
  await judged(page)
  await page.locator("#bench-tab-cut").click()
  await page.locator(".board-picture[data-board]").waitFor()
  expect(await page.getByRole("radiogroup", { name: "One board or a whole sheet" }).count()).toBe(0)
  expect(app.complaints).toEqual([])
})
