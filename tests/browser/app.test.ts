// The app in a real browser, on the real chain: structure, not pixels. Not run where Chromium is not installed.

import { readFileSync } from "node:fs"
import { unzipSync } from "fflate"
import type { Page } from "playwright-core"
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest"
import { nameless } from "./nameless.testing.ts"
import { installed, notInstalled, type Opened, openApp, patience } from "./open-app.testing.ts"

let app: Opened
let page: Page

beforeAll(async () => {
  if (!installed) return
  // Nothing moves unless a test presses play: reduced motion is asked for.
  app = await openApp({ width: 1440, height: 860 })
  page = app.page
})
afterAll(() => app?.close())
beforeEach((ctx) => {
  if (!installed) ctx.skip(notInstalled)
})

const view = (name: string) => page.getByRole("tab", { name, exact: true }).click()
const seek = (time: number) =>
  page.getByLabel("Play head").evaluate((slider: HTMLInputElement, t) => {
    slider.value = String(t)
    slider.dispatchEvent(new Event("input", { bubbles: true }))
  }, time)
const tern = readFileSync("examples/tern/tern.yaml", "utf8")
const levels = () =>
  page
    .locator("circle[data-led]")
    .evaluateAll((all) => Object.fromEntries(all.map((e) => [e.dataset.led, Number(e.dataset.level)])))
const headTime = () => page.locator(".play-head").evaluate((e: HTMLElement) => Number(e.dataset.time))

test(
  "shows its progress, stops when told, and starts again",
  async () => {
    await page.getByRole("progressbar").waitFor()
    await page.getByRole("button", { name: "Stop", exact: true }).click()
    await page.getByText("Stopped", { exact: true }).waitFor()
    await page.getByRole("button", { name: "Recompute" }).click()
    await page.waitForSelector("[data-verdict]", { timeout: patience })
  },
  patience + 30_000,
)

test("says one verdict in words and names the lamp", async () => {
  expect(await page.locator("h1").textContent()).toBe("Tern rear lamp")
  const words = await page.locator("[data-verdict]").textContent()
  expect(words).toMatch(/^(\d+ to fix before you cut|Ready( with \d+ cautions?)?)$/)
})

test("lays the lamp on the bench with its 38 LEDs", async () => {
  expect(await page.locator("circle[data-led]").count()).toBe(38)
})

test("the play head moves when Play is pressed and stops again", async () => {
  const before = await headTime()
  await page.getByRole("button", { name: "Play", exact: true }).click()
  await expect.poll(headTime, { timeout: 10_000 }).not.toBe(before)
  await page.getByRole("button", { name: "Pause", exact: true }).click()
  const stopped = await headTime()
  await page.waitForTimeout(100)
  expect(await headTime()).toBe(stopped)
})

test("space plays and pauses, arrows step, from the keyboard alone", async () => {
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur())
  await seek(0.5)
  await page.keyboard.press("ArrowRight")
  expect(await headTime()).toBeCloseTo(0.51, 5)
  await page.keyboard.press("ArrowLeft")
  await page.keyboard.press("ArrowLeft")
  expect(await headTime()).toBeCloseTo(0.49, 5)
  await page.keyboard.press("Space")
  await page.getByRole("button", { name: "Pause", exact: true }).waitFor()
  await page.keyboard.press("Space")
  await page.getByRole("button", { name: "Play", exact: true }).waitFor()
})

test("the left sweep runs outward: the outer LED lights later than the inner one", async () => {
  const length = Number(await page.getByLabel("Play head").getAttribute("max"))
  const first: Record<string, number> = {}
  for (let t = 0; t <= length; t += 0.01) {
    await seek(t)
    const now = await levels()
    for (const ref of ["sweep-left-1", "sweep-left-8"]) if ((now[ref] ?? 0) > 20) first[ref] ??= t
    if (first["sweep-left-8"] !== undefined) break
  }
  expect(first["sweep-left-1"]).toBeDefined()
  expect(first["sweep-left-8"]).toBeGreaterThan(first["sweep-left-1"] ?? Number.POSITIVE_INFINITY)
})

