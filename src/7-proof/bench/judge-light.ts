// Claims about the light: model, right wire, first light, sweeps, order, what is left after the fall.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import type { Finding } from "../../0-ground/finding.ts"
import { described, type Source } from "../../0-ground/source.ts"
import { flashLimits } from "../../1-stock/flashers.ts"
import type { Group, ProgrammeLine } from "../../2-lamp/artefact.ts"
import { bench as report } from "./bench-findings.ts"
import type { Made } from "./lamp-on-bench.ts"
import { type Flash, lineSpans, longestDark } from "./measure-flashes.ts"
import type { BenchRun } from "./run-bench.ts"
import { demonstrated } from "./scenarios.ts"
import { emulated, type Seen, seenIn, slowClock } from "./seen.ts"

export function judgeLight(made: Made, seen: readonly Seen[], figures: Figure[]): Finding[] {
  const out: Finding[] = []
  const mismatches = seen.reduce((sum, s) => sum + s.comparison.mismatches, 0)
  const compared = seen.reduce((sum, s) => sum + s.comparison.compared, 0)
  const first = seen.find((s) => s.comparison.first)
  const at = first?.comparison.first
  const channel = at && first.run.bench.channels[at.channel]
  const share = (x: number) => `${(100 * x).toFixed(1)} %`
  const off = result(
    "bench.frames-off",
    "frames of outputs whose light is not as described",
    mismatches,
    "",
    "frames compared, counted where the light lies outside the band of the model",
    [fact("bench.frames-compared", "frames of outputs compared with the model", compared, "", emulated)],
  )
  figures.push(off)
  out.push(
    report.judge("follows-model", {
      title:
        at && channel
          ? `${channel.leds.join(", ")} shows ${share(at.duty)} where ${share(at.low)} to ${share(at.high)} are described, ${at.seconds.toFixed(4)} s into "${first.scenario.name}"`
          : `All ${compared} frames of light are as described`,
      where: channel
        ? { text: channel.leds.join(", "), group: channel.group }
        : { text: "all switched LEDs" },
      ...measuredBy(off),
      limit: { value: 0, unit: "", kind: "exactly" },
      ...(first ? { corner: first.scenario.name } : {}),
    }),
  )
  const wrong = seen.filter((s) => s.wrong.frames > 0)
  out.push(
    report.judge("wrong-wire", {
      title: wrong[0]?.wrong.where
        ? `${wrong[0].wrong.where} is switched on although none of its wires is live`
        : "No output is on without its wire",
      where: { text: wrong[0]?.wrong.where ?? "all switched LEDs" },
      measured: { value: wrong.reduce((sum, s) => sum + s.wrong.frames, 0), unit: "" },
      limit: { value: 0, unit: "", kind: "exactly" },
      ...(wrong[0] ? { corner: wrong[0].scenario.name } : {}),
    }),
  )
  const darkest = seen.reduce<Seen | undefined>((a, b) => (a && a.dark >= b.dark ? a : b), undefined)
  if (darkest) {
    const dark = fact(
      "bench.steady-light",
      "longest dark time of a group while its wire is live",
      1000 * darkest.dark,
      "ms",
      seenIn(darkest.scenario.name),
    )
    figures.push(dark)
    out.push(
      report.judge("steady-light", {
        title: "Longest dark time of a group while its wire is live",
        where: { text: "all switched LEDs" },
        ...measuredBy(dark),
        limit: { value: 20, unit: "ms", kind: "at most" },
        corner: darkest.scenario.name,
      }),
    )
  }
  for (const group of made.lamp.groups) {
    const flashes = seen.flatMap((s) =>
      s.flashes.filter((f) => f.group === group.name).map((flash) => ({ flash, clean: s.scenario.clean })),
    )
    out.push(...judgeGroup(made, group, flashes, figures))
  }
  return out
}

/** Milliseconds: a settled wire is lit within the one, and dark within the other, filter and showing included. */
const firstLightMs = 5
const darkAfterMs = 20
/** Looks that must find a wire live, where the description asks for no other number. */
const usualFilterMs = 3
/** Looks in a row that must find it dead, of the slower wires. */
const usualReleaseMs = 10

const wiresOf = ({ lamp }: Made, line: ProgrammeLine) =>
  lamp.vehicle.wires.filter((w) => line.when.includes(w.name))

/** The longest filter of a line's wires, as described. */
function filterOf(made: Made, line: ProgrammeLine): Figure {
  const own = wiresOf(made, line)
    .filter((w) => w.liveAfter !== undefined)
    .sort((a, b) => b.liveAfter! - a.liveAfter!)[0]
  const ms = own ? Math.max(1, Math.round(1000 * own.liveAfter!)) : 0
  if (own && (ms > usualFilterMs || wiresOf(made, line).every((w) => w.liveAfter !== undefined))) {
    const path = `vehicle.wires.${own.name}.live-after`
    return fact(`description.${path}`, `filter of ${own.name}, to live`, ms, "ms", described(path))
  }
  return usualFilter
}

