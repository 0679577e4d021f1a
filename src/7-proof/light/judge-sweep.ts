// Flashing and sweeping: rate and on-time of the wires, shape and time of each sweep.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import { described } from "../../0-ground/source.ts"
import { type Rule, sweepRules, timingRules } from "../../1-stock/lighting-rules.ts"
import type { Group, Hole, Lamp, ProgrammeLine, Wire } from "../../2-lamp/artefact.ts"
import type { LightTrace } from "../artefact.ts"
import { measuredOn, nothingTold, readOff, type Told } from "../told.ts"
import { light } from "./light-findings.ts"
import { moreHoles } from "./more-holes.ts"
import { atWorst, ruleNamed, whereOf } from "./rules-for.ts"
import { type SweepShape, sweepShape } from "./sweep-shape.ts"
import { firstLight, flashesOf, type SweepTime, sweepTimes } from "./sweep-times.ts"

/** The rule asks for an even sweep and gives no number: half the mean step either way is ours. */
const unevenStep = 0.5

export function judgeFlashing(lamp: Lamp): Told {
  const told = nothingTold()
  const used = new Set(lamp.programme.flatMap((l) => l.when))
  const timing = timingRules.filter(
    (r) => r.books.includes(lamp.vehicle.rules) && r.functions.includes("direction-indicator"),
  )
  for (const w of lamp.vehicle.wires) {
    if (w.role !== "flashing" || !used.has(w.name)) continue
    const path = `vehicle.wires.${w.name}`
    /** Against the nearer of a rule's two ends. */
    const within = (
      code: "flash-rate" | "on-share",
      title: string,
      rule: Rule,
      value: number,
      scale: number,
      unit: string,
    ) => {
      const low = (rule.low ?? 0) * scale
      const high = (rule.high ?? Number.POSITIVE_INFINITY) * scale
      const atLow = value - low < high - value
      const figure = fact(`light.wire.${w.name}.${code}`, title, value, unit, described(path))
      told.figures.push(figure)
      told.findings.push(
        light.judge(code, {
          title,
          where: { text: `wire ${w.name}`, wire: w.name, path },
          ...measuredBy(figure),
          limit: { value: atLow ? low : high, unit, kind: atLow ? "at least" : "at most" },
          source: rule.source,
          remedies: value < low || value > high ? [otherFlasher(code, w)] : [],
          ...atWorst(rule.source),
        }),
      )
    }
    const rate = timing.find((r) => r.unit === "/min")
    if (rate && w.rate !== undefined)
      within("flash-rate", `Flash rate of ${w.name}, as described`, rate, w.rate * 60, 1, "/min")
    const share = timing.find((r) => r.id === "T-08")
    if (share && w.onShare !== undefined)
      within("on-share", `On-time share of ${w.name}, as described`, share, w.onShare * 100, 100, "%")
  }
  return told
}

/** The middle of what the rules allow, from a flasher that keeps it whatever it feeds. */
function otherFlasher(code: "flash-rate" | "on-share", w: Wire): Remedy {
  const key = code === "flash-rate" ? "rate" : "on-share"
  const value = code === "flash-rate" ? "90 /min" : "50 %"
  return {
    says: `Fit a load-independent flasher of ${value} in the vehicle.`,
    changes: [
      { path: `vehicle.wires.${w.name}.${key}`, value },
      ...(w.flasher === "electronic"
        ? []
        : [{ path: `vehicle.wires.${w.name}.flasher`, value: "electronic" }]),
    ],
    gives: { value: code === "flash-rate" ? 90 : 50, unit: code === "flash-rate" ? "/min" : "%" },
  }
}

/**
 * From operating the control to the first light and the first extinction: a flasher that begins with its dark phase
 * (the later kind) and the lamp's own delay as the bench shows it.
 */
