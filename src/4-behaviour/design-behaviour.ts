// Way in: the light programme of the groups the controller switches, ranked and timed, with what is wrong with it.
// What the rules mean for the light is told in SEMANTICS.md.

import { type Figure, fact, result } from "../0-ground/figure.ts"
import type { Finding, Where } from "../0-ground/finding.ts"
import { computed, described, type Source } from "../0-ground/source.ts"
import type { Group, Lamp, ProgrammeLine } from "../2-lamp/artefact.ts"
import type { Channel, Circuit } from "../3-drive/artefact.ts"
import type { Behaviour, BehaviourInput, BehaviourRule } from "./artefact.ts"
import { judge, state } from "./behaviour-findings.ts"
import { flasherTiming, shortestLegalOffMs, shortestLegalOnMs } from "./flasher-timing.ts"
import {
  floorCode,
  ioPins,
  longestFadeMs,
  longestSweepMs,
  mostChannels,
  mostInputs,
  mostRules,
} from "./table-layout.ts"

/** Looks are 1 ms apart, and what is decided shows 1 ms later. */
const lookMs = 1
const showMs = 1

interface Line {
  readonly index: number
  readonly line: ProgrammeLine
  readonly group: Group
  readonly channels: readonly Channel[]
  readonly live: readonly number[]
  readonly flashing: readonly number[]
}

export function designBehaviour(lamp: Lamp, circuit: Circuit): Behaviour {
  const inputs = readInputs(lamp, circuit)
  const findings: Finding[] = [...neverLit(lamp), ...contradictions(lamp)]
  const lines = switchedLines(lamp, circuit, inputs, findings)
  const rules = ranked(lines)
  findings.push(...lines.flatMap((l) => judgeLine(lamp, circuit, inputs, l)), ...dimmer(lamp))
  findings.push(...counts(inputs, circuit, rules))
  return {
    inputs,
    channels: circuit.channels.map((c) => ({ index: c.index, activeHigh: c.activeHigh })),
    rules,
    timing: flasherTiming,
    findings,
    figures: lines.flatMap((l) => figuresOf(circuit, inputs, l)),
  }
}

/** Inputs in the circuit's order. Wires of the stop function answer as quickly as flashing ones. */
function readInputs(lamp: Lamp, circuit: Circuit): readonly BehaviourInput[] {
  return circuit.signals.flatMap((signal) => {
    if (signal.direction !== "input" || signal.wire === undefined) return []
    const wire = lamp.vehicle.wires.find((w) => w.name === signal.wire)
    const flashing = wire?.role === "flashing"
    const stop = lamp.programme.some(
      (l) =>
        l.when.includes(signal.wire!) &&
        lamp.groups.some((g) => g.name === l.light && g.functions.includes("stop")),
    )
    const quick = flashing || stop
    return [
      {
        wire: signal.wire,
        signal: signal.name,
        flashing,
        assertMs: quick ? 3 : 5,
        releaseMs: quick ? 8 : 10,
      },
    ]
  })
}

function switchedLines(
  lamp: Lamp,
  circuit: Circuit,
  inputs: readonly BehaviourInput[],
  findings: Finding[],
): readonly Line[] {
  return lamp.programme.flatMap((line, index) => {
    const group = lamp.groups.find((g) => g.name === line.light)
    const channels = group ? channelsOf(circuit, group) : []
    if (!group || channels.length === 0) return []
    const unread = line.when.filter((w) => !inputs.some((i) => i.wire === w))
    for (const wire of unread) {
      findings.push(
        state("wire-not-read", {
          severity: "red",
          title: `Group ${group.name} waits for wire ${wire}, which no controller input reads`,
          where: whereOf(lamp, index, "when", { group: group.name, wire }),
        }),
      )
    }
    if (unread.length > 0) return []
    const live = [...new Set(line.when)].map((w) => inputs.findIndex((i) => i.wire === w))
    return [{ index, line, group, channels, live, flashing: live.filter((i) => inputs[i]!.flashing) }]
  })
}

