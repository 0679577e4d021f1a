// What a shared sheet's proof adds to that of the boards' own programs: the same layout tells the same margins twice,
// so only what differs, and that each board is whole and apart there too.

import type { Figure } from "../../0-ground/figure.ts"
import type { Finding } from "../../0-ground/finding.ts"
import type { BoardEvidence } from "../cut/prove-cut.ts"
import type { SheetEvidence } from "./prove-sheet.ts"

/** Told of every board on every sheet, whatever its own programs gave. */
const always = new Set(["proof.netlist", "proof.holes", "proof.outline", "proof.narrowest-copper"])

export function sheetNews(
  { findings, figures }: SheetEvidence,
  own: ReadonlyMap<string, Pick<BoardEvidence, "findings">>,
): { readonly findings: readonly Finding[]; readonly figures: readonly Figure[] } {
  const known = new Set([...own].flatMap(([board, e]) => e.findings.map((f) => `${board} ${sameness(f)}`)))
  const kept = findings.filter(
    (f) =>
      f.where.board === undefined ||
      f.severity === "red" ||
      always.has(f.code) ||
      f.code.startsWith("proof.sheet-") ||
      !known.has(`${f.where.board} ${sameness(f)}`),
  )
  // Figures of the sheet as a whole, and those that a finding here rests on.
  const asked = new Set(kept.map((f) => f.figure))
  return { findings: kept, figures: figures.filter((f) => asked.has(f.id) || f.id.split(".").length === 3) }
}

/** What is told and how it came out, to a hundredth of a millimetre: a board that is turned falls otherwise on the raster. */
const sameness = ({ code, severity, measured }: Finding): string =>
  `${code} ${severity} ${severity === "green" ? "" : (measured?.value.toFixed(2) ?? "")}`
