import { expect, test } from "vitest"
import type { Finding, Where } from "../../../0-ground/finding.ts"
import type { Look } from "../look-at.ts"
import { concerning } from "./concerns.ts"

const finding = (title: string, where: Partial<Where>) =>
  ({ code: "x.y", severity: "green", title, advice: "", where: { text: "", ...where } }) as Finding

const look = {
  thing: { kind: "led", name: "tail-1" },
  leds: ["tail-1"],
  parts: ["tail-1", "R3"],
  nets: ["tail-a"],
  strings: ["tail-string-1"],
  groups: ["tail"],
  wires: ["brake"],
} as unknown as Look

test("what speaks of the LED itself comes before its string, net, group and wire", () => {
  const all = [
    finding("wire", { wire: "brake" }),
    finding("group", { group: "tail" }),
    finding("net", { net: "earth, tail-a" }),
    finding("string", { text: "tail-string-1" }),
    finding("resistor", { part: "R3" }),
    finding("itself", { part: "tail-1, tail-2" }),
    finding("another", { part: "tail-12", text: "tail-12", group: "sweep" }),
  ]
  expect(concerning(all, look).map((f) => f.title)).toEqual([
    "itself",
    "resistor",
    "string",
    "net",
    "group",
    "wire",
  ])
})

test("within one rank the thinnest stays first, and a longer name is another thing", () => {
  const all = [
    finding("thin", { group: "tail" }),
    finding("thick", { group: "tail" }),
    finding("other", { text: "LED tail-12 of the stop lamp" }),
  ]
  expect(concerning(all, look).map((f) => f.title)).toEqual(["thin", "thick"])
})
