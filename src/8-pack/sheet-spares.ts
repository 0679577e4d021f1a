// What may be bought instead, and what to have one more of.

import { leds } from "../1-stock/leds.ts"
import { parts } from "../1-stock/parts.ts"
import type { PackInput } from "./artefact.ts"
import { partLines, ratingOf } from "./parts-list.ts"
import { escapeXml } from "./scene.ts"
import { right, table } from "./sheet-table.ts"

/** How many more than are fitted; common practice, no source. */
export function spares(kind: "led" | "small" | "chip", fitted: number): number {
  if (kind === "chip") return 1
  return Math.max(kind === "led" ? 2 : 1, Math.ceil(fitted * 0.1))
}

interface Line {
  readonly label: string
  readonly value: string
  readonly fitted: number
  readonly spare: number
  readonly instead: string
}

export function spareLines(design: PackInput): Line[] {
  const lines = new Map<string, { stock: string; label: string; value: string; fitted: number }>()
  const stockOf = new Map(design.circuit.parts.map((p) => [p.ref, p.stock]))
  for (const { refs, label, value } of partLines(design)) {
    const key = JSON.stringify([label, value])
    const known = lines.get(key)
    const fitted = (known?.fitted ?? 0) + refs.length
    lines.set(key, { stock: stockOf.get(refs[0]!) ?? "", label, value, fitted })
  }
  return [...lines.values()].map(({ stock, label, value, fitted }) => {
    const kind = leds.find(stock) ? "led" : chips.has(parts.find(stock)?.model.kind ?? "") ? "chip" : "small"
    return { label, value, fitted, spare: spares(kind, fitted), instead: insteadOf(stock, value) }
  })
}

const chips = new Set(["controller", "low-side-array", "regulator", "adjustable-regulator"])

/** What may be taken instead without designing anew. */
function insteadOf(stock: string, value: string): string {
  if (leds.find(stock))
    return "none without designing anew: another LED has another voltage, colour and beam; name it in the description and check again"
  const part = parts.find(stock)
  if (!part) return ""
  const { model } = part
  const same = `same value (${value}) and body`
  const rating = ratingOf(stock)
  switch (model.kind) {
    case "resistor":
      return `${same}, ${rating} or better`
    case "capacitor":
      return `${same}, ${rating} or a higher voltage`
    case "diode":
      return `same body, at least ${rating}; a lower forward voltage changes the LED currents: check again`
    case "clamp":
    case "zener":
      return "the same voltages and body only"
    case "controller":
      return "none: the firmware is made for it"
    case "low-side-array":
      return `same pins, at least ${rating}, on-voltage no higher`
    case "relay":
      return `one that ${rating}, whose pins lie as drawn; with gold contacts the better`
    case "regulator":
      return `same pins and drop-out, ${rating}`
    default:
      return `same ratings and body${rating === "" ? "" : `: ${rating}`}`
  }
}

export function sparesPart(design: PackInput): string {
  const lines = spareLines(design)
  if (lines.length === 0) return ""
  return `<h3>Spares, and what may be taken instead</h3>
<p class="quiet">Spares: a tenth more LEDs and small parts, one more of each chip (common practice, no source).</p>
${table(
  ["What", "Value", right("Fitted"), right("Order"), "May be taken instead"],
  lines.map((l) => [
    l.label,
    l.value === l.label ? "" : l.value,
    right(`${l.fitted}`),
    right(`${l.fitted + l.spare}`),
    l.instead,
  ]),
  true,
)}
<p class="quiet">${escapeXml("A part taken instead is written under built: in the description, so that the next mechanic knows.")}</p>`
}