const liveShare = (wire: string) =>
  page
    .locator(".now-words")
    .evaluate((e, w) => (e.textContent ?? "").split(" live")[0]?.includes(w) ?? false, wire)

test("a tap on the brake's key lights the crescent fully while the key is down", async () => {
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur())
  await seek(3)
  expect(await liveShare("brake")).toBe(false)
  await page.keyboard.down("b")
  // A slow machine draws few frames; the head must have passed the place that is asked below.
  await expect.poll(headTime, { timeout: 20_000 }).toBeGreaterThan(3.15)
  await page.keyboard.up("b")
  await page.getByRole("button", { name: "Pause", exact: true }).click()
  await page.getByText("Playing these wires").waitFor({ state: "detached", timeout: patience })
  await seek(3.1)
  expect(await liveShare("brake")).toBe(true)
  expect((await levels())["tail-stop-1"]).toBeGreaterThan(200)
  await page.getByRole("button", { name: "Back to the demonstration" }).click()
  await seek(3.1)
  expect(await liveShare("brake")).toBe(false)
})

test("another flasher changes when the left wire is live", async () => {
  const changes = async () => {
    let count = 0
    let was = false
    for (let t = 0.5; t < 2.5; t += 0.02) {
      await seek(t)
      const is = await liveShare("left")
      if (is !== was) count++
      was = is
    }
    return count
  }
  const usual = await changes()
  await page.getByLabel("Flasher").selectOption({ label: "fastest allowed, 120 /min, 30 %" })
  await page.getByText("Playing these wires").waitFor()
  await page.getByText("Playing these wires").waitFor({ state: "detached", timeout: patience })
  expect(await changes()).toBeGreaterThan(usual)
  await page.getByRole("button", { name: "Undo the flasher" }).click()
  await page.getByRole("button", { name: "Back to the demonstration" }).waitFor({ state: "detached" })
  const flasher = page.getByRole("combobox", { name: /^Flasher/ })
  expect(await flasher.inputValue()).toBe("described")
  expect(await changes()).toBe(usual)
  await page.keyboard.press("Control+Shift+z")
  await expect.poll(() => flasher.inputValue()).toBe("fast")
  await page.getByRole("button", { name: "Back to the demonstration" }).click()
})

test("a recording is played, and one that cannot be read says where", async () => {
  const file = page.locator('input[type=file][accept=".vcd"]')
  const vcd = (text: string) => ({ name: "ride.vcd", mimeType: "text/plain", buffer: Buffer.from(text) })
  await file.setInputFiles(
    vcd(
      "$timescale 1ms $end\n$var wire 1 ! right $end\n$enddefinitions $end\n#0\n0!\n#100\n1!\n#900\n0!\n#1500\n",
    ),
  )
  await page.getByText("Wires as recorded in ride.vcd").waitFor()
  await page.getByText("Playing these wires").waitFor({ state: "detached", timeout: patience })
  expect(Number(await page.getByLabel("Play head").getAttribute("max"))).toBeCloseTo(1.5, 1)
  await seek(0.8)
  expect((await levels())["sweep-right-8"]).toBeGreaterThan(200)
  expect((await levels())["sweep-left-8"]).toBe(0)
  await page.getByRole("button", { name: "Back to the demonstration" }).click()
  await file.setInputFiles(vcd("$timescale 1ms $end\n$var wire 1 ! right $end\n1!\n"))
  await page.getByText(/ride\.vcd, line 3:/).waitFor()
})

test("signals of a recording that bear other names are told which wires they are", async () => {
  const file = page.locator('input[type=file][accept=".vcd"]')
  const text =
    "$timescale 1ms $end\n$var wire 1 ! D0 $end\n$var wire 1 % RIGHT $end\n$enddefinitions $end\n#0\n0!\n0%\n#100\n1!\n#900\n0!\n#1500\n"
  await file.setInputFiles({ name: "probe.vcd", mimeType: "text/plain", buffer: Buffer.from(text) })
  await page.getByText("Wires as recorded in probe.vcd").waitFor()
  const wire = (name: string) => page.getByLabel(`Signal of ${name}`)
  expect(await wire("right").inputValue()).toBe("RIGHT")
  expect(await wire("left").inputValue()).toBe("")
  await page.getByText("Playing these wires").waitFor({ state: "detached", timeout: patience })
  await seek(0.8)
  expect((await levels())["sweep-left-8"]).toBe(0)
  await wire("left").selectOption("D0")
  // All that was recorded is a wire now.
  await page.locator(".signals").waitFor({ state: "detached" })
  await page.getByText("Playing these wires").waitFor({ state: "detached", timeout: patience })
  const outer = async () => {
    await seek(0.8)
    return (await levels())["sweep-left-8"]
  }
  await expect.poll(outer, { timeout: patience }).toBeGreaterThan(200)
  await page.getByRole("button", { name: "Back to the demonstration" }).click()
})

