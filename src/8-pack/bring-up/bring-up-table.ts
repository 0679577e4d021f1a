// The bring-up plan as a table: a file to write readings into, rows for the build sheet, and for report.json.

import { show, showNumber } from "../../0-ground/text/show.ts"
import { csv } from "../csv.ts"
import type { BringUpPlan, BringUpReading } from "./plan-bring-up.ts"
import { open } from "./readings.ts"

/** The unit a reading is written down in, and what one of it is in SI. */
export function scaleOf({ how }: Pick<BringUpReading, "how">): {
  readonly unit: string
  readonly scale: number
} {
  switch (how) {
    case "resistance":
      return { unit: "Ω", scale: 1 }
    case "capacitance":
      return { unit: "nF", scale: 1e-9 }
    case "current":
      return { unit: "mA", scale: 1e-3 }
    case "voltage":
    case "diode":
      return { unit: "V", scale: 1 }
    default:
      return { unit: "", scale: 1 }
  }
}

export const howWords = {
  resistance: "Ω",
  capacitance: "capacitance",
  diode: "diode test",
  voltage: "V",
  current: "supply current",
  count: "count",
  look: "look",
} as const

/** `295 to 315 Ω`, `at least 500 Ω`. */
export function limitWords(r: Pick<BringUpReading, "how" | "expected" | "low" | "high" | "unit">): string {
  if (r.how === "look") return "as said"
  if (r.how === "count")
    return r.low === r.high ? `exactly ${r.expected}` : `${r.low} to ${r.high} ${r.unit}`.trim()
  if (!Number.isFinite(r.high)) return `at least ${show(r.low, r.unit)}`
  if (r.low <= 0) return `at most ${show(r.high, r.unit)}`
  return `${show(r.low, r.unit)} to ${show(r.high, r.unit)}`
}

export function expectedWords(r: BringUpReading): string {
  if (r.how === "look") return "yes"
  return r.how === "resistance" && r.expected >= open ? "open" : show(r.expected, r.unit)
}

/**
 * What a reading outside its limits tells of, in few words: `R17 missing, shorted, ×10 or ÷10; bridge U2.3–U2.4`.
 * A reading that is first to tell of nothing confirms.
 */
export function findsWords({ finds }: Pick<BringUpReading, "finds">, most = 4): string {
  if (finds.length === 0) return "confirms"
  const changes = new Map<string, string[]>()
  for (const text of finds) {
    const [, ref, change] =
      /^(\S+?) (missing, broken or not soldered|shorted|turned round|of ten times its value|of a tenth of its value)$/.exec(
        text,
      ) ?? []
    const section = /^(\S+): section at pin (\S+) (open|shorted)/.exec(text)
    const pin = /^(\S+) pin (\S+) \(.*\) not soldered$/.exec(text)
    const bridge = /^solder bridge between .* on \S+ at (.*)$/.exec(text)
    const metal = /^(\S+) on \S+ touches the metal housing$/.exec(text)
    if (ref && change) changes.set(ref, [...(changes.get(ref) ?? []), brief[change]!])
    else if (section)
      changes.set(section[1]!, [...(changes.get(section[1]!) ?? []), `pin ${section[2]} ${section[3]}`])
    else if (pin) changes.set(pin[1]!, [...(changes.get(pin[1]!) ?? []), `pin ${pin[2]} open`])
    else if (bridge) {
      const [first, ...others] = bridge[1]!.split(", ")
      const places = others.length === 1 ? "1 more place" : `${others.length} more places`
      changes.set(`bridge ${first}${others.length === 0 ? "" : ` or ${places}`}`, [])
    } else if (metal) changes.set("on the metal:", [...(changes.get("on the metal:") ?? []), metal[1]!])
    else changes.set(text.replace(/ on \S+ missing or not soldered$/, " missing"), [])
  }
  const told = [...changes].map(
    ([what, how]) => `${what} ${how.slice(0, most).join(", ")}`.trim() + (how.length > most ? " …" : ""),
  )
  const more = told.length > most ? `; ${told.length - most} more` : ""
  return `${told.slice(0, most).join("; ")}${more}`
}
const brief: Readonly<Record<string, string>> = {
  "missing, broken or not soldered": "missing",
  shorted: "shorted",
  "turned round": "turned round",
  "of ten times its value": "×10",
  "of a tenth of its value": "÷10",
}

/** RFC 4180, with an empty column to write into; `lampwright find` reads it back. */
export function bringUpCsv({ readings }: BringUpPlan): string {
  const number = (v: number, { how }: BringUpReading) =>
    Number.isFinite(v) ? Number(showNumber(v / scaleOf({ how }).scale, 4)) : ""
  return csv(
    [
      "reading",
      "after",
      "board",
      "supply",
      "volt",
      "limit mA",
      "kind",
      "where",
      "expected",
      "low",
      "high",
      "unit",
      "measured",
      "finds",
    ],
    readings.map((r) => [
      r.id,
      r.step,
      r.board,
      r.supply?.name ?? "",
      r.supply?.volt ?? "",
      r.supply ? Math.round(r.supply.limit * 1000) : "",
      howWords[r.how],
      r.probe,
      r.how === "look" ? 1 : r.expected >= open ? "open" : number(r.expected, r),
      number(r.low, r),
      number(r.high, r),
      scaleOf(r).unit,
      "",
      r.finds.join("; "),
    ]),
  )
}

/** What report.json tells: every reading with limits, every fault with the reading that reveals it. */
export function bringUpReport(plan: BringUpPlan) {
  return {
    readings: plan.readings.map(({ high, ...r }) => ({
      ...r,
      high: Number.isFinite(high) ? high : null,
      finds: r.finds.length,
    })),
    faults: plan.faults.map((f) => ({ ...f, revealedBy: f.revealedBy ?? null })),
    harmless: plan.harmless,
    revealed: plan.faults.filter((f) => f.revealedBy !== undefined).length,
  }
}
