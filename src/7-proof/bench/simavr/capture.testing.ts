// Writes what simavr 1.6 says: core-states.json (after every 64th instruction of seeded programs) and
// port-changes.json (every port change of the bench programs).
// Run with `npx tsx src/7-proof/bench/simavr/capture.testing.ts` where simavr is installed.

import { writeFileSync } from "node:fs"
import { join } from "node:path"
import { contentHash } from "../../../0-ground/numbers/hash.ts"
import { harnessInput, programOf } from "./compare-core.testing.ts"
import { masked, portRuns, portsInput } from "./compare-ports.testing.ts"
import { liveSimavr } from "./live.testing.ts"

const simavr = "1.6+dfsg-3 (Debian)"
const instructions = 2560
const every = 64

const write = (name: string, what: unknown) =>
  writeFileSync(join(import.meta.dirname, name), `${JSON.stringify(what, null, 1)}\n`)

const live = (what: "states" | "ports") => {
  const found = liveSimavr(what)
  if ("missing" in found) throw Error(`cannot capture without ${found.missing}`)
  return found
}

const core = live("states")
const programs = Array.from({ length: 24 }, (_, i) => {
  const seed = i + 1
  const words = programOf(seed)
  const lines = core
    .run([String(instructions), String(every)], harnessInput(words))
    .trim()
    .split("\n")
  const states = lines.filter((l) => /^\d/.test(l))
  const ram = lines.find((l) => l.startsWith("ram "))!.slice(4)
  return { seed, image: contentHash(words.join()), states, ram }
})
write("core-states.json", { simavr, instructions, every, programs })

const ports = live("ports")
write("port-changes.json", {
  simavr,
  runs: portRuns.map((run) => ({
    program: run.program,
    cycles: run.cycles,
    changes: masked(
      ports
        .run([String(run.cycles)], portsInput(run))
        .trim()
        .split("\n"),
      run,
    ),
  })),
})
