// The example lamps made as far as the bench needs them, with pins in the order of the signals.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import type { Lamp } from "../../2-lamp/artefact.ts"
import { readLamp } from "../../2-lamp/read-lamp.ts"
import { designDrive } from "../../3-drive/design-drive.ts"
import type { Behaviour } from "../../4-behaviour/artefact.ts"
import { designBehaviour } from "../../4-behaviour/design-behaviour.ts"
import { makeFirmware } from "../../4-behaviour/make-firmware.ts"
import type { Made } from "./lamp-on-bench.ts"

const examples = join(import.meta.dirname, "../../../examples")

export function exampleLamp(name: "tern" | "marker"): Lamp {
  const folder = join(examples, name)
  const read = readLamp(readFileSync(join(folder, `${name}.yaml`), "utf8"), (file) =>
    readFileSync(join(folder, file), "utf8"),
  )
  if (!read.lamp) throw Error(read.findings.map((f) => f.title).join("\n"))
  return read.lamp
}

/** `wrong`: what the firmware is made from instead of the designed behaviour. */
export function makeForBench(lamp: Lamp, wrong: (b: Behaviour) => Behaviour = (b) => b): Made {
  const circuit = designDrive(lamp)
  const behaviour = designBehaviour(lamp, circuit)
  const taken = new Set<string>()
  const controller: Record<string, string> = {}
  for (const signal of circuit.signals) {
    const pin = signal.allowed.find((p) => !taken.has(p))!
    taken.add(pin)
    controller[signal.name] = pin
  }
  return { lamp, circuit, behaviour, firmware: makeFirmware(circuit, wrong(behaviour), { controller }) }
}
