// lampwright find: readings from the bench → the single faults that explain them, likeliest first.

import { readFileSync, statSync } from "node:fs"
import { findFaults, readReadings, solveFaults } from "../../8-pack/pack-lamp.ts"
import { listing, summary } from "./check-command.ts"
import { readLampSource } from "./files.ts"
import { because, Refusal } from "./refusal.ts"
import { runDesign } from "./run-design.ts"

const readAtMost = 4 * 1024 * 1024

/** Without a file of readings those of the latest record of the lamp as built are taken. */
export async function findFault(path: string, given?: string): Promise<number> {
  const handed = given === undefined ? undefined : readText(given)
  const source = readLampSource(path)
  const { design } = runDesign(source)
  if (!design.lamp) {
    process.stderr.write(`${listing(design.findings, path, source.text)}${summary(design.findings)}\n`)
    return 1
  }
  const recorded = design.lamp.built?.findLast((b) => b.readings?.text !== undefined)?.readings
  const table = handed ?? recorded?.text
  const readings = given ?? recorded?.file
  if (table === undefined || readings === undefined)
    throw new Refusal(`name a bring-up.csv with readings, or record one under built: in ${path}`)
  const solved = solveFaults(design)
  const read = readReadings(table, solved.plan)
  if ("fault" in read) throw new Refusal(`${readings}:${read.fault.line}: ${read.fault.reason}`)
  if (read.values.size === 0)
    throw new Refusal(`${readings}: no reading in it yet; write into the column measured of bring-up.csv`)
  const { suspects, outside } = findFaults(solved, read.values)
  const say = (line: string) => process.stdout.write(`${line}\n`)
  const count = read.values.size
  if (outside.length === 0) {
    say(`All ${count} ${count === 1 ? "reading keeps its limits" : "readings keep their limits"}.`)
    return 0
  }
  say(`Outside the limits: ${outside.join(", ")} (of ${count} read). Likeliest single faults:`)
  for (const [k, s] of suspects.slice(0, 5).entries()) {
    const against = s.against.length === 0 ? "fits every reading" : `against it: ${s.against.join(", ")}`
    say(`${k + 1}. ${s.faults.join(", or ")} · ${against}`)
  }
  say("Switch off and disconnect the supply before you mend anything; wear eye protection.")
  return 2
}

function readText(path: string): string {
  try {
    if (statSync(path).size > readAtMost) throw new Refusal(`${path} is larger than 4 MB`)
    return readFileSync(path, "utf8")
  } catch (error) {
    throw error instanceof Refusal ? error : new Refusal(`cannot read ${path}: ${because(error)}`)
  }
}
