import { expect, test } from "vitest"
import { random } from "../0-ground/numbers/random.ts"
import { finish } from "../0-ground/progress.ts"
import { linkBound } from "./link-bound.ts"
import { routeBoard } from "./route-board.ts"
import type { RouteLand, RouteTask } from "./route-task.ts"

const land = (net: number, x: number, y: number): RouteLand => ({
  net,
  x,
  y,
  ax: x,
  ay: y,
  bx: x,
  by: y,
  r: 0.9,
  hole: 0.8,
})

/** A board 30 × 21 mm cut in two by a row of seven dead lands at the pin pitch: one track fits between two of them. */
function walled(nets: number, turn = 0): RouteTask {
  const wall = Array.from({ length: 7 }, (_, i) => land(-1, 15, 2.88 + 2.54 * i))
  const pairs = Array.from({ length: nets }, (_, k) => [
    land(k, 3, 2 + 1.9 * k),
    land(k, 27, 2 + 1.9 * k),
  ]).flat()
  const about = (x: number, y: number) => {
    const [c, s] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)]
    return { x: c * x - s * y, y: s * x + c * y }
  }
  const turned = (l: RouteLand): RouteLand => {
    const { x, y } = about(l.x, l.y)
    return { ...l, x, y, ax: x, ay: y, bx: x, by: y }
  }
  return {
    outline: [about(0, 0), about(30, 0), about(30, 21), about(0, 21)],
    lands: [...wall, ...pairs].map(turned),
    keepOuts: [],
    linkBarriers: [],
    linkBarrierAreas: [],
    halfWidth: Array.from({ length: nets }, () => 0.2),
    clearance: 0.3,
    edge: 0.6,
    linkLand: { radius: 1, hole: 0.8 },
  }
}

// Between two lands 2.54 − 2 · 0.9 = 0.74 mm: a track of 0.4 mm with 0.3 mm on either side does not fit (1.0 mm);
// at either end of the row the edge is 2.88 − 0.9 − 0.6 = 1.38 mm away: 0.3 + 0.4 + 0.3 + 0.4 = 1.4 mm, so one track.
test.each([
  [2, 0],
  [3, 1],
  [4, 2],
  [7, 5],
])("%i nets past a row with room for two: %i links at least", (nets, links) => {
  expect(linkBound(walled(nets))?.links ?? 0).toBe(links)
})

test("it tells how many must cross, how many fit, and where", () => {
  expect(linkBound(walled(4))).toMatchObject({
    nets: 4,
    room: 2,
    from: { x: 15, y: 0 },
    to: { x: 15, y: 21 },
  })
})

test.each([45, 90, 135])("a board turned by %i° asks for as many", (turn) => {
  expect(linkBound(walled(5, turn))?.links).toBe(3)
})

test("a router finds no way with fewer", () => {
  const routed = finish(routeBoard(walled(4)))
  expect(routed.links + routed.unrouted.length).toBeGreaterThanOrEqual(2)
})

test("scattered lands with room to spare ask for none; whatever is asked, the router does not undercut", () => {
  for (let seed = 1; seed <= 4; seed++) {
    const chance = random(seed)
    const task = walled(0)
    const lands: RouteLand[] = []
    for (let tries = 0; lands.length < 30 && tries < 3000; tries++) {
      const [x, y] = [2 + 26 * chance.next(), 2 + 17 * chance.next()]
      if (lands.every((l) => Math.hypot(l.x - x, l.y - y) > 2.15)) lands.push(land(lands.length >> 1, x, y))
    }
    const full = { ...task, lands, halfWidth: lands.map(() => 0.2) }
    const bound = linkBound(full)?.links ?? 0
    const routed = finish(routeBoard(full))
    expect(routed.links + routed.unrouted.length, `seed ${seed}`).toBeGreaterThanOrEqual(bound)
  }
})
