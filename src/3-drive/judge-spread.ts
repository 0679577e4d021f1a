// What the tolerances do to a group: one at a time, which of them eats the reserve to its limits; and all together by
// lot, how many lamps built from ordinary parts keep every limit.

import { type Figure, fact, measuredBy } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { computed, type Source } from "../0-ground/source.ts"
import { show, showNumber } from "../0-ground/text/show.ts"
import type { Candidate } from "./artefact.ts"
import { type CornerCase, liveSets, programmeDrive } from "./corners.ts"
import type { GroupLots, LotsAsk, LotsSeen } from "./count-lots.ts"
import { type Figures, limitFigures, solvedAs, stockFact } from "./drive-figures.ts"
import { report } from "./drive-findings.ts"
import { surerWay } from "./drive-remedies.ts"
import { fittedResistor, resistorsOf } from "./group-figures.ts"
import { leastShare } from "./limits.ts"
import { extreme, groupPlace, ledsOf, levelOf, type MadeCircuit } from "./made-circuit.ts"
import { modelCircuit, type Tolerance } from "./model-circuit.ts"
import { rearRelay } from "./relay-coil.ts"
import { type OperatingPoint, operatingPoint, real } from "./solver/operating-point.ts"
import { wilson } from "./wilson.ts"
import type { WrittenGroup } from "./write-group.ts"

/** `groupOf`: channel → group. */
export function judgeSpread(
  made: MadeCircuit,
  groupOf: ReadonlyMap<number, string>,
  figures: Figures,
): Finding[] {
  const solve = cachedSolver(made, groupOf)
  return made.groups.flatMap((group) => judgeTolerances(made, group, solve, figures))
}

type Cause = Tolerance | "supply" | "temperature"

const causes: Readonly<Record<Cause, string>> = {
  supply: "supply",
  temperature: "temperature",
  leds: "forward voltage of the LEDs",
  resistors: "resistors",
  diodes: "diodes",
  switches: "switches",
  regulators: "regulator's voltage",
  transistors: "transistors",
  relays: "relay's coil",
}

type End = "strongest" | "weakest"
type Solve = (live: readonly string[], cause: Cause | undefined, end: End) => OperatingPoint

/** The circuit with one cause at its end and everything else usual; a set and cause is solved once for all groups. */
function cachedSolver(made: MadeCircuit, groupOf: ReadonlyMap<number, string>): Solve {
  const known = new Map<string, OperatingPoint>()
  const { supply, ambient } = made.lamp.vehicle
  return (live, cause, end) => {
    const key = `${live.join("+")} ${cause} ${end}`
    const before = known.get(key)
    if (before) return before
    const strong = end === "strongest"
    const volt = cause === "supply" ? (strong ? supply.highest : supply.lowest) : supply.usual
    const celsius = cause === "temperature" ? (strong ? ambient.highest : ambient.lowest) : 25
    const part = cause === undefined || cause === "supply" || cause === "temperature" ? undefined : cause
    const network = modelCircuit(made.body, made.lamp, {
      wires: new Map(live.map((w) => [w, volt])),
      parts: part ? end : "usual",
      ...(part ? { only: part } : {}),
      celsius,
      drive: programmeDrive(made.lamp, groupOf, live),
    })
    const point = operatingPoint(
      network,
      real,
      cause === undefined ? undefined : known.get(`${live.join("+")} undefined ${end}`),
    )
    known.set(key, point)
    return point
  }
}

