// Width of the engraver's groove at the copper surface, for the description's own line.

import type { Cutter } from "../../2-lamp/artefact.ts"

/** tip + 2 · depth · tan(angle ÷ 2), mm. */
export function grooveWidth({ tip, angle, depth }: Cutter["engraver"]): number {
  return tip + 2 * depth * Math.tan((angle * Math.PI) / 360)
}