test("margins stand thinnest first within their colour, at least twenty of them", async () => {
  const rows = await page.locator(".margin").evaluateAll((all) =>
    all.map((e) => ({
      severity: e.dataset.severity ?? "",
      // Yes-or-no claims have no thinness and no bar.
      margin: e.dataset.margin === undefined ? undefined : Number(e.dataset.margin),
    })),
  )
  expect(rows.length).toBeGreaterThanOrEqual(20)
  const order = ["red", "amber", "green"]
  const ranks = rows.map((r) => order.indexOf(r.severity))
  expect(ranks).toEqual([...ranks].sort((a, b) => a - b))
  for (const colour of order) {
    const margins = rows.filter((r) => r.severity === colour).flatMap((r) => r.margin ?? [])
    expect(margins).toEqual([...margins].sort((a, b) => a - b))
  }
})

test("each margin says its severity in words", async () => {
  const words = new Set(await page.locator(".margin .severity-word").allTextContents())
  for (const word of words) expect(["to fix", "caution", "kept"]).toContain(word)
})

test("selecting a margin unfolds why, down to a formula and its inputs", async () => {
  const heads = page.locator(".margin-head")
  const count = await heads.count()
  let derived = false
  for (let i = 0; i < count && !derived; i++) {
    await heads.nth(i).click()
    expect(await heads.nth(i).getAttribute("aria-expanded")).toBe("true")
    await page.locator(".why").waitFor()
    derived = (await page.locator(".figure-tree .formula").count()) > 0
  }
  expect(derived).toBe(true)
  expect(await page.locator(".figure-tree .formula").first().textContent()).toMatch(/^= ./)
  expect(await page.locator(".figure-tree .figure-head").count()).toBeGreaterThan(1)
})

test("selecting a margin brings the view it speaks of and marks the place", async () => {
  const select = (room: string) => page.locator(`.margin[data-code^="${room}"] .margin-head`).first().click()
  const shown = () => page.locator(".view-tabs [aria-selected=true]").textContent()
  await select("drive.")
  expect(await shown()).toBe("Drive")
  await select("board.land-ring")
  expect(await shown()).toBe("Board")
  expect(await page.locator(".board-picture .place-ring").count()).toBe(1)
  await select("proof.cut-depth")
  expect(await shown()).toBe("Cut")
  expect(await page.locator(".board-picture .place-ring").count()).toBe(1)
})

test("Board shows the four boards, one drawn land for every land", async () => {
  await view("Board")
  const boards = await page.getByRole("radiogroup", { name: "Board", exact: true }).getByRole("radio").all()
  expect(boards.length).toBe(4)
  for (const choice of boards) {
    await choice.press("Space")
    const facts = (await page.locator(".board-picture").getAttribute("aria-label")) ?? ""
    const lands = Number(/(\d+) lands/.exec(facts)?.[1])
    expect(lands).toBeGreaterThan(4)
    expect(await page.locator("[data-land]").count()).toBe(lands)
    expect(await page.locator("[data-track]").count()).toBeGreaterThan(2)
  }
})

test("the component side mirrors the copper side left to right and says so", async () => {
  await view("Board")
  const x = async (side: string) => {
    await page.getByRole("radio", { name: side }).press("Space")
    const box = await page.locator("[data-land]").first().boundingBox()
    const board = await page.locator(".board-drawing .edge").boundingBox()
    if (!box || !board) throw new Error("no land drawn")
    return (box.x + box.width / 2 - board.x) / board.width
  }
  const component = await x("Component side")
  expect(await page.locator(".view-words").first().textContent()).toMatch(/mirrored left to right/)
  const copper = await x("Copper side")
  expect(copper + component).toBeCloseTo(1, 2)
})