export function judgeStart(lamp: Lamp, trace: LightTrace | undefined): Told {
  const told = nothingTold()
  for (const line of lamp.programme) {
    const group = lamp.groups.find((g) => g.name === line.light)
    const wire = lamp.vehicle.wires.find((w) => w.role === "flashing" && line.when.includes(w.name))
    if (!group?.functions.includes("direction-indicator") || !wire?.rate || wire.onShare === undefined)
      continue
    if (trace) seenFlashes(lamp, group, line, wire, trace, told)
    const own = trace ? firstLight(trace, group, line.when) : undefined
    if (!own) continue
    const path = `vehicle.wires.${wire.name}`
    const id = (name: string) => `light.${group.name}.${name}.${line.when.join("-")}`
    const wired = (name: "flash-rate" | "on-share", title: string, value: number, unit: string) =>
      fact(`light.wire.${wire.name}.${name}`, title, value, unit, described(path))
    const rate = wired("flash-rate", `Flash rate of ${wire.name}, as described`, wire.rate * 60, "/min")
    const share = wired("on-share", `On-time share of ${wire.name}, as described`, wire.onShare * 100, "%")
    const seen = (name: string, title: string, seconds: number) =>
      fact(id(name), title, 1000 * seconds, "ms", measuredOn("light on the virtual bench", "slowest flash"))
    const lit = result(
      id("first-light"),
      `first light of ${group.name} after the control is operated, at the latest`,
      (1 - wire.onShare) / wire.rate + own.lit,
      "s",
      "dark phase of a flasher that begins with it ((1 − share) × 60 ÷ rate) + the lamp's own delay",
      [rate, share, seen("own-delay", "from the wire's rise to the first light", own.lit)],
    )
    const dark = result(
      id("first-dark"),
      `first extinction of ${group.name} after the control is operated, at the latest`,
      1 / wire.rate + own.dark,
      "s",
      "one period of a flasher that begins with its dark phase (60 ÷ rate) + the lamp's own fall",
      [rate, seen("own-fall", "from the wire's fall to dark", own.dark)],
    )
    const out = result(
      id("first-dark-closed"),
      `first extinction of ${group.name} after the control is operated, of a flasher that begins with light`,
      wire.onShare / wire.rate + own.dark,
      "s",
      "light phase of the flasher (share × 60 ÷ rate) + the lamp's own fall",
      [rate, share, seen("own-fall", "from the wire's fall to dark", own.dark)],
    )
    // What a flasher of 90 per minute and half of the time would make of each.
    const [period, half] = [60 / 90, 30 / 90]
    for (const [code, figure, rule, then] of [
      ["first-light", lit, ruleNamed(timingRules, lamp, "T-06"), half + own.lit],
      ["first-dark", dark, ruleNamed(timingRules, lamp, "T-07"), period + own.dark],
      ["first-dark", out, ruleNamed(timingRules, lamp, "V-05b"), half + own.dark],
    ] as const) {
      if (rule?.high === undefined) continue
      told.figures.push(figure)
      told.findings.push(
        light.judge(code, {
          title: figure.name,
          where: { ...whereOf({ group }), wire: wire.name },
          ...measuredBy(figure),
          limit: { value: rule.high, unit: "s", kind: "at most" },
          source: rule.source,
          remedies:
            figure.value > rule.high ? sooner(lamp, line, wire, code, figure.value, rule.high, then) : [],
          ...atWorst(rule.source),
        }),
      )
    }
  }
  return told
}

/** A flasher of 90 per minute where that does; else a shorter fall, where the fall is what takes long. */
function sooner(
  lamp: Lamp,
  line: ProgrammeLine,
  wire: Wire,
  code: "first-light" | "first-dark",
  now: number,
  limit: number,
  then: number,
): Remedy[] {
  if (then <= limit) {
    const { gives: _, ...flasher } = otherFlasher("flash-rate", wire)
    const half = otherFlasher("on-share", wire).changes
    return [
      {
        ...flasher,
        says: "Fit a load-independent flasher of 90 /min and 50 % in the vehicle.",
        changes: [...flasher.changes, ...half.filter((c) => flasher.changes.every((d) => d.path !== c.path))],
        gives: { value: then, unit: "s" },
      },
    ]
  }
  const fall = Math.floor((1000 * (line.fall - (now - limit)) * 0.97) / 5) * 5
  if (code !== "first-dark" || fall < 0) return []
  return [
    {
      says: `Let ${line.light} fall within ${fall} ms.`,
      changes: [{ path: `programme.${lamp.programme.indexOf(line)}.fall`, value: `${fall} ms` }],
      gives: { value: now - (line.fall - fall / 1000), unit: "s" },
    },
  ]
}

