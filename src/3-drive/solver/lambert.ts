// Lambert's W in the form circuits need: w + ln w = L, which never forms an exponential that overflows.
// Diode with series resistance in closed form: T. C. Banwell and A. Jayakumar, Electronics Letters 36(4), 2000, p. 291.

/** w > 0 with w + ln w = L, for any finite L. Newton from w = L − ln L (L > 1) or e^L; a few steps. */
export function wOfLog(L: number): number {
  // Below e^-40 the correction w is lost beside ln w.
  if (L < -40) return Math.exp(L)
  let w = L > 1 ? L - Math.log(L) : Math.exp(L)
  for (let i = 0; i < 12; i++) {
    const step = (w + Math.log(w) - L) / (1 + 1 / w)
    const to = w - step
    w = to > 0 ? to : w / 2
    if (Math.abs(step) <= 1e-16 * w) break
  }
  return w
}

/** The main branch W0(x), x ≥ −1/e: w·e^w = x. NaN below. */
export function lambertW0(x: number): number {
  if (x > 0) return wOfLog(Math.log(x))
  if (x === 0) return 0
  const reach = Math.E * x + 1
  if (reach < 0) return reach > -1e-15 ? -1 : Number.NaN
  // Series at the branch point, then Halley.
  const p = Math.sqrt(2 * reach)
  let w = -1 + p - (p * p) / 3 + (11 * p ** 3) / 72
  for (let i = 0; i < 20 && w > -1; i++) {
    const e = Math.exp(w)
    const f = w * e - x
    const step = f / (e * (w + 1) - ((w + 2) * f) / (2 * w + 2))
    w -= step
    if (Math.abs(step) <= 1e-16 * Math.abs(w)) break
  }
  return w
}

/**
 * Current of a source `volt` through `ohm` into a diode (or a string: emission and series resistance added up), ampere.
 * I = (n·Vt/R)·W(…) − Is with `ohm` holding every series resistance; needs ohm > 0.
 */
export function diodeResistorCurrent(volt: number, ohm: number, saturation: number, nVt: number): number {
  const L = Math.log((saturation * ohm) / nVt) + (volt + saturation * ohm) / nVt
  return (nVt / ohm) * wOfLog(L) - saturation
}
