// Seeded lamps that use every word of the programme language, with combinations nobody would build.

import { type Random, random } from "../0-ground/numbers/random.ts"
import type { FlashLimits, Lamp, ProgrammeLine, Sweep } from "../2-lamp/artefact.ts"
import { flashingWire, group, lamp, steadyWire } from "./wings.testing.ts"

/** Longest rise or fall of these lamps, ms. */
export const longestChange = 300

/** Any wires, groups and lines, with combinations nobody would build. */
export function seededLamp(seed: number): Lamp {
  const chance = random(seed)
  const wires = ["a", "b", "c", "d"].slice(0, 1 + chance.below(4)).map((name) => ({
    ...(chance.next() < 0.5 ? flashingWire(name) : steadyWire(name)),
    ...(chance.next() < 0.2 ? { liveAfter: (1 + chance.below(9)) / 1000 } : {}),
    ...(chance.next() < 0.2 ? { deadAfter: (1 + chance.below(19)) / 1000 } : {}),
  }))
  const groups = ["g", "h", "i"]
    .slice(0, 1 + chance.below(3))
    .map((name) =>
      group(name, 1 + chance.below(5), { functions: [chance.next() < 0.4 ? "stop" : "rear-position"] }),
    )
  const lines = new Map<string, ProgrammeLine>()
  for (let n = 0; n < 9; n++) {
    const light = groups[chance.below(groups.length)]!.name
    const when = wires.map((w) => w.name).filter(() => chance.next() < 0.45)
    const sweep = chance.next() < 0.45 ? seededSweep(chance) : undefined
    const rise = sweep ? chance.below(1000 * sweep.within + 1) : chance.below(longestChange)
    const line = {
      when: when.length > 0 ? when : [wires[0]!.name],
      light,
      level: [1, 1, 1, 0][chance.below(10)] ?? (8 + chance.below(247)) / 255,
      rise: chance.next() < 0.3 ? 0 : rise / 1000,
      fall: chance.next() < 0.3 ? 0 : chance.below(200) / 1000,
      ...(sweep ? { sweep } : {}),
      ...(chance.next() < 0.2 ? { betweenFlashes: "other-lines" as const } : {}),
    }
    lines.set(`${light} ${line.when}`, line)
  }
  const made = lamp(wires, groups, [...lines.values()])
  return chance.next() < 0.5 ? made : { ...made, flashing: seededLimits(chance) }
}

/** Absolute or a share of the on-time, LED by LED or in steps, short or all together at first. */
function seededSweep(chance: Random): Sweep {
  const within = (20 + chance.below(chance.next() < 0.2 ? 700 : 220)) / 1000
  const share = (5 + chance.below(81)) / 100
  return {
    within,
    ...(chance.next() < 0.4 ? { share } : {}),
    ...(chance.next() < 0.5 ? { step: 1 + chance.below(3) } : {}),
    ...(chance.next() < 0.3 ? { firstFlash: "together" as const } : {}),
  }
}

function seededLimits(chance: Random): FlashLimits {
  const time = (low: number, high: number) => (low + chance.below(high - low)) / 1000
  return {
    shortestOn: time(50, 200),
    steadyAfter: time(300, 1600),
    contactGap: time(20, 120),
    newOperationAfter: time(500, 2000),
    unstableFor: time(200, 1200),
    fiveFlashesWithin: time(400, 2000),
    heldBackFor: time(60, 900),
  }
}
