// Way in: a lamp becomes a circuit. Choose how each group is driven, write the parts, solve every corner, judge.

import type { Finding } from "../0-ground/finding.ts"
import type { LedType } from "../1-stock/artefact.ts"
import { leds } from "../1-stock/leds.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Candidate, Circuit, GroupDrive } from "./artefact.ts"
import { chooseTopology, type GroupPlan } from "./choose-topology.ts"
import { CircuitDraft } from "./circuit-draft.ts"
import { compareCandidates } from "./compare-candidates.ts"
import { cornerState, solveCorners } from "./corners.ts"
import { Figures } from "./drive-figures.ts"
import { earthWire } from "./feed-wires.ts"
import { judgeAbuse, notSolved } from "./judge-abuse.ts"
import { judgeCandidates } from "./judge-candidates.ts"
import { judgeGroups } from "./judge-groups.ts"
import { judgeDescription, judgeSafety } from "./judge-safety.ts"
import { judgeSwitching } from "./judge-switching.ts"
import { judgeTransients } from "./judge-transients.ts"
import type { MadeCircuit } from "./made-circuit.ts"
import type { CircuitBody } from "./model-circuit.ts"
import { netLoads } from "./net-currents.ts"
import { wireInput } from "./read-wires.ts"
import { shareChannels } from "./share-channels.ts"
import { type WrittenController, writeController } from "./write-controller.ts"
import { type Nets, type WrittenGroup, writeGroup } from "./write-group.ts"

export function designDrive(lamp: Lamp): Circuit {
  const draft = new CircuitDraft()
  const earth = draft.net(earthWire(lamp)?.name ?? "earth", "earth", earthWire(lamp)?.name)
  const plans = lamp.groups.flatMap((g) => chooseTopology(lamp, g) ?? [])
  const nets: Nets = { earth, wire: writeWires(draft, lamp, plans) }
  const ledOf = (plan: GroupPlan): LedType | undefined => leds.find(plan.group.led)
  const drawn = plans.filter((p) => ledOf(p) !== undefined && p.group.leds.length > 0)
  const switched = drawn.filter((p) => p.topology === "switched")
  const share = shareChannels(switched, (p) => p.group.current ?? ledOf(p)!.testCurrent)

  const groups: WrittenGroup[] = []
  const candidates: Candidate[] = []
  let first = 0
  for (const plan of drawn) {
    const pieces = share.pieces.get(plan.group.name)
    const led = ledOf(plan)!
    const compared = compareCandidates({
      lamp,
      plan,
      led,
      pieces: pieces ?? [plan.group.leds.length],
      controller: switched.length > 0,
    })
    candidates.push(...compared.candidates)
    groups.push(writeGroup(draft, lamp, nets, plan, led, pieces && { pieces, first }, compared.inSeries))
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
  const inputs = (controller?.inputs ?? []).map((i) => wireInput(i, lamp.vehicle.supply.usual))

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
  const findings: Finding[] = [
    ...judgeDescription(lamp, plans, share, figures),
    ...solved.filter((s) => !s.point.converged).map((s) => notSolved(s.at.name)),
    ...judgeGroups(made, figures),
    ...judgeSwitching(made, figures),
    ...judgeAbuse(made, figures),
    ...judgeTransients(made, figures),
    ...judgeSafety(made, figures),
    ...judgeCandidates(made, candidates, figures),
  ]
  return {
    parts: draft.parts,
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
    figures: figures.all,
    findings,
  }
}

/** A net for each wire that something hangs on. */
function writeWires(
  draft: CircuitDraft,
  lamp: Lamp,
  plans: readonly GroupPlan[],
): ReadonlyMap<string, string> {
  const used = new Set(plans.flatMap((p) => p.feeds.flatMap((f) => f.wires.map((w) => w.name))))
  const controlled = plans.some((p) => p.topology === "switched")
  return new Map(
    lamp.vehicle.wires
      .filter((w) => used.has(w.name) || (controlled && w.role === "supply"))
      .map((w) => [w.name, draft.net(w.name, w.role === "supply" ? "supply" : "wire", w.name)]),
  )
}

function driveOf({ plan, strings, ohms }: WrittenGroup): GroupDrive {
  return {
    group: plan.group.name,
    topology: plan.topology,
    why: plan.why,
    inSeries: strings.inSeries,
    fullCurrent: strings.full,
    resistance: ohms.get(strings.inSeries)![0]!,
  }
}
