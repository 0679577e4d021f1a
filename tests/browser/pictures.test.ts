// What a screenshot of each view shows, told by structure: which things are drawn and about where, in hundredths of the
// window, beside pictures.txt. Not a pixel is compared, so another font or renderer changes nothing; a thing that is
// gone, new, or has gone elsewhere does. LAMPWRIGHT_PICTURES=write takes what is there now as right.

import { readFileSync, writeFileSync } from "node:fs"
import { join } from "node:path"
import { afterAll, beforeAll, expect, test } from "vitest"
import { installed, judged, notInstalled, type Opened, openApp, patience } from "./open-app.testing.ts"

const file = join(import.meta.dirname, "pictures.txt")
const views = ["Face", "Drive", "Board", "Cut", "Beam", "Fit", "Wiring"] as const
/** A thing may stand so many hundredths of the window elsewhere: letters differ from machine to machine. */
const near = 4

let app: Opened

beforeAll(async () => {
  if (!installed) return
  app = await openApp({ width: 1440, height: 860 })
  // With reduced motion asked for, nothing plays by itself.
  await judged(app.page)
}, patience + 120_000)
afterAll(() => app?.close())

type Box = readonly number[]

/** Kinds of things in the window, by tag and class, each with the box round all of them. */
const seen = (): Promise<Record<string, Box>> =>
  app.page.evaluate(() => {
    const kinds = "header,main,aside,section,nav,footer,table,canvas,svg,svg *"
    const out: Record<string, number[]> = {}
    for (const element of document.querySelectorAll(kinds)) {
      const name = element.getAttribute("class")?.split(" ")[0]
      if (!name || element.closest("button, defs, li")) continue
      const { left, top, right, bottom } = element.getBoundingClientRect()
      if (right <= 0 || bottom <= 0 || left >= innerWidth || top >= innerHeight) continue
      if (right - left === 0 && bottom - top === 0) continue
      const key = `${element.tagName.toLowerCase()}.${name}`
      const box = [left / innerWidth, top / innerHeight, right / innerWidth, bottom / innerHeight].map((v) =>
        Math.round(100 * Math.min(1, Math.max(0, v))),
      )
      const was = out[key]
      out[key] = was
        ? [
            Math.min(was[0]!, box[0]!),
            Math.min(was[1]!, box[1]!),
            Math.max(was[2]!, box[2]!),
            Math.max(was[3]!, box[3]!),
          ]
        : box
    }
    return out
  })

const written = (view: string, things: Readonly<Record<string, Box>>): string =>
  Object.entries(things)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(
      ([name, box]) => `${view.padEnd(8)}${name.padEnd(40)}${box.map((v) => String(v).padStart(4)).join("")}`,
    )
    .join("\n")

test("every view shows what it showed, where it showed it", async (context) => {
  if (!installed) return context.skip(notInstalled)
  const { page } = app
  const told: string[] = []
  const faults: string[] = []
  const known = new Map<string, Map<string, number[]>>()
  const isWriting = process.env.LAMPWRIGHT_PICTURES === "write"
  for (const line of isWriting ? [] : readFileSync(file, "utf8").trim().split("\n")) {
    const [view = "", name = "", ...box] = line.split(/\s+/)
    if (!known.has(view)) known.set(view, new Map())
    known.get(view)!.set(name, box.map(Number))
  }
  for (const view of views) {
    await page.locator(`#bench-tab-${view.toLowerCase()}`).click()
    const panel = page.locator(`#bench-panel-${view.toLowerCase()}`)
    await panel.waitFor()
    await panel.getByText("Loading…", { exact: true }).waitFor({ state: "detached" })
    // Two looks alike: whatever came with the view stands where it stays.
    let things = await seen()
    for (let before = ""; before !== written(view, things); ) {
      before = written(view, things)
      await page.waitForTimeout(300)
      things = await seen()
    }
    told.push(written(view, things))
    const was = known.get(view) ?? new Map<string, number[]>()
    for (const [name, box] of was) {
      const now = things[name]
      if (!now) faults.push(`${view}: ${name} is gone`)
      else if (now.some((v, i) => Math.abs(v - box[i]!) > near))
        faults.push(`${view}: ${name} stood at ${box}, stands at ${now}`)
    }
    for (const name of Object.keys(things)) if (!was.has(name)) faults.push(`${view}: ${name} is new`)
  }
  if (isWriting) return writeFileSync(file, `${told.join("\n")}\n`)
  expect(faults).toEqual([])
})
