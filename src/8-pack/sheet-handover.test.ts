import { beforeAll, describe, expect, test } from "vitest"
import { designMarker, designTern } from "../../tests/tern.ts"
import type { PackInput } from "./artefact.ts"
import { mechanicPage, ownerPage } from "./sheet-handover.ts"
import { spareLines, spares, sparesPart } from "./sheet-spares.ts"
import { crimpFor } from "./wiring-list.ts"

let tern: PackInput
let marker: PackInput
beforeAll(() => {
  tern = designTern()
  marker = designMarker()
})

const rows = (html: string) =>
  [...html.matchAll(/<tr>(.*?)<\/tr>/g)].map((m) => m[1]!.replace(/<[^>]+>/g, "|"))

describe("the owner's page", () => {
  test("names every changed light, every fuse and how to disconnect", () => {
    const page = ownerPage(tern)
    for (const g of tern.lamp.groups) expect(page).toContain(`${g.name}: ${g.leds.length} LEDs`)
    for (const w of tern.lamp.vehicle.wires)
      if (w.role !== "earth" && w.fuse !== undefined)
        expect(rows(page).some((r) => r.includes(w.name) && r.includes(`${w.fuse} A`))).toBe(true)
    expect(page).toContain("disconnect the battery (minus first)")
    expect(page).toContain("not type-approved")
    expect(page).toContain("local law decides")
  })

  test("tells how many LEDs go dark together, from the strings of the circuit", () => {
    const most = Math.max(
      ...tern.circuit.strings.filter((s) => s.group === "tail-stop").map((s) => s.leds.length),
    )
    expect(rows(ownerPage(tern)).some((r) => r.includes(`to ${most} LEDs of tail-stop dark`))).toBe(true)
  })

  test("a failed controller is told only where there is one", () => {
    expect(ownerPage(tern)).toContain("the controller has failed")
    expect(ownerPage(marker)).not.toContain("controller")
  })
})

test("the mechanic's page has wires, circuit, programme as written, pins and build", () => {
  const page = mechanicPage(tern)
  expect(page).toContain('<svg class="wide across"')
  expect(page).toContain("programme:")
  expect(page).toContain(tern.firmware!.buildId)
  for (const pin of Object.values(tern.firmware!.pinOf)) expect(page).toContain(`>${pin}<`)
  // The programme ends where the next key begins.
  expect(page).not.toContain("copper-clad:")
  expect(mechanicPage(marker)).toContain("there is no controller")
  expect(page).toContain("power comes on, or the controller starts anew, in the middle of a flash")
  expect(page).toContain("a short sweep of 85 ms")
  expect(mechanicPage(marker)).not.toContain("What the switched groups do")
})

test("spares are counted over all boards, and every line says what may be taken instead", () => {
  const lines = spareLines(tern)
  const fitted = lines.reduce((sum, l) => sum + l.fitted, 0)
  expect(fitted).toBe(tern.circuit.parts.length)
  for (const l of lines) {
    expect(l.spare).toBeGreaterThanOrEqual(1)
    expect(l.instead).not.toBe("")
  }
  expect([
    spares("led", 22),
    spares("led", 4),
    spares("small", 3),
    spares("small", 24),
    spares("chip", 2),
  ]).toEqual([3, 2, 1, 3, 1])
  expect(sparesPart(tern)).toContain("none: the firmware is made for it")
})

test("crimp terminals follow the conductor's size", () => {
  expect(crimpFor(0.35)).toContain("solder")
  expect(crimpFor(0.75)).toContain("red")
  expect(crimpFor(2.5)).toContain("blue")
  expect(crimpFor(6)).toContain("yellow")
  expect(crimpFor(undefined)).toBe("")
})
