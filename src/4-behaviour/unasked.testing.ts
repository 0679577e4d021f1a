// What cannot be asked why: findings whose measured number has no figure that says the same, ids that name two values.

import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"

export function unasked(made: {
  readonly findings: readonly Finding[]
  readonly figures: readonly Figure[]
}): readonly string[] {
  const all = new Map<string, Figure>()
  const clashes: string[] = []
  const visit = (f: Figure) => {
    const other = all.get(f.id)
    if (other && (other.value !== f.value || other.unit !== f.unit)) clashes.push(f.id)
    all.set(f.id, f)
    f.inputs?.forEach(visit)
  }
  made.figures.forEach(visit)
  const bare = made.findings.filter((f) => {
    const figure = all.get(f.figure ?? "")
    return f.measured && !(figure?.value === f.measured.value && figure?.unit === f.measured.unit)
  })
  return [...bare.map((f) => f.title), ...clashes]
}
