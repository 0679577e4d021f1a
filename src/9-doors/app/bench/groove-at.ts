// How wide the engraver's grooves are at another depth than the program's: the surface may lie higher or lower there.

import { show } from "../../../0-ground/text/show.ts"
import type { BoardCopper } from "../../../6-copper/artefact.ts"

export interface GrooveWidths {
  /** mm at the surface of the copper; 0 where the tool passes above it. */
  readonly top: number
  /** mm where the foil ends; 0 where the groove does not reach through it. */
  readonly bottom: number
}

/** Both flanks move by depth · tan(angle ÷ 2), from the width that the cut was planned with. */
export function grooveAt(copper: BoardCopper, angle: number, depth: number, foil: number): GrooveWidths {
  const flank = Math.tan((angle * Math.PI) / 360)
  const top = depth <= 0 ? 0 : copper.grooveWidth + 2 * (depth - copper.depth) * flank
  const bottom = depth < foil ? 0 : top - 2 * foil * flank
  return { top: Math.max(0, top), bottom: Math.max(0, bottom) }
}

export const grooveWords = ({ top, bottom }: GrooveWidths, depth: number): string =>
  bottom > 0
    ? `Grooves ${show(depth, "mm")} deep: ${show(top, "mm")} wide at the surface, ${show(bottom, "mm")} where the foil ends.`
    : `At ${show(depth, "mm")} the grooves do not reach through the foil: nothing is separated.`
