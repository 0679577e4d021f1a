// Someone who has never seen the app makes a lamp from an empty page: a drawing, holes picked, wires, a sweep, a red
// finding cleared by the change it suggests, the pack. Only words that stand on the page are used.

import { readFileSync } from "node:fs"
import { unzipSync } from "fflate"
import type { Locator } from "playwright-core"
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest"
import { installed, notInstalled, type Opened, openApp, patience } from "./open-app.testing.ts"

/** A wing of eight holes in a slight bow, as a drawing program saves it: no id anywhere. */
const drawing = `<svg xmlns="http://www.w3.org/2000/svg" width="160mm" height="60mm" viewBox="0 0 160 60">
  <rect x="5" y="5" width="150" height="50" rx="6" fill="none" stroke="black"/>
  ${Array.from({ length: 8 }, (_, i) => `<circle cx="${20 + i * 17}" cy="${(22 + (i - 3.5) ** 2 * 0.4).toFixed(2)}" r="2.6"/>`).join("\n  ")}
  <circle cx="14" cy="45" r="1.6"/><circle cx="146" cy="45" r="1.6"/>
</svg>`

let app: Opened
const shots = process.env.LAMPWRIGHT_SHOTS
const shot = async (name: string) => {
  if (shots) await app.page.screenshot({ path: `${shots}/${name}.png` })
}

beforeAll(async () => {
  if (installed) app = await openApp()
})
afterAll(() => app?.close())
beforeEach((ctx) => {
  if (!installed) ctx.skip(notInstalled)
})

const button = (name: string | RegExp) => app.page.getByRole("button", { name })
const next = () => button(/^Next:/).click()

test("the first visit offers a first lamp, which empties the bench and opens the first step", async () => {
  await button("Make a first lamp").click()
  await app.page.getByLabel("name", { exact: true }).fill("Left wing")
  await app.page.getByLabel("name", { exact: true }).press("Enter")
  await expect.poll(() => app.page.locator("circle[data-led]").count(), { timeout: patience }).toBe(0)
  await shot("1-lamp")
})

/** A press that the page takes up in its own time. */
async function tick(box: Locator): Promise<void> {
  await box.click()
  await expect.poll(() => box.isChecked(), { timeout: patience }).toBe(true)
}

test("wires are chosen from what vehicles have", async () => {
  await next()
  await tick(app.page.getByRole("checkbox", { name: /^left/ }))
  await tick(app.page.getByRole("checkbox", { name: /^plus/ }))
  await shot("2-wires")
})

test("a drawing without any names is taken, and its holes are told from its screws", async () => {
  await next()
  const [chooser] = await Promise.all([
    app.page.waitForEvent("filechooser"),
    button("Choose a drawing").click(),
  ])
  await chooser.setFiles({ name: "wing.svg", mimeType: "image/svg+xml", buffer: Buffer.from(drawing) })
  const holes = app.page.getByLabel("LED holes are the circles of")
  await holes.waitFor()
  expect(await holes.locator("option").allTextContents()).toEqual(["5.2 mm (8)", "3.2 mm (2)"])
  await shot("3-face")
  await button("Use face as a face").click()
  await app.page.getByText("8 LED holes, 2 other holes").waitFor()
})

test("holes are picked on the drawing: one by press, others by key, the rest by a box", async () => {
  await next()
  await tick(app.page.getByLabel("amber 5 mm"))
  await button("Pick the holes of face amber").click()
  const hole = (n: number) => app.page.getByRole("checkbox", { name: `Hole hole-${n},` })
  await hole(1).click()
  await app.page.getByText("1 of 8 holes in face amber, 7 free").waitFor()
  await hole(1).press("ArrowRight")
  await hole(2).press(" ")
  await app.page.getByText("2 of 8 holes").waitFor()
  const [from, to] = [await hole(3).boundingBox(), await hole(8).boundingBox()]
  await app.page.mouse.move(from!.x - 2, from!.y - 30)
  await app.page.mouse.down()
  await app.page.mouse.move(to!.x + to!.width + 4, to!.y + to!.height + 8, { steps: 4 })
  await app.page.mouse.up()
  await app.page.getByText("8 of 8 holes").waitFor()
  await shot("4-holes")
  await button("Done").click()
  // The housing is shallower than LEDs and leads need.
  await app.page.getByLabel("depth", { exact: true }).fill("14 mm")
  await app.page.getByLabel("depth", { exact: true }).press("Enter")
})

test("a sweep is set, and the board for its controller comes with it", async () => {
  await next()
  await tick(app.page.getByLabel("LEDs light one after the other (a sweep)"))
  await app.page.getByLabel("from first to last, ms").fill("180")
  await app.page.getByLabel("as seen from the road").selectOption("right to left")
  await shot("5-light")
  await button("Add this line").click()
  await app.page.getByText("sweep in 180 ms").waitFor()
})

test(
  "the red finding says what to change, and Apply changes it",
  async () => {
    await next()
    const reds = app.page.locator('.margin[data-severity="red"]')
    await reds.first().waitFor({ timeout: patience })
    await app.page.waitForSelector("[data-verdict]", { timeout: patience })
    await button(/Show the first of \d+ to fix/).click()
    await shot("6-red")
    const before = await reds.count()
    await app.page
      .getByRole("button", { name: /^Apply: / })
      .first()
      .click()
    expect(before).toBeGreaterThan(0)
    await expect
      .poll(
        async () => ((await app.page.locator("[data-verdict]").count()) > 0 ? await reds.count() : before),
        { timeout: patience },
      )
      .toBe(0)
    await shot("7-cleared")
  },
  2 * patience,
)

test("the pack is saved as one zip", async () => {
  await next()
  const [download] = await Promise.all([
    app.page.waitForEvent("download", { timeout: patience }),
    button("Save the pack as zip").click(),
  ])
  expect(download.suggestedFilename()).toBe("left-wing.zip")
  const files = Object.keys(unzipSync(new Uint8Array(readFileSync(await download.path()))))
  expect(files.some((f) => f.endsWith(".hex"))).toBe(true)
  await app.page.getByText(/left-wing\.zip, \d+ kB/).waitFor()
  expect(app.complaints).toEqual([])
})
