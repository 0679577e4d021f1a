// The description built up in its forms alone: forms to choose, pictures, points, ticks, one more and one less, each
// written into the same text and undone again.

import type { Page } from "playwright-core"
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest"
import { installed, notInstalled, type Opened, openApp, patience } from "./open-app.testing.ts"

let app: Opened
let page: Page

beforeAll(async () => {
  if (!installed) return
  app = await openApp({ width: 1280, height: 900 })
  page = app.page
  await page.getByRole("tab", { name: "Start", exact: true }).click()
  await page.getByRole("button", { name: "Tern side marker" }).click()
  await page.getByRole("tab", { name: "Description", exact: true }).click()
  await page.locator('[data-path="faces.plate"]').waitFor({ timeout: patience })
}, patience)
afterAll(() => app?.close())
beforeEach((ctx) => {
  if (!installed) ctx.skip(notInstalled)
})

/** The copy the browser keeps of the text after each change. */
const kept = () =>
  page.evaluate(() =>
    Object.values(localStorage)
      .map((v) => (v.startsWith("{") ? (JSON.parse(v) as { text?: string }).text : undefined))
      .find((t) => t !== undefined),
  )
const says = (words: string | RegExp) => expect.poll(kept, { timeout: 30_000 }).toMatch(words)
const line = (path: string) => page.locator(`[data-path="${path}"]`)
const open = async (path: string) => {
  const head = line(path).locator(".short-head")
  if ((await head.getAttribute("aria-expanded")) !== "true") await head.click()
  await line(path).locator(".field-set").first().waitFor()
}
const form = (path: string) => page.locator(`[data-field="${path}"] select`).first()
const undo = () => page.getByRole("button", { name: /^Undo/ }).click()

test("an outline is changed from rectangle to disc to polygon, keeps its size, and undo brings it back", async () => {
  await open("faces.plate")
  expect(await form("faces.plate.outline").inputValue()).toBe("a rectangle")
  await form("faces.plate.outline").selectOption("a disc")
  await says(/outline: \{ circle: 24 mm \}/)
  await expect.poll(() => form("faces.plate.outline").inputValue()).toBe("a disc")
  await undo()
  await says(/outline: \{ rectangle: 60 × 24 mm, corner: 4 mm \}/)
  await form("faces.plate.outline").selectOption("a polygon")
  await says(/\{ points: \[\[0 mm, 0 mm\], \[60 mm, 0 mm\], \[60 mm, 24 mm\], \[0 mm, 24 mm\]\] \}/)
})

test("points of the outline are moved, added and taken out, and the picture follows", async () => {
  const shape = () => line("faces.plate").locator(".line-picture .picture-metal").getAttribute("d")
  await expect.poll(shape, { timeout: 30_000 }).toContain("L60 -24")
  await page.getByLabel("outline, points, point 3, x").fill("64 mm")
  await page.getByLabel("outline, points, point 3, x").press("Enter")
  await says(/\[64 mm, 24 mm\]/)
  await expect.poll(shape, { timeout: 30_000 }).toContain("L64 -24")
  await line("faces.plate").getByRole("button", { name: "Add: a point" }).click()
  await says(/\[0 mm, 24 mm\], \[0 mm, 12 mm\]\]/)
  await page.getByRole("button", { name: "Take out point 5" }).click()
  await says(/\[0 mm, 24 mm\]\] \}/)
  await page.getByLabel("outline, points, point 3, x").press("ArrowDown")
  await says(/\[63 mm, 24 mm\]/)
})