/** A group's channels in sweep order: by the first of their LEDs in the group's order. */
function channelsOf(circuit: Circuit, group: Group): readonly Channel[] {
  const place = (c: Channel) => Math.min(...c.leds.map((ref) => group.leds.findIndex((l) => l.ref === ref)))
  return circuit.channels
    .filter((c) => c.group === group.name)
    .sort((a, b) => place(a) - place(b) || a.index - b.index)
}

/**
 * Rules in rank order: flashing lines first, then more wires, then higher level, then the later line; between the
 * flashing and the other lines, the dark that holds the others back between flashes.
 */
function ranked(lines: readonly Line[]): readonly BehaviourRule[] {
  const byRank = (a: Line, b: Line) =>
    b.live.length - a.live.length || b.line.level - a.line.level || b.index - a.index
  const flashers = lines.filter((l) => l.flashing.length > 0).sort(byRank)
  const others = lines.filter((l) => l.flashing.length === 0).sort(byRank)
  const shared = flashers.filter((f) => others.some((o) => o.group.name === f.group.name))
  return [...flashers.map(ruleOf), ...shared.map(holdBack), ...others.map(ruleOf)]
}

function ruleOf(l: Line): BehaviourRule {
  const { line, channels } = l
  const within = line.sweep ? Math.min(longestSweepMs, Math.max(2, Math.round(1000 * line.sweep.within))) : 0
  const riseMs = fade(line.rise)
  const riseShare = within > 0 && riseMs > 1 ? Math.min(1, riseMs / within) : 0
  const last = channels.length - 1
  return {
    live: l.live,
    group: l.group.name,
    line: l.index,
    targets: channels.map((channel, i) => ({
      channel: channel.index,
      level: levelCode(line.level),
      startShare: within > 0 && last > 0 ? (i / last) * (1 - riseShare) : 0,
      riseMs: within > 0 ? Math.min(riseMs, within) : riseMs,
      fallMs: fade(line.fall),
    })),
    ...(within > 0 ? { sweepWithinMs: within } : {}),
  }
}

/** Dark while the line's flashes go on; its other wires must be live, or the line could not be lit at all. */
function holdBack(l: Line): BehaviourRule {
  return {
    live: l.live.filter((i) => !l.flashing.includes(i)),
    flashing: l.flashing,
    group: l.group.name,
    targets: l.channels.map((c) => ({ channel: c.index, level: 0, startShare: 0, riseMs: 0, fallMs: 0 })),
  }
}

/** 0…1 → 0…255; what is lit at all is lit at the least code that can be shown. */
export const levelCode = (level: number): number =>
  level <= 0 ? 0 : Math.min(255, Math.max(floorCode, Math.round(255 * level)))

const fade = (seconds: number): number => Math.min(longestFadeMs, Math.max(0, Math.round(1000 * seconds)))

function neverLit(lamp: Lamp): Finding[] {
  return lamp.groups
    .filter((g) => !lamp.programme.some((l) => l.light === g.name && l.level > 0))
    .map((g) =>
      state("group-never-lit", {
        severity: "red",
        title: `No programme line lights group ${g.name} (${g.leds.length} LEDs)`,
        where: placed(lamp, `groups.${g.name}`, { text: `group ${g.name}`, group: g.name }),
      }),
    )
}

function contradictions(lamp: Lamp): Finding[] {
  const wires = (l: ProgrammeLine) => [...new Set(l.when)].sort().join(" + ")
  return lamp.programme.flatMap((line, i) => {
    const before = lamp.programme.findIndex((l) => l.light === line.light && wires(l) === wires(line))
    if (before === i) return []
    return [
      state("lines-contradict", {
        severity: "red",
        title: `Lines ${before + 1} and ${i + 1} of the programme both set ${line.light} when ${wires(line)} is live`,
        where: whereOf(lamp, i, "when", { group: line.light }),
      }),
    ]
  })
}