const usualFilter = fact(
  "bench.filter",
  "looks, one a millisecond, that must find a wire live",
  usualFilterMs,
  "ms",
  { document: "SEMANTICS.md, section 1", known: "chosen" },
)

const deadAfterOf = (made: Made, line: ProgrammeLine): number =>
  Math.max(0, ...wiresOf(made, line).map((w) => 1000 * (w.deadAfter ?? 0)))

/** What the time to first light is made of, beside looking and showing. */
function partsOf(made: Made, line: ProgrammeLine): Figure[] {
  const networks = made.circuit.inputs.filter((i) => line.when.includes(i.wire))
  const slow = networks.reduce<(typeof networks)[number] | undefined>(
    (a, b) => (a && a.riseDelay >= b.riseDelay ? a : b),
    undefined,
  )
  const solved = slow && made.circuit.figures.find((f) => f.id === `drive.input.${slow.wire}.rise-delay`)
  return [filterOf(made, line), ...(solved ? [solved] : [])]
}

function judgeGroup(
  made: Made,
  { name: group, functions }: Group,
  all: readonly { readonly flash: Flash; readonly clean: boolean }[],
  figures: Figure[],
): Finding[] {
  if (all.length === 0) return []
  const out: Finding[] = []
  const where = { text: `group ${group}`, group, path: `groups.${group}` }
  const worst = (list: readonly Flash[], of: (f: Flash) => number) =>
    list.reduce((a, b) => (of(b) > of(a) ? b : a))
  const figure: Worst = (name, title, ms, scenario, kind, from, of = []) => {
    const count = fact(
      `bench.${group}.${kind.replace(" ", "-")}`,
      `${kind} of ${group} measured`,
      from.length,
      "",
      emulated,
    )
    const found = result(
      `bench.${group}.${name}`,
      title,
      ms,
      "ms",
      of.length > 0
        ? `worst of all ${kind} measured; filter and input network are part of it`
        : `worst of all ${kind} measured`,
      [count, ...of],
      {
        source: seenIn(scenario),
      },
    )
    figures.push(found)
    return found
  }
  const flashes = all.map((f) => f.flash)
  /** Beyond the usual filter, what the description asks for. */
  const asked = (f: Flash) => Math.max(0, filterOf(made, f.line).value - usualFilterMs)
  const light = (f: Flash) => 1000 * (f.firstLight ?? f.fall - f.rise)
  const slow = worst(flashes, (f) => light(f) - asked(f))
  const late = figure(
    "first-light",
    "wire settled live to first light",
    light(slow),
    slow.scenario,
    "flashes",
    flashes,
    partsOf(made, slow.line),
  )
  out.push(
    report.judge("first-light", {
      title: `First light of ${group} after its wire goes live`,
      where,
      ...measuredBy(late),
      limit: { value: firstLightMs + asked(slow), unit: "ms", kind: "at most" },
      corner: slow.scenario,
    }),
  )
  const sudden = flashes.filter((f) => !f.line.sweep && f.fall - f.rise > 0.02 + f.line.rise)
  if (functions.includes("stop") && sudden.length > 0) {
    const level = (f: Flash) => 1000 * (f.atLevel ?? f.fall - f.rise)
    const over = (f: Flash) => level(f) - 1000 * f.line.rise - asked(f)
    const last = worst(sudden, over)
    const full = figure(
      "stop-full",
      "wire settled live to every LED at its level",
      level(last),
      last.scenario,
      "flashes",
      sudden,
      partsOf(made, last.line),
    )
    out.push(
      report.judge("stop-full", {
        title: `Stop light of ${group} at its level after its wire goes live`,
        where,
        ...measuredBy(full),
        limit: { value: firstLightMs + 1000 * last.line.rise + asked(last), unit: "ms", kind: "at most" },
        corner: last.scenario,
      }),
    )
  }
  const glow = worst(flashes, (f) => f.afterglow)
  const held = Math.max(0, deadAfterOf(made, glow.line) - usualReleaseMs)
  const left = figure(
    "dark-after-fall",
    "light left after the wire went dead",
    1000 * glow.afterglow,
    glow.scenario,
    "flashes",
    flashes,
  )
  out.push(
    report.judge("dark-after-fall", {
      title: `Light of ${group} left after its wire went dead`,
      where,
      ...measuredBy(left),
      limit: { value: Math.max(darkAfterMs, 1000 * glow.line.fall + 12) + held, unit: "ms", kind: "at most" },
      amberBelow: 0,
      corner: glow.scenario,
    }),
  )
  if (functions.includes("direction-indicator")) out.push(...judgePace(made, group, flashes, where, figures))
  // Shorter flashes are no flashes to the lamp; they only have to give light.
  const clean = all.filter((f) => f.clean && f.flash.fall - f.flash.rise >= 0.1).map((f) => f.flash)
  if (clean.length > 0) out.push(...judgeSweep(group, clean, where, figure, figures))
  return out
}

