// Every way to drive a group that makes sense for it, designed, solved and scored; the best sound one is taken, one
// held by hand is taken whatever its score.

import type { Recall } from "../0-ground/recall.ts"
import { show, showNumber } from "../0-ground/text/show.ts"
import type { Candidate } from "./artefact.ts"
import type { GroupPlan } from "./choose-topology.ts"
import { switchedPlan } from "./choose-topology.ts"
import { type DesignAsk, designGroup, type GroupDesign, type Way, wantedOf } from "./group-design.ts"
import { leastShare } from "./limits.ts"
import { pinnedFor } from "./pinned.ts"
import { divide } from "./plan-strings.ts"
import { points, type Scored, scoreCandidate, stressed } from "./score-candidate.ts"
import { shareChannels } from "./share-channels.ts"
import type { stressCandidate } from "./stress-candidate.ts"

export interface Comparison {
  readonly candidates: readonly Candidate[]
  /** The one taken; absent when none could be designed. */
  readonly way?: Way
  readonly inSeries?: number
}

export interface CompareAsk extends DesignAsk {
  /** Another group needs the controller anyway. */
  readonly controller: boolean
  /** Draws those in the running by lot and puts them through pulses. */
  readonly stress: typeof stressCandidate | undefined
  /** Comparisons of this lamp by everything but the group's name: groups that are alike are compared once. */
  readonly known: Map<string, readonly Scored[]>
  /** Comparisons of the lamp before the last change. */
  readonly recall: Recall
}

/** Ways that can do what a plan asks, the plainest first. */
export const waysFor = (topology: GroupPlan["topology"]): readonly Way[] =>
  topology === "switched"
    ? ["pwm", "current-sinks", "regulated-rail"]
    : topology === "two-feed"
      ? ["two-feed", "rail-switched", "rail-relay", "pwm"]
      : ["resistor-strings", "current-sinks", "regulated-rail"]

export function compareCandidates(ask: CompareAsk): Comparison {
  const { name } = ask.plan.group
  const pinned = pinnedFor(ask.lamp, name)
  const scored = alike(ask).map((s) => ({ ...s, group: name }))
  const held = waysFor(ask.plan.topology).find((w) => w === pinned.way)
  const taken = best(inQuestion(scored, ask))
  if (!taken) return { candidates: [] }
  const byHand = held !== undefined || pinned.inSeries !== undefined
  return {
    candidates: [...scored]
      .sort((a, b) => rank(a) - rank(b) || (a.label < b.label ? -1 : 1))
      .map(({ terms, ...s }): Candidate => {
        const is = s.kind === taken.kind && s.inSeries === taken.inSeries
        const why = is
          ? byHand
            ? "held by hand"
            : "loses the fewest points of all sound ways"
          : lost({ ...s, terms }, taken)
        return { ...s, taken: is, why }
      }),
    way: taken.kind,
    inSeries: taken.inSeries,
  }
}

const rank = (s: Scored) => (s.fails.length > 0 ? 1e3 : 0) + s.score
const best = (list: readonly Scored[]) =>
  list.reduce<Scored | undefined>((b, s) => (b === undefined || rank(s) < rank(b) ? s : b), undefined)

/** What may be taken: all, or what is held by hand leaves. */
function inQuestion(scored: readonly Scored[], { lamp, plan }: CompareAsk): readonly Scored[] {
  const pinned = pinnedFor(lamp, plan.group.name)
  const held = waysFor(plan.topology).find((w) => w === pinned.way)
  const byWay = scored.filter((s) => held === undefined || s.kind === held)
  const byLength = byWay.filter((s) => pinned.inSeries === undefined || s.inSeries === pinned.inSeries)
  return byLength.length > 0 ? byLength : byWay
}

/** What it fails by, then the two things it pays most for beside the one taken. */
function lost(s: Scored, taken: Scored): string {
  const keys = (Object.keys(points) as (keyof typeof points)[])
    .map((k) => ({ k, more: s.terms[k] - taken.terms[k] }))
    .filter((t) => t.more > 0.02)
    .sort((a, b) => b.more - a.more)
    // The spread of two levels is always told where it is wider: nobody sees it before the lamp is built.
    .filter((t, i) => (s.fails.length === 0 && i < 2) || (t.k === "spread" && t.more > 0.3))
  const words = keys.map(({ k }) => {
    switch (k) {
      case "dim":
        return `${percent(s.weakestShare)} of its current left at the lowest supply (${percent(taken.weakestShare)})`
      case "strong":
        return `${show(s.strongest, "A")} at the strongest corner (${show(taken.strongest, "A")})`
      case "spread":
        return `the levels' ratio spreads over ${between(s)} (${between(taken)})`
      case "heat":
        return `${show(s.heat, "W")} of heat (${show(taken.heat, "W")})`
      case "part":
        return `${s.parts} parts (${taken.parts})`
      case "yield":
        return `${percent(s.missed ?? 0)} of the lamps by lot miss a limit (${percent(taken.missed ?? 0)})`
      case "pulse":
        return `${s.pulse?.worst} takes ${percent(s.pulse?.share ?? 0)} of what is borne (${percent(taken.pulse?.share ?? 0)})`
      case "area":
        return `${showNumber(s.area / 100)} cm² of parts (${showNumber(taken.area / 100)} cm²)`
      default:
        return `with the controller dead ${s.silent}`
    }
  })
  const all = [...s.fails, ...words]
  return all.length > 0 ? all.join("; ") : "as good; another was held by hand"
}