test("Cut shows grooves at their true width, and the programs with length and time", async () => {
  await view("Cut")
  expect(await page.locator("[data-groove]").count()).toBeGreaterThan(5)
  expect(Number(await page.locator(".grooves").getAttribute("stroke-width"))).toBeCloseTo(0.2536, 3)
  const rows = await page.locator(".programs tbody tr").allInnerTexts()
  expect(rows.length).toBeGreaterThanOrEqual(2)
  for (const row of rows) expect(row).toMatch(/mm|m\b/)
})

test("Drive shows every string with its current", async () => {
  await view("Drive")
  const rows = await page.locator("tr[data-string]").allInnerTexts()
  expect(rows.length).toBeGreaterThan(20)
  for (const row of rows) expect(row).toMatch(/mA/)
})

test("the ways a group can be driven stand beside each other, the one taken first and marked", async () => {
  await view("Drive")
  const ways = page.locator(".drive-ways").first()
  await ways.locator("summary").click()
  const rows = await ways.locator("tbody tr").allTextContents()
  expect(rows.length).toBeGreaterThanOrEqual(2)
  expect(rows.filter((r) => r.includes("Taken:"))).toEqual([rows[0]])
  const lost = await ways
    .locator("tbody tr td:nth-child(2)")
    .evaluateAll((all) => all.map((e) => Number.parseFloat(e.textContent ?? "")))
  expect(Math.min(...lost)).toBe(lost[0])
  await ways.locator("summary").click()
})

test("margins are filtered by what judged them", async () => {
  const which = page.getByLabel("Of what")
  await which.selectOption("light and rules")
  const codes = await page.locator(".margin").evaluateAll((all) => all.map((e) => e.dataset.code ?? ""))
  expect(codes.length).toBeGreaterThan(10)
  for (const code of codes) expect(code).toMatch(/^light\./)
  await which.selectOption("everything")
})

test("everything that can be pressed has a name, in every view", async () => {
  for (const name of ["Face", "Drive", "Board", "Cut", "Beam", "Fit", "Wiring"]) {
    await view(name)
    expect(await nameless(page), name).toEqual([])
  }
  await page.getByRole("tab", { name: "Text", exact: true }).click()
  expect(await nameless(page), "Text").toEqual([])
  await page.getByRole("tab", { name: "Description", exact: true }).click()
})

test("the keyboard reaches Play and every view", async () => {
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur())
  const reached = new Set<string>()
  for (let i = 0; i < 120; i++) {
    await page.keyboard.press("Tab")
    const at = await page.evaluate(() => {
      const e = document.activeElement
      return e?.getAttribute("role") === "tab" || e?.tagName === "BUTTON" ? (e.textContent ?? "") : ""
    })
    reached.add(at.trim())
    if (reached.has("Play") && reached.has("Wiring")) break
  }
  expect([...reached]).toContain("Play")
  expect([...reached]).toContain("Wiring")
})

test("the pack comes as one zip whose files read back", async () => {
  const [download] = await Promise.all([
    page.waitForEvent("download", { timeout: patience }),
    page.getByRole("button", { name: "Make the pack" }).click(),
  ])
  expect(download.suggestedFilename()).toMatch(/^tern-rear-lamp(-DO-NOT-CUT)?\.zip$/)
  const files = unzipSync(new Uint8Array(readFileSync(await download.path())))
  expect(Object.keys(files).length).toBeGreaterThan(4)
  for (const bytes of Object.values(files)) expect(bytes.length).toBeGreaterThan(0)
})

