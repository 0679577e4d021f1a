// The copper of the Tern boards against plain tracks: widths across it, length of the grooves. One line a board.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { contentHash } from "../src/0-ground/numbers/hash.ts"
import { finish } from "../src/0-ground/progress.ts"
import { readLamp } from "../src/2-lamp/read-lamp.ts"
import { designDrive } from "../src/3-drive/design-drive.ts"
import { designBoards } from "../src/5-board/design-boards.ts"
import { designCut } from "../src/6-copper/design-cut.ts"

const folder = join(import.meta.dirname, "../examples/tern")
const { lamp } = readLamp(readFileSync(join(folder, "tern.yaml"), "utf8"), (f) =>
  readFileSync(join(folder, f), "utf8"),
)
if (!lamp) throw new Error("the Tern description could not be read")
const boards = finish(designBoards(lamp, designDrive(lamp)))
const since = performance.now()
const { plan } = finish(designCut(lamp, boards))
const spent = performance.now() - since
const value = (id: string) => plan.figures.find((f) => f.id === id)?.value ?? Number.NaN
console.log("board         tracks as drawn      copper left            grooves     round every piece")
console.log("              least    median      least     median")
for (const b of boards.boards) {
  const of = (name: string) => value(`cut.${b.name}.${name}`)
  const drawn = Math.min(...b.tracks.map((t) => t.width))
  console.log(
    [
      b.name.padEnd(12),
      `${drawn.toFixed(2)} mm  ${(of("copper-median") / of("copper-gain")).toFixed(2)} mm`.padStart(18),
      `${of("copper-least").toFixed(3)} mm  ${of("copper-median").toFixed(2)} mm (${of("copper-gain").toFixed(1)} ×)`.padStart(
        26,
      ),
      `${of("cut-length").toFixed(0)} mm`.padStart(10),
      `${((100 * of("cut-length")) / of("groove-share")).toFixed(0)} mm  ${of("groove-share").toFixed(1)} %`.padStart(
        20,
      ),
    ].join("  "),
  )
}
console.log(`cut stage ${spent.toFixed(0)} ms, checksum ${contentHash(JSON.stringify(plan.programs))}`)
