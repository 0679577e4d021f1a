import { expect, test } from "vitest"
import { type Block, sheetDocument } from "./sheet-document.ts"

const svg = '<svg width="100mm" height="60mm" viewBox="0 0 100 60"><path d="M0 0"/></svg>'
const pages = (body: string) => sheetDocument(`<body>${body}</body>`, "Sheet", "").content
const words = (b: Block | undefined): string => JSON.stringify(b ?? "")

test("a heading comes again over every page of its table, with one row at least", () => {
  const [table, ...rest] = pages(
    "<h3>After: resistors in</h3><table><thead><tr><th>a</th><th>b</th></tr></thead><tbody><tr><td>1</td><td>2</td></tr></tbody></table>",
  )
  expect(rest).toEqual([])
  expect(table).toMatchObject({
    table: {
      headerRows: 2,
      keepWithHeaderRows: 1,
      body: [
        [{ colSpan: 2 }, {}],
        [{}, {}],
        [{}, {}],
      ],
    },
  })
  expect(words(table)).toContain("After: resistors in")
})

test("a heading goes with its figure or short list, and keeps its turn of the page", () => {
  const [figure, list, last] = pages(
    `<h2 class="page">Drill</h2><p>Measure.</p><figure>${svg}</figure><h3>Do</h3><ul><li>one</li></ul><p>End.</p>`,
  )
  expect(figure).toMatchObject({
    unbreakable: true,
    pageBreak: "before",
    stack: [{}, {}, { style: ["figure"] }],
  })
  expect(list).toMatchObject({ unbreakable: true, stack: [{}, { ul: [{}] }] })
  expect(words(last)).toContain("End.")
})

test("a drawing that lies across has such a page, as large as fits, and the next page stands upright", () => {
  const wide = svg.replace("<svg ", '<svg class="wide across" ').replace("100mm", "300mm")
  const [, across, after] = pages(`<p>Before.</p><figure class="across">${wide}</figure><p>After.</p>`)
  expect(across).toMatchObject({ pageBreak: "before", pageOrientation: "landscape" })
  expect(after).toMatchObject({ pageBreak: "before", pageOrientation: "portrait" })
  const drawing = across as unknown as { stack: { width: number }[] }
  // 255 mm between the margins of the narrower paper, in points.
  expect(drawing.stack[0]!.width).toBeCloseTo((255 * 72) / 25.4, 3)
})

test("a step to tick off has a box that the page's font can draw", () => {
  const [list] = pages('<ol><li class="tick">Look.</li></ol>')
  expect(words(list)).toContain("[ ]")
  // Beyond Latin, Greek and the signs of the trade the font has nothing.
  expect(words(list)).not.toMatch(/[\u25a0-\u27bf]/)
})
