// Steinberg's rule for parts soldered to a board that swings (Vibration Analysis for Electronic Equipment; from memory).
// The rule is written in inches and stays so inside; lengths come in millimetres.

const inch = 25.4

/** Single amplitude of a sine shake of `g` at `frequency`, mm: g·9.807 m/s² ÷ (2πf)². */
export const sineDisplacement = (g: number, frequency: number): number =>
  (g * 386.08858 * inch) / (2 * Math.PI * frequency) ** 2

/**
 * Swing a part outlives for some ten million cycles, mm: 0.00022·B ÷ (C·h·r·√L) in inches. B: board edge along the
 * part; h: board's thickness; L: part's length; C: kind of part (1 for dual-in-line); r: place (1 in the middle).
 */
export const allowedDisplacement = (b: number, h: number, l: number, c = 1, r = 1): number =>
  (inch * (0.00022 * (b / inch))) / (c * (h / inch) * r * Math.sqrt(l / inch))

/** Resonance from which a shake of `g` stays within that swing, Hz; the board swings √f times the shake. */
export const neededResonance = (g: number, allowed: number): number =>
  ((9.8 * g) / (allowed / inch)) ** (2 / 3)