/** Rate and lit share of the light itself, with the flasher as described. */
function seenFlashes(
  lamp: Lamp,
  group: Group,
  line: ProgrammeLine,
  wire: Wire,
  trace: LightTrace,
  told: Told,
): void {
  const seen = flashesOf(trace, group, line.when)
  const rates = timingRules.find((r) => r.unit === "/min" && r.books.includes(lamp.vehicle.rules))
  if (!seen || rates?.low === undefined || rates.high === undefined) return
  const id = (name: string) => `light.${group.name}.${name}.${line.when.join("-")}`
  const [slow, fast] = [60 / seen.longest, 60 / seen.shortest]
  const atLow = slow - rates.low < rates.high - fast
  const rate = fact(
    id("flashes"),
    `flash rate of the light of ${group.name}`,
    atLow ? slow : fast,
    "/min",
    measuredOn("light on the virtual bench", `${atLow ? "slowest" : "fastest"} flash`),
  )
  told.figures.push(rate)
  told.findings.push(
    light.judge("flash-rate", {
      title: `Flash rate of the light of ${group.name}, as seen on the bench`,
      where: { ...whereOf({ group }), wire: wire.name },
      ...measuredBy(rate),
      limit: { value: atLow ? rates.low : rates.high, unit: "/min", kind: atLow ? "at least" : "at most" },
      source: rates.source,
      remedies: slow < rates.low || fast > rates.high ? [otherFlasher("flash-rate", wire)] : [],
      ...atWorst(rates.source),
    }),
  )
  const shares = ruleNamed(timingRules, lamp, "T-08")
  if (shares?.low === undefined || shares.high === undefined) return
  const low = seen.lit - shares.low < shares.high - seen.lit
  const share = fact(
    id("lit-share"),
    `share of a flash in which ${group.name} has light`,
    100 * seen.lit,
    "%",
    measuredOn("light on the virtual bench", "mean over the flashes"),
  )
  told.figures.push(share)
  told.findings.push(
    light.judge("on-share", {
      title: `Share of a flash in which ${group.name} has light, as seen on the bench`,
      where: { ...whereOf({ group }), wire: wire.name },
      ...measuredBy(share),
      limit: {
        value: 100 * (low ? shares.low : shares.high),
        unit: "%",
        kind: low ? "at least" : "at most",
      },
      source: shares.source,
      remedies: seen.lit < shares.low || seen.lit > shares.high ? [otherFlasher("on-share", wire)] : [],
      ...atWorst(shares.source),
    }),
  )
}

