// Wire links of the ring-of-LEDs boards: 26 LEDs on a disc of 100 mm, one line a seed.
// npm run bench -- rings [SEEDS]

import { finish } from "../src/0-ground/progress.ts"
import { designBoards } from "../src/5-board/design-boards.ts"
import { ringBoard } from "../src/5-board/ring-boards.testing.ts"

const seeds = Number(process.argv[2] ?? 16)
let none = 0
for (let seed = 1; seed <= seeds; seed++) {
  const { lamp, circuit } = ringBoard(26, seed)
  const since = performance.now()
  const [board] = finish(designBoards(lamp, circuit)).boards
  if (!board) throw new Error("no board")
  const { links, unrouted } = board
  if (links.length === 0 && unrouted.length === 0) none++
  console.log(
    `seed ${String(seed).padStart(2)}  ${links.length} links  ${unrouted.length} nets open  ${((performance.now() - since) / 1000).toFixed(1)} s`,
  )
}
console.log(`${none} of ${seeds} without a link`)
