// lampwright identify: a HEX file read back from a chip → which build it is, whether it is whole, and whose it is.

import { existsSync, readFileSync, statSync } from "node:fs"
import { join } from "node:path"
import { identifyImage } from "../../4-behaviour/make-firmware.ts"
import { readLampSource } from "./files.ts"
import { because, Refusal } from "./refusal.ts"
import { runDesign } from "./run-design.ts"

const readAtMost = 4 * 1024 * 1024

/** `against`: pack folders or descriptions it may come from. 0: whole and known; 2: damaged, or none of them. */
export async function identify(file: string, against: readonly string[]): Promise<number> {
  const say = (line: string) => process.stdout.write(`${line}\n`)
  const image = identifyImage(readText(file))
  if (typeof image === "string") {
    say(`${file}: ${image}.`)
    return 2
  }
  const flashing = image.inputs.filter((i) => i.flashing).length
  say(`Build ${image.buildId}, for the ${image.controller}.`)
  say(
    `${image.inputs.length} wires read (${flashing} flashing), ${image.outputs.length} outputs, ${image.lines} lines in the table.`,
  )
  for (const fault of image.faults) say(`Not as built: ${fault}.`)
  if (image.intact) say("Every byte is as it was built.")
  let known = against.length === 0
  for (const path of against) {
    const { lamp, buildId } = buildOf(path)
    const same = buildId === image.buildId
    known ||= same
    say(
      same
        ? `It is the build of ${lamp} in ${path}.`
        : `It is not the build of ${lamp} in ${path}${buildId === undefined ? ", which has no controller" : ` (${buildId})`}.`,
    )
  }
  return image.intact && known ? 0 : 2
}

/** The build id a pack's report tells, or the one a description gives now. */
function buildOf(path: string): { readonly lamp: string; readonly buildId: string | undefined } {
  const report = join(path, "report.json")
  if (existsSync(path) && statSync(path).isDirectory()) {
    try {
      const { lamp, firmware } = JSON.parse(readText(report)) as {
        lamp?: unknown
        firmware?: { buildId?: string } | null
      }
      return { lamp: String(lamp), buildId: firmware?.buildId }
    } catch (error) {
      throw error instanceof Refusal ? error : new Refusal(`${report} is no report of a pack`)
    }
  }
  const { design } = runDesign(readLampSource(path))
  if (!design.lamp) throw new Refusal(`${path} could not be read; lampwright check tells why`)
  return { lamp: design.lamp.name, buildId: design.firmware?.buildId }
}

function readText(path: string): string {
  try {
    if (statSync(path).size > readAtMost) throw new Refusal(`${path} is larger than 4 MB`)
    return readFileSync(path, "utf8")
  } catch (error) {
    throw error instanceof Refusal ? error : new Refusal(`cannot read ${path}: ${because(error)}`)
  }
}