test("a changed sweep is worked out again and shows in its margin", async () => {
  await page.getByRole("tab", { name: "Text", exact: true }).click()
  const field = page.getByLabel("Description of the lamp as text")
  const text = await field.inputValue()
  expect(text).toContain("within: 180 ms")
  await field.fill(text.replaceAll("within: 180 ms", "within: 150 ms"))
  await page.getByRole("button", { name: "Recompute" }).first().click()
  const values = page.locator('.margin[data-code="behaviour.sweep-end"] .margin-value')
  // Steps of the firmware's clock may add a millisecond.
  const both = expect.poll(async () => (await values.allTextContents()).join(), { timeout: patience })
  await both.toMatch(/^15[0-2] ms,15[0-2] ms$/)
  await page.getByRole("tab", { name: "Description", exact: true }).click()
  expect(await page.locator(".short-line", { hasText: "left → sweep left" }).textContent()).toContain(
    "150 ms",
  )
}, 270_000)

test("another lamp is opened from disk, and the text before can be had back", async () => {
  await page.getByRole("tab", { name: "Text", exact: true }).click()
  await page.locator('input[type=file]:not([accept=".vcd"])').setInputFiles("examples/marker/marker.yaml")
  await expect.poll(() => page.locator("h1").textContent(), { timeout: patience }).toBe("Tern side marker")
  await view("Face")
  await expect.poll(() => page.locator("circle[data-led]").count(), { timeout: patience }).toBe(4)
  await page.getByRole("button", { name: "Undo opening marker.yaml" }).click()
  await expect.poll(() => page.locator("h1").textContent(), { timeout: patience }).toBe("Tern rear lamp")
}, 540_000)

test("a misspelt key is found at its line and column, and the lamp stays on the bench", async () => {
  await page.getByRole("tab", { name: "Text", exact: true }).click()
  const field = page.getByLabel("Description of the lamp as text")
  const text = await field.inputValue()
  await field.fill(text.replace("lowest: 9 V", "lowset: 9 V"))
  const line = text.split("\n").findIndex((l) => l.includes("lowest: 9 V")) + 1
  await page.getByRole("button", { name: "Recompute" }).first().click()
  const found = page.locator(".text-findings li").first()
  await found.waitFor({ timeout: patience })
  expect(await page.locator(".text-findings").textContent()).toMatch(new RegExp(`line ${line}, column \\d+`))
  await view("Face")
  await expect.poll(() => page.locator("circle[data-led]").count(), { timeout: patience }).toBe(38)
  await page.getByRole("button", { name: "Play", exact: true }).waitFor()
})

test("a text that is no YAML at all is a finding, not the end of the page", async () => {
  const field = page.getByLabel("Description of the lamp as text")
  await field.fill("lampwright: 1\nname: [unclosed\n  x: }")
  await page.getByRole("button", { name: "Recompute" }).first().click()
  await page.locator(".text-findings li", { hasText: "line" }).first().waitFor({ timeout: patience })
  expect(await page.locator("h1").textContent()).toBe("Tern rear lamp")
})

test("a value is stepped in its field, beside its help, and only that value changes in the text", async () => {
  const field = page.getByLabel("Description of the lamp as text")
  await field.fill(tern)
  await page.getByRole("tab", { name: "Description", exact: true }).click()
  await page.locator(".short-head", { hasText: "left → sweep left" }).click()
  await page.getByLabel("sweep, within: less").click()
  const within = page.getByLabel("sweep, within", { exact: true })
  await expect.poll(() => within.inputValue(), { timeout: patience }).toBe("170 ms")
  await within.press("ArrowDown")
  await expect.poll(() => within.inputValue(), { timeout: patience }).toBe("160 ms")
  await page.getByText("From the first LED to the last: a time, or a share").waitFor()
  await page.getByRole("tab", { name: "Text", exact: true }).click()
  expect(await field.inputValue()).toBe(tern.replace("within: 180 ms", "within: 160 ms"))
})

test("what the electrical side makes of a change is there long before its boards", async () => {
  // A wider groove: every board is laid anew, which takes a while.
  const field = page.getByLabel("Description of the lamp as text")
  const before = await field.inputValue()
  await field.fill(before.replace("tip: 0.2 mm", "tip: 0.21 mm"))
  expect(await field.inputValue()).not.toBe(before)
  // All in one look: beam, rules and how the LEDs sit are there beside the drive, and nothing of the boards.
  await page.waitForFunction(
    () => {
      const told = (room: string) => document.querySelectorAll(`.margin[data-code^="${room}."]`).length
      return (
        document.querySelector(".margins-early") !== null &&
        told("drive") > 10 &&
        told("light") > 10 &&
        told("fit") > 3 &&
        told("board") === 0
      )
    },
    undefined,
    { timeout: patience },
  )
  await page.getByRole("progressbar").waitFor()
  await field.press("Control+z")
  expect(await field.inputValue()).toBe(before)
})

