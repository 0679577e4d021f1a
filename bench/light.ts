// The Tern's light over the grid of directions, for every function at every solved corner.

import { readFileSync } from "node:fs"
import { readLamp } from "../src/2-lamp/read-lamp.ts"
import { designDrive } from "../src/3-drive/design-drive.ts"
import { beamOf } from "../src/7-proof/light/beam-grid.ts"
import { checkRules } from "../src/7-proof/light/check-rules.ts"
import { functionLights } from "../src/7-proof/light/function-light.ts"

const file = (name: string) => readFileSync(new URL(`../examples/tern/${name}`, import.meta.url), "utf8")
const { lamp } = readLamp(file("tern.yaml"), file)
if (!lamp) throw new Error("the Tern cannot be read")
const circuit = designDrive(lamp)
const run = (name: string, work: () => string) => {
  for (const n of [1, 2, 3]) {
    const since = performance.now()
    const said = work()
    console.log(
      `${name.padEnd(34)} run ${n} ${(performance.now() - since).toFixed(1).padStart(8)} ms  ${said}`,
    )
  }
}
run("beam grids at all corners", () => {
  const beams = functionLights(lamp, circuit).map((l) => beamOf(lamp, circuit, l))
  const sum = beams.reduce((s, b) => s + b.flux, 0)
  return `${beams.length} functions × ${beams[0]!.horizontal.length * beams[0]!.vertical.length} directions, ${circuit.corners.length} corners, ${sum.toFixed(3)} lm`
})
run("all rules of light", () => `${checkRules(lamp, circuit, undefined).findings.length} findings`)
