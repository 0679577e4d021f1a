// Every part in every pulse: the whole circuit is run through fast pulses, load dump and starting, and each kind of
// part is judged by the part and the pulse that come nearest to what its data sheet lets it bear.

import { type Figure, fact, measuredBy } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import type { Work } from "../0-ground/progress.ts"
import type { Remedy } from "../0-ground/remedy.ts"
import { practice, type Source } from "../0-ground/source.ts"
import { show } from "../0-ground/text/show.ts"
import { ledType } from "../1-stock/leds.ts"
import { modelOf, partType } from "../1-stock/parts.ts"
import type { Part, PulseStress } from "./artefact.ts"
import { type Event, type EventRun, runEvent, type Stress } from "./circuit-transient.ts"
import { type Figures, limitFigures, stockFact } from "./drive-figures.ts"
import { report } from "./drive-findings.ts"
import { clampedSupply, largerBody, lessCurrent } from "./drive-remedies.ts"
import { eventsOf, type KnownEvent } from "./events.ts"
import { flashingShare } from "./limits.ts"
import type { MadeCircuit } from "./made-circuit.ts"

export interface PulseJudgement {
  readonly findings: readonly Finding[]
  readonly pulses: readonly PulseStress[]
}

export function* judgePulses(made: MadeCircuit, figures: Figures): Work<PulseJudgement> {
  const wires = made.body.nets.flatMap((n) =>
    n.wire !== undefined && n.name !== made.body.earth ? [n.wire] : [],
  )
  if (wires.length === 0) return { findings: [], pulses: [] }
  // Without a controller nothing switches: on and off are the same.
  const events = eventsOf(made.lamp.vehicle).filter((e) => e.on || made.controller)
  const runs: Solved[] = []
  for (const known of events) {
    yield { stage: "drive", done: 0.5 + (0.2 * runs.length) / events.length, note: known.name }
    const run = runEvent(made, known, wires, (s) =>
      s.direction === "input" ? "open" : known.on ? "high" : "low",
    )
    runs.push({ known, run })
  }
  const findings: Finding[] = runs
    .filter(({ run }) => !run.finished)
    .map(({ known }) =>
      report.state("pulse-not-solved", {
        severity: "amber",
        title: `no course over time was found: ${known.name}, ${known.what}`,
        where: { text: known.name },
        corner: known.what,
        source: known.source,
      }),
    )
  const solved = runs.filter(({ run }) => run.finished)
  for (const aspect of aspects) findings.push(...judgeAspect(made, aspect, solved, figures))
  findings.push(...judgeStarting(made, solved, figures))
  return { findings, pulses: solved.flatMap(({ run }) => stressesOf(made, run)) }
}

interface Solved {
  readonly known: KnownEvent
  readonly run: EventRun
}

interface Limit {
  readonly value: number
  readonly source: Source
  readonly stock: string
  /** Facts of the stock it stands on, and others. */
  readonly facts: readonly string[]
  readonly own?: readonly Figure[]
}

/** Across a ¼ W film resistor whatever its resistance, the lower end of what the sheets give. */
const elementVolt = {
  value: 250,
  source: {
    document: "data sheet of the MFR metal-film resistor series",
    place: "maximum working voltage 250…350 V",
    known: "read",
  } as Source,
}
/** Shorter pulses are over before a resistor's body warms; they count as if they lasted that long. */
const shortest = {
  value: 0.01,
  source: practice("common practice: film resistors bear pulses of up to 10 ms by their energy"),
}
/** LED pulse ratings are for pulses of this length. */
const ratedPulse = {
  value: 1e-4,
  source: {
    document: "LED data sheets: peak current at 0.1 ms, a tenth of the time",
    known: "memory",
    confidence: "M",
  } as Source,
}
/** An electrolytic bears hardly anything backwards. */
const electrolyticReverse = {
  value: 1,
  source: {
    document: "data sheets of electrolytic capacitors: 1 V backwards at most",
    known: "memory",
    confidence: "M",
  } as Source,
}
/** What takes longer than this is borne by what lasts, not by what a pulse may be, s. */
const lasting = 1

