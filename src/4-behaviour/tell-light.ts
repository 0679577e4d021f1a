// What the lamp does in each situation, in words and with this lamp's own times, for the build sheet.
// The rules are those of SEMANTICS.md; `7-proof/bench/rules-of-light.test.ts` holds each on the emulated chip.

import type { Lamp } from "../2-lamp/artefact.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import type { BehaviourInput, FlasherTiming, Told } from "./artefact.ts"
import { latency, shortSweep, sweepPlan } from "./line-times.ts"
import { holdsBack, type Line } from "./programme-line.ts"
import { percent, round } from "./where-line.ts"

export function tellLight(
  lamp: Lamp,
  circuit: Circuit,
  inputs: readonly BehaviourInput[],
  timing: FlasherTiming,
  lines: readonly Line[],
): Told[] {
  if (lines.length === 0) return []
  const flashing = lines.filter((l) => l.flashing.length > 0)
  const times = lines.map((l) => latency(circuit, inputs, l))
  const out: Told[] = [
    {
      when: "a wire goes live",
      light: `first light at most ${round(Math.max(...times.map((t) => t.first)))} ms after its contact has settled; until then it must be found live for ${these(inputs, "assertMs")} (one look a millisecond)`,
    },
    {
      when: "a wire goes dead",
      light: `dark at most ${round(Math.max(...times.map((t, i) => t.after - 1000 * lines[i]!.line.fall)))} ms later, plus the line's fall; the wire must be found dead for ${these(inputs, "releaseMs")} in a row`,
    },
    ...priorities(lines),
  ]
  if (flashing.length > 0) out.push(...ofFlashes(lamp, inputs, timing, flashing, lines))
  out.push(
    {
      when: "power comes on, or the controller starts anew, in the middle of a flash",
      light: "every LED of a live wire at its level at once; that flash is not measured",
    },
    {
      when: "the program hangs, its table is damaged, or the controller is dead",
      light:
        "a hang ends by the watchdog; a damaged table is replaced by its copy, then by plain light on every live wire; without a program the pull-ups light every LED whose wire is live",
    },
  )
  return out
}

function ofFlashes(
  lamp: Lamp,
  inputs: readonly BehaviourInput[],
  timing: FlasherTiming,
  flashing: readonly Line[],
  lines: readonly Line[],
): Told[] {
  const sweeps = flashing.flatMap((l) => {
    const plan = sweepPlan(l.line, timing)
    return plan ? [{ l, plan }] : []
  })
  const unseen = Math.min(...inputs.filter((i) => i.flashing).map((i) => i.releaseMs)) - 1
  const out: Told[] = []
  for (const { l, plan } of sweeps) {
    const together = l.line.sweep!.firstFlash === "together"
    out.push({
      when: `first flash of ${l.line.when.join(" + ")}, after ${round(timing.operationGapMs / 1000)} s dead`,
      light: `${l.group.name}: ${together ? "every LED at once, and so until two on-times are known" : `a short sweep of ${shortSweep(plan, timing)} ms, and so until two on-times are known`}`,
    })
    out.push({
      when: `further flashes of ${l.line.when.join(" + ")}`,
      light: `${l.group.name}: a sweep of ${percent(plan.share / 256)} of the shortest of the last three on-times${plan.atMostMs < 5000 ? `, ${plan.atMostMs} ms at most` : ""}`,
    })
  }
  out.push(
    {
      when: `a contact bounces or lets go for up to ${unseen} ms`,
      light: "nothing of it is seen",
    },
    {
      when: `a contact lets go for longer, up to ${timing.contactGapMs} ms`,
      light:
        "every LED of the line at its level at once when it is back; the flash goes on as the same flash",
    },
    {
      when: `steady on: live for ${round(timing.steadyAfterMs / 1000)} s and more`,
      light: "every LED at its level for as long as the wire is live",
    },
    {
      when: "fast flash: a lamp of the vehicle is out",
      light: `sweeps shortened with the on-time, down to flashes of ${timing.shortestOnMs} ms; the one flash in which the flasher changes its pace may end before the last LED is lit`,
    },
    {
      when: `a flash shorter than ${timing.shortestOnMs} ms, or five within ${timing.riseWindowMs} ms`,
      light: `plain light for ${round(timing.unstableForMs / 1000)} s: every LED with its wire, no sweep`,
    },
  )
  for (const l of flashing.filter(holdsBack)) {
    const other = lines.filter((o) => o.group === l.group && o.flashing.length === 0)
    if (other.length === 0) continue
    out.push({
      when: `between the flashes of ${l.line.when.join(" + ")}`,
      light: `${l.group.name} is dark, also while ${other.map((o) => o.line.when.join(" + ")).join(" or ")} is live, until ${timing.flashGapMs} ms after the last flash`,
    })
  }
  const both = lamp.vehicle.wires.filter((w) => w.role === "flashing").map((w) => w.name)
  if (both.length > 1)
    out.push({
      when: `hazard: ${both.join(" and ")} together`,
      light: flashing.some((l) => l.flashing.length > 1)
        ? "the line for both wires decides while both are live"
        : "each group flashes by its own wire",
    })
  return out
}

/** Groups with several lines: which wins, in order. */
function priorities(lines: readonly Line[]): Told[] {
  const groups = [...new Set(lines.map((l) => l.group))]
  return groups.flatMap((group) => {
    const own = lines.filter((l) => l.group === group)
    if (own.length < 2) return []
    const order = [...own].sort(
      (a, b) =>
        Number(b.flashing.length > 0) - Number(a.flashing.length > 0) ||
        b.live.length - a.live.length ||
        b.line.level - a.line.level ||
        b.index - a.index,
    )
    return [
      {
        when: `several wires of ${group.name} live`,
        light: `one line alone decides, the first of: ${order.map((l) => `${l.line.when.join(" + ")} (${percent(l.line.level)})`).join(", ")}`,
      },
    ]
  })
}

/** "3 looks", or which wire asks for how many. */
function these(inputs: readonly BehaviourInput[], key: "assertMs" | "releaseMs"): string {
  const all = [...new Set(inputs.map((i) => i[key]))]
  const looks = (n: number) => `${n} look${n === 1 ? "" : "s"}`
  if (all.length === 1) return looks(all[0]!)
  return inputs.map((i) => `${looks(i[key])} (${i.wire})`).join(", ")
}
