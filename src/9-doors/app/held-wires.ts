// Wires held by hand: while a key is down its wire does the opposite of what it did when the key went down.

import type { Stimulus, WireEdge } from "../../7-proof/play-lamp.ts"

export interface Held {
  readonly wire: string
  /** Seconds. */
  readonly from: number
  /** Undefined while the key is still down. */
  readonly until: number | undefined
}

export function withHeld(stimulus: Stimulus, held: readonly Held[], seconds: number): Stimulus {
  const wires: Record<string, readonly WireEdge[]> = { ...stimulus.wires }
  for (const { wire, from, until = seconds } of held) {
    const edges = wires[wire] ?? []
    if (until <= from) continue
    const forced = !liveAt(edges, from)
    wires[wire] = alternating([
      ...edges.filter((e) => e.t < from),
      { t: from, live: forced },
      ...(until < seconds ? [{ t: until, live: liveAt(edges, until) }] : []),
      ...edges.filter((e) => e.t > until),
    ])
  }
  return { wires }
}

const liveAt = (edges: readonly WireEdge[], t: number): boolean =>
  edges.reduce((live, e) => (e.t <= t ? e.live : live), false)

/** Without edges that change nothing. */
function alternating(edges: readonly WireEdge[]): WireEdge[] {
  const out: WireEdge[] = []
  for (const edge of edges) if ((out.at(-1)?.live ?? false) !== edge.live) out.push(edge)
  return out
}