/** Which tolerance takes most of the way from the usual current to the limit, upwards; and downwards. */
function judgeTolerances(made: MadeCircuit, group: WrittenGroup, solve: Solve, figures: Figures): Finding[] {
  const { plan } = group
  const id = `drive.${plan.group.name}`
  const limit = figures.get(`${id}.current-limit`)
  const most = extreme(made.solved, ledsOf(group), (p, ref) => p.current(ref))
  const least = dimmest(made, group)
  if (!limit || !most || !least) return []
  const up = swings(made, group, solve, figures, { ...most, end: "strongest", id: `${id}.eats` })
  const down = swings(made, group, solve, figures, { ...least, end: "weakest", id: `${id}.eats-light` })
  if (!up || !down) return []
  const words = (s: Swings, reserve: number) =>
    s.all
      .filter((f) => f.value > 0.01 * reserve)
      .map((f) => `${f.cause} ${showNumber((100 * f.value) / reserve, 2)} %`)
      .join(", ")
  const above = figures.result(
    `${id}.reserve`,
    `reserve of ${plan.group.name} from its usual LED current to the limit`,
    limit.value - up.usual.value,
    "mA",
    "limit − current at usual supply, 25 °C, usual parts",
    [limit, up.usual],
  )
  const below = figures.result(
    `${id}.reserve-light`,
    `reserve of ${plan.group.name} from its usual LED current down to the least share`,
    down.usual.value * (1 - leastShare.value),
    "mA",
    "usual current × (1 − least share)",
    [down.usual, limitFigures.leastShare],
  )
  const where = groupPlace(made, group)
  return [
    report.judge("tolerance", {
      title: `${plan.group.name}: most of its reserve to the current limit goes to ${up.worst.cause}`,
      where,
      ...measuredBy(up.worst.figure),
      limit: { value: above.value, unit: "mA", kind: "at most" },
      corner: "one thing at its strongest end, all else usual",
      advice: `Of ${show(above.value, "mA")} from the usual current to the limit: ${words(up, above.value)}.`,
      amberBelow: 0,
      atWorst: "amber",
    }),
    report.judge("tolerance", {
      title: `${plan.group.name}: most of its light at the lowest supply goes to ${down.worst.cause}`,
      where,
      ...measuredBy(down.worst.figure),
      limit: { value: below.value, unit: "mA", kind: "at most" },
      corner: "one thing at its weakest end, all else usual",
      advice: `Of ${show(below.value, "mA")} from the usual current to the least that lights: ${words(down, below.value)}.`,
      amberBelow: 0,
      atWorst: "amber",
    }),
  ]
}

/** The LED and the live wires of the least share of light. */
function dimmest(made: MadeCircuit, group: WrittenGroup) {
  const lit = made.solved.filter((s) => s.at.parts === "weakest" && levelOf(group, s.at.live) > 0)
  return extreme(
    lit.filter((s) => s.at.supply === made.lamp.vehicle.supply.lowest),
    ledsOf(group),
    (p, ref) => p.current(ref),
    "least",
  )
}

interface Swings {
  readonly usual: Figure
  /** Greatest first. */
  readonly all: readonly { readonly cause: string; readonly value: number; readonly figure: Figure }[]
  readonly worst: { readonly cause: string; readonly figure: Figure }
}

function swings(
  made: MadeCircuit,
  group: WrittenGroup,
  solve: Solve,
  figures: Figures,
  {
    ref,
    at,
    end,
    id,
  }: { readonly ref: string; readonly at: CornerCase; readonly end: End; readonly id: string },
): Swings | undefined {
  const usually = solve(at.live, undefined, end)
  if (!usually.converged) return undefined
  const from = resistorsOf(made, group, figures, ref)
  const now = 1000 * usually.current(ref)
  const usual = solvedAs(`${id}.usual`, `current of ${ref} with ${at.live.join(" and ")} live`, now, "mA", [
    figures.supply("usual"),
    ...from,
    stockFact(group.led.key, "forward-voltage"),
  ])
  const fed = factsOf(made, group, figures, end)
  const all = (Object.keys(causes) as Cause[])
    .flatMap((cause) => {
      const point = solve(at.live, cause, end)
      const change = (1000 * point.current(ref) - now) * (end === "strongest" ? 1 : -1)
      // A cause that works the other way eats nothing.
      const value = Math.max(0, change)
      if (!point.converged || !(value > 1e-4)) return []
      const figure = figures.solved(
        `${id}.${cause}`,
        `what ${causes[cause]} alone takes of the reserve of ${group.plan.group.name}`,
        value,
        "mA",
        [usual, ...fed[cause]],
        `${causes[cause]} at its ${end} end, all else usual, ${at.live.join(" + ")} live`,
      )
      return [{ cause: causes[cause], value: figure.value, figure }]
    })
    .sort((a, b) => b.value - a.value)
  return all[0] ? { usual, all, worst: all[0] } : undefined
}

