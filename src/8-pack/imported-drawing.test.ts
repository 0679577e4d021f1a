// A drawing from anywhere may carry scripts, handlers and addresses. None of it reaches a page or a drawing of the pack.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"
import { finish } from "../0-ground/progress.ts"
import { readLamp } from "../2-lamp/read-lamp.ts"
import { designLamp } from "../design-lamp.ts"
import { packLamp } from "./pack-lamp.ts"

const marker = readFileSync(join(import.meta.dirname, "../../examples/marker/marker.yaml"), "utf8")
const described = marker.replace(
  /plate:\n {4}outline:[\s\S]*?\n {4}metal/,
  'plate:\n    drawing: "face.svg#plate"\n    metal',
)
const evil = `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="60mm" height="24mm" viewBox="0 0 60 24" onload="alert(1)">
  <script>alert(2)</script>
  <style>@import url(http://evil.example/x.css); path { fill: url(http://evil.example/y) }</style>
  <title>"&gt;&lt;script&gt;alert(3)&lt;/script&gt;</title>
  <a xlink:href="javascript:alert(4)"><text x="3" y="3">press me</text></a>
  <foreignObject><iframe xmlns="http://www.w3.org/1999/xhtml" src="http://evil.example/"/></foreignObject>
  <image href="http://evil.example/pixel.png" width="1" height="1"/>
  <g id="plate" onclick="alert(5)">
    <path d="M0 0H60V24H0Z" onmouseover="alert(6)" style="background:url(javascript:alert(7))"/>
    ${[12, 24, 36, 48].map((x, i) => `<circle id="&quot;&gt;&lt;img src=x onerror=alert(${i})&gt;" cx="${x}" cy="12" r="2.6" onfocus="alert(8)"/>`).join("\n    ")}
  </g>
</svg>`

/** What a browser would run or fetch, in files that browsers open. */
const live =
  /<script|<img|<iframe|<foreignObject|\son[a-z]+\s*=\s*["']|javascript:|evil\.example|@import|<!ENTITY/i

test("the checks below would see what is asked for", () => expect(evil).toMatch(live))

test("nothing a drawing carries beside its shapes reaches the pack", () => {
  expect(described).toContain("face.svg#plate")
  const design = finish(designLamp(described, () => evil.replace(/ id="&quot;[^"]*"/g, "")))
  if (!design.lamp) throw new Error(JSON.stringify(design.findings.map((f) => f.title)))
  expect(design.lamp.faces[0]!.ledHoles).toHaveLength(4)
  for (const { path, text } of packLamp(design).files)
    if (/\.(html|svg)$/.test(path)) expect(text, path).not.toMatch(live)
})

test("ids that are markup are refused or escaped, never passed on", () => {
  const { lamp, findings } = readLamp(described, () => evil)
  expect(lamp !== undefined || findings.some((f) => f.severity === "red")).toBe(true)
  const design = finish(designLamp(described, () => evil))
  if (!design.lamp) return
  for (const { path, text } of packLamp(design).files)
    if (/\.(html|svg)$/.test(path)) expect(text, path).not.toMatch(live)
})
