// Tracks and wire links for one board without a grid: a sketch says which gaps each connection passes, what it leaves
// open gets links, and ropes draw the sketch exactly. Where a drawing finds no room, the sketch's gap becomes narrower
// and it looks for another way.

import type { Work } from "../0-ground/progress.ts"
import { drawTracks, type Strand } from "./draw-tracks.ts"
import type { PlacedLink } from "./link-room.ts"
import { type Linked, placeLink } from "./place-link.ts"
import type { NetRoute, Routed, RouteTask } from "./route-task.ts"
import { Sketch, type SketchPath, type SketchPlan } from "./sketch-route.ts"

export interface SketchRouting {
  /** A sketch of the same lands to start from. */
  readonly plan?: SketchPlan
  readonly seed: number
  /** Connections that may be pushed out while sketching. */
  readonly pushes: number
  /** Drawings made, each with narrower gaps where the last found none. */
  readonly drawings: number
  /** Times that other nets are left open in place of those for which no link is found. */
  readonly others: number
  /** With so many links or more there is no use in going on: what comes back then is not whole. */
  readonly fewerThan?: number
  /** Places tried for a link. */
  readonly places: number
  /** Connections pushed out while one of them is tried. */
  readonly pushesALink: number
}

export const usualSketching: SketchRouting = {
  seed: 1,
  pushes: 500,
  drawings: 8,
  others: 6,
  places: 32,
  pushesALink: 300,
}

export function* routeBySketch(asked: RouteTask, options: SketchRouting = usualSketching): Work<Routed> {
  const { seed, pushes } = options
  let task = asked
  let sketch = new Sketch(task)
  if (options.plan) sketch.takeUp(options.plan)
  sketch.run(pushes, seed)
  yield { stage: "route", done: 0.1 }
  const links: (PlacedLink & { readonly net: number })[] = []
  for (let drawing = 1; ; drawing++) {
    while (links.length + sketch.result().open < (options.fewerThan ?? Number.POSITIVE_INFINITY)) {
      const linked = yield* linkSome(task, links, sketch, options)
      if (!linked) break
      task = linked.task
      sketch = linked.sketch
      links.push({ ...linked.link, net: linked.net })
    }
    if (links.length + sketch.result().open >= (options.fewerThan ?? Number.POSITIVE_INFINITY))
      return finished(task, links, [], [], new Set())
    const paths = task.halfWidth.flatMap((_, n) => [...sketch.connections(n)])
    const strands = paths.map((p): Strand => ({ net: p.net, line: sketch.tautLine(p) }))
    const drawn = yield* drawTracks(task, strands)
    const last = drawing >= options.drawings
    if (drawn.squeezes.length === 0 || last) {
      const pressed = last ? heaviest(drawn.squeezes) : new Set<number>()
      return finished(task, links, strands, drawn.lines, pressed)
    }
    tightenAll(sketch, paths, drawn.squeezes)
    sketch.run(pushes, seed + drawing)
  }
}

/** A link for one of the open nets; where none helps, other nets are left open in their place. */
function* linkSome(
  task: RouteTask,
  links: readonly PlacedLink[],
  sketch: Sketch,
  { others, ...search }: SketchRouting,
): Work<(Linked & { readonly net: number }) | undefined> {
  const { open } = sketch.result()
  const tried = new Set<number>()
  let variant = sketch
  for (let k = 0; k <= others && open > 0; k++) {
    let now = variant.result()
    if (k > 0) {
      const before = variant
      variant = new Sketch(task, sketch.mesh, sketch)
      variant.adopt(before)
      variant.force(now.openNets[k % now.openNets.length]!)
      now = variant.result()
      if (now.open > open) continue
    }
    for (const net of now.openNets) {
      if (tried.has(net)) continue
      tried.add(net)
      const linked = yield* placeLink(task, links, variant, net, search)
      if (linked) return { ...linked, net }
    }
  }
  return undefined
}

type Squeezes = readonly { x: number; y: number; lack: number; strands: readonly [number, number] }[]

/** Worst places first; a connection already taken out needs no more room. */
function tightenAll(sketch: Sketch, paths: readonly SketchPath[], squeezes: Squeezes): void {
  for (const s of [...squeezes].sort((a, b) => b.lack - a.lack || a.x - b.x || a.y - b.y))
    if (s.strands.every((k) => k < 0 || sketch.stillHas(paths[k]!)))
      sketch.tighten(paths[s.strands[0]]!, s.x, s.y, s.lack)
}

/** Strands to leave out so that no squeeze remains: always the one in most of them. */
function heaviest(squeezes: Squeezes): Set<number> {
  const out = new Set<number>()
  for (;;) {
    const count = new Map<number, number>()
    for (const s of squeezes)
      if (s.strands.every((k) => !out.has(k)))
        for (const k of s.strands) if (k >= 0) count.set(k, (count.get(k) ?? 0) + s.lack)
    if (count.size === 0) return out
    out.add([...count].sort((a, b) => b[1] - a[1] || a[0] - b[0])[0]![0])
  }
}

function finished(
  task: RouteTask,
  links: readonly (PlacedLink & { readonly net: number })[],
  strands: readonly Strand[],
  lines: readonly (readonly { x: number; y: number }[])[],
  without: ReadonlySet<number>,
): Routed {
  const lands = new Array<number>(task.halfWidth.length).fill(0)
  for (const l of task.lands) if (l.net >= 0) lands[l.net]!++
  for (const t of task.terminals ?? []) lands[t.net]!++
  let length = 0
  const unrouted: number[] = []
  const nets = task.halfWidth.map((_, net): NetRoute => {
    const paths = lines.filter((_, s) => strands[s]!.net === net && !without.has(s))
    const own = links.filter((l) => l.net === net)
    const complete = lands[net]! < 2 || paths.length + own.length === lands[net]! - 1
    if (!complete) unrouted.push(net)
    for (const p of paths)
      for (let i = 1; i < p.length; i++) length += Math.hypot(p[i]!.x - p[i - 1]!.x, p[i]!.y - p[i - 1]!.y)
    return { paths, links: own.map(({ from, to }) => ({ from, to })), complete }
  })
  return { nets, unrouted, links: links.length, length, effort: 0 }
}