/** Rate and on-share of the light itself, under the flasher as described; the end that is nearer to its limit. */
function judgePace(
  made: Made,
  group: string,
  all: readonly Flash[],
  where: Finding["where"],
  figures: Figure[],
): Finding[] {
  const shown = all.filter((f) => f.scenario === demonstrated && f.firstLight !== undefined)
  const begins = (f: Flash) => f.rise + f.firstLight!
  const flashes = shown.flatMap((f, i) => {
    const next = shown[i + 1]
    // From one operation to the next is no period.
    const told = wiresOf(made, f.line).find((w) => w.role === "flashing")?.rate ?? usualRate
    if (!next || next.line !== f.line || Math.abs((next.rise - f.rise) * told - 1) > 0.1) return []
    const period = begins(next) - begins(f)
    return [{ rate: 60 / period, share: (100 * (f.fall + f.afterglow - begins(f))) / period }]
  })
  if (flashes.length === 0) return []
  const count = fact(
    `bench.${group}.periods`,
    `periods of ${group} measured, from light to light`,
    flashes.length,
    "",
    emulated,
  )
  const { rate, onShare } = flashLimits
  const claim = (
    code: "flash-rate" | "on-share",
    name: string,
    values: readonly number[],
    limits: { readonly low: number; readonly high: number; readonly source: Source },
    unit: string,
  ) => {
    const least = Math.min(...values)
    const most = Math.max(...values)
    const low = (least - limits.low) / limits.low <= (limits.high - most) / limits.high
    const figure = result(
      `bench.${group}.${code}`,
      name,
      low ? least : most,
      unit,
      code === "flash-rate"
        ? "60 s ÷ time from first light to first light; the worst of all periods"
        : "time from first light to darkness ÷ period; the worst of all periods",
      [count],
      { source: seenIn(demonstrated) },
    )
    figures.push(figure)
    return report.judge(code, {
      title: `${name[0]!.toUpperCase()}${name.slice(1)} of ${group}, measured on its light`,
      where,
      ...measuredBy(figure),
      limit: { value: low ? limits.low : limits.high, unit, kind: low ? "at least" : "at most" },
      atWorst: "amber",
      corner: "flasher as described",
      source: limits.source,
    })
  }
  const shares = { low: 100 * onShare.low, high: 100 * onShare.high, source: onShare.source }
  return [
    claim(
      "flash-rate",
      "flash rate",
      flashes.map((f) => f.rate),
      rate,
      "/min",
    ),
    claim(
      "on-share",
      "share of a period with light",
      flashes.map((f) => f.share),
      shares,
      "%",
    ),
  ]
}

/** Of a flasher whose rate the description leaves open, Hz; as the demonstration has it. */
const usualRate = 1.5

/** A sweep is over at least this long before the wire falls. */
const spareMs = 3

/** Makes and lists the figure of the worst flash: name, title, milliseconds, scenario, and what was measured. */
type Worst = (
  name: string,
  title: string,
  ms: number,
  scenario: string,
  kind: "flashes" | "clean flashes" | "sweeps",
  from: readonly Flash[],
  of?: readonly Figure[],
) => Figure

