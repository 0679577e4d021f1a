// Findings and figures in words, for the page.

import type { Finding, Limit, Quantity, Severity, Verdict } from "../../0-ground/finding.ts"
import type { Source } from "../../0-ground/source.ts"
import { show, showNumber } from "../../0-ground/text/show.ts"

export const severityWord: Record<Severity, string> = { red: "to fix", amber: "caution", green: "kept" }

export function verdictWords(verdict: Verdict, findings: readonly Finding[]): string {
  const count = findings.filter((f) => f.severity === "red").length
  if (verdict === "do not cut") return `${count} to fix before you cut`
  const cautions = findings.filter((f) => f.severity === "amber").length
  if (verdict === "ready with cautions")
    return cautions === 1 ? "Ready with 1 caution" : `Ready with ${cautions} cautions`
  return "Ready"
}

export const quantity = (q: Quantity): string => show(q.value, q.unit)

const kinds: Record<Limit["kind"], string> = { "at least": "≥", "at most": "≤", exactly: "=" }

export const limitShort = (l: Limit): string => `${kinds[l.kind]} ${show(l.value, l.unit)}`
export const limitLong = (l: Limit): string => `${l.kind} ${show(l.value, l.unit)}`

/** What is left, in words; empty where nothing was measured or the limit is a yes or no. */
export function leftWords(f: Finding): string {
  if (f.margin === undefined || f.limit === undefined) return ""
  if (f.limit.kind === "exactly") return f.margin < 0 ? "missed" : "met exactly"
  const share = f.limit.value === 0 ? undefined : Math.abs(f.margin)
  const amount = share === undefined ? show(Math.abs(f.margin), f.limit.unit) : percent(share)
  if (f.margin === 0) return "nothing to spare"
  return f.margin < 0 ? `missed by ${amount}` : `${amount} to spare`
}

export const percent = (share: number): string => {
  const p = share * 100
  return p >= 1000 ? `${showNumber(share, 2)} times` : `${showNumber(p, p < 10 ? 2 : 3)} %`
}

const knownWords: Record<Source["known"], string> = {
  read: "read in the document",
  memory: "from memory, not checked",
  practice: "common practice",
  computed: "worked out here",
  description: "from the description",
  chosen: "chosen by Lampwright",
}

export function sourceWords(s: Source): string {
  const place = [s.document, s.place, s.edition].filter((t) => t !== undefined && t !== "").join(", ")
  const how = knownWords[s.known]
  const sure = s.confidence ? ` (${{ H: "high", M: "medium", L: "low" }[s.confidence]} confidence)` : ""
  return s.document.includes(how) ? `${place}${sure}` : `${place} — ${how}${sure}`
}

/** Seconds as a person times them: 42 s, 3 min 20 s, 1 h 5 min. */
export function duration(seconds: number): string {
  const s = Math.round(seconds)
  if (s < 60) return `${s} s`
  const m = Math.floor(s / 60)
  if (m < 60) return s % 60 === 0 ? `${m} min` : `${m} min ${s % 60} s`
  return `${Math.floor(m / 60)} h ${m % 60} min`
}

/** `tail-stop-12` → `12`: enough where the group is plain to see. */
export const shortRef = (ref: string): string => /-(\d+)$/.exec(ref)?.[1] ?? ref.replace(/^X-/, "")

export const plain = (text: string): string => text.replace(/-/g, " ")

/** A title from a room as a sentence begins; names of files and parts stay as they are. */
export const capital = (text: string): string =>
  /^[a-z][a-z-]*(:|,|\s|$)/.test(text) ? text.charAt(0).toUpperCase() + text.slice(1) : text

export const sentence = (text: string): string => {
  const words = plain(text)
  return words.charAt(0).toUpperCase() + words.slice(1)
}
