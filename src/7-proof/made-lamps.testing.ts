// A described lamp taken through every room, for tests of the proof on real boards.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { finish } from "../0-ground/progress.ts"
import { readLamp } from "../2-lamp/read-lamp.ts"
import { designDrive } from "../3-drive/design-drive.ts"
import { designBehaviour } from "../4-behaviour/design-behaviour.ts"
import { makeFirmware } from "../4-behaviour/make-firmware.ts"
import { designBoards } from "../5-board/design-boards.ts"
import { designCut } from "../6-copper/design-cut.ts"
import type { Made } from "./prove-lamp.ts"

/** Description and circuit only. `name`: a folder of `examples`. */
export function makeCircuit(name: string): Pick<Made, "lamp" | "circuit"> {
  const folder = join(import.meta.dirname, "../../examples", name)
  const text = readFileSync(join(folder, `${name}.yaml`), "utf8")
  const { lamp, findings } = readLamp(text, (file) => readFileSync(join(folder, file), "utf8"))
  if (!lamp) throw new Error(findings.map((f) => f.title).join("\n"))
  return { lamp, circuit: designDrive(lamp) }
}

/** Everything up to the cutter programs and the firmware. */
export function makeLamp(name: string): Made {
  const { lamp, circuit } = makeCircuit(name)
  const behaviour = designBehaviour(lamp, circuit)
  const boards = finish(designBoards(lamp, circuit))
  const firmware = makeFirmware(circuit, behaviour, boards.pinChoice)
  const { plan } = finish(designCut(lamp, boards))
  return { lamp, circuit, behaviour, boards, firmware, programs: plan.programs }
}
