// Boards are seen as they are laid, the lamp is whole before its boards are the best that can be found, and the search
// for better ones can be ended with the lamp kept. States that pass by are noted in the page, so that none is missed
// however slow the machine is.

import { readFileSync } from "node:fs"
import { strFromU8, unzipSync } from "fflate"
import type { Page } from "playwright-core"
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest"
import { installed, judged, notInstalled, type Opened, openApp, patience } from "./open-app.testing.ts"

let app: Opened
let page: Page

const shots = process.env.LAMPWRIGHT_SHOTS

/** Notes each state of the header and of the Board view as it comes. */
const noting = () => {
  const noted: string[] = []
  const packNotes: string[] = []
  Object.assign(globalThis, { noted, packNotes })
  const note = (what: string) => noted.at(-1) === what || noted.push(what)
  const look = () => {
    const wait = document.querySelector("#bench-panel-board .bench-wait")?.textContent ?? ""
    const board = document.querySelector<SVGElement>(".board-picture")
    if (wait.startsWith("Just laid"))
      note(
        `laid: ${board?.dataset.board}, ${board?.querySelectorAll("[data-track]").length ? "tracks" : "bare"}`,
      )
    const words = document.querySelector(".progress-stage")?.textContent ?? ""
    if (document.querySelector("[data-first-verdict]")) note(`first: ${words.split(",")[0]}`)
    if (document.querySelector("[data-verdict]")) note("verdict")
    const pack = document.querySelector(".pack-note")?.textContent ?? ""
    if (packNotes.at(-1) !== pack) packNotes.push(pack)
  }
  new MutationObserver(look).observe(document, {
    subtree: true,
    childList: true,
    attributes: true,
    characterData: true,
  })
}

beforeAll(async () => {
  if (!installed) return
  app = await openApp({ before: noting })
  page = app.page
  await judged(page)
}, patience + 60_000)
afterAll(() => app?.close())
beforeEach((ctx) => {
  if (!installed) ctx.skip(notInstalled)
})

const noted = () => page.evaluate(() => (globalThis as unknown as { noted: string[] }).noted)

/** Another outline of the control board: it is laid anew, the others stay. */
async function reshape(outline: string): Promise<void> {
  await page.getByRole("tab", { name: "Text", exact: true }).click()
  const field = page.getByLabel("Description of the lamp as text")
  const text = await field.inputValue()
  const next = text.replace(/(drivers, supply\], outline: )[^,]*,/, `$1${outline},`)
  expect(next).not.toBe(text)
  await page.evaluate(() => {
    const { noted, packNotes } = globalThis as unknown as Record<string, string[]>
    noted?.splice(0)
    packNotes?.splice(0)
  })
  await field.fill(next)
}

test(
  "a board is shown with its tracks as soon as it is laid, then the lamp is whole while better boards are looked for",
  async () => {
    await page.locator("#bench-tab-board").click()
    await page.getByRole("radio", { name: "control" }).press("Space")
    await expect.poll(() => page.locator(".board-picture").getAttribute("data-board")).toBe("control")
    const words = () => page.locator(".board-picture").getAttribute("aria-label")
    const before = await words()
    await reshape("98 × 72 mm")
    await page.waitForSelector("[data-first-verdict]", { timeout: patience })
    expect(await words()).toMatch(/^98 × 72 mm, /)
    expect(await words()).not.toBe(before)
    const seen = await noted()
    expect(seen[0]).toBe("laid: control, tracks")
    expect(seen.at(-1)).toBe("first: Looking for better boards")
    // What it is made of can be looked at, judged and packed already.
    expect(await page.locator(".margins-early").count()).toBe(0)
    expect(await page.locator('.margin[data-code^="board."]').count()).toBeGreaterThan(10)
    expect(await page.locator("#bench-tab-cut").isVisible()).toBe(true)
    expect(await page.locator(".pack button").isDisabled()).toBe(false)
    // Until then the button says why it waits.
    const notes = await page.evaluate(() => (globalThis as unknown as { packNotes: string[] }).packNotes)
    expect(notes).toContain("no pack yet: boards, cut and proof are being made")
    expect(notes.at(-1)).toMatch(/^with the boards so far$/)
    if (shots) await page.screenshot({ path: `${shots}/laid-boards.png` })
  },
  2 * patience,
)

test("at 1280 pixels the header is whole meanwhile: nothing cut off, nothing over anything else", async () => {
  const boxes = await page
    .locator(
      ".area-header h1, .header-facts span, .header-keys, .verdict, .progress, .running button, .pack button",
    )
    .evaluateAll((all) =>
      all.map((e) => {
        const { left, right, top, bottom } = e.getBoundingClientRect()
        return { words: e.textContent, left, right, top, bottom, cut: e.scrollWidth - e.clientWidth > 1 }
      }),
    )
  expect(boxes.length).toBe(8)
  expect(
    await page.locator(".header-facts").evaluate((e) => e.scrollWidth - e.clientWidth),
  ).toBeLessThanOrEqual(0)
  for (const box of boxes) expect([box.words, box.cut, box.right <= 1280]).toEqual([box.words, false, true])
  for (const [i, box] of boxes.entries())
    if (i > 0) expect(box.left, box.words ?? "").toBeGreaterThan(boxes[i - 1]!.right)
})

/** The description in a pack that is made now. */
async function packed(): Promise<string> {
  const [download] = await Promise.all([
    page.waitForEvent("download", { timeout: patience }),
    page.locator(".pack button").click(),
  ])
  const files = Object.entries(unzipSync(new Uint8Array(readFileSync(await download.path()))))
  return strFromU8(files.find(([path]) => path.endsWith(".yaml"))?.[1] ?? new Uint8Array())
}

test("the whole lamp is packed while better boards are looked for, and the search goes on", async () => {
  const before = await noted()
  expect(await packed()).toContain("outline: 98 × 72 mm")
  await expect.poll(() => page.locator(".pack-note").textContent()).toMatch(/^\S+\.zip, \d+ kB/)
  // The search may have come to its end meanwhile, but was not ended.
  const since = (await noted()).slice(before.length)
  if (!since.includes("verdict")) expect(await page.locator(".running button").textContent()).toBe("Stop")
  expect(app.complaints).toEqual([])
})

test("Stop ends the search alone: the lamp keeps its verdict, and its pack is made", async () => {
  const said = await page.locator("[data-first-verdict]").textContent()
  await page.locator(".running button").click()
  await judged(page)
  expect(await page.locator("[data-verdict]").textContent()).toBe(said)
  expect((await noted()).at(-1)).toBe("verdict")
  expect(await packed()).toContain("outline: 98 × 72 mm")
})

test(
  "the search is taken up again, and ends with the best boards it found",
  async () => {
    await page.evaluate(() => (globalThis as unknown as { noted: string[] }).noted.splice(0))
    await page.getByRole("button", { name: "Look for better boards" }).click()
    // The lamp stays whole and judged all the while.
    await page.waitForSelector("[data-first-verdict]", { timeout: patience })
    await judged(page)
    const seen = await noted()
    expect(seen).toContain("first: Looking for better boards")
    expect(seen.filter((s) => s.startsWith("laid"))).toEqual([])
    expect(seen.at(-1)).toBe("verdict")
    expect(await page.getByRole("button", { name: "Look for better boards" }).count()).toBe(0)
    expect(app.complaints).toEqual([])
  },
  2 * patience,
)