/** Steady lines whose additional wires make the group darker. */
function dimmer(lamp: Lamp): Finding[] {
  const steady = (l: ProgrammeLine) =>
    l.when.every((w) => lamp.vehicle.wires.find((v) => v.name === w)?.role !== "flashing")
  return lamp.programme.flatMap((line, i) => {
    const brighter = lamp.programme.find(
      (l) =>
        l.light === line.light &&
        steady(l) &&
        steady(line) &&
        l.when.length < line.when.length &&
        l.when.every((w) => line.when.includes(w)) &&
        l.level > line.level,
    )
    if (!brighter) return []
    return [
      state("dimmer-with-more", {
        severity: "amber",
        title: `${line.light} falls from ${percent(brighter.level)} to ${percent(line.level)} when ${line.when.join(" and ")} are live together`,
        where: whereOf(lamp, i, "level", { group: line.light }),
      }),
    ]
  })
}

function counts(
  inputs: readonly BehaviourInput[],
  circuit: Circuit,
  rules: readonly BehaviourRule[],
): Finding[] {
  if (circuit.controller === undefined) return []
  const outputs = circuit.channels.length
  const over: readonly (readonly [string, number, number])[] = [
    ["controller inputs", inputs.length, mostInputs],
    ["controller outputs", outputs, mostChannels],
    ["controller pins", inputs.length + outputs, ioPins],
    ["table lines", rules.length, mostRules],
  ]
  return over.map(([what, count, most]) =>
    judge("too-many", {
      title: `${count} ${what}, of ${most}`,
      where: { text: "controller", path: "programme" },
      measured: { value: count, unit: "" },
      limit: { value: most, unit: "", kind: "at most" },
      amberBelow: 0,
    }),
  )
}

/** Everything that can be judged about one line by itself. */
function judgeLine(lamp: Lamp, circuit: Circuit, inputs: readonly BehaviourInput[], l: Line): Finding[] {
  const { line, group, index } = l
  const out: Finding[] = []
  const at = (key: string) => whereOf(lamp, index, key, { group: group.name })
  const most = (
    code: Parameters<typeof judge>[0],
    key: string,
    title: string,
    value: number,
    limit: number,
    more: object = {},
  ) =>
    out.push(
      judge(code, {
        title,
        where: at(key),
        measured: { value: round(value), unit: "ms" },
        limit: { value: limit, unit: "ms", kind: "at most" },
        ...more,
      }),
    )
  const rise = 1000 * line.rise
  const fall = 1000 * line.fall
  const { first, after } = latency(circuit, inputs, l)
  const name = group.name
  most("first-light", "when", `${name} begins to light within ${round(first)} ms of its wire`, first, 10, {
    figure: `${figureId(l)}.first-light`,
  })
  if (l.flashing.length > 0) {
    most("light-after-fall", "fall", `${name} is dark ${round(after)} ms after its wire fell`, after, 50, {
      atWorst: "amber",
      figure: `${figureId(l)}.light-after-fall`,
    })
    most("fall-in-gap", "fall", `${name} is dark before the next flash`, after, shortestLegalOffMs, {
      atWorst: "amber",
    })
  }
  if (fall > 0 && !staysFed(lamp, l))
    out.push(
      state("fall-unseen", {
        severity: fall >= noticedMs ? "amber" : "green",
        title: `${name} goes dark with its wire: a fall of ${round(fall)} ms cannot be seen`,
        where: at("fall"),
      }),
    )
  for (const [key, ms] of [
    ["rise", rise],
    ["fall", fall],
  ] as const)
    if (ms > longestFadeMs)
      most("fade-too-long", key, `The ${key} of ${name} is too long to be timed`, ms, longestFadeMs)
  if (line.level > 0 && line.level * 255 < floorCode)
    out.push(
      state("level-floor", {
        severity: "amber",
        title: `${name} at ${percent(line.level)} is shown at ${percent(floorCode / 255)}`,
        where: at("level"),
      }),
    )
  if (group.functions.includes("stop") && l.flashing.length === 0)
    most(
      "stop-rise",
      "rise",
      `${name} reaches its stop level within ${round(first + rise)} ms`,
      first + rise,
      50,
      {
        atWorst: "amber",
      },
    )
  if (line.sweep) judgeSweep(lamp, l, first, most, out)
  else if (l.flashing.length > 0)
    most(
      "rise-in-flash",
      "rise",
      `${name} is at its level within the shortest flash`,
      first + rise,
      shortestLegalOnMs,
    )
  return out
}

