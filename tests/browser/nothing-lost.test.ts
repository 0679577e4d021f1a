// What is typed is never lost: a tab that dies, a server that stops, a disk that is full or refuses, a lamp handed on
// as one file.

import { readFileSync } from "node:fs"
import { unzipSync } from "fflate"
import type { Page } from "playwright-core"
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest"
import { installed, notInstalled, type Opened, openApp, patience } from "./open-app.testing.ts"

const tern = readFileSync("examples/tern/tern.yaml", "utf8")
let app: Opened
let page: Page

/** A file picker that gives real files of the browser's own store, so that writing is really done. */
const picker = () => {
  const give = async (_: object) => {
    const asked = globalThis as { asked?: number }
    asked.asked = (asked.asked ?? 0) + 1
    const root = await navigator.storage.getDirectory()
    const file = await root.getFileHandle("mine.yaml", { create: true })
    const how = (globalThis as { writes?: string }).writes
    if (how === undefined) return file
    return {
      name: "mine.yaml",
      createWritable: async () => {
        throw new DOMException(how, how)
      },
    }
  }
  Object.assign(globalThis, { showSaveFilePicker: give })
}

beforeAll(async () => {
  if (!installed) return
  app = await openApp({ before: picker })
  page = app.page
})
afterAll(() => app?.close())
beforeEach((ctx) => {
  if (!installed) ctx.skip(notInstalled)
})

const textOf = async (p: Page) => {
  await p.getByRole("tab", { name: "Text", exact: true }).click()
  return p.getByLabel("Description of the lamp as text")
}
const written = (p: Page) =>
  p.evaluate(async () => {
    const root = await navigator.storage.getDirectory()
    return (await (await root.getFileHandle("mine.yaml")).getFile()).text()
  })

test("a tab that is killed in the middle of typing opens again with every letter", async () => {
  const field = await textOf(page)
  await field.fill(tern)
  await field.press("Control+Home")
  await page.keyboard.type("# typed until the end")
  const session = await app.browser.newCDPSession(page)
  const crashed = page.waitForEvent("crash")
  void session.send("Page.crash").catch(() => undefined)
  await crashed
  page = app.watch(await app.browser.newPage())
  await page.goto(app.served.url)
  expect(await (await textOf(page)).inputValue()).toBe(`# typed until the end${tern}`)
})

test("saving writes the file, and writes it again without asking", async () => {
  await page.keyboard.press("Control+s")
  await page.getByText("Saved mine.yaml.").waitFor()
  const field = await textOf(page)
  expect(await written(page)).toBe(await field.inputValue())
  await field.fill(`# again\n${tern}`)
  await page.getByRole("button", { name: "Save changes" }).click()
  await expect.poll(() => written(page)).toBe(`# again\n${tern}`)
})

test("a lamp that only bears the same name is never written over the file of another", async () => {
  const field = await textOf(page)
  const asked = () => page.evaluate(() => (globalThis as { asked?: number }).asked ?? 0)
  const before = await asked()
  const other = await page.evaluateHandle((text) => {
    const transfer = new DataTransfer()
    transfer.items.add(new File([text], "mine.yaml"))
    return transfer
  }, `# from another folder\n${tern}`)
  await page.locator(".area-description").dispatchEvent("drop", { dataTransfer: other })
  await expect.poll(() => field.inputValue()).toContain("# from another folder")
  expect(await written(page)).toBe(`# again\n${tern}`)
  // Undone, it is the lamp of that file again, and goes there without asking.
  await page.getByRole("button", { name: /^Undo opening/ }).click()
  await field.fill(`# mine again\n${tern}`)
  await page.keyboard.press("Control+s")
  await expect.poll(() => written(page)).toBe(`# mine again\n${tern}`)
  expect(await asked()).toBe(before)
  await page.getByRole("button", { name: /^Undo typing/ }).click()
  await page.keyboard.press("Control+s")
  await expect.poll(() => written(page)).toBe(`# again\n${tern}`)
  // Done again, it is another lamp: a place is asked for.
  await page.locator(".area-description").dispatchEvent("drop", { dataTransfer: other })
  await expect.poll(() => field.inputValue()).toContain("# from another folder")
  await page.keyboard.press("Control+s")
  await expect.poll(asked).toBe(before + 1)
  await page.getByText("Saved mine.yaml.").waitFor()
  await field.fill(`# again\n${tern}`)
  await page.keyboard.press("Control+s")
  await expect.poll(() => written(page)).toBe(`# again\n${tern}`)
})

test("a full disk is told and leaves the file as it was; a refused one gets a download", async () => {
  const field = await textOf(page)
  await page.evaluate(() => Object.assign(globalThis, { writes: "QuotaExceededError" }))
  await field.fill(`# does not fit\n${tern}`)
  await page.getByRole("button", { name: "Save as" }).click()
  await page.getByText("the disk is full").waitFor()
  expect(await written(page)).toBe(`# again\n${tern}`)
  expect(await field.inputValue()).toContain("# does not fit")
  await page.evaluate(() => Object.assign(globalThis, { writes: "NotAllowedError" }))
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Save as" }).click(),
  ])
  expect(download.suggestedFilename()).toBe("mine.yaml")
  expect(readFileSync(await download.path(), "utf8")).toContain("# does not fit")
  await page.evaluate(() => Object.assign(globalThis, { writes: undefined }))
})

test("a lamp goes out as one file with its drawings and comes in again", async () => {
  const field = await textOf(page)
  await field.fill(`# handed on\n${tern}`)
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Share as one file" }).click(),
  ])
  const bytes = readFileSync(await download.path())
  expect(Object.keys(unzipSync(new Uint8Array(bytes))).sort()).toEqual(["mine.yaml", "tern-face.svg"])
  await page.getByRole("tab", { name: "Start", exact: true }).click()
  await page.getByRole("button", { name: "New lamp" }).click()
  expect(await (await textOf(page)).inputValue()).not.toContain("handed on")
  await page
    .locator('input[type=file]:not([accept=".vcd"])')
    .first()
    .setInputFiles({ name: download.suggestedFilename(), mimeType: "application/zip", buffer: bytes })
  await expect.poll(async () => (await textOf(page)).inputValue()).toBe(`# handed on\n${tern}`)
})

test("a zip that holds no lamp is refused in words", async () => {
  await page
    .locator('input[type=file]:not([accept=".vcd"])')
    .first()
    .setInputFiles({ name: "x.zip", mimeType: "application/zip", buffer: Buffer.from("no zip at all") })
  await page.getByText("Not opened: x.zip cannot be unpacked").waitFor()
})

test("the page opens and computes after its server has stopped", async () => {
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined))
  await app.served.close()
  const again = await app.browser.newPage()
  await again.goto(app.served.url)
  expect(await (await textOf(again)).inputValue()).toContain("# handed on")
  await again.locator('.margin[data-code^="light."]').first().waitFor({ timeout: patience })
  expect(await again.locator("circle[data-led]").count()).toBe(38)
})
