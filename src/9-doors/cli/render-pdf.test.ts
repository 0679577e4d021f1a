// The PDF is read back from its own bytes: every drill hole must lie where the board has it, at true size.
// Operators after ISO 32000-1, 8.2 to 8.5: q Q cm m l c h; a circle is curves whose ends lie evenly around it.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { inflateSync } from "node:zlib"
import { beforeAll, describe, expect, test } from "vitest"
import { finish } from "../../0-ground/progress.ts"
import { packLamp, sheetDocument } from "../../8-pack/pack-lamp.ts"
import { designLamp, type LampDesign } from "../../design-lamp.ts"
import { renderPdf } from "./render-pdf.ts"

const pointsPerMm = 72 / 25.4

interface Disc {
  /** From the page's lower left corner, mm. */
  readonly x: number
  readonly y: number
  readonly diameter: number
}

type Matrix = readonly [number, number, number, number, number, number]
const times = (m: Matrix, n: Matrix): Matrix => [
  m[0] * n[0] + m[1] * n[2],
  m[0] * n[1] + m[1] * n[3],
  m[2] * n[0] + m[3] * n[2],
  m[2] * n[1] + m[3] * n[3],
  m[4] * n[0] + m[5] * n[2] + n[4],
  m[4] * n[1] + m[5] * n[3] + n[5],
]

/** Content streams in the order they stand in the file. */
function contents(pdf: Uint8Array): string[] {
  const text = Buffer.from(pdf).toString("latin1")
  return [...text.matchAll(/<<([^>]*(?:>(?!>)[^>]*)*)>>\s*stream\r?\n/g)].flatMap((m) => {
    const from = m.index + m[0].length
    const bytes = pdf.subarray(from, text.indexOf("endstream", from))
    try {
      const plain = m[1]!.includes("FlateDecode") ? inflateSync(bytes) : Buffer.from(bytes)
      return [plain.toString("latin1")]
    } catch {
      return []
    }
  })
}

/** Closed paths of curves only, whose ends keep one distance from their middle, mm on the page. */
function discs(content: string): Disc[] {
  const out: Disc[] = []
  let now: Matrix = [1, 0, 0, 1, 0, 0]
  const saved: Matrix[] = []
  let path: [number, number][] = []
  let curves = 0
  let numbers: number[] = []
  const at = (x: number, y: number): [number, number] => [
    (x * now[0] + y * now[2] + now[4]) / pointsPerMm,
    (x * now[1] + y * now[3] + now[5]) / pointsPerMm,
  ]
  for (const token of content.split(/\s+/)) {
    if (/^[-+]?(\d+\.?\d*|\.\d+)$/.test(token)) {
      numbers.push(Number(token))
      continue
    }
    const n = numbers
    if (token === "q") saved.push(now)
    else if (token === "Q") now = saved.pop() ?? now
    else if (token === "cm") now = times(n.slice(-6) as unknown as Matrix, now)
    else if (token === "m") {
      path = [at(n[0]!, n[1]!)]
      curves = 0
    } else if (token === "l") path.push(at(n[0]!, n[1]!))
    else if (token === "c") {
      path.push(at(n[4]!, n[5]!))
      curves++
    } else if (token === "h" && curves >= 4 && path.length === curves + 1) {
      const ends = path.slice(1)
      const mean = (k: 0 | 1) => ends.reduce((sum, p) => sum + p[k], 0) / ends.length
      const [x, y] = [mean(0), mean(1)]
      const radii = ends.map((p) => Math.hypot(p[0] - x, p[1] - y))
      if (Math.max(...radii) - Math.min(...radii) < 0.005) out.push({ x, y, diameter: 2 * radii[0]! })
    }
    numbers = []
  }
  return out
}

let design: LampDesign
let html = ""
beforeAll(() => {
  const text = readFileSync(join(import.meta.dirname, "../../../examples/marker/marker.yaml"), "utf8")
  const made = finish(designLamp(text, () => undefined))
  if (!made.lamp) throw new Error("unreadable")
  design = made
  html = packLamp(design).files.find((f) => f.path === "build-sheet.html")!.text
})

describe.each(["A4", "LETTER"] as const)("on %s", (paper) => {
  let pdf: Uint8Array
  beforeAll(async () => {
    pdf = await renderPdf(sheetDocument(html, "Marker", ""), paper)
  })

  test("drill pattern is true to 0.01 mm, measured in the page's own coordinates", () => {
    const [board] = design.boards.boards
    const holes = [
      ...board!.lands.map((l) => ({ x: l.x, y: l.y, diameter: l.hole })),
      ...board!.screws.map((s) => ({ x: s.x, y: s.y, diameter: s.diameter })),
    ]
    const page = contents(pdf)
      .map(discs)
      .find((found) => matches(found, holes))
    expect(page).toBeDefined()
  })

  test("the same sheet gives the same bytes", async () => {
    expect(await renderPdf(sheetDocument(html, "Marker", ""), paper)).toEqual(pdf)
  })
})

/** Every hole has its disc at one common shift of the page, and its diameter, within 0.01 mm. */
function matches(found: readonly Disc[], holes: readonly Disc[]): boolean {
  const first = holes[0]!
  return found.some((d) => {
    const [dx, dy] = [d.x - first.x, d.y - first.y]
    const near = (a: number, b: number) => Math.abs(a - b) <= 0.01
    return holes.every((h) =>
      found.some((f) => near(f.x - dx, h.x) && near(f.y - dy, h.y) && near(f.diameter, h.diameter)),
    )
  })
}

test("a warning stands at the head, and the reader would notice a sheet printed 0.1 % too large", async () => {
  const document = sheetDocument(html, "Marker", "DO NOT CUT")
  const spoiled = { ...document, content: JSON.parse(JSON.stringify(document.content)) }
  const enlarge = (b: { svg?: string; width: number; height: number; stack?: unknown[] }) => {
    if (b.svg) {
      b.width *= 1.001
      b.height *= 1.001
      b.svg = b.svg.replace(/width="[\d.]+" height="[\d.]+"/, `width="${b.width}" height="${b.height}"`)
    }
    for (const inner of b.stack ?? []) enlarge(inner as typeof b)
  }
  spoiled.content.forEach(enlarge)
  const pdf = await renderPdf(spoiled, "A4")
  const [board] = design.boards.boards
  const holes = board!.lands.map((l) => ({ x: l.x, y: l.y, diameter: l.hole }))
  expect(
    contents(pdf)
      .map(discs)
      .some((found) => matches(found, holes)),
  ).toBe(false)
})
