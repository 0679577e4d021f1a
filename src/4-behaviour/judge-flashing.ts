// The times by which flashers are judged, held against the flashers of this vehicle and those the law allows.

import { type Figure, fact, measuredBy } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { described } from "../0-ground/source.ts"
import type { FlashLimits, Lamp } from "../2-lamp/artefact.ts"
import type { BehaviourInput, FlasherTiming } from "./artefact.ts"
import { judge } from "./behaviour-findings.ts"
import {
  fiveLegalFlashesMs,
  longestLegalOffMs,
  longestLegalOnMs,
  shortestLegalOffMs,
  shortestLegalOnMs,
} from "./flasher-timing.ts"
import { placed, round } from "./where-line.ts"

interface Told {
  readonly findings: Finding[]
  readonly figures: Figure[]
}

interface Limit {
  readonly key: string
  readonly field: keyof FlashLimits
  readonly name: string
  readonly ms: number
  readonly kind: "at least" | "at most"
  /** What a wire's flashes ask of it, from its on-time and off-time, ms. */
  readonly asks: (on: number, off: number) => number
  /** The same at the end of what the law allows. */
  readonly legal: number
  /** What it is held against. */
  readonly against: string
}

/** Green where the description sets a time; otherwise only what is wrong is told. */
export function judgeFlashing(lamp: Lamp, timing: FlasherTiming, inputs: readonly BehaviourInput[]): Told {
  const told: Told = { findings: [], figures: [] }
  const flashers = lamp.vehicle.wires.filter(
    (w) => w.role === "flashing" && inputs.some((i) => i.wire === w.name && i.flashing),
  )
  if (flashers.length === 0) return told
  for (const limit of limitsOf(timing)) {
    const own = lamp.flashing?.[limit.field] !== undefined
    const path = `flashing.${limit.key}`
    const figure = fact(`description.${path}`, limit.name, limit.ms, "ms", described(path))
    const say = (asked: number, by: string, atWorst: "red" | "amber", kind = limit.kind) => {
      const kept = kind === "at least" ? limit.ms >= asked : limit.ms <= asked
      const against = kind === limit.kind ? limit.against : "dead-after"
      if (kept && !own) return
      if (!told.figures.includes(figure)) told.figures.push(figure)
      told.findings.push(
        judge("flash-limit", {
          title: `${limit.name}: ${limit.ms} ms, ${kind} ${round(asked)} ms (${against} of ${by})`,
          where: placed(lamp, own ? path : "vehicle.wires", { text: own ? path : "the lamp's flashers" }),
          ...measuredBy(figure),
          limit: { value: round(asked), unit: "ms", kind },
          amberBelow: 0,
          ...(atWorst === "amber" ? { atWorst } : {}),
        }),
      )
    }
    if (limit.field === "contactGap" && own)
      for (const { wire, releaseMs } of inputs.filter((i) => i.flashing && i.releaseMs >= limit.ms))
        say(releaseMs + 1, `${wire}, whose filter hides every shorter gap`, "amber", "at least")
    for (const w of flashers) {
      if (!w.rate || !w.onShare) continue
      const on = (1000 * w.onShare) / w.rate
      const off = (1000 * (1 - w.onShare)) / w.rate
      say(limit.asks(on, off), w.name, "red")
    }
    if (own) say(limit.legal, "a legal flasher", "amber")
  }
  return told
}

const limitsOf = (t: FlasherTiming): readonly Limit[] => [
  {
    key: "shortest-on",
    field: "shortestOn",
    name: "Shortest flash that is accepted",
    ms: t.shortestOnMs,
    kind: "at most",
    asks: (on) => on,
    legal: shortestLegalOnMs,
    against: "shortest on-time",
  },
  {
    key: "steady-after",
    field: "steadyAfter",
    name: "A flash this long is taken for steady light",
    ms: t.steadyAfterMs,
    kind: "at least",
    asks: (on) => on,
    legal: longestLegalOnMs,
    against: "longest on-time",
  },
  {
    key: "contact-gap",
    field: "contactGap",
    name: "Dead for less than this is a bad contact",
    ms: t.contactGapMs,
    kind: "at most",
    asks: (_, off) => off,
    legal: shortestLegalOffMs,
    against: "shortest off-time",
  },
  {
    key: "new-operation-after",
    field: "newOperationAfter",
    name: "After this long dead the next flash is a first one",
    ms: t.operationGapMs,
    kind: "at least",
    asks: (_, off) => off,
    legal: longestLegalOffMs,
    against: "longest off-time",
  },
  {
    key: "five-flashes-within",
    field: "fiveFlashesWithin",
    name: "Five flashes within this time are too fast",
    ms: t.riseWindowMs,
    kind: "at most",
    asks: (on, off) => 4 * (on + off),
    legal: fiveLegalFlashesMs,
    against: "four periods",
  },
  {
    key: "held-back-for",
    field: "heldBackFor",
    name: "Other lines of a shared group stay back for",
    ms: t.flashGapMs,
    kind: "at least",
    asks: (_, off) => off,
    legal: longestLegalOffMs,
    against: "longest off-time",
  },
]
