// Lines → rules in the order of their rank, with levels, starts and times as the firmware takes them.

import type { BehaviourRule, FlasherTiming } from "./artefact.ts"
import { sweepPlan } from "./line-times.ts"
import { holdsBack, type Line } from "./programme-line.ts"
import { floorCode, longestFadeMs } from "./table-layout.ts"

/**
 * Rules in rank order: flashing lines first, then more wires, then higher level, then the later line; between the
 * flashing and the other lines, the dark that holds the others back between flashes.
 */
export function rankRules(lines: readonly Line[], timing: FlasherTiming): readonly BehaviourRule[] {
  const byRank = (a: Line, b: Line) =>
    b.live.length - a.live.length || b.line.level - a.line.level || b.index - a.index
  const flashers = lines.filter((l) => l.flashing.length > 0).sort(byRank)
  const others = lines.filter((l) => l.flashing.length === 0).sort(byRank)
  const shared = flashers.filter((f) => holdsBack(f) && others.some((o) => o.group.name === f.group.name))
  const ruleFor = (l: Line) => ruleOf(l, timing)
  return [...flashers.map(ruleFor), ...shared.map(holdBack), ...others.map(ruleFor)]
}

function ruleOf(l: Line, timing: FlasherTiming): BehaviourRule {
  const { line, channels, turns } = l
  const plan = sweepPlan(line, timing)
  const riseMs = fade(line.rise)
  const riseShare = plan && riseMs > 1 ? Math.min(1, riseMs / plan.nominalMs) : 0
  const last = Math.max(0, ...turns)
  return {
    live: l.live,
    group: l.group.name,
    line: l.index,
    targets: channels.map((channel, i) => ({
      channel: channel.index,
      level: levelCode(line.level),
      startShare: plan && last > 0 ? (turns[i]! / last) * (1 - riseShare) : 0,
      riseMs: plan ? Math.min(riseMs, plan.nominalMs) : riseMs,
      fallMs: fade(line.fall),
    })),
    ...(plan
      ? {
          sweepWithinMs: plan.atMostMs,
          ...(plan.share === timing.sweepShare ? {} : { sweepShare: plan.share }),
          ...(plan.nominalMs === plan.atMostMs ? {} : { sweepNominalMs: plan.nominalMs }),
          ...(line.sweep?.firstFlash === "together" ? { firstTogether: true } : {}),
        }
      : {}),
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
