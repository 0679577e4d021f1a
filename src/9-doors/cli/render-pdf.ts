// The build sheet set on pages, by a library, from files of this machine only.

import { createRequire } from "node:module"
import type { SheetDocument } from "../../8-pack/pack-lamp.ts"
import { type Paper, pageSetup, sheetTable } from "./page-setup.ts"

const require = createRequire(import.meta.url)

/** Same document, same bytes. */
export async function renderPdf(document: SheetDocument, paper: Paper): Promise<Uint8Array> {
  // Loaded when it is needed: no other command sets pages.
  const setter = require("pdfmake")
  const font = (face: string) => require.resolve(`pdfmake/fonts/Roboto/Roboto-${face}.ttf`)
  const fonts = {
    Roboto: {
      normal: font("Regular"),
      bold: font("Medium"),
      italics: font("Italic"),
      bolditalics: font("MediumItalic"),
    },
  }
  const own = new Set(Object.values(fonts.Roboto))
  setter.setFonts(fonts)
  setter.setUrlAccessPolicy(() => false)
  setter.setLocalAccessPolicy((path: string) => own.has(path))
  setter.addTableLayouts({ sheet: sheetTable })
  const bytes: Buffer = await setter.createPdf(pageSetup(document, paper)).getBuffer()
  return new Uint8Array(bytes)
}