const electrolyticFigure = fact(
  "drive.limit.electrolytic-reverse",
  "voltage backwards an electrolytic capacitor bears",
  electrolyticReverse.value,
  "V",
  electrolyticReverse.source,
)
const elementFigure = fact(
  "drive.limit.resistor-voltage",
  "greatest voltage across a film resistor",
  elementVolt.value,
  "V",
  elementVolt.source,
)
const shortestFigure = fact(
  "drive.limit.resistor-pulse",
  "pulses of a resistor count as at least",
  shortest.value,
  "s",
  shortest.source,
)
const ratedPulseFigure = fact(
  "drive.limit.led-pulse",
  "length of the pulse an LED's peak rating is for",
  ratedPulse.value,
  "s",
  ratedPulse.source,
)

/** One thing a kind of part bears, in the unit it is told in. */
export interface Aspect {
  readonly id: string
  readonly unit: string
  readonly name: string
  readonly title: (what: string, ref: string, event: string) => string
  /** What it bears, with its figures; undefined for parts this does not concern. */
  readonly limit: (
    made: Pick<MadeCircuit, "body" | "part">,
    ref: string,
    part: Part | undefined,
    seconds: number,
    /** °C around it. */
    air: number,
  ) => Limit | undefined
  readonly of: (stress: Stress) => number
  /** Events that are judged elsewhere. */
  readonly without?: string
}

/** The source is that of the first fact, which may be known less surely than the part. */
const bears = (part: Part, value: number, facts: readonly string[]): Limit => ({
  value,
  source:
    stockFact(part.stock, facts[0]!)?.source ??
    (part.kind === "led" ? ledType(part.stock).source : partType(part.stock).source),
  stock: part.stock,
  facts,
})