/** A fall this long would be missed by whoever asked for it. */
const noticedMs = 50

/** Some wire of the group other than those of the line may still feed it when the line ends. */
function staysFed(lamp: Lamp, l: Line): boolean {
  const feeds = lamp.programme.filter((o) => o.light === l.group.name).flatMap((o) => o.when)
  return l.line.when.length > 1 || feeds.some((w) => !l.line.when.includes(w))
}

type Most = (
  code: Parameters<typeof judge>[0],
  key: string,
  title: string,
  value: number,
  limit: number,
  more?: object,
) => void

function judgeSweep(lamp: Lamp, l: Line, first: number, most: Most, out: Finding[]): void {
  const { line, group } = l
  const within = 1000 * line.sweep!.within
  const rise = 1000 * line.rise
  const name = group.name
  const figure = `${figureId(l)}.sweep`
  if (l.channels.length === 1)
    out.push(
      state("nothing-to-sweep", {
        severity: "amber",
        title: `${name} has a sweep but only one output`,
        where: whereOf(lamp, l.index, "sweep", { group: name }),
      }),
    )
  if (within > longestSweepMs)
    most("sweep-too-long", "sweep", `The sweep of ${name} is too long to be timed`, within, longestSweepMs)
  if (group.functions.includes("direction-indicator"))
    most(
      "sweep-end",
      "sweep",
      `The sweep of ${name} ends ${round(within)} ms after its first light`,
      within,
      200,
      {
        atWorst: "amber",
        figure,
        corner: "slowest clock: 0.5 % more",
      },
    )
  most("rise-in-sweep", "rise", `The rise of an LED of ${name} fits into its sweep`, rise, round(within), {
    amberBelow: 0,
  })
  if (l.flashing.length === 0) return
  const short = shortSweep(within)
  most(
    "sweep-in-flash",
    "sweep",
    `All of ${name} is lit before the shortest accepted flash ends`,
    first + short,
    flasherTiming.shortestOnMs,
    { corner: `first flash, ${flasherTiming.shortestOnMs} ms on`, figure: `${figureId(l)}.short-sweep` },
  )
  const on = describedOnMs(lamp, l)
  const room = on === undefined ? undefined : Math.floor((on * flasherTiming.sweepShare) / 256)
  if (room !== undefined && room < within)
    out.push(
      state("sweep-shortened", {
        severity: "amber",
        title: `The sweep of ${name} will take ${room} ms instead of ${round(within)} ms: its wire is live for ${round(on!)} ms`,
        where: whereOf(lamp, l.index, "sweep", { group: name }),
        measured: { value: room, unit: "ms" },
        limit: { value: round(within), unit: "ms", kind: "at least" },
        margin: room / within - 1,
      }),
    )
}

/** Sweep time while on-times are not trusted. */
const shortSweep = (within: number): number =>
  Math.min(within, Math.floor((flasherTiming.shortestOnMs * flasherTiming.sweepShare) / 256))

/** On-time of the line's flashing wire as described, ms. */
function describedOnMs(lamp: Lamp, l: Line): number | undefined {
  const wires = lamp.vehicle.wires.filter((w) => w.role === "flashing" && l.line.when.includes(w.name))
  const times = wires.flatMap((w) => (w.rate && w.onShare ? [(1000 * w.onShare) / w.rate] : []))
  return times.length > 0 ? Math.min(...times) : undefined
}

