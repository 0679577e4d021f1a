// The groove of a V-shaped engraver and the cone of a drill point: plain trigonometry of the cutting edge.
// The width that matters is the one at the copper surface: it is what the copper loses.

import type { Mm } from "../units/brand.ts"

const halfAngleTan = (angle: number): number => Math.tan((angle * Math.PI) / 360)

/** Width removed at the copper surface: tip + 2·depth·tan(angle ÷ 2). `angle` is the full included angle, degrees. */
export function grooveWidth(tip: Mm, angle: number, depth: Mm): Mm {
  return tip + 2 * depth * halfAngleTan(angle)
}

/** What of an engraver decides how wide it cuts; run-out as the gauge's full reading, wear as length of point lost. */
export interface EngraverTip {
  readonly tip: Mm
  readonly angle: number
  readonly runOut?: Mm
  readonly wear?: Mm
}

/** Flat at the tip as it stands now: every millimetre of point worn off widens it by 2·tan(angle ÷ 2). */
export const wornTip = ({ tip, angle, wear = 0 }: EngraverTip): Mm => tip + 2 * wear * halfAngleTan(angle)

/** What the tip sweeps as it turns: the worn flat, and the run-out, because its middle goes round on half of that. */
export const sweptTip = (engraver: EngraverTip): Mm => wornTip(engraver) + (engraver.runOut ?? 0)

/** Depth at which the groove is `width` wide at the surface; NaN for a cutter without taper. */
export function grooveDepth(tip: Mm, angle: number, width: Mm): Mm {
  const tan = halfAngleTan(angle)
  return tan === 0 ? Number.NaN : (width - tip) / (2 * tan)
}

/** How much wider the groove gets for each millimetre of depth. */
export const widthPerDepth = (angle: number): number => 2 * halfAngleTan(angle)

/** Length of a drill's conical point: radius ÷ tan(point angle ÷ 2). */
export const drillPointLength = (diameter: Mm, pointAngle: number): Mm =>
  diameter / 2 / halfAngleTan(pointAngle)
