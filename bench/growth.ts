// How the search for a board grows: rings of 26, 100 and 400 LEDs with their electronics on one board, from the circuit
// to a first whole board (every net connected, nothing too near) and its links, and to the best one that the search
// ends with; on this thread alone. npm run bench -- growth [SEED]

import { designBoards } from "../src/5-board/design-boards.ts"
import { ringBoard } from "../src/5-board/ring-boards.testing.ts"

const seed = Number(process.argv[2] ?? 1)
console.log("LEDs  parts  nets     first  links     place     route       end  processor  links  nets open")
for (const leds of [26, 100, 400]) {
  const { lamp, circuit } = ringBoard(leds, seed)
  const spent = { place: 0, route: 0 }
  const begun = performance.now()
  const busy = process.cpuUsage()
  let first: { readonly at: number; readonly links: number } | undefined
  const work = designBoards(lamp, circuit, undefined, undefined, {
    onBoard: ({ unrouted, links }) => {
      if (unrouted.length === 0) first ??= { at: performance.now() - begun, links: links.length }
    },
  })
  let last = begun
  for (;;) {
    const step = work.next()
    const now = performance.now()
    if (step.done) {
      const board = step.value.boards[0]!
      const cpu = process.cpuUsage(busy)
      console.log(
        [
          String(leds).padStart(4),
          String(board.parts.length).padStart(5),
          String(circuit.nets.length).padStart(4),
          seconds(first?.at ?? Number.NaN),
          String(first?.links ?? "").padStart(5),
          seconds(spent.place),
          seconds(spent.route),
          seconds(now - begun),
          seconds((cpu.user + cpu.system) / 1000).padStart(9),
          String(board.links.length).padStart(5),
          String(board.unrouted.length).padStart(9),
        ].join("  "),
      )
      break
    }
    const what = step.value.note ?? ""
    if (what.endsWith("place")) spent.place += now - last
    if (what.endsWith("route")) spent.route += now - last
    last = now
  }
}

function seconds(ms: number): string {
  return `${(ms / 1000).toFixed(1)} s`.padStart(8)
}