function judgeSweep(
  group: string,
  clean: readonly Flash[],
  where: Finding["where"],
  figure: Worst,
  figures: Figure[],
): Finding[] {
  const out: Finding[] = []
  const count = (code: "sweep-order" | "stays-lit", title: string, of: (f: Flash) => number) => {
    const bad = clean.find((f) => of(f) > 0)
    out.push(
      report.judge(code, {
        title,
        where,
        measured: { value: clean.reduce((sum, f) => sum + of(f), 0), unit: "" },
        limit: { value: 0, unit: "", kind: "exactly" },
        ...(bad ? { corner: bad.scenario } : {}),
      }),
    )
  }
  count("stays-lit", `LEDs of ${group} that get darker before their wire falls`, (f) => f.darker)
  const sweeps = clean.filter((f) => f.line.sweep)
  const spare = (f: Flash) => f.spare ?? Number.NEGATIVE_INFINITY
  const tight = clean.reduce((a, b) => (spare(b) < spare(a) ? b : a))
  const left = figure(
    "full-before-fall",
    "last LED full before the wire falls",
    1000 * (tight.spare ?? -(tight.fall - tight.rise)),
    tight.scenario,
    "clean flashes",
    clean,
  )
  out.push(
    report.judge("full-before-fall", {
      title:
        tight.spare === undefined
          ? `Not every LED of ${group} becomes full before the wire falls`
          : `Time the last LED of ${group} is full before the wire falls`,
      where,
      ...measuredBy(left),
      limit: { value: spareMs, unit: "ms", kind: "at least" },
      corner: tight.scenario,
    }),
  )
  if (sweeps.length === 0) return out
  count("sweep-order", `LEDs of ${group} that begin out of order`, (f) => f.disorder)
  const took = (f: Flash) => 1000 * (f.complete ?? f.fall - f.rise)
  const long = sweeps.reduce((a, b) => (took(b) > took(a) ? b : a))
  const seen = figure(
    "sweep-seen",
    "first light to last LED full",
    took(long),
    long.scenario,
    "sweeps",
    sweeps,
  )
  const time = result(
    `bench.${group}.sweep-time`,
    "first light to last LED full, clock 0.5 % slow",
    seen.value * slowClock.value,
    "ms",
    "slowest sweep seen × period of a slow clock",
    [seen, slowClock],
  )
  figures.push(time)
  const { within: asked, share, atMost } = long.line.sweep!
  // A share is of the flash's own on-time; jitter makes the one before up to a tenth longer.
  const longest = Math.min(atMost ?? 5, 1.1 * (share ?? 0) * (long.fall - long.rise))
  const within = 1000 * (share === undefined ? asked : longest)
  out.push(
    report.judge("sweep-time", {
      title: `Sweep of ${group}, first light to last LED full`,
      where,
      ...measuredBy(time),
      // A look either way and the clock's 0.5 % belong to the time as described.
      limit: { value: within * slowClock.value + 2, unit: "ms", kind: "at most" },
      amberBelow: 0,
      corner: `${long.scenario}; clock 0.5 % slow`,
    }),
    report.judge("sweep-rule", {
      title: `Sweep of ${group} against the rule for sweeping indicators`,
      where,
      ...measuredBy(time),
      limit: { value: 200, unit: "ms", kind: "at most" },
      atWorst: "amber",
      corner: `${long.scenario}; clock 0.5 % slow`,
    }),
  )
  return out
}

/** Frames in which an output is on although no wire of its group was live shortly before. */
export function wrongWire({ lamp }: Made, run: BenchRun): Seen["wrong"] {
  const { channels, inputs } = run.bench
  const delay = Math.max(0, ...inputs.map((i) => i.network.fallDelay))
  let frames = 0
  let where: string | undefined
  for (const group of lamp.groups) {
    const own = [...channels.keys()].filter((c) => channels[c]!.group === group.name)
    const lines = lamp.programme.filter((l) => l.light === group.name)
    if (own.length === 0) continue
    // Longest release filter, a look, a millisecond to show, and the fall.
    const after = delay + 0.013 + Math.max(0, ...lines.map((l) => l.fall))
    const spans = lines.flatMap((l) => lineSpans(l, run, run.perhaps)).sort((a, b) => a[0] - b[0])
    let next = 0
    let until = 0
    for (let f = 1; f < run.frames; f++) {
      const start = run.frameStart[f]! / run.clockHz
      while (next < spans.length && spans[next]![0] <= run.frameStart[f + 1]! / run.clockHz)
        until = Math.max(until, spans[next++]![1] + after)
      // Pins float until the program drives them.
      if (start < until || !run.timed[f]) continue
      for (const c of own) {
        if (run.duty(f, c) < 0.005) continue
        frames++
        where ??= channels[c]!.leds.join(", ")
      }
    }
  }
  return { frames, ...(where === undefined ? {} : { where }) }
}

/** Longest dark time of any group while a line of its own has all its wires live. */
export function darkWhileLive({ lamp }: Made, run: BenchRun, light: Float32Array): number {
  const { channels } = run.bench
  let longest = 0
  for (const group of lamp.groups) {
    const own = [...channels.keys()].filter((c) => channels[c]!.group === group.name)
    const lines = lamp.programme.filter((l) => l.light === group.name)
    const flashes = (l: (typeof lines)[number]) =>
      l.when.some((w) => lamp.vehicle.wires.find((v) => v.name === w)?.role === "flashing")
    // Steady lines of a group that also flashes are held dark between flashes on purpose.
    const held = lines.some(flashes) ? lines.filter(flashes) : lines
    for (const line of held) {
      const spans = lineSpans(line, run).filter(([a, b]) => b - a > 0.02)
      if (own.length > 0) longest = Math.max(longest, longestDark(run, light, own, spans))
    }
  }
  return longest
}
