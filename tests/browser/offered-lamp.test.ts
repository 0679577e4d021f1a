// `lampwright app LAMP`: the page opens that description, keeps edits of it, and never writes the file.

import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs"
import type { Server } from "node:http"
import type { AddressInfo } from "node:net"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { type BrowserContext, chromium } from "playwright-core"
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest"
import { appServer } from "../../src/9-doors/cli/app-command.ts"
import { builtApp } from "./built-app.testing.ts"
import { installed, notInstalled, program } from "./open-app.testing.ts"

const marker = readFileSync("examples/marker/marker.yaml", "utf8")
let folder = ""
let lamp = ""
let url = ""
let server: Server | undefined
let browser: BrowserContext | undefined

beforeAll(async () => {
  if (!installed) return
  folder = mkdtempSync(join(tmpdir(), "lampwright-offered-"))
  lamp = join(folder, "mine.yaml")
  writeFileSync(lamp, marker.replace("Tern side marker", "My own marker"))
  server = appServer(builtApp(), lamp)
  await new Promise<void>((ready) => server?.listen(0, "127.0.0.1", ready))
  url = `http://localhost:${(server.address() as AddressInfo).port}/`
  browser = await chromium.launchPersistentContext(join(folder, "profile"), {
    executablePath: program,
    reducedMotion: "reduce",
    args: [
      "--headless",
      "--no-sandbox",
      "--disable-gpu",
      "--no-first-run",
      "--disable-background-networking",
    ],
  })
})

afterAll(async () => {
  await browser?.close()
  server?.closeAllConnections()
  server?.close()
  if (folder) rmSync(folder, { recursive: true, force: true })
})

beforeEach((ctx) => {
  if (!installed) ctx.skip(notInstalled)
})

const opened = async () => {
  const page = await browser!.newPage()
  await page.goto(url)
  await page.getByRole("tab", { name: "Text", exact: true }).click()
  return { page, field: page.getByLabel("Description of the lamp as text") }
}

test("the page opens the description it was given", async () => {
  const { page, field } = await opened()
  await expect.poll(() => page.locator("h1").textContent()).toBe("My own marker")
  expect(await field.inputValue()).toBe(readFileSync(lamp, "utf8"))
  await field.fill(`# typed\n${await field.inputValue()}`)
  await page.close()
})

test("edits are taken up after the tab was closed, undo gives the file, and the file was not written", async () => {
  const { page, field } = await opened()
  await expect.poll(() => field.inputValue()).toContain("# typed")
  await page.getByText("from the last visit were kept").waitFor()
  await page.getByRole("button", { name: "Undo your edits from the last visit" }).click()
  expect(await field.inputValue()).toBe(readFileSync(lamp, "utf8"))
  await page.getByRole("button", { name: "Redo your edits from the last visit" }).click()
  expect(readFileSync(lamp, "utf8")).not.toContain("# typed")
  await page.close()
})

test("a file that changed on disk comes first, and the own text can be had back", async () => {
  writeFileSync(lamp, `# by another hand\n${marker}`)
  const { page, field } = await opened()
  await expect.poll(() => field.inputValue()).toContain("# by another hand")
  await page.getByText("was changed on disk").waitFor()
  await page.getByRole("button", { name: "Undo opening mine.yaml" }).click()
  expect(await field.inputValue()).toContain("# typed")
  await page.close()
})