/** Latest first light after the wire went live, and latest light after it fell, ms. */
function latency(circuit: Circuit, inputs: readonly BehaviourInput[], l: Line) {
  const through = l.live.map((i) => {
    const input = inputs[i]!
    const network = circuit.inputs.find((n) => n.wire === input.wire)
    return {
      on: 1000 * (network?.riseDelay ?? 0) + input.assertMs,
      off: 1000 * (network?.fallDelay ?? 0) + input.releaseMs,
    }
  })
  return {
    first: Math.max(...through.map((t) => t.on)) + showMs,
    after: Math.max(...through.map((t) => t.off)) + showMs + 1000 * l.line.fall,
  }
}

const figureId = (l: Line) => `behaviour.${l.group.name}.line-${l.index + 1}`

function figuresOf(circuit: Circuit, inputs: readonly BehaviourInput[], l: Line): Figure[] {
  const id = figureId(l)
  const { first, after } = latency(circuit, inputs, l)
  const slowest = inputs[l.live[0]!]!
  const network = circuit.inputs.find((n) => n.wire === slowest.wire)
  const filter = fact(
    `${id}.assert`,
    "filter, to live",
    slowest.assertMs,
    "ms",
    chosen("shorter than any flash, longer than contact bounce"),
  )
  const release = fact(
    `${id}.release`,
    "filter, to dead",
    slowest.releaseMs,
    "ms",
    chosen("bridges a bouncing contact"),
  )
  const show = fact(
    `${id}.show`,
    "a look to its light",
    showMs + lookMs - 1,
    "ms",
    chosen("one look a millisecond"),
  )
  const rising = fact(
    `${id}.network-rise`,
    "input network, rising edge",
    1000 * (network?.riseDelay ?? 0),
    "ms",
    computed("input network of the circuit"),
  )
  const falling = fact(
    `${id}.network-fall`,
    "input network, falling edge",
    1000 * (network?.fallDelay ?? 0),
    "ms",
    computed("input network of the circuit"),
  )
  const fall = fact(`${id}.fall`, "fall", 1000 * l.line.fall, "ms", described(`programme.${l.index}.fall`))
  const figures = [
    result(
      `${id}.first-light`,
      "wire live to first light, at most",
      round(first),
      "ms",
      "input network + filter + showing",
      [rising, filter, show],
    ),
    result(
      `${id}.light-after-fall`,
      "wire dead to dark, at most",
      round(after),
      "ms",
      "input network + filter + showing + fall",
      [falling, release, show, fall],
    ),
  ]
  if (!l.line.sweep) return figures
  const within = fact(
    `${id}.sweep`,
    "sweep, at most",
    1000 * l.line.sweep.within,
    "ms",
    described(`programme.${l.index}.sweep.within`),
  )
  const share = fact(
    `${id}.share`,
    "share of the on-time",
    flasherTiming.sweepShare / 256,
    "",
    chosen("leaves 15 % for filter, bounce and input network"),
  )
  const shortest = fact(
    `${id}.shortest-on`,
    "shortest accepted on-time",
    flasherTiming.shortestOnMs,
    "ms",
    chosen("fast flash at the usual rates still gives 120 ms"),
  )
  return [
    ...figures,
    within,
    result(
      `${id}.short-sweep`,
      "sweep while on-times are not known",
      shortSweep(within.value),
      "ms",
      "lesser of the sweep and share × shortest accepted on-time",
      [within, share, shortest],
    ),
  ]
}

const chosen = (why: string): Source => ({ document: "chosen", place: why, known: "chosen" })

function whereOf(lamp: Lamp, index: number, key: string, more: Partial<Where>): Where {
  return placed(lamp, `programme.${index}.${key}`, { text: `line ${index + 1} of the programme`, ...more })
}

/** Adds the path and the nearest known place in the text. */
function placed(lamp: Lamp, path: string, where: Where): Where {
  for (let p = path; p !== ""; p = p.slice(0, Math.max(0, p.lastIndexOf(".")))) {
    const place = lamp.places[p]
    if (place) return { ...where, path, line: place.line, column: place.column }
  }
  return { ...where, path }
}

const round = (x: number): number => Math.round(100 * x) / 100
const percent = (x: number): string => `${round(100 * x)} %`
