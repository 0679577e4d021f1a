// Whether a board's freedoms pay: links with each of them held, side by side over seeds, one start a seed, in copper.
// The board is the ring of 26 LEDs on a disc so small (78 mm) that links are needed now and then.
// npm run bench -- links [SEEDS] [--write]      (--write renews docs/freedoms.md)

import { writeFileSync } from "node:fs"
import { join } from "node:path"
import { random } from "../src/0-ground/numbers/random.ts"
import { finish } from "../src/0-ground/progress.ts"
import type { BoardProblem, Freedom } from "../src/5-board/board-problem.ts"
import { boardProblems } from "../src/5-board/design-boards.ts"
import { improvePlacement } from "../src/5-board/improve-placement.ts"
import { makeBoard, routeTask } from "../src/5-board/make-board.ts"
import { placeParts } from "../src/5-board/place-parts.ts"
import { ringBoard } from "../src/5-board/ring-boards.testing.ts"
import { routeBoard, usualRouting } from "../src/5-board/route-board.ts"

const seeds = Number(process.argv.slice(2).find((a) => /^\d+$/.test(a)) ?? 20)
const diameter = 78

/** Slots keep the contents that stand first in them under `order`; their nets then belong to the lands. */
function held(problem: BoardProblem, kinds: readonly Freedom["kind"][], seed?: number): BoardProblem {
  const rnd = random(seed ?? 1)
  const parts = problem.parts.map((p) => ({ ...p, nets: [...p.nets] }))
  for (const f of problem.freedoms) {
    if (!kinds.includes(f.kind)) continue
    const order = f.contents.map((_, i) => i)
    if (seed !== undefined)
      for (let i = order.length - 1; i > 0; i--) {
        const j = rnd.below(i + 1)
        ;[order[i], order[j]] = [order[j]!, order[i]!]
      }
    for (const [s, slot] of f.slots.entries())
      for (const [k, [part, land]] of slot.entries()) {
        const content = f.contents[order[s]!]!
        const net = content[k % content.length]!
        parts[part]!.nets[land] = net < 0 ? f.emptyNet[s]! : net
      }
  }
  return { ...problem, parts, freedoms: problem.freedoms.filter((f) => !kinds.includes(f.kind)) }
}

/** LEDs keep one turn: with their pins along the ring, as a person would put them. */
function along(problem: BoardProblem): BoardProblem {
  const middle = diameter / 2
  const parts = problem.parts.map((p) => {
    if (!p.at) return p
    const upright = (Math.atan2(p.at.y - middle, p.at.x - middle) * 180) / Math.PI + 90
    const off = (r: number) => 1 - Math.cos(((r - upright) * Math.PI) / 180)
    return { ...p, rotations: [[...p.rotations].sort((a, b) => off(a) - off(b) || a - b)[0]!] }
  })
  return { ...problem, parts }
}

const settings: readonly (readonly [string, (p: BoardProblem, seed: number) => BoardProblem])[] = [
  ["all free", (p) => p],
  ["controller pins held", (p) => held(p, ["controller"])],
  ["LED order held, in sequence", (p) => held(p, ["string"])],
  ["LED turns held, along the ring", along],
  ["all held, in sequence and along", (p) => along(held(p, ["controller", "string"]))],
  [
    "all held, order and turns by chance",
    (p, seed) => byChance(held(p, ["controller", "string"], seed), seed),
  ],
]

function byChance(problem: BoardProblem, seed: number): BoardProblem {
  const rnd = random(seed + 77)
  const parts = problem.parts.map((p) =>
    p.at ? { ...p, rotations: [p.rotations[rnd.below(p.rotations.length)]!] } : p,
  )
  return { ...problem, parts }
}

interface Outcome {
  readonly links: number
  readonly open: number
  readonly copper: number
}

function outcome(asked: BoardProblem, rules: Parameters<typeof routeTask>[2], seed: number): Outcome {
  const cooled = finish(placeParts(asked, { movesPerPart: 1200, leastMoves: 20_000, seed }))
  const start = routeTask(asked, cooled, rules)
  const { placement, sketch } = finish(
    improvePlacement(asked, cooled, start, { trials: 300, enough: 80, seed }),
  )
  const plans = asked.nets.map((_, n) => sketch.plan(n))
  const task = routeTask(asked, placement, rules)
  const routed = finish(routeBoard(task, { ...usualRouting, plans, effort: 4_000_000 }))
  const board = makeBoard(asked, placement, task, routed, rules)
  return { links: board.links.length, open: board.unrouted.length, copper: routed.length }
}

/** Chance of a split at least so uneven if either way were as likely (two-sided sign test). */
function signTest(wins: number, losses: number): number {
  const n = wins + losses
  let tail = 0
  for (let k = 0; k <= Math.min(wins, losses); k++) {
    let ways = 1
    for (let i = 0; i < k; i++) ways *= (n - i) / (i + 1)
    tail += ways / 2 ** n
  }
  return Math.min(1, 2 * tail)
}

const probability = (p: number): string => (p < 0.001 ? "under 0.001" : p.toFixed(3))
const mean = (list: readonly number[]) => list.reduce((a, b) => a + b, 0) / list.length
/** A net left open is worse than any link. */
const badness = (o: Outcome) => o.links + 10 * o.open

const rows: string[] = []
let free: Outcome[] = []
for (const [name, change] of settings) {
  const list: Outcome[] = []
  for (let seed = 1; seed <= seeds; seed++) {
    const { lamp, circuit } = ringBoard(26, seed, diameter)
    const { problem, rules } = boardProblems(lamp, circuit)[0]!
    list.push(outcome(change(problem, seed), rules, seed))
  }
  if (free.length === 0) free = list
  const worse = list.filter((o, i) => badness(o) > badness(free[i]!)).length
  const less = list.filter((o, i) => badness(o) < badness(free[i]!)).length
  const row = [
    name,
    mean(list.map((o) => o.links)).toFixed(2),
    `${list.filter((o) => badness(o) === 0).length} of ${seeds}`,
    String(list.reduce((sum, o) => sum + o.open, 0)),
    mean(list.map((o) => o.copper)).toFixed(0),
    free === list ? "" : `${worse} / ${less}`,
    free === list ? "" : probability(signTest(worse, less)),
    free === list ? "" : signTest(worse, less) < 0.05 ? "freedom pays" : "no gain shown",
  ]
  rows.push(`| ${row.join(" | ")} |`)
  console.log(row.join("  "), ` [${list.map((o) => `${o.links}${o.open > 0 ? "!" : ""}`).join(" ")}]`)
}
const table = [
  "| Setting | links, mean | boards without a link | nets left open, all boards | copper, mean mm | worse / better than free | sign test p | verdict |",
  "| --- | --- | --- | --- | --- | --- | --- | --- |",
  ...rows,
].join("\n")
console.log(`\n${table}`)
if (process.argv.includes("--write")) {
  const text = `# Do the freedoms of a board pay?

Written by \`npm run bench -- links ${seeds} --write\`. The board is a ring of 26 LEDs with its electronics (62 parts, 53 nets) on a disc of ${diameter} mm, so small that links are needed now and then; ${seeds} seeds, one start each, counted in finished copper. A freedom that is held keeps what the description began with.

${table}

"Worse / better" compares seed by seed with everything free (a net left open is worse than any link); p is the chance of so uneven a split if the freedom did nothing (two-sided sign test).
`
  writeFileSync(join(import.meta.dirname, "../docs/freedoms.md"), text)
}
