// How sure a counted share is.

/** 95 % interval of a share of `hits` in `count` (E. B. Wilson, J. Am. Stat. Assoc. 22, 1927, p. 209). */
export function wilson(hits: number, count: number): { readonly low: number; readonly high: number } {
  const z = 1.959964
  const p = hits / count
  const middle = p + (z * z) / (2 * count)
  const half = z * Math.sqrt((p * (1 - p)) / count + (z * z) / (4 * count * count))
  const scale = 1 + (z * z) / count
  return { low: Math.max(0, (middle - half) / scale), high: Math.min(1, (middle + half) / scale) }
}
