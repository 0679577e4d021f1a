// Links with each freedom of a board held, side by side: LED turns, order of LEDs in a string, controller pins.
// Counts are connections the sketch of the tracks leaves open after placement, the measure that placement works by.
// npm run bench -- links [SEEDS] [BOARD]

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { finish } from "../src/0-ground/progress.ts"
import { readLamp } from "../src/2-lamp/read-lamp.ts"
import { designDrive } from "../src/3-drive/design-drive.ts"
import type { BoardProblem } from "../src/5-board/board-problem.ts"
import { boardProblems } from "../src/5-board/design-boards.ts"
import { improvePlacement } from "../src/5-board/improve-placement.ts"
import { routeTask } from "../src/5-board/make-board.ts"
import { placeParts } from "../src/5-board/place-parts.ts"

const seeds = Number(process.argv[2] ?? 20)
const name = process.argv[3] ?? "control"
const folder = join(import.meta.dirname, "../examples/tern")
const read = (f: string) => readFileSync(join(folder, f), "utf8")
const { lamp } = readLamp(read("tern.yaml"), read)
if (!lamp) throw new Error("the Tern description could not be read")
const found = boardProblems(lamp, designDrive(lamp)).find((b) => b.problem.name === name)
if (!found) throw new Error(`no board ${name}`)
const { problem, rules } = found

const without = (kind: string): BoardProblem => ({
  ...problem,
  freedoms: problem.freedoms.filter((f) => f.kind !== kind),
})
/** Slots keep what they start with, but their nets still stand on the lands. */
const fixed = (kind: string): BoardProblem => {
  const held = without(kind)
  const parts = problem.parts.map((p) => ({ ...p, nets: [...p.nets] }))
  for (const f of problem.freedoms)
    if (f.kind === kind)
      for (const [s, slot] of f.slots.entries())
        for (const [k, [part, land]] of slot.entries()) {
          const net = f.contents[s]![k % f.contents[s]!.length]!
          parts[part]!.nets[land] = net < 0 ? f.emptyNet[s]! : net
        }
  return { ...held, parts }
}
const turned: BoardProblem = {
  ...problem,
  parts: problem.parts.map((p) => (p.at ? { ...p, rotations: p.rotations.slice(0, 1) } : p)),
}
const settings: [string, BoardProblem][] = [
  ["all free", problem],
  ["controller pins held", fixed("controller")],
  ["sections held", fixed("sections")],
  ["LED order held", fixed("string")],
  ["LED turns held", turned],
]
for (const [what, asked] of settings) {
  if (what !== "all free" && JSON.stringify(asked) === JSON.stringify(problem)) continue
  const open: number[] = []
  let length = 0
  for (let seed = 1; seed <= seeds; seed++) {
    const cooled = finish(placeParts(asked, { movesPerPart: 600, seed }))
    const task = routeTask(asked, cooled, rules)
    const { result } = finish(improvePlacement(asked, cooled, task, { trials: 150, seed }))
    open.push(result.open)
    length += result.cost
  }
  const mean = open.reduce((a, b) => a + b, 0) / seeds
  const none = open.filter((n) => n === 0).length
  console.log(
    `${what.padEnd(22)} mean ${mean.toFixed(2)}  none ${none}/${seeds}  cost ${(length / seeds).toFixed(0)} mm  [${open.join(" ")}]`,
  )
}