export const aspects: readonly Aspect[] = [
  {
    id: "resistor-voltage",
    unit: "V",
    name: "voltage over a resistor",
    title: (v, ref, event) => `${ref} sees ${v} in the ${event}`,
    limit: (_, _ref, part) =>
      part?.kind === "resistor"
        ? {
            value: elementVolt.value,
            source: elementVolt.source,
            stock: part.stock,
            facts: [],
            own: [elementFigure],
          }
        : undefined,
    of: (s) => Math.max(s.volt, -s.least),
  },
  {
    id: "resistor-energy",
    unit: "mJ",
    name: "energy a resistor takes",
    title: (v, ref, event) => `${ref} takes ${v} in the ${event}, nearest to a resistor's short overload`,
    // 2.5 × the rated working voltage for 5 s is 6.25 × the rated power; what lasts may take its body to 155 °C.
    limit: (_, _ref, part, seconds, air) =>
      part?.kind === "resistor"
        ? {
            ...bears(
              part,
              1000 *
                modelOf(part.stock, "resistor").rated *
                Math.max(6.25 * Math.min(5, Math.max(seconds, shortest.value)), (seconds * (155 - air)) / 85),
              ["rated"],
            ),
            own: [shortestFigure],
          }
        : undefined,
    of: (s) => 1000 * s.joule,
  },
  {
    id: "led",
    unit: "mA",
    name: "LED current",
    title: (v, ref, event) => `${ref} takes ${v} in the ${event}, nearest to an LED's pulse rating`,
    limit: (_, _ref, part, seconds) =>
      part?.kind === "led" && seconds <= lasting
        ? {
            ...bears(part, 1000 * ledType(part.stock).peakCurrent, ["peak-current"]),
            own: [ratedPulseFigure],
          }
        : undefined,
    // What is shorter than the pulse the rating is for counts by its charge.
    of: (s) => 1000 * Math.min(s.ampere, s.coulomb / ratedPulse.value),
  },
  {
    id: "led-lasting",
    unit: "mA",
    name: "LED current that lasts",
    title: (v, ref, event) => `${ref} takes ${v} as long as the ${event} lasts`,
    limit: (_, _ref, part, seconds) =>
      part?.kind === "led" && seconds > lasting
        ? bears(part, 1000 * ledType(part.stock).maximumCurrent, ["maximum-current"])
        : undefined,
    of: (s) => 1000 * s.ampere,
  },
  {
    id: "diode-reverse",
    unit: "V",
    name: "voltage a diode blocks",
    title: (v, ref, event) => `${ref} blocks ${v} in the ${event}`,
    limit: (_, _ref, part) =>
      part?.kind === "diode" ? bears(part, modelOf(part.stock, "diode").reverse, ["reverse"]) : undefined,
    of: (s) => s.volt,
  },
  {
    id: "diode-surge",
    unit: "A",
    name: "surge through a diode",
    title: (v, ref, event) => `${ref} passes ${v} in the ${event}`,
    limit: (_, _ref, part, seconds) =>
      part?.kind === "diode" && seconds <= lasting
        ? bears(part, modelOf(part.stock, "diode").surge, ["surge"])
        : undefined,
    of: (s) => s.ampere,
  },
  {
    id: "diode-lasting",
    unit: "A",
    name: "current of a diode that lasts",
    title: (v, ref, event) => `${ref} passes ${v} as long as the ${event} lasts`,
    limit: (_, _ref, part, seconds) =>
      part?.kind === "diode" && seconds > lasting
        ? bears(part, modelOf(part.stock, "diode").average, ["average"])
        : undefined,
    of: (s) => s.ampere,
  },
  {
    id: "capacitor",
    unit: "V",
    name: "voltage over a capacitor",
    title: (v, ref, event) => `${ref} is charged to ${v} in the ${event}`,
    limit: (_, _ref, part) =>
      part?.kind === "capacitor"
        ? bears(part, modelOf(part.stock, "capacitor").working, ["working", "capacitance"])
        : undefined,
    of: (s) => Math.max(s.volt, -s.least),
    without: "load dump",
  },
  {
    id: "capacitor-reverse",
    unit: "V",
    name: "voltage backwards over an electrolytic capacitor",
    title: (v, ref, event) => `${ref} is charged ${v} the wrong way round in the ${event}`,
    limit: (_, _ref, part) =>
      part?.kind === "capacitor" && part.pins["+"] !== undefined
        ? {
            value: electrolyticReverse.value,
            source: electrolyticReverse.source,
            stock: part.stock,
            facts: ["capacitance"],
            own: [electrolyticFigure],
          }
        : undefined,
    of: (s) => -s.least,
  },
  {
    id: "clamp-energy",
    unit: "mJ",
    name: "energy the clamp takes",
    title: (v, ref, event) => `${ref} takes ${v} in the ${event}`,
    limit: (_, _ref, part) =>
      part?.kind === "clamp"
        ? bears(part, 1000 * modelOf(part.stock, "clamp").energy, ["energy"])
        : undefined,
    of: (s) => 1000 * s.joule,
    without: "load dump",
  },
  {
    id: "clamp-current",
    unit: "A",
    name: "current of the clamp",
    title: (v, ref, event) => `${ref} takes ${v} in the ${event}`,
    limit: (_, _ref, part) =>
      part?.kind === "clamp"
        ? bears(part, modelOf(part.stock, "clamp").clampCurrent, ["clamp-current"])
        : undefined,
    of: (s) => s.ampere,
    without: "load dump",
  },
  {
    id: "regulator-input",
    unit: "V",
    name: "voltage at the regulator's input",
    title: (v, ref, event) => `${ref} is fed with ${v} in the ${event}`,
    limit: (_, _ref, part, seconds) =>
      part?.kind === "regulator" && seconds <= lasting
        ? bears(part, modelOf(part.stock, "regulator").maximumSurge, ["maximum-surge"])
        : undefined,
    of: (s) => s.volt,
    without: "load dump",
  },
  {
    id: "regulator-lasting",
    unit: "V",
    name: "voltage at the regulator's input that lasts",
    title: (v, ref, event) => `${ref} is fed with ${v} as long as the ${event} lasts`,
    limit: (_, _ref, part, seconds) =>
      part?.kind === "regulator" && seconds > lasting
        ? bears(part, modelOf(part.stock, "regulator").maximumInput, ["maximum-input"])
        : undefined,
    of: (s) => s.volt,
  },
  {
    id: "regulator-reverse",
    unit: "V",
    name: "voltage backwards at the regulator's input",
    title: (v, ref, event) => `${ref} is fed with ${v} the wrong way round in the ${event}`,
    limit: (_, _ref, part) =>
      part?.kind === "regulator"
        ? bears(part, modelOf(part.stock, "regulator").maximumReverse, ["maximum-reverse"])
        : undefined,
    of: (s) => -s.least,
  },
  {
    id: "rail-regulator",
    unit: "V",
    name: "voltage over the rail's regulator",
    title: (v, ref, event) => `${ref} holds ${v} between input and output in the ${event}`,
    limit: (_, _ref, part) =>
      part?.kind === "adjustable-regulator"
        ? bears(part, modelOf(part.stock, "adjustable-regulator").maximumAcross, ["maximum-across"])
        : undefined,
    of: (s) => s.volt,
  },
  {
    id: "transistor",
    unit: "V",
    name: "voltage a transistor holds off",
    title: (v, ref, event) => `${ref} holds off ${v} in the ${event}`,
    limit: (_, _ref, part) =>
      part?.kind === "transistor"
        ? bears(part, modelOf(part.stock, "npn").maximumVoltage, ["maximum-voltage"])
        : undefined,
    of: (s) => s.volt,
  },
  {
    id: "array",
    unit: "V",
    name: "voltage an array section holds off",
    title: (v, ref, event) => `${ref} holds off ${v} in the ${event}`,
    limit: (_, _ref, part) =>
      part?.kind === "low-side-array"
        ? bears(part, modelOf(part.stock, "low-side-array").maximumVoltage, ["maximum-voltage"])
        : undefined,
    of: (s) => s.volt,
  },
  {
    id: "pin",
    unit: "mA",
    name: "current through a controller pin's own diode",
    title: (v, ref, event) => `${ref} passes ${v} through its pin's diode in the ${event}`,
    limit: (made, ref, part) => {
      const controller = made.body.controller ? made.part.get(made.body.controller) : undefined
      return part === undefined && controller && ref.startsWith(`${controller.ref}.`)
        ? bears(controller, 1000 * modelOf(controller.stock, "controller").clampCurrent, ["clamp-current"])
        : undefined
    },
    of: (s) => 1000 * s.ampere,
  },
]

