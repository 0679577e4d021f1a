// A room's table of findings: one line for each code with what it means and what to do.
// The table types the code, so a finding without a text does not compile; the manual is made from it.

import { type Finding, type Limit, marginOf, type Quantity, type Severity, type Where } from "./finding.ts"
import type { Remedy } from "./remedy.ts"
import type { Source } from "./source.ts"

export interface CatalogueEntry {
  /** What is checked and why it matters, one or two sentences for the manual. */
  readonly about: string
  /** What to try, unless the finding itself knows better. */
  readonly advice: string
  /** Why no single change of the description clears it, where none was found; the end of a sentence. */
  readonly stuck?: string
  readonly source?: Source
}

export type Catalogue<Code extends string> = Readonly<Record<Code, CatalogueEntry>>

export interface Judged {
  readonly title: string
  readonly where: Where
  readonly measured: Quantity
  readonly limit: Limit
  /** Below this margin a kept limit is amber; default 0.05. */
  readonly amberBelow?: number
  /** The worst this finding may be; for rules known only from memory "amber". Default "red". */
  readonly atWorst?: Severity
  readonly corner?: string
  readonly advice?: string
  readonly source?: Source
  readonly figure?: string
  readonly remedies?: readonly Remedy[]
  /** Instead of the catalogue's. */
  readonly stuck?: string
}

export interface Stated {
  readonly severity: Severity
  readonly title: string
  readonly where: Where
  readonly measured?: Quantity
  readonly limit?: Limit
  readonly margin?: number
  readonly corner?: string
  readonly advice?: string
  readonly source?: Source
  readonly figure?: string
  readonly remedies?: readonly Remedy[]
  /** Instead of the catalogue's. */
  readonly stuck?: string
}

export interface Reporter<Code extends string> {
  /** Compares `measured` with `limit` and gives red, amber or green by the margin. NaN is red. */
  judge(code: Code, claim: Judged): Finding
  /** A finding whose severity is known without a comparison. */
  state(code: Code, claim: Stated): Finding
  readonly entries: Catalogue<Code>
}

/** Leads the sentence that says why a finding has no remedy. */
export const noChange = "No single change of the description clears this:"

/** Makes the reporter of one room: codes come out as `room.code`. */
export function catalogue<const Code extends string>(room: string, entries: Catalogue<Code>): Reporter<Code> {
  const state = (code: Code, { stuck = entries[code].stuck, ...claim }: Stated): Finding => {
    const helpless = claim.severity !== "green" && !claim.remedies?.length && stuck !== undefined
    const advice = claim.advice ?? entries[code].advice
    return {
      ...strip({ ...claim, remedies: claim.remedies?.length ? claim.remedies : undefined }),
      code: `${room}.${code}`,
      severity: claim.severity,
      title: claim.title,
      where: claim.where,
      advice: helpless ? `${advice} ${noChange} ${stuck}.` : advice,
      ...(claim.source || entries[code].source ? { source: claim.source ?? entries[code].source } : {}),
    }
  }
  const judge = (code: Code, claim: Judged): Finding => {
    const { amberBelow = 0.05, atWorst = "red", ...rest } = claim
    const margin = marginOf(claim.measured.value, claim.limit)
    const kept = margin >= 0
    const severity = kept
      ? claim.limit.kind !== "exactly" && margin < amberBelow
        ? "amber"
        : "green"
      : "red"
    return state(code, {
      ...rest,
      margin,
      severity: severity === "red" && atWorst !== "red" ? atWorst : severity,
    })
  }
  return { judge, state, entries }
}

function strip<T extends object>(claim: T): T {
  return Object.fromEntries(Object.entries(claim).filter(([, v]) => v !== undefined)) as T
}