test("undo and redo go over fields and text alike, by button and by key", async () => {
  const field = page.getByLabel("Description of the lamp as text")
  await page.getByRole("button", { name: "Undo sweep, within" }).click()
  expect(await field.inputValue()).toBe(tern)
  await page.getByRole("button", { name: "Redo sweep, within" }).click()
  expect(await field.inputValue()).toContain("within: 160 ms")
  await field.press("Control+z")
  expect(await field.inputValue()).toBe(tern)
  await field.press("Control+Shift+z")
  expect(await field.inputValue()).toContain("within: 160 ms")
})

test("a value with a wrong unit is told at its field", async () => {
  await page.getByRole("tab", { name: "Description", exact: true }).click()
  await page.locator(".short-head", { hasText: "battery" }).click()
  await page.getByLabel("lowest", { exact: true }).fill("9 A")
  await page.getByLabel("lowest", { exact: true }).press("Enter")
  const fault = page.locator('[data-field="vehicle.supply.lowest"] .field-fault')
  await fault.waitFor({ timeout: patience })
  expect(await fault.textContent()).toMatch(/9 A.*current.*voltage/)
  expect(
    await page.getByRole("tab", { name: "Description", exact: true }).getAttribute("aria-selected"),
  ).toBe("true")
  expect(await nameless(page)).toEqual([])
  await page.keyboard.press("Control+z")
  await fault.waitFor({ state: "detached", timeout: patience })
})

test("two tabs notice each other, and neither loses its text", async () => {
  const other = await app.browser.newPage()
  await other.goto(app.served.url)
  await other.getByRole("tab", { name: "Text", exact: true }).click()
  const there = other.getByLabel("Description of the lamp as text")
  await there.fill(`# from the other tab\n${tern}`)
  await page.getByText("is being changed in another tab").waitFor()
  await page.getByRole("tab", { name: "Text", exact: true }).click()
  const here = page.getByLabel("Description of the lamp as text")
  expect(await here.inputValue()).not.toContain("other tab")
  await here.fill(`# from this tab\n${tern}`)
  await other.close()
  const third = await app.browser.newPage()
  await third.goto(app.served.url)
  await third.getByRole("tab", { name: "Text", exact: true }).click()
  const found = third.getByLabel("Description of the lamp as text")
  expect(await found.inputValue()).toContain("# from this tab")
  await third.getByRole("button", { name: "Take that text" }).click()
  expect(await found.inputValue()).toContain("# from the other tab")
  await third.getByRole("button", { name: "Undo taking the other text" }).click()
  await third.close()
  await page.getByRole("button", { name: "Keep this one" }).click()
})

test("a browser that refuses storage is told of, and the text stands", async () => {
  await page.evaluate(() => {
    const set = Storage.prototype.setItem
    Storage.prototype.setItem = () => {
      Storage.prototype.setItem = set
      throw new DOMException("full", "QuotaExceededError")
    }
  })
  const field = page.getByLabel("Description of the lamp as text")
  await field.fill(`# kept nowhere\n${tern}`)
  await page.getByText("This browser keeps no copy").waitFor()
  await field.fill("lampwright: 1\nname: [unclosed\n  x: }")
  expect(await page.getByText("This browser keeps no copy").count()).toBe(0)
})

test("edits survive closing the page, and the demo can be had back", async () => {
  await page.reload()
  await page.getByRole("tab", { name: "Text", exact: true }).click()
  const field = page.getByLabel("Description of the lamp as text")
  expect(await field.inputValue()).toContain("[unclosed")
  await page.getByRole("button", { name: "Back to the demo lamp" }).click()
  expect(await field.inputValue()).toContain("name: Tern rear lamp")
})

test("the browser had nothing to complain about, and nothing left this machine", () => {
  expect(app.complaints).toEqual([])
})
