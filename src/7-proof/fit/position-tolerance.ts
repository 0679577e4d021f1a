// Position tolerances of holes and screws, as diameters: the formulae of ASME Y14.5 appendix B and ISO 2692.

/** Each of two parts may be so far off when the screw is fixed in one of them: (hole − screw) ÷ 2. */
export const fixedFastener = (hole: number, screw: number): number => (hole - screw) / 2

/** Each of two parts may be so far off when the screw passes through both: hole − screw. */
export const floatingFastener = (hole: number, screw: number): number => hole - screw

/** Diameter of the zone that an error along x and y fills: 2 × √(x² + y²). */
export const truePosition = (x: number, y: number): number => 2 * Math.hypot(x, y)

/** Tolerance at maximum material, grown by what the hole is larger than its least size. */
export const bonusTolerance = (tolerance: number, least: number, actual: number): number =>
  tolerance + Math.max(0, actual - least)