export function judgeSweeps(lamp: Lamp, trace: LightTrace | undefined): Told {
  const told = nothingTold()
  for (const line of lamp.programme) {
    const group = lamp.groups.find((g) => g.name === line.light)
    if (!line.sweep || !group?.functions.includes("direction-indicator")) continue
    const judge = (
      code: "sweep-turns" | "sweep-gap" | "sweep-box" | "sweep-uniform" | "sweep-finished",
      id: string,
      title: string,
      figure: Figure,
      limit: "high" | "low" | number,
      corner?: string,
      remedies?: readonly Remedy[],
    ) => {
      const rule = ruleNamed(sweepRules, lamp, id)
      if (!rule) return
      const scale = figure.unit === "ms" ? 1000 : 1
      const value = limit === "high" ? (rule.high ?? 0) * scale : limit === "low" ? (rule.low ?? 0) : limit
      told.figures.push(figure)
      told.findings.push(
        light.judge(code, {
          title,
          where: whereOf({ group }),
          ...measuredBy(figure),
          limit: { value, kind: limit === "low" ? "at least" : "at most", unit: figure.unit },
          source: rule.source,
          amberBelow: 0,
          ...(corner ? { corner } : {}),
          ...(remedies ? { remedies } : {}),
          ...atWorst(rule.source),
        }),
      )
    }
    const { name } = group
    const seen = trace ? sweepTimes(trace, group, line.when) : undefined
    const { bare, ...shape } = shapeFigures(lamp, group)
    const ordered = ruleNamed(sweepRules, lamp, "Q-03")
    const backward = seen ? litBackward(bare, seen) : bare.backward
    if (ordered)
      told.findings.push(
        light.judge("sweep-order", {
          title: seen
            ? `LEDs of ${name} that light before one nearer to the vehicle's middle, as seen on the bench`
            : `LEDs of ${name} that step back inward`,
          where: whereOf({ group }),
          measured: { value: backward, unit: "" },
          limit: { value: 0, kind: "exactly", unit: "" },
          source: ordered.source,
          remedies:
            backward > 0
              ? otherOrder(
                  lamp,
                  group,
                  () => true,
                  (x) => x.backward,
                  "",
                )
              : [],
          ...atWorst(ordered.source),
        }),
      )
    const held = ruleNamed(sweepRules, lamp, "Q-02")
    if (held && seen)
      told.findings.push(
        light.judge("sweep-held", {
          title: `LEDs of ${name} that go out before the wire does, as seen on the bench`,
          where: whereOf({ group }),
          measured: { value: Math.max(...seen.map((s) => s.dropped)), unit: "" },
          limit: { value: 0, kind: "exactly", unit: "" },
          source: held.source,
          ...atWorst(held.source),
        }),
      )
    const turnsMost = ruleNamed(sweepRules, lamp, "Q-04")?.high ?? 1
    judge(
      "sweep-turns",
      "Q-04",
      `Vertical turns along ${name}`,
      shape.turns,
      "high",
      undefined,
      shape.turns.value > turnsMost
        ? otherOrder(
            lamp,
            group,
            (x) => x.turns <= turnsMost,
            (x) => x.turns,
            "",
          )
        : [],
    )
    const gapMost = ruleNamed(sweepRules, lamp, "Q-06")?.high ?? 50
    judge(
      "sweep-gap",
      "Q-06",
      `Widest gap along ${name}`,
      shape.gap,
      "high",
      undefined,
      shape.gap.value > gapMost
        ? [
            ...otherOrder(
              lamp,
              group,
              (x) => x.gap <= gapMost,
              (x) => x.gap,
              "mm",
            ),
            ...moreHoles(lamp, group, shape.gap.value, gapMost),
          ]
        : [],
    )
    judge("sweep-box", "Q-09", `Width to height of ${name}`, shape.box, "low")
    const pace = seen ? paceFigure(group, bare, seen) : undefined
    judge(
      "sweep-uniform",
      "Q-03",
      pace ? `Most uneven speed along ${name}, as seen on the bench` : `Most uneven step along ${name}`,
      pace ?? shape.uneven,
      unevenStep * 100,
      undefined,
      (pace ?? shape.uneven).value > unevenStep * 100
        ? otherOrder(
            lamp,
            group,
            (x) => x.uneven <= unevenStep,
            (x) => 100 * x.uneven,
            "%",
          )
        : [],
    )
    const limit = ruleNamed(sweepRules, lamp, "Q-05")?.high ?? 0.2
    const figure = finishedFigure(name, line, seen)
    judge(
      "sweep-finished",
      "Q-05",
      seen
        ? `Sweep of ${name} finished after its wire went live, as seen on the bench`
        : `Sweep of ${name} finished, as described`,
      figure,
      "high",
      seen ? `slowest of ${seen.length} flashes` : undefined,
      figure.value > 1000 * limit ? [faster(lamp, line, figure.value, 1000 * limit)] : [],
    )
  }
  return told
}

