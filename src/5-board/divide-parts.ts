// Parts divided over boards so that the fewest wires run between them. A net costs a wire for every board it reaches
// beyond the first. Between two boards the best division is a least cut (each net an edge that is cut once, Lawler
// 1973, from memory), found exactly by greatest flow. Over more boards pair after pair is divided anew, and parts are
// drawn to one board at a time, each step the best of its kind, from several starts, until nothing gains.
// Among divisions with as few wires the one nearest to the parts' own boards is taken.

export interface Dividing {
  /** Boards each part may stand on, its own first. */
  readonly allowed: readonly (readonly number[])[]
  /** Parts on each net. */
  readonly nets: readonly (readonly number[])[]
  readonly boards: number
}

/** Rounds over all pairs of boards; two are usually enough. */
const mostRounds = 20

/** Board of each part. */
export function divideParts(task: Dividing): number[] {
  const { allowed, boards } = task
  // From the parts' own boards, and from everything drawn to one board after another.
  let best = improved(
    task,
    allowed.map((a) => a[0]!),
  )
  if (boards > 2)
    for (let b = 0; b < boards; b++) {
      const found = improved(
        task,
        allowed.map((a) => (a.includes(b) ? b : a[0]!)),
      )
      if (cost(task, found) < cost(task, best)) best = found
    }
  return best
}

/** Wires first, then parts away from their own boards. */
function cost({ allowed, nets }: Dividing, on: readonly number[]): number {
  const away = on.filter((b, p) => b !== allowed[p]![0]).length
  return wiresBetween(nets, on) * (allowed.length + 1) + away
}

function improved(task: Dividing, start: readonly number[]): number[] {
  const { boards } = task
  let on = [...start]
  const take = (found: number[]): boolean => {
    if (cost(task, found) >= cost(task, on)) return false
    on = found
    return true
  }
  for (let round = 0; round < mostRounds; round++) {
    let moved = false
    for (let a = 0; a < boards; a++) {
      for (let b = a + 1; b < boards; b++) if (take(pairDivided(task, on, a, b))) moved = true
      if (boards > 2 && take(drawnTo(task, on, a))) moved = true
    }
    if (!moved) break
  }
  return on
}

/** The best exchange of parts between two boards, all others left where they are. */
function pairDivided({ allowed, nets }: Dividing, on: readonly number[], a: number, b: number): number[] {
  const free = allowed.flatMap((list, p) =>
    (on[p] === a || on[p] === b) && list.includes(a) && list.includes(b) ? [p] : [],
  )
  const node = new Map(free.map((p, i) => [p, i + 2]))
  const flow = greatestFlow(free.length + 2)
  for (const p of free) {
    if (allowed[p]![0] === a) flow.edge(0, node.get(p)!, 1)
    if (allowed[p]![0] === b) flow.edge(node.get(p)!, 1, 1)
  }
  for (const net of nets) {
    const here = net.filter((p) => on[p] === a || on[p] === b)
    if (!here.some((p) => node.has(p))) continue
    const into = flow.node()
    const out = flow.node()
    flow.edge(into, out, allowed.length + 1)
    for (const p of here) {
      const n = node.get(p) ?? (on[p] === a ? 0 : 1)
      flow.edge(n, into, Number.POSITIVE_INFINITY)
      flow.edge(out, n, Number.POSITIVE_INFINITY)
    }
  }
  const side = flow.sourceSide()
  return on.map((at, p) => (node.has(p) ? (side[node.get(p)!] ? a : b) : at))
}

/** The best set of parts to move to one board at once, wherever they stand. */
function drawnTo({ allowed, nets }: Dividing, on: readonly number[], a: number): number[] {
  const free = allowed.flatMap((list, p) => (on[p] !== a && list.includes(a) ? [p] : []))
  const node = new Map(free.map((p, i) => [p, i + 2]))
  const flow = greatestFlow(free.length + 2)
  const wire = allowed.length + 1
  for (const p of free) {
    // The source's side moves.
    if (allowed[p]![0] === a) flow.edge(0, node.get(p)!, 1)
    else if (allowed[p]![0] === on[p]) flow.edge(node.get(p)!, 1, 1)
  }
  for (const net of nets) {
    const movable = net.filter((p) => node.has(p))
    if (movable.length === 0) continue
    if (!net.some((p) => on[p] === a)) {
      const reached = flow.node()
      flow.edge(reached, 1, wire)
      for (const p of movable) flow.edge(node.get(p)!, reached, Number.POSITIVE_INFINITY)
    }
    for (const b of new Set(movable.map((p) => on[p]!))) {
      const there = net.filter((p) => on[p] === b)
      if (there.some((p) => !node.has(p))) continue
      const kept = flow.node()
      flow.edge(0, kept, wire)
      for (const p of there) flow.edge(kept, node.get(p)!, Number.POSITIVE_INFINITY)
    }
  }
  const side = flow.sourceSide()
  return on.map((at, p) => (node.has(p) && side[node.get(p)!] ? a : at))
}

/** Wires between boards: for every net the boards it reaches beyond its first. */
export function wiresBetween(nets: readonly (readonly number[])[], on: readonly number[]): number {
  return nets.reduce((sum, net) => sum + Math.max(0, new Set(net.map((p) => on[p])).size - 1), 0)
}

/** Greatest flow from node 0 to node 1 by shortest ways (Edmonds & Karp 1972, from memory). */
function greatestFlow(start: number) {
  const out: { to: number; left: number; back: number }[][] = Array.from({ length: start }, () => [])
  const search = (): Int32Array => {
    const from = new Int32Array(out.length).fill(-1)
    const by = new Int32Array(out.length).fill(-1)
    from[0] = 0
    const queue = [0]
    for (const n of queue)
      for (const [k, e] of out[n]!.entries())
        if (e.left > 0 && from[e.to] === -1) {
          from[e.to] = n
          by[e.to] = k
          queue.push(e.to)
        }
    if (from[1] === -1) return from
    let least = Number.POSITIVE_INFINITY
    for (let n = 1; n !== 0; n = from[n]!) least = Math.min(least, out[from[n]!]![by[n]!]!.left)
    for (let n = 1; n !== 0; n = from[n]!) {
      const e = out[from[n]!]![by[n]!]!
      e.left -= least
      out[n]![e.back]!.left += least
    }
    return from
  }
  return {
    node: () => out.push([]) - 1,
    edge(a: number, b: number, room: number) {
      out[a]!.push({ to: b, left: room, back: out[b]!.length })
      out[b]!.push({ to: a, left: 0, back: out[a]!.length - 1 })
    },
    /** Which nodes stay on the source's side of the least cut; of several the one nearest to the source. */
    sourceSide(): boolean[] {
      for (;;) {
        const from = search()
        if (from[1] === -1) return [...from].map((n) => n !== -1)
      }
    },
  }
}
