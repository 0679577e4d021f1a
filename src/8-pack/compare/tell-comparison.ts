// A comparison in words, as Markdown: read on the terminal and kept in a history file.

import { show, showNumber } from "../../0-ground/text/show.ts"
import type { Change, Comparison } from "./compare-revisions.ts"
import { isSame } from "./compare-revisions.ts"

/** More changed figures than this are counted, not listed. */
const mostFigures = 30
/** A smaller change is rounding, as a share. */
const leastShare = 1e-6

export function tellComparison(c: Comparison, title: string, everything = false): string {
  const lines = [`## ${title}`, ""]
  const part = (heading: string, items: readonly string[]) => {
    if (items.length > 0) lines.push(`### ${heading}`, "", ...items.map((i) => `- ${i}`), "")
  }
  if (isSame(c)) lines.push("Nothing changed: same description, same parts, same files.", "")
  else {
    const [before, after] = c.verdicts
    lines.push(before === after ? `Verdict: ${after}, as before.` : `Verdict: ${before} → ${after}.`, "")
  }
  part("In the description", c.described.map(change))
  part("Findings", c.findings.map(change))
  part("Parts", grouped(c.parts))
  part("To be made again", [
    ...c.makeAgain.map(
      ({ what, files }) => `${what}: ${files.map((f) => f.slice(f.lastIndexOf("/") + 1)).join(", ")}`,
    ),
    ...(c.keep.length > 0 && c.makeAgain.length > 0 ? [`may be kept as it is: ${c.keep.join(", ")}`] : []),
  ])
  const figures = c.figures.filter((f) => Math.abs(f.share) >= leastShare)
  const shown = everything ? figures : figures.slice(0, mostFigures)
  part("Figures", [
    ...shown.map(
      (f) =>
        `${f.name} (${f.id}): ${show(f.before, f.unit, 4)} → ${show(f.after, f.unit, 4)}, ${percent(f.share)}`,
    ),
    ...(figures.length > shown.length
      ? [`and ${figures.length - shown.length} more with smaller changes`]
      : []),
    ...(c.newFigures.length > 0 ? [`${c.newFigures.length} new: ${some(c.newFigures)}`] : []),
    ...(c.goneFigures.length > 0 ? [`${c.goneFigures.length} gone: ${some(c.goneFigures)}`] : []),
  ])
  return `${lines.join("\n").trimEnd()}\n`
}

const change = ({ what, before, after }: Change<string>) =>
  before === undefined
    ? `${what}: new, ${after}`
    : after === undefined
      ? `${what}: gone (was ${before})`
      : `${what}: ${before} → ${after}`

/** Parts with the same change stand on one line. */
function grouped(parts: readonly Change<string>[]): string[] {
  const refs = new Map<string, { first: Change<string>; all: string[] }>()
  for (const p of parts) {
    const key = JSON.stringify([p.before, p.after])
    const known = refs.get(key)
    if (known) known.all.push(p.what)
    else refs.set(key, { first: p, all: [p.what] })
  }
  return [...refs.values()].map(({ first, all }) => change({ ...first, what: all.join(" ") }))
}

const percent = (share: number) => `${share > 0 ? "+" : "−"}${showNumber(Math.abs(share) * 100, 2)} %`
const some = (ids: readonly string[]) => ids.slice(0, 6).join(", ") + (ids.length > 6 ? " …" : "")