/** LEDs that had half their level more than one step of the trace before a nearer one; the worst flash. */
function litBackward({ outward: place }: SweepShape, seen: readonly SweepTime[]): number {
  const byPlace = place.map((x, k) => ({ x, k })).sort((a, b) => a.x - b.x || a.k - b.k)
  return Math.max(
    0,
    ...seen.map((s) => {
      let latest = Number.NEGATIVE_INFINITY
      let count = 0
      for (const { k } of byPlace) {
        if (s.lit[k]! < latest - traceSlack) count++
        latest = Math.max(latest, s.lit[k]!)
      }
      return count
    }),
  )
}

/** The trace has a sample every four milliseconds; what lights within two counts as lit together. */
const traceSlack = 0.008

/** Speed from each step of LEDs that light together to the next, against the mean speed; the most uneven flash. */
function paceFigure(
  group: Group,
  { outward: place }: SweepShape,
  seen: readonly SweepTime[],
): Figure | undefined {
  let worst: { off: number; speed: number; mean: number } | undefined
  for (const { lit } of seen) {
    const order = lit.map((t, k) => ({ t, x: place[k]! })).sort((a, b) => a.t - b.t || a.x - b.x)
    const steps: { t: number; x: number; n: number }[] = []
    for (const { t, x } of order) {
      const last = steps[steps.length - 1]
      if (last && t - last.t / last.n < traceSlack) {
        last.t += t
        last.x += x
        last.n++
      } else steps.push({ t, x, n: 1 })
    }
    const middles = steps.map((s) => ({ t: s.t / s.n, x: s.x / s.n }))
    const [first, last] = [middles[0], middles[middles.length - 1]]
    if (!first || !last || middles.length < 3) continue
    const mean = (last.x - first.x) / (last.t - first.t)
    for (let k = 1; k < middles.length; k++) {
      const speed = (middles[k]!.x - middles[k - 1]!.x) / (middles[k]!.t - middles[k - 1]!.t)
      const off = Math.abs(speed / mean - 1)
      if (!worst || off > worst.off) worst = { off, speed, mean }
    }
  }
  if (!worst) return undefined
  const id = (name: string) => `light.${group.name}.sweep.${name}`
  const bench = (how: string) => measuredOn("light on the virtual bench", how)
  return result(
    id("uneven-speed"),
    `most uneven speed along ${group.name}`,
    100 * worst.off,
    "%",
    "|most uneven speed ÷ mean speed − 1|, from LEDs that light together to the next ones, outward",
    [
      fact(
        id("mean-speed"),
        "mean speed outward",
        worst.mean / 1000,
        "m/s",
        bench("first to last LED of a flash"),
      ),
      fact(
        id("odd-speed"),
        "most uneven speed outward",
        worst.speed / 1000,
        "m/s",
        bench("one step of a flash"),
      ),
    ],
  )
}

/** Orders that can be named, sorted by where LEDs stand in the face; `centre`: x of the centre line. */
const orders: readonly {
  readonly name: Group["order"]
  readonly by: (p: Hole, centre: number) => number
  readonly says: string
}[] = [
  { name: "outward", by: (p, c) => Math.abs(p.x - c), says: "outward" },
  { name: "left-to-right", by: (p) => p.x, says: "from left to right" },
  { name: "right-to-left", by: (p) => -p.x, says: "from right to left" },
]

/** Another order of the group's LEDs whose shape keeps what `kept` asks, tried one after the other. */
function otherOrder(
  lamp: Lamp,
  group: Group,
  kept: (shape: SweepShape) => boolean,
  gives: (shape: SweepShape) => number,
  unit: string,
): Remedy[] {
  const face = lamp.faces.find((f) => f.name === group.face)
  const patch = Math.min(face?.hole ?? 5, ...group.leds.map((l) => l.hole.diameter))
  for (const { name, by, says } of orders) {
    if (name === group.order || (name === "outward" && face?.centreLine === undefined)) continue
    const sorted = group.leds
      .map((l) => l.hole)
      .sort((a, b) => by(a, face?.centreLine ?? 0) - by(b, face?.centreLine ?? 0))
    const shape = sweepShape(sorted, patch, face?.centreLine)
    // A new order that runs inward would only trade one fault for another.
    if (shape.backward > 0 || !kept(shape)) continue
    return [
      {
        says: `Let ${group.name} light ${says}.`,
        changes: [
          // A list of holes, or a line to follow, gives way to a word.
          ...(group.order === "listed" || group.order === "path"
            ? [{ path: `groups.${group.name}.order`, value: null }]
            : []),
          { path: `groups.${group.name}.order`, value: name },
        ],
        gives: { value: gives(shape), unit },
      },
    ]
  }
  return []
}