function judgeAspect(
  made: MadeCircuit,
  aspect: Aspect,
  runs: readonly Solved[],
  figures: Figures,
): readonly Finding[] {
  let worst: Worst | undefined
  for (const { known, run } of runs) {
    if (known.name === aspect.without) continue
    for (const [ref, stress] of run.stress) {
      const limit = aspect.limit(made, ref, made.part.get(ref), run.event.end, airOf(made, run.event))
      if (!limit) continue
      const value = aspect.of(stress) * onShare(made, aspect, ref, run.event.end)
      if (!worst || value / limit.value > worst.value / worst.limit.value)
        worst = { ref, value, limit, known }
    }
  }
  if (!worst) return []
  const { ref, limit, known } = worst
  const part = made.part.get(ref)
  const figure = figures.solved(
    `drive.pulses.${aspect.id}`,
    `${aspect.name}, nearest to its limit over all pulses (${ref})`,
    worst.value,
    aspect.unit,
    [
      ...eventFacts(known),
      figures.supply("usual"),
      ...limit.facts.map((f) => stockFact(limit.stock, f)),
      ...(limit.own ?? []),
      part?.amount === undefined || part.kind === "led"
        ? undefined
        : fact(`drive.${ref.toLowerCase()}.value`, `${ref} as chosen`, part.amount, unitOf(part), {
            document: "the circuit, see the parts list",
            known: "computed",
          }),
    ],
    `${known.name}: ${known.what}`,
  )
  const sure = known.source.known === "read" && limit.source.known === "read"
  return [
    report.judge("pulse-part", {
      title: aspect.title(show(figure.value, aspect.unit), ref, known.name),
      where: { text: part ? `${part.kind} ${ref}` : `input ${ref}`, part: part?.ref ?? ref.split(".")[0]! },
      ...measuredBy(figure),
      limit: { value: Number(limit.value.toPrecision(6)), unit: aspect.unit, kind: "at most" },
      corner: `${known.name}: ${known.what}`,
      source: known.source,
      amberBelow: 0,
      atWorst: sure ? "red" : "amber",
      remedies: worst.value > limit.value ? remediesFor(made, worst) : [],
      ...(known.name === "jump start" && worst.value > limit.value
        ? { advice: "Leave the lights off while the engine is started from a 24 V battery." }
        : {}),
    }),
  ]
}

export const airOf = ({ lamp }: Pick<MadeCircuit, "lamp">, { celsius }: Event): number =>
  celsius ?? lamp.vehicle.ambient.highest

/** What lasts for a minute is not steady on a wire that flashes. */
function onShare(made: MadeCircuit, { id }: Aspect, ref: string, seconds: number): number {
  if (id !== "resistor-energy" || seconds <= lasting) return 1
  const nets = new Set(Object.values(made.part.get(ref)?.pins ?? {}))
  const wires = made.body.nets.flatMap((n) => (n.wire !== undefined && nets.has(n.name) ? [n.wire] : []))
  const flashes = made.lamp.vehicle.wires.some((w) => w.role === "flashing" && wires.includes(w.name))
  return flashes ? flashingShare.value : 1
}

