// Text colours against their grounds, in both themes.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"

const css = readFileSync(join(import.meta.dirname, "tokens.css"), "utf8")
const dark = css.slice(css.indexOf("prefers-color-scheme: dark"))
const read = (text: string) =>
  Object.fromEntries([...text.matchAll(/--([\w-]+): (#[0-9a-f]{6});/g)].map(([, n, c]) => [n, c]))
const light = read(css.slice(0, css.length - dark.length))
const themes: Record<string, Record<string, string>> = { light, dark: { ...light, ...read(dark) } }

// WCAG 2.2, definitions of relative luminance and contrast ratio (from memory, H).
function luminance(colour: string): number {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const c = Number.parseInt(colour.slice(i, i + 2), 16) / 255
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4
  }) as [number, number, number]
  return 0.2126 * r + 0.7152 * g + 0.0722 * b
}
const contrast = (a: string, b: string) => {
  const [x, y] = [luminance(a), luminance(b)]
  return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05)
}

test("the formula gives 21 for black on white and 1 for a colour on itself", () => {
  expect(contrast("#000000", "#ffffff")).toBeCloseTo(21, 6)
  expect(contrast("#b5703c", "#b5703c")).toBe(1)
})

const onPaper = ["ink", "ink-soft", "teal", "red-text", "amber-text", "green-text"]

for (const [name, theme] of Object.entries(themes)) {
  const colour = (token: string) => theme[token] ?? expect.fail(`no token --${token}`)
  for (const text of onPaper)
    for (const ground of ["paper", "paper-high"])
      test(`${name}: ${text} on ${ground} reaches 4.5 to 1`, () => {
        expect(contrast(colour(text), colour(ground))).toBeGreaterThanOrEqual(4.5)
      })
  for (const [text, ground] of [
    ["bench-ink", "bench-high"],
    ["bench-soft", "bench-high"],
    ["bench-teal", "bench-high"],
    ["on-action", "action"],
    ["on-teal", "teal"],
  ] as const)
    test(`${name}: ${text} on ${ground} reaches 4.5 to 1`, () => {
      expect(contrast(colour(text), colour(ground))).toBeGreaterThanOrEqual(4.5)
    })
}