/** A sweep shorter by what it took too long, and a little more. */
function faster(lamp: Lamp, line: ProgrammeLine, measured: number, limit: number): Remedy {
  const within = 1000 * (line.sweep?.within ?? 0)
  const next = Math.max(5, Math.floor((within - (measured - 0.97 * limit)) / 5) * 5)
  return {
    says: `Let the sweep of ${line.light} take ${next} ms.`,
    changes: [
      {
        path: `programme.${lamp.programme.indexOf(line)}.sweep.${line.sweep?.share === undefined ? "within" : "at-most"}`,
        value: `${next} ms`,
      },
    ],
    gives: { value: measured - (within - next), unit: "ms" },
  }
}

/** The line decides the id: a group may have several sweeping lines. */
function finishedFigure(group: string, line: ProgrammeLine, seen: ReturnType<typeof sweepTimes>): Figure {
  const id = `light.${group}.sweep-finished.${line.when.join("-")}`
  const title = `sweep of ${group} finished after its wire went live`
  if (!seen) return fact(id, title, 1000 * (line.sweep?.within ?? 0), "ms", described("programme"))
  const slowest = seen.reduce((a, b) => (b.finished > a.finished ? b : a))
  const how = `slowest of ${seen.length} flashes, at ${slowest.at.toFixed(2)} s: last LED at its level`
  return fact(id, title, 1000 * slowest.finished, "ms", measuredOn("light on the virtual bench", how))
}

/** The sweep's shape as figures, measured on the LEDs' places in the face. */
function shapeFigures(lamp: Lamp, group: Group) {
  const face = lamp.faces.find((f) => f.name === group.face)
  const patch = Math.min(face?.hole ?? 5, ...group.leds.map((l) => l.hole.diameter))
  const shape = sweepShape(
    group.leds.map((l) => ({ x: l.hole.x, y: l.hole.y })),
    patch,
    face?.centreLine,
  )
  const id = (name: string) => `light.${group.name}.sweep.${name}`
  const places = (how: string) => readOff(`the drawing of face ${group.face}`, how)
  const lit = fact(
    id("patch"),
    "diameter of a lit patch",
    patch,
    "mm",
    places("smallest LED hole of the group"),
  )
  const mm = (name: string, title: string, value: number, how: string) =>
    fact(id(name), title, value, "mm", places(how))
  return {
    bare: shape,
    turns: fact(
      id("turns"),
      `vertical turns along ${group.name}`,
      shape.turns,
      "",
      places("LED holes in sweep order: up after down, or down after up"),
    ),
    gap: result(
      id("gap"),
      `widest gap along ${group.name}`,
      shape.gap,
      "mm",
      "widest step between neighbours − diameter of a lit patch, at least 0",
      [mm("widest-step", "widest step between neighbours", shape.widest, "LED holes in sweep order"), lit],
    ),
    box: result(
      id("box"),
      `width to height of ${group.name}`,
      shape.box,
      "",
      "(width over the middles + patch) ÷ (height over the middles + patch)",
      [
        mm("width", "width over the middles of the LEDs", shape.width, "greatest x − least x"),
        mm("height", "height over the middles of the LEDs", shape.height, "greatest y − least y"),
        lit,
      ],
    ),
    uneven: result(
      id("uneven"),
      `most uneven step along ${group.name}`,
      shape.uneven * 100,
      "%",
      "|most uneven step − mean step| ÷ |mean step|, steps sideways",
      [
        mm("mean-step", "mean step sideways", shape.meanStep, "LED holes in sweep order"),
        mm("odd-step", "most uneven step sideways", shape.oddStep, "LED holes in sweep order"),
      ],
    ),
  }
}
