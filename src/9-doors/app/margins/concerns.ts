// Which findings speak of a thing that was picked, the nearest first.

import type { Finding } from "../../../0-ground/finding.ts"
import type { Look } from "../look-at.ts"

/** Findings that speak of the picked thing itself come before those of its string, nets, group and board. */
export function concerning(findings: readonly Finding[], look: Look): Finding[] {
  const ranked = findings.map((f, i) => ({ f, i, near: nearness(f, look) })).filter((r) => r.near > 0)
  // Within a rank the list's own order: thinnest first.
  return ranked.sort((a, b) => b.near - a.near || a.i - b.i).map((r) => r.f)
}

function nearness({ where }: Finding, look: Look): number {
  const parts = where.part?.split(/,\s*/) ?? []
  const nets = where.net?.split(/,\s*/) ?? []
  const thing = look.thing?.name ?? ""
  if (parts.includes(thing) || nets.includes(thing) || where.wire === thing) return 6
  if (saysName(where.text, thing)) return 6
  if (parts.some((p) => look.parts.includes(p) || look.leds.includes(p))) return 5
  if ((look.strings ?? []).some((s) => saysName(where.text, s))) return 4
  // Earth is everybody's: it speaks of nothing in particular.
  if (nets.some((n) => n !== "earth" && look.nets.includes(n))) return 3
  if (where.group !== undefined && look.groups?.includes(where.group)) return 2
  if (where.wire !== undefined && look.wires?.includes(where.wire)) return 1
  return 0
}

/** `tail-stop-1` is not said by `tail-stop-12`. */
function saysName(text: string, name: string): boolean {
  const at = text.indexOf(name)
  if (name === "" || at < 0) return false
  const edge = (c: string | undefined) => c === undefined || !/[\w-]/.test(c)
  return edge(text[at - 1]) && edge(text[at + name.length])
}
