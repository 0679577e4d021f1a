import { expect, test } from "vitest"
import { letterWidth, placeLabels } from "./place-labels.ts"

const size = 1.5
const sheet = { minX: 0, minY: 0, maxX: 80, maxY: 50 }
const pads = (pitch: number) =>
  Array.from({ length: 8 }, (_, i) => ({
    text: `channel-${i}`,
    at: { x: 20 + i * pitch, y: 25 },
    halfWidth: 1.1,
    halfHeight: 1.1,
  }))
const taken = (pitch: number) =>
  pads(pitch).map(({ at }) => ({ minX: at.x - 1.1, minY: at.y - 1.1, maxX: at.x + 1.1, maxY: at.y + 1.1 }))

const boxes = (pitch: number) =>
  placeLabels(pads(pitch), taken(pitch), sheet, size).map((m) => {
    if (m.kind !== "text") throw new Error("not a text")
    const long = m.text.length * size * letterWidth
    const [w, h] = m.turn === 90 ? [size, long] : [long, size]
    return { minX: m.x - w / 2, maxX: m.x + w / 2, minY: m.y - h / 2, maxY: m.y + h / 2 }
  })
const apart = (a: ReturnType<typeof boxes>[number], b: typeof a) =>
  a.maxX <= b.minX + 1e-9 || b.maxX <= a.minX + 1e-9 || a.maxY <= b.minY + 1e-9 || b.maxY <= a.minY + 1e-9

for (const pitch of [3, 5, 9])
  test(`names in a row at ${pitch} mm keep clear of each other and of every pad`, () => {
    const all = [...boxes(pitch), ...taken(pitch)]
    for (let i = 0; i < all.length; i++)
      for (let j = i + 1; j < all.length; j++) expect(apart(all[i]!, all[j]!)).toBe(true)
  })

test("a name at the sheet's edge stays on the sheet", () => {
  const [mark] = placeLabels(
    [{ text: "sweep-right-feed", at: { x: 1.5, y: 25 }, halfWidth: 1, halfHeight: 1 }],
    [],
    sheet,
    size,
  )
  if (mark?.kind !== "text") throw new Error("not a text")
  const half = (mark.text.length * size * letterWidth) / 2
  const [w, h] = mark.turn === 90 ? [size / 2, half] : [half, size / 2]
  expect(mark.x - w).toBeGreaterThanOrEqual(0)
  expect(mark.y + h).toBeLessThanOrEqual(50)
})
