// A placement bettered by what its routes say: parts near connections that found no way are shifted, turned or
// exchanged, and controller pins, sections and strings change their nets; each change is sketched at once, and kept
// when fewer connections stay open or the copper gets shorter.

import { type Random, random } from "../0-ground/numbers/random.ts"
import type { Work } from "../0-ground/progress.ts"
import { type BoardProblem, landNets, type Placement } from "./board-problem.ts"
import { type Footprint, footprint, stadium } from "./footprint.ts"
import { PlaceState, placeStep, type Spot } from "./place-parts.ts"
import type { RouteLand, RouteTask } from "./route-task.ts"
import { withNets } from "./sketch-mesh.ts"
import { Sketch, type SketchResult } from "./sketch-route.ts"

export interface Improved {
  readonly placement: Placement
  readonly sketch: Sketch
  readonly result: SketchResult
}

export interface ImproveOptions {
  /** Changes tried. */
  readonly trials: number
  /** With every connection made, so many are enough. */
  readonly enough: number
  readonly seed: number
}

/** Connections pushed out while one change is tried. */
const pushesATrial = 12
/** Accepted worsening, mm, at the start. */
const firstHeat = 12
/** A connection without a way, mm of track. */
const openPrice = 120

/** `task`: the board as the starting placement has it. */
export function* improvePlacement(
  problem: BoardProblem,
  start: Placement,
  task: RouteTask,
  { trials, enough, seed }: ImproveOptions,
): Work<Improved> {
  const rnd = random(seed)
  const state = new PlaceState(problem, seed)
  state.hardness = 12
  state.adopt(start)
  const lands = new LandMaker(problem)
  const sketchOf = (placement: Placement, was?: Now): Now => {
    const list = lands.lands(placement, was)
    const now = { ...task, lands: list }
    const same = was && placement.parts === was.placement.parts
    const mesh = same ? withNets(was.sketch.mesh, now) : undefined
    const sketch = new Sketch(now, mesh, was?.sketch)
    if (was) sketch.adopt(was.sketch)
    return { placement, lands: list, sketch, result: sketch.run(was ? pushesATrial : 150, seed) }
  }
  let now = sketchOf(start)
  let nowCost = price(now.result)
  let best = now
  let bestCost = nowCost
  let drift = 0
  for (let k = 0; k < trials; k++) {
    if (k >= enough && best.result.open === 0) break
    if (k % 8 === 7) yield { stage: "place", done: k / trials, note: `${best.result.open}` }
    const heat = firstHeat * (1 - k / trials) ** 2
    const tolerance = -heat * Math.log(1 - rnd.next())
    const change = propose(problem, state, now, rnd, k / trials)
    if (!change) continue
    const { contents, spots } = change
    const ids = spots.map((s) => s.i)
    const was = ids.map((i) => state.spot(i))
    const before = state.apart(ids)
    if (spots.length > 0 && !state.shift(spots)) continue
    const apart = state.apart(ids) - before
    const parts = spots.length === 0 ? now.placement.parts : [...now.placement.parts]
    for (const { i, x, y, rotation } of spots) (parts as Placement["parts"][number][])[i] = { x, y, rotation }
    const next = sketchOf({ ...now.placement, parts, contents: contents ?? now.placement.contents }, now)
    const cost = price(next.result)
    if (cost + apart <= nowCost + tolerance) {
      now = next
      nowCost = cost
      drift += apart
      if (cost + drift < bestCost) {
        best = now
        bestCost = cost + drift
      }
    } else state.put(was)
  }
  return best
}

interface Now extends Improved {
  readonly lands: readonly RouteLand[]
}

const price = (r: SketchResult): number => openPrice * r.open + r.cost

interface Change {
  readonly contents?: Placement["contents"]
  readonly spots: readonly Spot[]
}

