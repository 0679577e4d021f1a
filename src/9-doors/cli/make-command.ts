// lampwright make: the pack on disk, then the verdict, the thinnest margins and where the files are.

import { readdirSync } from "node:fs"
import { join, resolve } from "node:path"
import { type Finding, thinness } from "../../0-ground/finding.ts"
import type { BinaryFile, Pack } from "../../8-pack/artefact.ts"
import { doNotCut, packLamp, sheetDocument } from "../../8-pack/pack-lamp.ts"
import type { LampDesign } from "../../design-lamp.ts"
import { exitCode, listing, summary } from "./check-command.ts"
import { readLampSource } from "./files.ts"
import type { Paper } from "./page-setup.ts"
import { measure } from "./print-findings.ts"
import { Refusal } from "./refusal.ts"
import { renderPdf } from "./render-pdf.ts"
import { runDesign } from "./run-design.ts"
import { putRight, writePack } from "./write-pack.ts"

export interface MakeOptions {
  readonly keepGoing: boolean
  /** With the first whole boards, without the search for better ones. */
  readonly first: boolean
  /** Also the build sheet as a PDF on this paper: a4 or letter. */
  readonly pdf?: string
}

export async function makePack(
  path: string,
  out: string,
  { keepGoing, first, pdf }: MakeOptions,
): Promise<number> {
  const paper = pdf === undefined ? undefined : paperOf(pdf)
  const source = readLampSource(path)
  putRight(resolve(out))
  const { design, times, bringUp } = runDesign(source, { first, bringUp: true })
  if (!design.lamp) {
    process.stderr.write(listing(design.findings, path, source.text))
    process.stderr.write(`${summary(design.findings)} No pack was made.\n`)
    return 1
  }
  const red = design.findings.some((f) => f.severity === "red")
  const withheld = red && !keepGoing
  const pack = packLamp(design, { withhold: withheld, bringUp })
  const sheet = paper === undefined ? [] : [await sheetPdf(pack, design, paper)]
  writePack(out, [...pack.files, ...sheet])

  const say = (line = "") => process.stdout.write(`${line}\n`)
  say(`${design.lamp.name}: ${design.verdict}. ${summary(design.findings)}`)
  say()
  const urgent = design.findings.filter((f) => f.severity !== "green")
  if (urgent.length > 0) process.stdout.write(listing(urgent, path, source.text))
  say("Thinnest margins kept:")
  for (const f of thinnest(design.findings)) say(`  ${f.title} · ${f.where.text} · ${measure(f)}`)
  say()
  const seconds = Object.entries(times).map(([stage, ms]) => `${stage} ${(ms / 1000).toFixed(1)} s`)
  say(
    `Made in ${(Object.values(times).reduce((a, b) => a + b, 0) / 1000).toFixed(1)} s: ${seconds.join(", ")}.`,
  )
  say(
    `Pack: ${out} (${pack.files.length + sheet.length} files). Start with ${join(out, "build-sheet.html")}.`,
  )
  for (const entry of readdirSync(out).sort()) say(`  ${join(out, entry)}`)
  if (withheld)
    say("Cutter programs and firmware were held back: something is red. --keep-going writes them, marked.")
  say()
  say("Wear eye protection, use a fused supply, disconnect the battery before wiring.")
  say("A hand-built lamp is not type-approved; local law and licensed practice decide.")
  return exitCode(true, design.findings)
}

function paperOf(said: string): Paper {
  const paper = said.toUpperCase()
  if (paper === "A4" || paper === "LETTER") return paper
  throw new Refusal(`--pdf takes the paper, a4 or letter, not ${said}`)
}

async function sheetPdf(pack: Pack, { lamp, verdict }: LampDesign, paper: Paper): Promise<BinaryFile> {
  const html = pack.files.find((f) => f.path === "build-sheet.html")!.text
  const warning = verdict === "do not cut" ? doNotCut : ""
  const document = sheetDocument(html, `${lamp.name}: build sheet`, warning)
  return { path: "build-sheet.pdf", bytes: await renderPdf(document, paper) }
}

function thinnest(findings: readonly Finding[]): readonly Finding[] {
  return findings.filter((f) => f.severity === "green" && thinness(f) !== undefined).slice(0, 6)
}
