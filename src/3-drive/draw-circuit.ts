// A lamp becomes a circuit: choose how each group is driven, write the parts, solve every corner, judge. What takes
// long, draws by lot and runs over time, is handed in, so that the first look goes without it and without its code.

import type { Finding } from "../0-ground/finding.ts"
import type { Work } from "../0-ground/progress.ts"
import { forgetful, type Recall } from "../0-ground/recall.ts"
import type { LedType } from "../1-stock/artefact.ts"
import { leds } from "../1-stock/leds.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Candidate, Circuit, GroupDrive } from "./artefact.ts"
import { chainLeds } from "./chain-leds.ts"
import { controllerHeld } from "./choose-controller.ts"
import { chooseTopology, type GroupPlan, switchedPlan } from "./choose-topology.ts"
import { CircuitDraft } from "./circuit-draft.ts"
import { type CompareAsk, compareCandidates, waysFor } from "./compare-candidates.ts"
import { cornerState, solveCorners } from "./corners.ts"
import { Figures } from "./drive-figures.ts"
import { earthWire } from "./feed-wires.ts"
import { type DesignAsk, designGroup } from "./group-design.ts"
import { judgeAbuse, notSolved } from "./judge-abuse.ts"
import { judgeCandidates } from "./judge-candidates.ts"
import { judgeFlashers } from "./judge-flashers.ts"
import { judgeGroups } from "./judge-groups.ts"
import type { judgePulses } from "./judge-pulses.ts"
import { judgeDescription, judgeSafety } from "./judge-safety.ts"
import { judgeSetters } from "./judge-setters.ts"
import { judgeSpread } from "./judge-spread.ts"
import { judgeSwitching } from "./judge-switching.ts"
import { judgeTransients } from "./judge-transients.ts"
import type { MadeCircuit } from "./made-circuit.ts"
import type { CircuitBody } from "./model-circuit.ts"
import { netLoads } from "./net-currents.ts"
import { figureParts } from "./part-figures.ts"
import { wireInput } from "./read-wires.ts"
import { shareChannels } from "./share-channels.ts"
import type { stressCandidate } from "./stress-candidate.ts"
import { whyOf } from "./tell-way.ts"
import { type WrittenController, writeController } from "./write-controller.ts"
import { type Nets, type WrittenGroup, writeGroup } from "./write-group.ts"

/** Runs over time. */
export interface OverTime {
  readonly judge: typeof judgePulses
  /** Ways to drive a group that are still in the running are compared by lots and pulses too. */
  readonly stress: typeof stressCandidate
}

/** Begins to draw lamps by lot, which takes as long as all the rest; what they show is no part of the circuit. */
export type ByLot = (
  made: MadeCircuit,
  groupOf: ReadonlyMap<number, string>,
  figures: Figures,
  candidates: readonly Candidate[],
) => void

export interface DrawOptions {
  readonly overTime?: OverTime | undefined
  readonly byLot?: ByLot | undefined
  /** Whether anything is judged beyond that every corner has a solution. */
  readonly judged?: boolean
  /** Ways to drive a group are compared again only when something they are compared by changed. */
  readonly recall?: Recall
}

