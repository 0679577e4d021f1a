// In a builder's words what sets a group's current, after what feeds it.

import type { GroupPlan } from "./choose-topology.ts"
import type { Way } from "./group-design.ts"

export function whyOf(plan: GroupPlan, way: Way): string {
  const sets: Partial<Record<Way, string>> = {
    "current-sinks":
      "Every string ends in a current sink of two transistors, so that its current hardly follows the supply.",
    "regulated-rail": "An adjustable regulator makes a rail for its strings, steady while the supply lasts.",
  }
  if (way === "rail-switched" || way === "rail-relay") {
    const [bright, dim] = plan.feeds
    const names = (f: typeof bright) => f!.wires.map((w) => w.name).join(" and ")
    return `fed through one adjustable regulator whose rail ${way === "rail-relay" ? "a relay" : "a transistor"} lowers while ${names(bright)} is dead (${names(dim)} for ${Math.round(dim!.level * 100)} %). It works with the controller dead.`
  }
  return sets[way] === undefined ? plan.why : `${plan.why} ${sets[way]}`
}
