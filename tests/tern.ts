// The examples run through the whole chain once per test file, for tests that look at what came out.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { finish } from "../src/0-ground/progress.ts"
import { designLamp, type LampDesign } from "../src/design-lamp.ts"

export const examples = join(import.meta.dirname, "../examples")

/** `more` is added at the end of the description. */
export function designExample(folder: string, file: string, more = ""): LampDesign {
  const text = readFileSync(join(examples, folder, file), "utf8") + more
  const design = finish(designLamp(text, (name) => readFileSync(join(examples, folder, name), "utf8")))
  if (!design.lamp) throw new Error(`${file} could not be read: ${JSON.stringify(design.findings, null, 1)}`)
  return design
}

export const designTern = () => designExample("tern", "tern.yaml")
export const designMarker = (more?: string) => designExample("marker", "marker.yaml", more)
