// An independent judge of copper for tests: every pair of shapes by its own arithmetic (dense sampling of nothing,
// closed formulas only), and connectivity by flooding over overlaps. Shares no code with the router's own check.

export interface Disc2 {
  readonly net: string
  readonly p: readonly [number, number]
  readonly q: readonly [number, number]
  readonly r: number
}

/** Distance between two segments by minimising over both ends and, where they cross, zero. */
function apart(a: Disc2, b: Disc2): number {
  const pointTo = (x: number, y: number, s: Disc2) => {
    const [px, py] = s.p
    const [qx, qy] = s.q
    const l = (qx - px) ** 2 + (qy - py) ** 2
    const t = l < 1e-18 ? 0 : Math.min(1, Math.max(0, ((x - px) * (qx - px) + (y - py) * (qy - py)) / l))
    return Math.hypot(x - px - t * (qx - px), y - py - t * (qy - py))
  }
  // Crossing: solve p + t·u = c + s·v.
  const [ux, uy] = [a.q[0] - a.p[0], a.q[1] - a.p[1]]
  const [vx, vy] = [b.q[0] - b.p[0], b.q[1] - b.p[1]]
  const det = ux * vy - uy * vx
  if (Math.abs(det) > 1e-12) {
    const wx = b.p[0] - a.p[0]
    const wy = b.p[1] - a.p[1]
    const t = (wx * vy - wy * vx) / det
    const s = (wx * uy - wy * ux) / det
    if (t >= 0 && t <= 1 && s >= 0 && s <= 1) return 0
  }
  return Math.min(pointTo(...a.p, b), pointTo(...a.q, b), pointTo(...b.p, a), pointTo(...b.q, a))
}

/** Least gap between shapes of different nets, and the nets that fall into more than one piece. */
export function judgeCopper(shapes: readonly Disc2[], joins: readonly (readonly [number, number])[] = []) {
  let gap = Number.POSITIVE_INFINITY
  let pair = ""
  const next: number[][] = shapes.map(() => [])
  for (const [a, b] of joins) {
    next[a]!.push(b)
    next[b]!.push(a)
  }
  for (let i = 0; i < shapes.length; i++)
    for (let j = i + 1; j < shapes.length; j++) {
      const a = shapes[i]!
      const b = shapes[j]!
      const d = apart(a, b) - a.r - b.r
      if (a.net === b.net) {
        if (d < 0) {
          next[i]!.push(j)
          next[j]!.push(i)
        }
      } else if (d < gap) {
        gap = d
        pair = `${a.net} / ${b.net}`
      }
    }
  const piece = new Int32Array(shapes.length).fill(-1)
  let pieces = 0
  for (let i = 0; i < shapes.length; i++) {
    if (piece[i]! >= 0) continue
    const stack = [i]
    while (stack.length > 0) {
      const k = stack.pop()!
      if (piece[k]! >= 0) continue
      piece[k] = pieces
      stack.push(...next[k]!)
    }
    pieces++
  }
  const broken = [...new Set(shapes.map((s) => s.net))].filter(
    (net) => new Set(shapes.flatMap((s, i) => (s.net === net ? [piece[i]!] : []))).size > 1,
  )
  return { gap, pair, broken }
}
