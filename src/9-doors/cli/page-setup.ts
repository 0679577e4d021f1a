// How the build sheet looks as a PDF: the print style of the HTML sheet once more, for the page setter.

import { columnGap, type SheetDocument } from "../../8-pack/pack-lamp.ts"

const ink = "#1c2529"
const red = "#c0281c"
/** 12 mm, as the HTML's print margins. */
const margin = 34

export type Paper = "A4" | "LETTER"

/** The definition the page setter takes. The date is fixed: the same lamp gives the same bytes. */
export function pageSetup({ title, warning, content }: SheetDocument, paper: Paper) {
  return {
    pageSize: paper,
    pageMargins: [margin, warning === "" ? margin : margin + 14, margin, margin + 6] as [
      number,
      number,
      number,
      number,
    ],
    info: {
      title,
      creator: "Lampwright",
      producer: "Lampwright",
      creationDate: new Date(Date.UTC(1980, 0, 1)),
    },
    content,
    header:
      warning === ""
        ? undefined
        : { text: warning, color: red, bold: true, fontSize: 12, alignment: "center", margin: [0, 16, 0, 0] },
    footer: (page: number, pages: number) => ({
      columns: [
        { text: title, fontSize: 7.5, color: "#5d5a50" },
        { text: `${page} of ${pages}`, alignment: "right", fontSize: 7.5, color: "#5d5a50" },
      ],
      margin: [margin, 6, margin, 0],
    }),
    defaultStyle: { font: "Roboto", fontSize: 9.5, lineHeight: 1.2, color: ink },
    styles: {
      h1: { fontSize: 19, bold: true, margin: [0, 0, 0, 4] },
      h2: { fontSize: 13, bold: true, margin: [0, 14, 0, 4] },
      h3: { fontSize: 10.5, bold: true, margin: [0, 9, 0, 3] },
      p: { margin: [0, 2, 0, 3] },
      cautions: { margin: [0, 4, 0, 6] },
      figure: { margin: [0, 6, 0, 6] },
      figcaption: { fontSize: 8, margin: [0, 2, 0, 0] },
      verdict: { fontSize: 12, bold: true },
      quiet: { color: "#5d5a50" },
      table: { fontSize: 8, margin: [0, 4, 0, 6] },
      headed: { margin: [0, 4, 0, 4] },
      small: { fontSize: 7 },
      th: { bold: true },
      n: { alignment: "right", noWrap: true },
      code: { fontSize: 7.6 },
      b: { bold: true },
      red: { color: red, bold: true },
      amber: { color: "#8a5a00", bold: true },
      green: { color: "#3c6332" },
    },
  }
}

/** Hair lines between rows, a strong one under the heading. */
export const sheetTable = {
  hLineWidth: (row: number, node: { table: { headerRows?: number; body: unknown[] } }) =>
    row < (node.table.headerRows ?? 0) ? 0 : row === node.table.headerRows ? 0.8 : 0.3,
  vLineWidth: () => 0,
  hLineColor: (row: number, node: { table: { headerRows?: number } }) =>
    row === node.table.headerRows ? ink : "#cfc7b6",
  paddingLeft: () => 0,
  paddingRight: () => columnGap,
  paddingTop: () => 1.6,
  paddingBottom: () => 1.6,
}
