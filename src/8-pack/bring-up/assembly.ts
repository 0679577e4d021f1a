// The order in which parts go onto a board. Soldering and readings share it: a reading is taken when just these parts
// are in, so a part soldered early would spoil it.

import type { StepName } from "./readings.ts"

interface Fitted {
  readonly kind: string
  readonly pins: Readonly<Record<string, string>>
}

export const assembly: readonly { readonly step: StepName; readonly has: (part: Fitted) => boolean }[] = [
  { step: "wire links in", has: () => false },
  { step: "ceramic capacitors in", has: (p) => p.kind === "capacitor" && !Object.hasOwn(p.pins, "+") },
  { step: "resistors in", has: (p) => p.kind === "resistor" || p.kind === "resistor-array" },
  { step: "suppressors in", has: (p) => p.kind === "clamp" || p.kind === "zener" },
  { step: "diodes in", has: (p) => p.kind === "diode" },
  { step: "electrolytic capacitors in", has: (p) => p.kind === "capacitor" },
  { step: "everything in, no supply", has: () => true },
]
