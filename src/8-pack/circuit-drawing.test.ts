import { SaxesParser } from "saxes"
import { describe, expect, test } from "vitest"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import { designDrive } from "../3-drive/design-drive.ts"
import { line, marker, tern } from "../3-drive/fixtures.testing.ts"
import { randomLamp } from "../3-drive/random-lamps.testing.ts"
import { circuitPages, circuitSvg } from "./circuit-drawing.ts"

/** Two wires light it fully: the relay's coil hangs on both. */
const twoStops: Lamp = {
  ...tern,
  programme: [...tern.programme, line(["plus"], "tail-stop")],
  pins: { "drive.tail-stop.way": "rail-relay" },
}

type Segment = readonly [number, number, number, number]

function read(svg: string): { wires: Segment[]; texts: string[] } {
  const wires: Segment[] = []
  const texts: string[] = []
  const parser = new SaxesParser()
  parser.on("opentag", (tag) => {
    const { class: kind, d } = tag.attributes as Record<string, string>
    if (kind !== "wire") return
    const [a, b, c, e] = d!.match(/-?[\d.]+/g)!.map(Number)
    wires.push([a!, b!, c!, e!])
  })
  parser.on("text", (t) => {
    if (t.trim()) texts.push(t)
  })
  parser.on("error", (e) => {
    throw e
  })
  parser.write(svg).close()
  return { wires, texts }
}

/** Insides of a level and an upright conductor that pass through each other. */
const crosses = ([ax, ay, bx, by]: Segment, [cx, cy, dx, dy]: Segment) => {
  const inside = (v: number, p: number, q: number) => v > Math.min(p, q) + 1e-6 && v < Math.max(p, q) - 1e-6
  const level = (a: number, b: number) => Math.abs(a - b) < 1e-9
  return level(ay, by) && level(cx, dx) && inside(cx, ax, bx) && inside(ay, cy, dy)
}

describe.each([
  ["the rear lamp", designDrive(tern)],
  ["the marker", designDrive(marker)],
  ["pulses held by hand", designDrive({ ...tern, pins: { "drive.tail-stop.way": "pwm" } })],
  ["sinks held by hand", designDrive({ ...marker, pins: { "drive.marker.way": "current-sinks" } })],
  ["a rail held by hand", designDrive({ ...marker, pins: { "drive.marker.way": "regulated-rail" } })],
  [
    "a switched rail held by hand",
    designDrive({ ...tern, pins: { "drive.tail-stop.way": "rail-switched" } }),
  ],
  ["a rail switched by a relay", designDrive({ ...tern, pins: { "drive.tail-stop.way": "rail-relay" } })],
  ["a relay behind two wires", designDrive(twoStops)],
  [
    "sinks and a rail behind the controller",
    designDrive({
      ...tern,
      pins: { "drive.sweep-left.way": "current-sinks", "drive.sweep-right.way": "regulated-rail" },
    }),
  ],
  ["a random lamp", designDrive(randomLamp(41))],
  ["another random lamp", designDrive(randomLamp(7))],
] as readonly (readonly [string, Circuit])[])("%s", (name, circuit) => {
  const { wires, texts } = read(circuitSvg(name, circuit))
  test("no two conductors cross", () => {
    expect(wires.length).toBeGreaterThan(circuit.parts.length)
    const found = wires.flatMap((a) => wires.filter((b) => crosses(a, b)).map((b) => `${a} and ${b}`))
    expect(found).toEqual([])
  })
  test("no two conductors run on top of each other, and none through a chip", () => {
    const upright = wires.filter(([ax, , bx]) => Math.abs(ax - bx) < 1e-9)
    const found = upright.flatMap((a, i) =>
      upright
        .slice(i + 1)
        .filter((b) => Math.abs(a[0] - b[0]) < 1e-6)
        .filter(
          (b) =>
            Math.min(Math.max(a[1], a[3]), Math.max(b[1], b[3])) -
              Math.max(Math.min(a[1], a[3]), Math.min(b[1], b[3])) >
            0.01,
        )
        .map((b) => `${a} and ${b}`),
    )
    // A diode's own line runs through its triangle beside its leads.
    expect(found).toEqual([])
  })
  test("every part but the LEDs is drawn once", () => {
    for (const p of circuit.parts.filter((x) => x.kind !== "led")) {
      const own = texts.filter((t) => t === p.ref || t.startsWith(`${p.ref} `))
      expect(own, p.ref).toHaveLength(1)
    }
  })
  test("every part has its symbol: nothing is left as a box with names", () => {
    expect(texts).not.toContain("Beside them")
  })
  test("every part and every net of more than a string is named", () => {
    const all = texts.join("\n")
    for (const p of circuit.parts.filter((x) => x.kind !== "led")) expect(all).toContain(p.ref)
    expect(texts.filter((t) => t.startsWith("LED "))).toHaveLength(
      circuit.parts.filter((p) => p.kind === "led").length,
    )
    for (const n of circuit.nets.filter((x) => x.wire !== undefined && x.name !== circuit.earth))
      expect(texts).toContain(n.name)
  })
})

test("a lamp that must not be cut says so on its circuit, and odd names do no harm", () => {
  const svg = circuitSvg('<&"', designDrive(marker), "DO NOT CUT")
  expect(read(svg).texts.join()).toContain("DO NOT CUT")
  expect(svg).toBe(circuitSvg('<&"', designDrive(marker), "DO NOT CUT"))
})

test("on pages every mark of the one sheet stands once, and lies within its page", () => {
  for (const lamp of [tern, marker]) {
    const circuit = designDrive(lamp)
    const marks = (svg: string) => svg.match(/^<(path|circle|text)[^\n]*$/gm) ?? []
    const pages = circuitPages("Tern", circuit, undefined, 190)
    expect(pages.flatMap(marks).sort()).toEqual(
      [...marks(circuitSvg("Tern", circuit, undefined, {}))]
        .sort()
        .map((m) =>
          m.replace(
            "Pins, sections and the order of LEDs are as built.",
            "Pins, sections and the order of LEDs are free until the boards are made.",
          ),
        ),
    )
    for (const page of pages) {
      const [, top, height] = /viewBox="0 (\S+) 300 (\S+)"/.exec(page)!.map(Number)
      for (const { 1: y } of page.matchAll(/ y="([\d.]+)"/g)) {
        expect(Number(y)).toBeGreaterThanOrEqual(top!)
        expect(Number(y)).toBeLessThanOrEqual(top! + height!)
      }
    }
  }
  expect(circuitPages("Tern", designDrive(tern), undefined, 190).length).toBeGreaterThan(1)
})
