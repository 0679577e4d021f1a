import { readFileSync } from "node:fs"
import { expect, test } from "vitest"
import { readLamp } from "../../../2-lamp/read-lamp.ts"
import { namedElements } from "./drawing-ids.ts"

const tern = { "tern-face.svg": readFileSync("examples/tern/tern-face.svg", "utf8") }
const named = (path: string, drawings: Readonly<Record<string, string>>) =>
  namedElements(path, drawings)?.map((e) => `${e.reference} ${e.kind}`)

test("of the Tern's drawing the three faces are offered, none of its holes; each reads as a face", () => {
  const offered = namedElements("faces.crescent.drawing", tern) ?? []
  expect(offered.map((e) => e.reference)).toEqual([
    "tern-face.svg#crescent",
    "tern-face.svg#left",
    "tern-face.svg#right",
  ])
  const text = readFileSync("examples/tern/tern.yaml", "utf8")
  for (const { reference } of offered) {
    const { findings } = readLamp(
      text.replace("tern-face.svg#crescent", reference),
      () => tern["tern-face.svg"],
    )
    expect(findings.filter((f) => f.code === "lamp.drawing-id")).toEqual([])
  }
})

test("an edge may be any closed shape, an order a line; other keys name no drawing", () => {
  const drawings = {
    "b.svg": `<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg" id="all">
      <!-- <path id="gone" d=""/> -->
      <defs><path id="defined" d="M0 0"/></defs>
      <rect id='edge' width="40" height="20"/><circle id="hole" r="2.6"/><circle r="20" id="disc"/>
      <polyline points="0 0 1 > 2" title="a > b" id="line"/><path d="M0 0Z" id="two words"/><path id="edge"/>
      <path data-id="no" d="M0 0"/><text id="words">x</text></svg>`,
    "notes.txt": `<path id="never"/>`,
  }
  expect(named("boards.control.outline", drawings)).toEqual([
    "b.svg#all whole drawing",
    "b.svg#edge rectangle",
    "b.svg#disc circle",
    "b.svg#two words path",
  ])
  expect(named("groups.sweep.order.along", drawings)).toEqual([
    "b.svg#edge rectangle",
    "b.svg#line line",
    "b.svg#two words path",
  ])
  expect(named("faces.plate.drawing", drawings)).toEqual(["b.svg#all whole drawing"])
  expect(named("faces.plate.metal", drawings)).toBeUndefined()
})

test("a broken or a huge drawing takes no time and offers what it has", () => {
  expect(namedElements("faces.a.drawing", { "a.svg": "<svg id='x' <g id=" })).toEqual([])
  const many = `<svg>${Array.from({ length: 50_000 }, (_, i) => `<g id="g${i}">`).join("")}`
  expect(namedElements("faces.a.drawing", { "a.svg": many })?.length).toBe(200)
})