/** What each cause moves between. */
function factsOf(
  made: MadeCircuit,
  group: WrittenGroup,
  figures: Figures,
  end: End,
): Readonly<Record<Cause, readonly (Figure | undefined)[]>> {
  const strong = end === "strongest"
  const stocks = new Set(made.body.parts.map((p) => p.stock))
  const some = (key: string, name: string) => (stocks.has(key) ? stockFact(key, name) : undefined)
  return {
    supply: [figures.supply(strong ? "highest" : "lowest")],
    temperature: [
      figures.ambient(strong ? "highest" : "lowest"),
      stockFact(group.led.key, "voltage-per-kelvin"),
    ],
    leds: [stockFact(group.led.key, strong ? "forward-voltage-low" : "forward-voltage-high")],
    resistors: [
      stockFact(fittedResistor(made, group), "tolerance"),
      stockFact(fittedResistor(made, group), "per-kelvin"),
    ],
    diodes: [stockFact("diode-1n4007", "spread")],
    switches: [stockFact("array-uln2803a", "drop-20")],
    regulators: [
      some("regulator-lm317", strong ? "reference-high" : "reference-low"),
      some("regulator-lm2940", strong ? "out-high" : "out-low"),
    ],
    transistors: [some("transistor-bc547", strong ? "base-emitter-high" : "base-emitter-low")],
    relays: [some(rearRelay, "coil-tolerance")],
  }
}

const interval: Source = {
  document: "E. B. Wilson, J. Am. Stat. Assoc. 22 (1927), p. 209: interval of a share",
  known: "memory",
  confidence: "H",
}
/** A one-off is built once: of a hundred builds at most one may miss a limit. */
const leastYield = 0.99

interface LotsOf {
  readonly lots: LotsAsk
  /** The groups, in the order of the lots' own. */
  readonly counted: readonly WrittenGroup[]
}

/** What is to be counted; undefined when no group keeps a limit. */
export function lotsAsk(
  made: MadeCircuit,
  groupOf: ReadonlyMap<number, string>,
  lamps: number,
  figures: Figures,
): LotsOf | undefined {
  const { lamp, body } = made
  const found = made.groups.flatMap((group) => {
    const asked = groupLots(made, group, figures)
    return asked ? [{ group, asked }] : []
  })
  if (found.length === 0 || lamps === 0) return undefined
  const groups = found.map((f) => f.asked)
  const { vehicle, programme, seed } = lamp
  const sets = ordered(liveSets(lamp, []), groups)
  return {
    lots: {
      body,
      lamp: { vehicle, programme, seed },
      groupOf: [...groupOf],
      sets,
      lamps,
      groups,
    },
    counted: found.map((f) => f.group),
  }
}