test("a row of holes becomes an arc over the same ends", async () => {
  await form("faces.plate.holes").selectOption("along an arc")
  await says(
    /holes: \{ along: arc, centre: \[30 mm, -19\.177 mm\], radius: 36 mm, from: 120°, to: 60°, count: 4 \}/,
  )
  await undo()
  await says(/holes: \{ along: line, from: \[12 mm, 12 mm\]/)
})

test("an order hole by hole begins with the group's own holes", async () => {
  await open("groups.marker")
  await form("groups.marker.order").selectOption("hole by hole")
  await says(/order: \[hole-1, hole-2, hole-3, hole-4\]/)
  await undo()
  await says(/order: left-to-right/)
})

test("the LED is chosen by its picture", async () => {
  await open("groups.marker")
  expect(await line("groups.marker").locator(".picture-choice svg").count()).toBeGreaterThanOrEqual(6)
  await line("groups.marker").getByRole("radio", { name: "amber 5 mm" }).click()
  await says(/led: amber-5mm/)
  await line("groups.marker").getByRole("checkbox", { name: "marker", exact: true }).click()
  await says(/functions: \[front-position, marker\]/)
})

test("how a group is driven is held by the pictures of its parts, and let go again", async () => {
  await open("groups.marker")
  const of = line("groups.marker")
  const way = of.getByRole("radio", { name: /a current sink of two transistors/ })
  await way.waitFor({ timeout: patience })
  // Three legs each, standing beside their resistor.
  const sink = way.locator("..").locator("svg[data-stock^='transistor-']")
  expect(await sink.count()).toBe(2)
  expect(await sink.first().locator(".part-lead").count()).toBe(3)
  await way.click()
  await says(/"?drive\.marker\.way"?: current-sinks/)
  await of
    .getByRole("group", { name: "How it is driven" })
    .getByRole("radio", { name: /the tool chooses/ })
    .click()
  await expect.poll(kept, { timeout: 30_000 }).not.toMatch(/drive\.marker\.way/)
})

test("resistors are drawn with the bands of the one that is fitted, longer with more power", async () => {
  const of = line("groups.marker")
  const fitted = of.locator(".fitted-resistor").first()
  await fitted.waitFor({ timeout: patience })
  const words = (await fitted.textContent()) ?? ""
  const drawn = await fitted
    .locator("[data-band]")
    .evaluateAll((all) => all.map((b) => b.getAttribute("data-band")))
  expect(drawn.length).toBe(5)
  expect(words).toContain(`bands ${drawn.join(", ")}`)
  const wide = async (stock: string) =>
    (await of.locator(`.picture-choice svg[data-stock="${stock}"]`).last().boundingBox())?.width ?? 0
  expect(await wide("resistor-one-watt")).toBeGreaterThan(1.2 * (await wide("resistor-half-watt")))
  await of.getByRole("radio", { name: /^metal film resistor 1 W/ }).click()
  await says(/drive\.marker\.resistor-part"?: resistor-one-watt/)
  await undo()
  await expect.poll(kept, { timeout: 30_000 }).not.toMatch(/resistor-part/)
})

test("the controller is chosen by its outline, pin 1 at the notch", async () => {
  await open('pins."drive.controller"'.replaceAll('"', '\\"'))
  const chips = page.locator("svg[data-stock^='controller-']")
  await chips.first().waitFor()
  const pins = await chips.evaluateAll((all) => all.map((c) => c.querySelectorAll(".part-lead").length))
  expect(pins.sort((a, b) => a - b)).toEqual([14, 28])
  await page.getByRole("radio", { name: /^ATtiny84A/ }).click()
  await says(/drive\.controller"?: ATtiny84A/)
  await undo()
  await expect.poll(kept, { timeout: 30_000 }).not.toMatch(/drive\.controller/)
  await open("groups.marker")
})

test("the holes of a group are picked on the drawing from its line", async () => {
  await line("groups.marker").getByRole("button", { name: "Pick the holes of marker on the drawing" }).click()
  await page.getByText("4 of 4 holes in marker").waitFor()
  await page.getByRole("button", { name: "Done" }).click()
})

test("a wire and a line of the programme are added, ticked, needed and taken out", async () => {
  await page.getByLabel("Name of one more wire").fill("Brake")
  await page.getByLabel("Name of one more wire").press("Enter")
  await says(/ {4}brake: \{ role: steady, replaces: 21 W/)
  await line("vehicle.wires.brake").locator(".field-set").first().waitFor()
  await page.getByRole("button", { name: "Add line" }).click()
  await says(/- \{ when: brake, light: marker, level: 100 % \}/)
  const when = page.getByRole("group", { name: "when" })
  await when.getByRole("checkbox", { name: "tail" }).click()
  await says(/when: \[brake, tail\]/)
  await open("vehicle.wires.brake")
  await page.getByRole("button", { name: "Take out brake wire" }).click()
  await page.getByText("A line of the light programme waits for brake; take that out first.").waitFor()
  await open("programme.1")
  await page.getByRole("button", { name: /^Take out brake \+ tail → marker/ }).click()
  await says(/programme:\n {2}- \{ when: tail, light: marker, level: 100 % \}\n\n/)
  await open("vehicle.wires.brake")
  await page.getByRole("button", { name: "Take out brake wire" }).click()
  await expect.poll(kept).not.toContain("brake")
  expect(await kept()).toContain("# The smallest lamp: four white LEDs")
})

test("another name is taken wherever the description calls it, as one change", async () => {
  await open("groups.marker")
  const name = line("groups.marker").getByLabel("name", { exact: true })
  await name.fill("side light")
  await name.press("Enter")
  await says(/ {2}side-light: \{ face: plate/)
  expect(await kept()).toMatch(/when: tail, light: side-light/)
  expect(await kept()).toMatch(/carries: \[side-light\]/)
  await line("groups.side-light").locator(".field-set").first().waitFor()
  await undo()
  await says(/light: marker,/)
  expect(await kept()).not.toContain("side-light")
})

test("an element of a drawing is chosen among those the drawing has", async () => {
  const drawing =
    '<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="60mm" viewBox="0 0 90 60"><g id="plates"><rect id="wide" width="80" height="40"/></g><path id="small" d="M0 45h40v12h-40z"/></svg>'
  const dropped = await page.evaluateHandle((text) => {
    const files = new DataTransfer()
    files.items.add(new File([text], "edges.svg", { type: "image/svg+xml" }))
    return files
  }, drawing)
  await page.locator(".area-description").dispatchEvent("drop", { dataTransfer: dropped })
  await open("boards.plate")
  await form("boards.plate.outline").selectOption("a drawing")
  await says(/outline: "edges\.svg#edge"/)
  const elements = line("boards.plate").getByLabel("drawing", { exact: true })
  await expect
    .poll(() => elements.locator("option").allTextContents())
    .toEqual([
      "not given",
      "edges.svg#edge, not found here",
      "plates, group",
      "wide, rectangle",
      "small, path",
    ])
  await elements.selectOption("edges.svg#small")
  await says(/outline: "edges\.svg#small"/)
  await expect.poll(() => elements.locator("option").count()).toBe(4)
  await undo()
  await undo()
  await expect.poll(kept, { timeout: 30_000 }).not.toMatch(/edges\.svg#/)
})

test("a text that cannot be read says first what stops it, beside the text and in the margins", async () => {
  await page.locator(".margins-list").evaluate((e) => e.scrollTo(0, e.scrollHeight))
  await page.getByRole("tab", { name: "Text", exact: true }).click()
  const field = page.getByLabel("Description of the lamp as text")
  const sound = await field.inputValue()
  await field.fill(sound.replace("tip: 0.2 mm", "tip: 0.2"))
  const told = page.locator(".text-findings li")
  await told.first().waitFor({ timeout: patience })
  const order = await told.evaluateAll((all) => all.map((e) => (e as HTMLElement).dataset.severity))
  expect(order[0]).toBe("red")
  expect(order).not.toContain("green")
  await expect.poll(() => page.locator(".margin").first().getAttribute("data-severity")).toBe("red")
  expect(await page.locator(".margins-list").evaluate((e) => e.scrollTop)).toBe(0)
  await field.fill(sound)
  await told.first().waitFor({ state: "detached", timeout: patience })
})

test("a new lamp has an empty bench and nothing to play", async () => {
  await page.getByRole("tab", { name: "Start", exact: true }).click()
  await page.getByRole("button", { name: "New lamp" }).click()
  await page.getByText("No lamp on the bench yet.").waitFor()
  expect(await page.getByRole("button", { name: "Play", exact: true }).isDisabled()).toBe(true)
  expect(await page.locator(".now-words").count()).toBe(0)
  await page.getByRole("button", { name: /^Undo beginning/ }).click()
  await expect.poll(() => page.locator("h1").textContent(), { timeout: patience }).toBe("Tern side marker")
})

test("by touch on a tablet what is pressed is a finger high, and the page ends with its last part", async () => {
  const session = await page.context().newCDPSession(page)
  await session.send("Emulation.setTouchEmulationEnabled", { enabled: true })
  await page.setViewportSize({ width: 820, height: 1180 })
  await page.getByRole("tab", { name: "Description", exact: true }).click()
  await expect.poll(() => page.evaluate(() => matchMedia("(pointer: coarse)").matches)).toBe(true)
  await open("cutter.engraver")
  const low = await page
    .locator(".page button, .page select, .page input[type=text], .page [role=tab]")
    .evaluateAll((all) =>
      all.flatMap((e) => {
        const { width, height } = e.getBoundingClientRect()
        // Those of the time scale share a row with its figures.
        const small = width > 1 && height > 1 && height < 36 && !e.closest(".time-zoom")
        return small ? [`${e.tagName} ${e.textContent} ${height}`] : []
      }),
    )
  expect(low).toEqual([])
  const [end, last] = await page.evaluate(() => [
    document.documentElement.scrollHeight,
    Math.max(
      ...[...document.querySelectorAll(".area-margins, .area-description")].map(
        (e) => e.getBoundingClientRect().bottom + scrollY,
      ),
    ),
  ])
  expect(Math.abs(end! - last!)).toBeLessThan(4)
  await page.setViewportSize({ width: 1280, height: 900 })
  await session.send("Emulation.setTouchEmulationEnabled", { enabled: false })
  await session.detach()
})

test("the browser had nothing to complain about", () => {
  expect(app.complaints).toEqual([])
})
