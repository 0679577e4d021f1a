// Flashers: what a lamp's input sees of each kind, and the limits of rate and on-time.

import { type Figure, fact } from "../0-ground/figure.ts"
import type { Source } from "../0-ground/source.ts"

const ic: Source = {
  document: "data sheets of the flasher ICs U2043B and U6043B",
  place: "outage threshold, start condition, 3.3 kΩ in series with the sense pin",
  known: "read",
}
const inferred: Source = {
  document: "inferred from the U2043B start condition: about 12 V behind 8.3 kΩ while off",
  known: "memory",
  confidence: "L",
}
const habit: Source = { document: "flasher practice, recalled", known: "memory", confidence: "M" }
const j590: Source = { document: "SAE J590b / 571.108 S14.9.3.9", known: "memory", confidence: "H" }
const rate: Source = {
  document: "UN R53 §6.3.8.1 (OJ EU 2020/31), quoted",
  known: "read",
}

export interface FlasherType {
  readonly kind: "thermal" | "load-sensing" | "electronic"
  readonly label: string
  /** What the lamp's wire sees while the flasher is off: volt behind ohm. */
  readonly off: { readonly volt: number; readonly ohm: number; readonly source: Source }
  /** Lamp power below which it flashes fast or not at all, as a share of the rated power; 0: it does not care. */
  readonly leastShare: number
  readonly source: Source
}

export const flashers: Readonly<Record<FlasherType["kind"], FlasherType>> = {
  thermal: {
    kind: "thermal",
    label: "bimetal or hot-wire flasher",
    off: { volt: 12, ohm: 1e6, source: habit },
    leastShare: 0.75,
    source: habit,
  },
  "load-sensing": {
    kind: "load-sensing",
    label: "load-sensing electronic flasher with relay",
    off: { volt: 12, ohm: 8300, source: inferred },
    leastShare: 0.75,
    source: ic,
  },
  electronic: {
    kind: "electronic",
    label: "load-independent electronic flasher",
    // Up to 5 mA leaks through a solid-state switch.
    off: { volt: 12, ohm: 2400, source: habit },
    leastShare: 0,
    source: habit,
  },
}

export const flashLimits = {
  /** Flashes per minute. */
  rate: { low: 60, high: 120, source: rate },
  /** Share of a period with light. */
  onShare: { low: 0.3, high: 0.75, source: j590 },
  firstLight: {
    seconds: 1,
    source: { document: "ADR 19 / R53 wording, quoted; Swiss VTS art. 79(2)", known: "read" } as Source,
  },
  /** Rate and on-share of a load-sensing flasher that misses a lamp, against normal. */
  outage: { rateFactor: 2.2, onShare: 0.4, source: ic },
} as const

export const flasherFacts: readonly Figure[] = [
  ...Object.values(flashers).flatMap((f) => [
    fact(
      `stock.flasher.${f.kind}.off-volt`,
      `${f.label}: open voltage while off`,
      f.off.volt,
      "V",
      f.off.source,
    ),
    fact(`stock.flasher.${f.kind}.off-ohm`, `${f.label}: resistance while off`, f.off.ohm, "Ω", f.off.source),
    fact(`stock.flasher.${f.kind}.least-share`, `${f.label}: least load`, f.leastShare, "", f.source),
  ]),
  fact("stock.flash.rate-low", "lowest flash rate", flashLimits.rate.low, "/min", rate),
  fact("stock.flash.rate-high", "highest flash rate", flashLimits.rate.high, "/min", rate),
  fact("stock.flash.on-share-low", "smallest on-share", flashLimits.onShare.low, "", j590),
  fact("stock.flash.on-share-high", "largest on-share", flashLimits.onShare.high, "", j590),
]
