// What a finding is: a claim that was judged, with what was measured, the limit, the margin, where and what to do.
// Findings are never thrown; they are collected and the work goes on, so that one run tells everything.

import type { Remedy } from "./remedy.ts"
import type { Source } from "./source.ts"

export type Severity = "red" | "amber" | "green"

export interface Quantity {
  readonly value: number
  readonly unit: string
}

export interface Limit extends Quantity {
  readonly kind: "at least" | "at most" | "exactly"
}

/** Everything is optional but `text`: the words that tell a builder where to look. */
export interface Where {
  readonly text: string
  /** Path in the description, keys joined by dots: `groups.tail-stop.led`. */
  readonly path?: string
  /** From 1, in the description (or in `file` when given). */
  readonly line?: number
  readonly column?: number
  readonly file?: string
  readonly board?: string
  readonly part?: string
  readonly net?: string
  readonly group?: string
  readonly wire?: string
  /** A place in millimetres; `frame` says which: the face from the road or the board from its copper side. */
  readonly x?: number
  readonly y?: number
  readonly frame?: "face" | "board"
}

export interface Finding {
  /** Room and name, for example `drive.led-current`. */
  readonly code: string
  readonly severity: Severity
  readonly title: string
  readonly where: Where
  readonly measured?: Quantity
  readonly limit?: Limit
  /**
   * What is left, as a share of the limit: 0.1 = 10 % to spare, negative = missed.
   * A limit of zero counts in the measured unit. Absent where no number was measured (a spelling mistake).
   */
  readonly margin?: number
  readonly corner?: string
  readonly advice: string
  readonly source?: Source
  /** Id of the figure that tells how `measured` came about. */
  readonly figure?: string
  /** Changes of the description that would clear it, each found by computing it; the smallest first. */
  readonly remedies?: readonly Remedy[]
}

/** What is left to the limit as a share of it; negative when missed. "exactly" gives 0 or −1. */
export function marginOf(measured: number, limit: Limit): number {
  if (limit.kind === "exactly") return measured === limit.value ? 0 : -1
  const left = limit.kind === "at least" ? measured - limit.value : limit.value - measured
  return limit.value === 0 ? left : left / Math.abs(limit.value)
}

/**
 * How thin a finding is: its margin, or undefined where margins do not compare, because it was true or false
 * ("all nets separate") or a count ("3 holding tabs") that is right at its limit by intent.
 */
export function thinness({ margin, limit, measured }: Finding): number | undefined {
  if (margin === undefined || limit?.kind === "exactly") return undefined
  const count = limit?.unit === "" && Number.isInteger(limit.value) && Number.isInteger(measured?.value)
  return count && margin >= 0 ? undefined : margin
}

/** Red first, then amber, each thinnest first and led by what has no margin; among green that comes last. Stable. */
export function byMargin(a: Finding, b: Finding): number {
  const rank = { red: 0, amber: 1, green: 2 }
  const colour = rank[a.severity] - rank[b.severity]
  if (colour !== 0) return colour
  const none = a.severity === "green" ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY
  const left = thinness(a) ?? none
  const right = thinness(b) ?? none
  if (left !== right) return left < right ? -1 : 1
  return a.code < b.code ? -1 : a.code > b.code ? 1 : 0
}

export type Verdict = "ready" | "ready with cautions" | "do not cut"

export function verdictOf(findings: readonly Finding[]): Verdict {
  if (findings.some((f) => f.severity === "red")) return "do not cut"
  return findings.some((f) => f.severity === "amber") ? "ready with cautions" : "ready"
}
