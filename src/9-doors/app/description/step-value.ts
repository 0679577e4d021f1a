// One step up or down in a value as written: the second digit that counts moves, the unit and the spelling stay.

/** `180 ms` → `190 ms`, `0.1 mm` → `0.11 mm`; undefined where the value is no single number with a unit. */
export function stepped(written: string, direction: 1 | -1): string | undefined {
  const match = /^([+-]?)(\d+)(?:\.(\d+))?(\s*[^\d\s.,].*)?$/.exec(written.trim())
  if (!match) return undefined
  const [, sign = "", whole = "0", part = "", unit = ""] = match
  // `4k7` and `70 × 45 mm` hold two numbers.
  if (/^[RkKM/]\d|[×xX*]\s*\d/.test(unit)) return undefined
  const value = Number(`${sign}${whole}.${part || 0}`)
  const next = value + direction * stepOf(Math.abs(value), part.length, Math.sign(value) * direction < 0)
  const places = Math.max(part.length, decimalsOf(next))
  return `${next.toFixed(places).replace(/^-(0(?:\.0*)?)$/, "$1")}${unit}`
}

/** `inward`: towards zero, where a power of ten steps as the numbers below it do, so that up undoes down. */
function stepOf(size: number, written: number, inward: boolean): number {
  if (written === 0 && size < 10) return inward && size === 1 ? 0.1 : 1
  const decade = Math.floor(Math.log10(size === 0 ? 1 : size) + 1e-9)
  const below = inward && size >= 100 && Math.abs(size / 10 ** decade - 1) < 1e-9 ? 1 : 0
  const step = 10 ** (decade - 1 - below)
  // Hundredths that stand there are the finest meant.
  return written >= 2 ? Math.max(step, 10 ** -written) : step
}

const decimalsOf = (n: number) => {
  const text = n.toFixed(6).replace(/0+$/, "")
  return text.length - 1 - text.indexOf(".")
}
