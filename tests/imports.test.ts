// Holds the direction of imports: floors, ways in, proof kept apart, no rings, a pure core.

import { readdirSync, readFileSync } from "node:fs"
import { dirname, join, relative, resolve } from "node:path"
import { expect, test } from "vitest"

const root = resolve(import.meta.dirname, "../src")

/** What each room shows other rooms besides its artefact. */
const waysIn: Record<string, readonly string[]> = {
  "2-lamp": ["read-lamp", "see-drawing"],
  "3-drive": ["design-drive", "draw-circuit"],
  "4-behaviour": ["design-behaviour", "make-image", "make-firmware"],
  "5-board": ["design-boards"],
  "6-copper": ["design-cut", "height-map", "recognise-program", "warp-program"],
  "7-proof": ["prove-lamp", "prove-early", "align-face", "play-lamp", "see-board"],
  "8-pack": ["pack-lamp", "draw", "bring-up/plan-bring-up"],
}

interface Import {
  readonly file: string
  readonly target: string
  readonly typeOnly: boolean
}

const files = (readdirSync(root, { recursive: true }) as string[])
  .map((f) => f.replaceAll("\\", "/"))
  .filter((f) => /\.tsx?$/.test(f) && !/\.(test|testing)\.tsx?$/.test(f))
  .sort()

const imports: Import[] = files.flatMap((file) => {
  const text = readFileSync(join(root, file), "utf8")
  const found: Import[] = []
  const pattern = /^(?:import|export)\s+(type\s)?(?:[^"'`;]*?\sfrom\s+)?["']([^"']+)["']/gm
  for (const [, type, target] of text.matchAll(pattern)) {
    found.push({ file, target: target!, typeOnly: type !== undefined })
  }
  for (const [, target] of text.matchAll(/\bimport\(\s*["']([^"']+)["']\s*\)/g)) {
    found.push({ file, target: target!, typeOnly: false })
  }
  return found
})

/** Floor of a file: its room's digit; `design-lamp.ts` stands between 8 and 9. */
const floor = (file: string) => (/^\d/.test(file) ? Number(file[0]) : 8.5)
const room = (file: string) => (file.includes("/") ? file.slice(0, file.indexOf("/")) : "")
const inside = (i: Import) => {
  if (!i.target.startsWith(".")) return undefined
  return relative(root, resolve(root, dirname(i.file), i.target.replace(/\?.*$/, ""))).replaceAll("\\", "/")
}

function faults(): string[] {
  const out: string[] = []
  for (const i of imports) {
    const say = (why: string) => out.push(`${i.file} imports ${i.target}: ${why}`)
    const target = inside(i)
    if (target === undefined) {
      const core = floor(i.file) < 9
      if (core && i.target.startsWith("node:")) say("rooms below 9 know no files or processes")
      if (core && /^(react|vite|playwright|comlink|zustand)/.test(i.target))
        say("view libraries belong to room 9")
      continue
    }
    if (target.startsWith("..")) {
      if (floor(i.file) < 9 && !/\.json$/.test(target)) say("the core imports nothing outside src")
      continue
    }
    if (floor(target) > floor(i.file)) say("imports point down only")
    if (room(target) === room(i.file)) continue
    const name = target.slice(room(target).length + 1).replace(/\.tsx?$/, "")
    const open = floor(target) <= 1 || room(target) === ""
    const wayIn = name === "artefact" || waysIn[room(target)]?.includes(name)
    if (!open && !wayIn) say("another room is entered by its way in or its artefact only")
    const proof = room(i.file) === "7-proof" && floor(target) >= 2
    if (proof && !(i.typeOnly && name === "artefact")) say("the proof takes types from artefacts only")
  }
  return out
}

test("files were found and read", () => {
  expect(files.length).toBeGreaterThan(20)
  expect(imports.length).toBeGreaterThan(20)
})

test("imports keep the direction of the rooms", () => {
  expect(faults()).toEqual([])
})

const next = new Map<string, string[]>()
for (const i of imports) {
  const target = inside(i)
  if (i.typeOnly || target === undefined || !files.includes(target)) continue
  next.set(i.file, [...(next.get(i.file) ?? []), target])
}

test("the first look loads no code for lots, runs through pulses, boards or cuts", () => {
  const loaded = new Set<string>()
  const load = (file: string) => {
    if (loaded.has(file)) return
    loaded.add(file)
    for (const target of next.get(file) ?? []) load(target)
  }
  load("first-look.ts")
  expect(loaded).toContain("3-drive/draw-circuit.ts")
  const late = /^3-drive\/(monte-carlo|count-lots|judge-pulses|stress-candidate)\.ts$|^[568]-/
  expect([...loaded].filter((f) => late.test(f))).toEqual([])
})

test("no rings of value imports", () => {
  const state = new Map<string, "open" | "done">()
  const rings: string[] = []
  const visit = (file: string, path: readonly string[]) => {
    if (state.get(file) === "done") return
    if (state.get(file) === "open") {
      rings.push([...path.slice(path.indexOf(file)), file].join(" → "))
      return
    }
    state.set(file, "open")
    for (const target of next.get(file) ?? []) visit(target, [...path, file])
    state.set(file, "done")
  }
  for (const file of files) visit(file, [])
  expect(rings).toEqual([])
})

test("no chance and no clock below the doors", () => {
  const guilty = files.filter((f) => {
    if (floor(f) >= 9) return false
    const code = readFileSync(join(root, f), "utf8").replace(/\/\/.*$|\/\*[\s\S]*?\*\//gm, "")
    return /Math\.random|\bDate\b|\bperformance\b|toLocale/.test(code)
  })
  expect(guilty).toEqual([])
})