interface Worst {
  readonly ref: string
  readonly value: number
  readonly limit: Limit
  readonly known: KnownEvent
}

/** What keeps the pulse from the part, or lets less of it through. */
function remediesFor(made: MadeCircuit, { ref, value, limit, known }: Worst): Remedy[] {
  const part = made.part.get(ref)
  const name = part?.home.kind === "group" ? part.home.group : undefined
  const group = made.groups.find((g) => g.plan.group.name === name)
  // A load dump that nothing clamps reaches every part: what helps one leaves the next.
  if (known.name === "load dump") return clampedSupply(made.lamp)
  if (!group || !name) return []
  if (part?.kind === "led" && !group.pinned.ohm)
    return lessCurrent(name, group.strings.full, value, limit.value)
  if (part?.kind === "resistor" && group.resistors.flat().includes(ref) && limit.facts.includes("rated"))
    return largerBody(name, modelOf(part.stock, "resistor").rated, value, limit.value)
  return []
}

const unitOf = (part: Part) => (part.kind === "resistor" ? "Ω" : part.kind === "capacitor" ? "F" : "")

/** What the pulse itself is made of. */
function eventFacts(known: KnownEvent) {
  if (known.name === "jump start") return [stockFact("supply", "jump-start")]
  if (known.name === "battery reversed")
    return [stockFact("supply", "reversed"), stockFact("diode-1n4007", "leakage")]
  if (known.name.startsWith("pulse ")) return [stockFact("supply", known.name.replace(" ", "-"))]
  if (known.name.startsWith("starting")) {
    const level = known.name.split(" ").pop()!
    return [stockFact("supply", `starting-${level}.dip`), stockFact("supply", `starting-${level}.plateau`)]
  }
  return known.name === "load dump"
    ? [limitFigures.unclampedVolt, limitFigures.dumpOhm, limitFigures.dumpTime]
    : [limitFigures.surgeVolt, limitFigures.dumpOhm, limitFigures.surgeTime]
}

/** Starting the engine: the controller should live through the mild profile; the hard one may start it again. */
function judgeStarting(made: MadeCircuit, runs: readonly Solved[], figures: Figures): Finding[] {
  const { controller } = made
  if (!controller) return []
  const chip = modelOf(controller.stock, "controller")
  return runs.flatMap(({ known, run }) => {
    if (!known.name.startsWith("starting") || Number.isNaN(run.fiveLeast)) return []
    const level = known.name.split(" ").pop()!
    const figure = figures.solved(
      `drive.starting.${level.toLowerCase()}`,
      `lowest supply of the controller while starting, level ${level}`,
      run.fiveLeast,
      "V",
      [
        ...eventFacts(known),
        stockFact("regulator-lm2940", "dropout"),
        stockFact("diode-1n4007", "forward-voltage"),
        stockFact("capacitor-22u-63v", "capacitance"),
      ],
      known.what,
    )
    const lives = run.fiveLeast >= chip.supply.low
    return [
      report.judge("starting", {
        title: `${known.name}: the controller's supply falls to ${show(figure.value, "V")}${lives ? "" : ", it starts again; the lights stay on"}`,
        where: { text: "controller supply", part: controller.regulator },
        ...measuredBy(figure),
        limit: { value: chip.supply.low, unit: "V", kind: "at least" },
        corner: known.what,
        source: known.source,
        amberBelow: 0,
        atWorst: "amber",
      }),
    ]
  })
}

function stressesOf(made: MadeCircuit, { event, stress }: EventRun): PulseStress[] {
  const round = (v: number) => Number(v.toPrecision(4)) + 0
  return [...stress].flatMap(([ref, s]) => {
    if (!made.part.has(ref)) return []
    return [
      {
        event: event.name,
        what: event.what,
        part: ref,
        highest: round(Math.round(s.volt * 1e6) / 1e6),
        lowest: round(Math.round(s.least * 1e6) / 1e6),
        current: round(Math.round(s.ampere * 1e9) / 1e9),
        energy: round(Math.round(s.joule * 1e12) / 1e12),
      },
    ]
  })
}