export function* drawCircuit(
  lamp: Lamp,
  { overTime, byLot, judged = true, recall = forgetful }: DrawOptions = {},
): Work<Circuit> {
  const draft = new CircuitDraft()
  const earth = draft.net(earthWire(lamp)?.name ?? "earth", "earth", earthWire(lamp)?.name)
  const plans = lamp.groups.flatMap((g) => chooseTopology(lamp, g) ?? [])
  const ledOf = (plan: GroupPlan): LedType | undefined => leds.find(plan.group.led)
  const drawn = plans.filter((p) => ledOf(p) !== undefined && p.group.leds.length > 0)
  const currentOf = (p: GroupPlan) => p.group.current ?? ledOf(p)!.testCurrent
  const timed = drawn.filter((p) => p.topology === "switched")
  const planned = shareChannels(timed, currentOf, controllerHeld(lamp.pins))
  const known: CompareAsk["known"] = new Map()
  const choices = drawn.map((plan) => {
    const ask: DesignAsk = {
      lamp,
      plan,
      led: ledOf(plan)!,
      pieces: planned.pieces.get(plan.group.name) ?? [plan.group.leds.length],
      leds: plan.sweeps ? plan.group.leds : chainLeds(plan.group.leds),
    }
    const compared = compareCandidates({
      ...ask,
      controller: timed.length > 0,
      stress: judged ? overTime?.stress : undefined,
      known,
      recall,
    })
    const way = compared.way ?? waysFor(plan.topology)[0]!
    // Two levels made of pulses: the controller switches what its wires would light straight.
    return { ask, compared, way, plan: way === "pwm" ? switchedPlan(plan) : plan }
  })
  const switched = choices.flatMap((c) => (c.plan.topology === "switched" ? [c.plan] : []))
  const share = shareChannels(switched, currentOf, controllerHeld(lamp.pins))
  const candidates = choices.flatMap((c) => c.compared.candidates)
  const nets: Nets = { earth, wire: writeWires(draft, lamp, plans, switched.length > 0) }

  const groups: WrittenGroup[] = []
  let first = 0
  for (const { ask, compared, way, plan } of choices) {
    const pieces = share.pieces.get(plan.group.name)
    const wanted = compared.inSeries ?? 1
    const longest = Math.min(wanted, Math.max(...(pieces ?? ask.pieces)))
    const design =
      designGroup({ ...ask, pieces: pieces ?? ask.pieces }, way, longest) ??
      designGroup({ ...ask, pieces: pieces ?? ask.pieces }, waysFor(ask.plan.topology)[0]!, longest)!
    groups.push(writeGroup(draft, lamp, nets, design, pieces && first))
    first += pieces?.length ?? 0
  }
  const controller: WrittenController | undefined =
    switched.length > 0 ? writeController(draft, lamp, nets, share) : undefined

  const body: CircuitBody = {
    parts: draft.parts,
    nets: [...draft.nets.values()],
    earth,
    signals: draft.signals,
    ...(controller ? { controller: controller.ref } : {}),
  }
  const groupOf = new Map(draft.channels.map((c) => [c.index, c.group]))
  const solved = solveCorners(body, lamp, groupOf)
  const figures = new Figures(lamp)
  const inputs = (controller?.inputs ?? []).map((i) =>
    wireInput(i, lamp.vehicle.supply.usual, controller!.stock),
  )

  const made: MadeCircuit = {
    lamp,
    body,
    groups,
    controller,
    strings: draft.strings,
    solved: solved.filter((s) => s.point.converged),
    inputs,
    part: new Map(draft.parts.map((p) => [p.ref, p])),
  }
  const stuck = solved.filter((s) => !s.point.converged).map((s) => notSolved(s.at.name))
  const findings: Finding[] = [...stuck]
  let pulsesSeen: Circuit["pulses"] = []
  if (judged) {
    findings.push(
      ...judgeDescription(lamp, finalPlans(plans, groups), share, figures),
      ...judgeGroups(made, figures),
      ...judgeSetters(made, figures),
    )
    byLot?.(made, groupOf, figures, candidates)
    yield { stage: "drive", done: 0.5 }
    if (overTime) {
      const pulsed = yield* overTime.judge(made, figures)
      findings.push(...pulsed.findings)
      pulsesSeen = pulsed.pulses
    }
    const more = [
      () => judgeSpread(made, groupOf, figures),
      () => judgeSwitching(made, figures),
      () => judgeAbuse(made, figures),
      () => judgeFlashers(made, figures),
      () => judgeTransients(made, figures),
      () => judgeSafety(made, figures),
      () => judgeCandidates(made, candidates, figures),
    ]
    for (const [i, judge] of more.entries()) {
      yield { stage: "drive", done: 0.7 + (0.3 * i) / more.length }
      findings.push(...judge())
    }
  }
  const reasons = figureParts(made, figures)
  return {
    parts: draft.parts.map((p) => (reasons.has(p.ref) ? { ...p, figure: reasons.get(p.ref)! } : p)),
    nets: netLoads(body, made.solved),
    earth,
    strings: draft.strings,
    channels: draft.channels,
    signals: draft.signals,
    ...(controller ? { controller: controller.ref } : {}),
    inputs,
    drives: groups.map(driveOf),
    candidates,
    corners: made.solved.map((s) => cornerState(body, s)),
    pulses: pulsesSeen,
    figures: figures.all,
    findings,
  }
}

/** Plans as written: the comparison may have handed a group to the controller. */
const finalPlans = (plans: readonly GroupPlan[], groups: readonly WrittenGroup[]): readonly GroupPlan[] =>
  plans.map((p) => groups.find((g) => g.plan.group === p.group)?.plan ?? p)

/** A net for each wire that something hangs on. */
function writeWires(
  draft: CircuitDraft,
  lamp: Lamp,
  plans: readonly GroupPlan[],
  controlled: boolean,
): ReadonlyMap<string, string> {
  const used = new Set(plans.flatMap((p) => p.feeds.flatMap((f) => f.wires.map((w) => w.name))))
  return new Map(
    lamp.vehicle.wires
      .filter((w) => used.has(w.name) || (controlled && w.role === "supply"))
      .map((w) => [w.name, draft.net(w.name, w.role === "supply" ? "supply" : "wire", w.name)]),
  )
}

function driveOf({ plan, way, strings, ohms }: WrittenGroup): GroupDrive {
  return {
    group: plan.group.name,
    topology: plan.topology,
    way,
    why: whyOf(plan, way),
    inSeries: strings.inSeries,
    fullCurrent: strings.full,
    resistance: ohms.get(strings.inSeries)![0]!,
  }
}
