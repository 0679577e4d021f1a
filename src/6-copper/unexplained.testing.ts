// Measured numbers of findings that no figure tells the why of.

import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"

/** Codes of findings whose measured number has no figure of the same value and unit. Counts held exactly need none. */
export function unexplained(told: {
  readonly findings: readonly Finding[]
  readonly figures: readonly Figure[]
}): string[] {
  const all = new Map<string, Figure>()
  const visit = (f: Figure) => {
    all.set(f.id, f)
    f.inputs?.forEach(visit)
  }
  told.figures.forEach(visit)
  return told.findings.flatMap(({ code, measured, limit, figure: id }) => {
    if (!measured || limit?.kind === "exactly") return []
    const figure = id === undefined ? undefined : all.get(id)
    return figure?.value === measured.value && figure.unit === measured.unit ? [] : [code]
  })
}
