import { readFileSync } from "node:fs"
import { expect, test } from "vitest"
import { lookFirst } from "./first-look.ts"

const tern = readFileSync("examples/tern/tern.yaml", "utf8")
const face = readFileSync("examples/tern/tern-face.svg", "utf8")

test("the first look judges drive, light, rules and how LEDs sit, each with its derivation and its line", () => {
  const seen: string[] = []
  const look = lookFirst(
    tern,
    () => face,
    (lamp) => seen.push(lamp.name),
  )
  if (look.lamp === undefined) throw new Error("not read")
  expect(seen).toEqual(["Tern rear lamp"])
  const rooms = new Set(look.findings.map((f) => f.code.split(".")[0]))
  for (const room of ["drive", "light", "fit", "behaviour"]) expect([...rooms]).toContain(room)
  const ids = new Set<string>()
  const walk = (figures: typeof look.figures) => {
    for (const f of figures) {
      ids.add(f.id)
      walk(f.inputs ?? [])
    }
  }
  walk(look.figures)
  for (const f of look.findings)
    if (f.measured && f.limit?.kind !== "exactly") expect(ids.has(f.figure ?? ""), f.title).toBe(true)
  expect(look.findings.filter((f) => f.where.path?.startsWith("vehicle.")).every((f) => f.where.line)).toBe(
    true,
  )
  expect(look.findings.some((f) => f.severity === "red")).toBe(false)
})

test("it follows the description", () => {
  const bright = lookFirst(tern.replace("within: 180 ms", "within: 450 ms"), () => face)
  const usual = lookFirst(tern, () => face)
  const sweep = (l: typeof usual) => l.findings.find((f) => f.code === "behaviour.sweep-end")?.measured?.value
  expect(sweep(bright)).not.toBe(sweep(usual))
})

test("a text that cannot be read is told, not thrown", () => {
  expect(lookFirst("a: [", () => undefined)).toMatchObject({ lamp: undefined, verdict: "do not cut" })
})