function propose(
  problem: BoardProblem,
  state: PlaceState,
  { placement, result, lands }: Now,
  rnd: Random,
  share: number,
): Change | undefined {
  // Half the time where the trouble is.
  const trouble = result.openNets.length > 0 && rnd.below(2) === 0
  const net = trouble ? result.openNets[rnd.below(result.openNets.length)]! : -1
  if (problem.freedoms.length > 0 && rnd.below(3) === 0) {
    const f = rnd.below(problem.freedoms.length)
    const freedom = problem.freedoms[f]!
    const contents = placement.contents[f]!
    let a = rnd.below(contents.length)
    if (net >= 0) {
      const holding = contents.flatMap((c, s) => (freedom.contents[c]!.includes(net) ? [s] : []))
      if (holding.length > 0) a = holding[rnd.below(holding.length)]!
    }
    const b = rnd.below(contents.length)
    if (a === b || !freedom.allowed[contents[a]!]![b] || !freedom.allowed[contents[b]!]![a]) return undefined
    const next = [...contents]
    next[a] = contents[b]!
    next[b] = contents[a]!
    return { contents: placement.contents.with(f, next), spots: [] }
  }
  let i = rnd.below(problem.parts.length)
  if (net >= 0) {
    const on: number[] = []
    let l = 0
    for (const [k, part] of problem.parts.entries())
      for (let e = l + part.package.lands.length; l < e; l++)
        if (lands[l]!.net === net && on[on.length - 1] !== k) on.push(k)
    i = on[rnd.below(on.length)]!
  }
  const part = problem.parts[i]!
  const at = state.spot(i)
  const turn = () => part.rotations[rnd.below(part.rotations.length)]!
  if (part.at) return part.rotations.length > 1 ? { spots: [{ ...at, rotation: turn() }] } : undefined
  const others = state.alike(i)
  if (others.length > 0 && rnd.below(4) === 0) {
    const to = state.spot(others[rnd.below(others.length)]!)
    return {
      spots: [
        { ...to, i },
        { ...at, i: to.i },
      ],
    }
  }
  const reach = 1 + Math.round(20 * (1 - share) * rnd.next())
  const step = () => (rnd.below(2 * reach + 1) - reach) * placeStep
  const rotation = rnd.below(4) === 0 ? turn() : at.rotation
  return { spots: [{ i, x: snap(at.x) + step(), y: snap(at.y) + step(), rotation }] }
}

const micro = (v: number): number => Math.round(v * 1e6) / 1e6
const snap = (v: number): number => Math.round(v / placeStep) * placeStep

/** Lands of a placement; parts that did not move keep theirs. */
class LandMaker {
  private readonly problem: BoardProblem
  private readonly prints: Map<number, Footprint>[]

  constructor(problem: BoardProblem) {
    this.problem = problem
    this.prints = problem.parts.map(() => new Map())
  }

  lands(placement: Placement, was?: Now): RouteLand[] {
    const { problem } = this
    const nets = landNets(problem, placement.contents)
    const out: RouteLand[] = []
    for (const [i, part] of problem.parts.entries()) {
      const at = placement.parts[i]!
      const same = was?.placement.parts[i] === at
      const print = this.print(i, at.rotation)
      for (let k = 0; k < part.package.lands.length; k++) {
        const net = nets[i]![k]!
        const old = same ? was.lands[out.length]! : undefined
        if (old?.net === net) out.push(old)
        else if (old) out.push({ ...old, net })
        else {
          const l = print.lands[k]!
          // As the finished board has them, so that a sketch fits both.
          const x = micro(at.x + l.x)
          const y = micro(at.y + l.y)
          out.push({ ...stadium({ x, y, w: l.w, h: l.h }, at.rotation), net, x, y, hole: l.hole })
        }
      }
    }
    return out
  }

  private print(i: number, rotation: number): Footprint {
    const known = this.prints[i]!.get(rotation)
    if (known) return known
    const made = footprint(this.problem.parts[i]!.package, rotation)
    this.prints[i]!.set(rotation, made)
    return made
  }
}
