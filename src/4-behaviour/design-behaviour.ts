// Way in: the light programme of the groups the controller switches, ranked and timed, with what is wrong with it.
// What the rules mean for the light is told in SEMANTICS.md.

import type { Finding } from "../0-ground/finding.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import type { Behaviour, BehaviourInput } from "./artefact.ts"
import { allOf, figuresOf } from "./behaviour-figures.ts"
import { timingOf } from "./flasher-timing.ts"
import { judgeFlashing } from "./judge-flashing.ts"
import { judgeLine } from "./judge-line.ts"
import {
  againstBulbs,
  contradictions,
  countFigures,
  counts,
  dimmer,
  heldBack,
  hiddenFlashes,
  lost,
  neverLit,
} from "./judge-programme.ts"
import { switchedLines } from "./programme-line.ts"
import { rankRules } from "./rank-rules.ts"
import { tellLight } from "./tell-light.ts"

export function designBehaviour(lamp: Lamp, circuit: Circuit): Behaviour {
  const timing = timingOf(lamp)
  const inputs = readInputs(lamp, circuit)
  const findings: Finding[] = [...neverLit(lamp), ...contradictions(lamp)]
  const lines = switchedLines(lamp, circuit, inputs, findings)
  const rules = rankRules(lines, timing)
  const figured = lines.map((line) => ({
    line,
    figures: figuresOf(circuit, inputs, lamp.vehicle.wires, timing, line),
  }))
  findings.push(
    ...figured.flatMap(({ line, figures }) => judgeLine(lamp, timing, line, figures)),
    ...dimmer(lamp),
    ...againstBulbs(lamp),
    ...hiddenFlashes(lamp, lines),
    ...heldBack(lamp, lines),
    ...lost(lamp, lines),
  )
  const flashing = judgeFlashing(lamp, timing, inputs)
  findings.push(...flashing.findings)
  const counted = countFigures(inputs, circuit, rules)
  findings.push(...counts(counted))
  return {
    inputs,
    channels: circuit.channels.map((c) => ({ index: c.index, activeHigh: c.activeHigh })),
    rules,
    timing,
    told: tellLight(lamp, circuit, inputs, timing, lines),
    findings,
    figures: [
      ...flashing.figures,
      ...figured.flatMap(({ figures }) => allOf(figures)),
      ...counted.map((c) => c.figure),
    ],
  }
}

/** Inputs in the circuit's order. Wires of the stop function are dead as quickly as flashing ones. */
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
        assertMs: looks(wire?.liveAfter, 3),
        releaseMs: looks(wire?.deadAfter, quick ? 8 : 10),
      },
    ]
  })
}

/** One look a millisecond, at least one. */
const looks = (seconds: number | undefined, usual: number): number =>
  seconds === undefined ? usual : Math.max(1, Math.round(1000 * seconds))
