// Affine maps as SVG writes them: x' = a·x + c·y + e, y' = b·x + d·y + f.

import type { Point } from "../0-ground/geometry/point.ts"

export interface Affine {
  readonly a: number
  readonly b: number
  readonly c: number
  readonly d: number
  readonly e: number
  readonly f: number
}

export const identity: Affine = { a: 1, b: 0, c: 0, d: 1, e: 0, f: 0 }

/** First `inner`, then `outer`. */
export function compose(outer: Affine, inner: Affine): Affine {
  return {
    a: outer.a * inner.a + outer.c * inner.b,
    b: outer.b * inner.a + outer.d * inner.b,
    c: outer.a * inner.c + outer.c * inner.d,
    d: outer.b * inner.c + outer.d * inner.d,
    e: outer.a * inner.e + outer.c * inner.f + outer.e,
    f: outer.b * inner.e + outer.d * inner.f + outer.f,
  }
}

export const apply = (m: Affine, p: Point): Point => ({
  x: m.a * p.x + m.c * p.y + m.e,
  y: m.b * p.x + m.d * p.y + m.f,
})

/** Greatest and least stretch (singular values); equal when circles stay circles. */
export function stretch(m: Affine): { readonly most: number; readonly least: number } {
  const p = Math.hypot(m.a + m.d, m.b - m.c)
  const q = Math.hypot(m.a - m.d, m.b + m.c)
  return { most: (p + q) / 2, least: Math.abs(p - q) / 2 }
}

const argument = {
  matrix: [6],
  translate: [1, 2],
  scale: [1, 2],
  rotate: [1, 3],
  skewX: [1],
  skewY: [1],
} as const

/** The `transform` attribute (SVG 2, CSS transforms list); undefined when it cannot be read. */
export function parseTransform(text: string): Affine | undefined {
  let m = identity
  const pattern = /\s*,?\s*(matrix|translate|scale|rotate|skewX|skewY)\s*\(([^()]*)\)/y
  let end = 0
  for (;;) {
    pattern.lastIndex = end
    const found = pattern.exec(text)
    if (!found) break
    end = pattern.lastIndex
    const name = found[1] as keyof typeof argument
    const numbers = numbersIn(found[2]!)
    if (numbers === undefined || !(argument[name] as readonly number[]).includes(numbers.length))
      return undefined
    m = compose(m, one(name, numbers))
  }
  return text.slice(end).trim() === "" && Object.values(m).every(Number.isFinite) ? m : undefined
}

function one(name: keyof typeof argument, n: readonly number[]): Affine {
  const [p = 0, q = 0, r = 0] = n
  switch (name) {
    case "matrix":
      return { a: p, b: q, c: r, d: n[3]!, e: n[4]!, f: n[5]! }
    case "translate":
      return { ...identity, e: p, f: q }
    case "scale":
      return { ...identity, a: p, d: n.length > 1 ? q : p }
    case "rotate": {
      const { sin, cos } = sinCos(p)
      const turned = { a: cos, b: sin, c: -sin, d: cos, e: 0, f: 0 }
      if (n.length === 1) return turned
      return compose(compose({ ...identity, e: q, f: r }, turned), { ...identity, e: -q, f: -r })
    }
    case "skewX":
      return { ...identity, c: Math.tan((p * Math.PI) / 180) }
    case "skewY":
      return { ...identity, b: Math.tan((p * Math.PI) / 180) }
  }
}

/** Quarter turns are exact. */
function sinCos(degrees: number): { sin: number; cos: number } {
  const quarter = (((degrees / 90) % 4) + 4) % 4
  if (Number.isInteger(quarter)) return { sin: [0, 1, 0, -1][quarter]!, cos: [1, 0, -1, 0][quarter]! }
  const r = (degrees * Math.PI) / 180
  return { sin: Math.sin(r), cos: Math.cos(r) }
}

/** Numbers parted by spaces or commas; undefined when anything else stands between. */
export function numbersIn(text: string): number[] | undefined {
  const number = /\s*,?\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)/y
  const out: number[] = []
  let end = 0
  for (;;) {
    number.lastIndex = end
    const found = number.exec(text)
    if (!found) break
    end = number.lastIndex
    out.push(Number(found[1]))
  }
  return text.slice(end).trim() === "" && out.every(Number.isFinite) ? out : undefined
}
