// What changed between two revisions of a lamp: said, bought, made and proven.

import type { Finding } from "../../0-ground/finding.ts"
import { show } from "../../0-ground/text/show.ts"
import type { Revision } from "./revision.ts"

export interface Change<T> {
  readonly what: string
  /** Absent: new in the second. */
  readonly before?: T
  /** Absent: gone from the second. */
  readonly after?: T
}

export interface FigureChange {
  readonly id: string
  readonly name: string
  readonly unit: string
  readonly before: number
  readonly after: number
  /** Change as a share of the larger of the two; 0.1 = 10 %. */
  readonly share: number
}

export interface Comparison {
  readonly lamps: readonly [string, string]
  readonly verdicts: readonly [string, string]
  readonly described: readonly Change<string>[]
  readonly parts: readonly Change<string>[]
  /** Boards and firmware whose files differ, with those files; and what may be kept as it is. */
  readonly makeAgain: readonly { readonly what: string; readonly files: readonly string[] }[]
  readonly keep: readonly string[]
  readonly findings: readonly (Change<string> & {
    readonly severity: readonly [Finding["severity"] | undefined, Finding["severity"] | undefined]
  })[]
  /** Largest share first. */
  readonly figures: readonly FigureChange[]
  readonly newFigures: readonly string[]
  readonly goneFigures: readonly string[]
}

export function compareRevisions(a: Revision, b: Revision): Comparison {
  const { makeAgain, keep } = work(a, b)
  return {
    lamps: [a.report.lamp, b.report.lamp],
    verdicts: [a.report.verdict, b.report.verdict],
    described: changes(a.described, b.described),
    parts: changes(fitted(a), fitted(b)),
    makeAgain,
    keep,
    findings: findings(a, b),
    ...figures(a, b),
  }
}

/** Nothing that a builder would have to do or know. */
export function isSame(c: Comparison): boolean {
  return [c.described, c.parts, c.makeAgain, c.findings, c.figures, c.newFigures, c.goneFigures].every(
    (list) => list.length === 0,
  )
}

function changes(a: ReadonlyMap<string, string>, b: ReadonlyMap<string, string>): Change<string>[] {
  return [...new Set([...a.keys(), ...b.keys()])].flatMap((what) => {
    const [before, after] = [a.get(what), b.get(what)]
    if (before === after) return []
    return [{ what, ...(before === undefined ? {} : { before }), ...(after === undefined ? {} : { after }) }]
  })
}

const fitted = ({ report }: Revision) =>
  new Map(
    report.parts.flatMap((p) =>
      p.refs.map((ref) => [ref, p.value === p.label ? p.label : `${p.label} ${p.value}`] as const),
    ),
  )

/** A cutter program belongs to the board it is filed under: `cut/BOARD/…`; the firmware is one thing. */
function work(a: Revision, b: Revision): Pick<Comparison, "makeAgain" | "keep"> {
  const thing = (path: string) =>
    /^cut\/([^/]+)\//.exec(path)?.[1] ?? (path.startsWith("firmware/") ? "firmware" : undefined)
  const things = new Map<string, string[]>()
  for (const path of new Set([...a.files.keys(), ...b.files.keys()])) {
    const what = thing(path)
    if (what === undefined) continue
    const touched = things.get(what) ?? []
    if (a.files.get(path) !== b.files.get(path)) touched.push(path)
    things.set(what, touched)
  }
  const all = [...things].map(([what, files]) => ({
    what: what === "firmware" ? what : `board ${what}`,
    files,
  }))
  return {
    makeAgain: all.filter((t) => t.files.length > 0),
    keep: all.filter((t) => t.files.length === 0).map((t) => t.what),
  }
}

const rank = { red: 0, amber: 1, green: 2 } as const

/** Findings that are red or amber in one of the two and stand otherwise in the other; the gravest first. */
function findings(a: Revision, b: Revision): Comparison["findings"] {
  const index = ({ report }: Revision) => {
    const out = new Map<string, { severity: Finding["severity"]; what: string; says: string }>()
    for (const f of report.findings) {
      const key = `${f.code} ${f.where.text}`
      const known = out.get(key)
      if (known && rank[known.severity] <= rank[f.severity]) continue
      const measured = f.measured === undefined ? "" : show(f.measured.value, f.measured.unit, 4)
      out.set(key, {
        severity: f.severity,
        what: `${f.title} · ${f.where.text}`,
        says: `${f.severity} ${measured}`.trim(),
      })
    }
    return out
  }
  const [p, q] = [index(a), index(b)]
  return [...new Set([...p.keys(), ...q.keys()])]
    .flatMap((key) => {
      const [before, after] = [p.get(key), q.get(key)]
      if ((before?.severity ?? "green") === (after?.severity ?? "green")) return []
      return [
        {
          what: (after ?? before)!.what,
          severity: [before?.severity, after?.severity] as const,
          ...(before ? { before: before.says } : {}),
          ...(after ? { after: after.says } : {}),
        },
      ]
    })
    .sort((x, y) => gravity(x.severity) - gravity(y.severity))
}

const gravity = ([before, after]: readonly [
  Finding["severity"] | undefined,
  Finding["severity"] | undefined,
]) => rank[after ?? "green"] * 3 + rank[before ?? "green"]

function figures(a: Revision, b: Revision): Pick<Comparison, "figures" | "newFigures" | "goneFigures"> {
  const [p, q] = [a.report.figures, b.report.figures]
  const both = Object.keys(q).filter((id) => Object.hasOwn(p, id))
  const changed = both.flatMap((id): FigureChange[] => {
    const [x, y] = [p[id]!, q[id]!]
    if (x.value === null || y.value === null || x.value === y.value || x.unit !== y.unit) return []
    const share = (y.value - x.value) / Math.max(Math.abs(x.value), Math.abs(y.value))
    return [{ id, name: y.name, unit: y.unit, before: x.value, after: y.value, share }]
  })
  return {
    figures: changed.sort((x, y) => Math.abs(y.share) - Math.abs(x.share) || (x.id < y.id ? -1 : 1)),
    newFigures: Object.keys(q).filter((id) => !Object.hasOwn(p, id)),
    goneFigures: Object.keys(p).filter((id) => !Object.hasOwn(q, id)),
  }
}