/** All tolerances by lot. A lamp is kept when each of its groups keeps its limits with every set of live wires. */
export function judgeYield(
  made: MadeCircuit,
  { lots: { lamps }, counted }: LotsOf,
  seen: LotsSeen,
  candidates: readonly Candidate[],
  figures: Figures,
): Finding[] {
  const corner = `${lamps} lamps by lot, each with every wire that may be live`
  return counted.map((group, g) => {
    const t = seen.groups[g]!
    const { name } = group.plan.group
    const id = `drive.${name}.yield`
    const kept = Math.max(0, lamps - t.missed - seen.stuck)
    const share = figures.result(
      id,
      `lamps by lot in which ${name} keeps its limits`,
      (100 * kept) / lamps,
      "%",
      "kept ÷ drawn; every part drawn evenly between the ends of its tolerance, supply and temperature between lowest and highest; an LED above the limit, below the least share, or a stop light too near the position light misses",
      [
        fact(`${id}.kept`, "lamps that keep their limits", kept, "", computed("counted")),
        fact(`${id}.drawn`, "lamps drawn", lamps, "", computed("chosen: enough to tell one in a hundred")),
        limitOf(group, figures),
        limitFigures.leastShare,
        figures.supply("lowest"),
        figures.supply("highest"),
        figures.ambient("lowest"),
        figures.ambient("highest"),
        stockFact(group.led.key, "forward-voltage-low"),
        stockFact(group.led.key, "forward-voltage-high"),
        stockFact(fittedResistor(made, group), "tolerance"),
        stockFact("diode-1n4007", "spread"),
      ],
      corner,
    )
    const { low, high } = wilson(kept, lamps)
    const sure = figures.result(
      `${id}-sure`,
      `share of lamps in which ${name} keeps its limits, at least, 95 % sure`,
      100 * low,
      "%",
      "lower end of the 95 % interval of a share: (p + z²/2n − z·√(p(1 − p)/n + z²/4n²)) ÷ (1 + z²/n), z = 1.96",
      [share, fact(`${id}-sure.interval`, "z of a 95 % interval, both sides", 1.959964, "", interval)],
      corner,
    )
    const why = [
      t.tooMuch > 0 ? `${t.tooMuch} times too much current` : "",
      t.tooLittle > 0 ? `${t.tooLittle} times too little light` : "",
      t.tooAlike > 0 ? `${t.tooAlike} times stop too near position` : "",
    ].filter((w) => w !== "")
    return report.judge("yield", {
      title: `${name}: ${kept} of ${lamps} lamps by lot keep their limits (${showNumber(100 * low, 4)}…${showNumber(100 * high, 4)} %, 95 % sure)`,
      where: groupPlace(made, group),
      ...measuredBy(sure),
      limit: { value: 100 * leastYield, unit: "%", kind: "at least" },
      corner,
      amberBelow: 0,
      atWorst: "amber",
      ...(low < leastYield ? { remedies: surerWay(candidates, name) } : {}),
      ...(why.length > 0
        ? { advice: `Missed by: ${why.join(", ")}. See which tolerance eats the reserve.` }
        : {}),
    })
  })
}

/** The set of the position light alone before the one of stop and position, which is compared with it. */
function ordered(sets: readonly (readonly string[])[], groups: readonly GroupLots[]): (readonly string[])[] {
  const first = new Set(groups.map((g) => g.low))
  const rank = (s: readonly string[]) => (first.has(s.join("+")) ? 0 : 1)
  return [...sets].sort((a, b) => rank(a) - rank(b))
}

const limitOf = (group: WrittenGroup, figures: Figures) =>
  figures.get(`drive.${group.plan.group.name}.current-limit`)

function groupLots(made: MadeCircuit, group: WrittenGroup, figures: Figures): GroupLots | undefined {
  const limit = limitOf(group, figures)
  const refs = ledsOf(group)
  if (!limit) return undefined
  const usual = made.solved.filter((s) => s.at.parts === "usual" && levelOf(group, s.at.live) > 0)
  if (usual.length === 0) return undefined
  const floor = Object.fromEntries(
    usual.map(({ at, point }) => [
      at.live.join("+"),
      refs.map((ref) => leastShare.value * point.current(ref)),
    ]),
  )
  const { functions } = group.plan.group
  const both = functions.includes("stop") && functions.includes("rear-position")
  const brightest = Math.max(...usual.map((s) => levelOf(group, s.at.live)))
  const dim = usual.find((s) => levelOf(group, s.at.live) < brightest)
  const bright =
    dim &&
    usual.find(
      (s) => levelOf(group, s.at.live) === brightest && dim.at.live.every((w) => s.at.live.includes(w)),
    )
  const compare = both && group.plan.topology !== "switched" && dim && bright
  return {
    refs,
    limit: limit.value,
    floor,
    ...(compare ? { low: dim.at.live.join("+"), high: bright.at.live.join("+") } : {}),
  }
}