const between = (s: { readonly ratio?: Candidate["ratio"] }) =>
  s.ratio ? `${showNumber(s.ratio.least)}…${showNumber(s.ratio.greatest)} : 1` : ""
const percent = (share: number) => `${showNumber(100 * share)} %`

/** Left and right are alike in all that counts here. */
function alike(ask: CompareAsk): readonly Scored[] {
  const { lamp, plan, led, pieces, controller } = ask
  const { group } = plan
  const pins = Object.entries(lamp.pins)
    .filter(([path]) => path.startsWith(`drive.${group.name}.`))
    .map(([path, value]) => [path.slice(`drive.${group.name}.`.length), value])
  const wires = plan.feeds.map((f) => [f.level, f.wires.map(({ name, colour, ...w }) => w)])
  const boards = lamp.boards.filter((b) => b.carries.includes(group.name)).map((b) => [b.height, b.roomFor])
  const key = JSON.stringify([
    led.key,
    group.leds.length,
    group.current,
    group.functions,
    plan.topology,
    pieces,
    controller,
    pins,
    wires,
    boards,
  ])
  const known = ask.known.get(key)
  if (known) return known
  const what = `ways of ${group.name}`
  const inputs = [
    {
      key,
      vehicle: lamp.vehicle,
      seed: lamp.seed,
      programme: lamp.programme,
      stress: ask.stress !== undefined,
    },
  ]
  const scored = ask.recall.known<readonly Scored[]>(what, inputs) ?? everyWay(ask)
  ask.recall.keep(what, inputs, scored)
  ask.known.set(key, scored)
  return scored
}

function everyWay(ask: CompareAsk): readonly Scored[] {
  const { lamp, plan, led } = ask
  const pinned = pinnedFor(lamp, plan.group.name)
  const [own, ...rivals] = waysFor(plan.topology)
  const scored: Scored[] = []
  const designs = new Map<Scored, GroupDesign>()
  for (const way of [own!, ...rivals]) {
    if ((way === "rail-switched" || way === "rail-relay") && plan.feeds.length !== 2) continue
    // Pulses need channels of their own.
    const pieces =
      way === "pwm" && plan.topology !== "switched"
        ? shareChannels([switchedPlan(plan)], () => wantedOf({ plan: switchedPlan(plan), led })).pieces.get(
            plan.group.name,
          )!
        : ask.pieces
    const mine: Scored[] = []
    for (const n of lengthsFor(ask, pieces)) {
      const design = designGroup({ ...ask, pieces }, way, n)
      if (!design) continue
      const one = scoreCandidate(ask, design, ask.controller)
      mine.push(one)
      designs.set(one, design)
      // Longer strings are darker still.
      if (one.weakestShare < leastShare.value && n > 1) break
    }
    // All lengths of the plain way and of one held by hand; of a rival the best of its lengths stands for it.
    const shown = way === own || way === pinned.way ? mine : [...mine].sort(better).slice(0, 1)
    scored.push(...shown)
  }
  return withStress(ask, scored, designs)
}

/**
 * Lots and pulses only cost points: the best so far is put through them until it stays the best. One that loses many
 * lamps has its nearest rivals put through them too, so that there is something to compare it with.
 */
function withStress(
  ask: CompareAsk,
  scored: readonly Scored[],
  designs: ReadonlyMap<Scored, GroupDesign>,
): readonly Scored[] {
  const { stress } = ask
  if (!stress) return scored
  const now = [...scored]
  const put = (s: Scored) => {
    const design = designs.get(s)
    if (design) now[now.indexOf(s)] = stressed(s, stress(ask, design))
  }
  for (let round = 0; round < now.length; round++) {
    const first = best(inQuestion(now, ask))
    if (!first || first.missed !== undefined) break
    put(first)
  }
  const taken = best(inQuestion(now, ask))
  if ((taken?.missed ?? 0) > mostMissed)
    for (const s of now.filter((x) => x.missed === undefined && x.fails.length === 0).sort(better)) {
      // One that keeps them all is enough to be named.
      if (now.some((x) => x.missed === 0)) break
      put(s)
    }
  return now
}

/** Of a hundred lamps at most one may miss a limit. */
const mostMissed = 0.01

const better = (a: Scored, b: Scored) =>
  a.fails.length - b.fails.length || a.score - b.score || a.inSeries - b.inSeries

/** Lengths that really occur: four LEDs by threes are two strings of two. */
function lengthsFor({ lamp, led }: CompareAsk, pieces: readonly number[]): readonly number[] {
  const longest = Math.min(Math.max(...pieces), 12)
  const most = Math.max(1, Math.min(longest, Math.floor(lamp.vehicle.supply.usual / led.forwardVoltage.low)))
  return Array.from({ length: most }, (_, i) => i + 1).filter(
    (n) => Math.max(...pieces.flatMap((p) => divide(p, n))) === n,
  )
}
