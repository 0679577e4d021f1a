// lampwright new: a folder with an example to start from. Nothing that is there already is overwritten.

import { existsSync, mkdirSync, writeFileSync } from "node:fs"
import { join } from "node:path"
import front from "../../../examples/front/front.yaml?raw"
import marker from "../../../examples/marker/marker.yaml?raw"
import tern from "../../../examples/tern/tern.yaml?raw"
import ternFace from "../../../examples/tern/tern-face.svg?raw"
import { nearMatch } from "../../0-ground/text/near-match.ts"
import { because, Refusal } from "./refusal.ts"

const examples: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  tern: { "tern.yaml": tern, "tern-face.svg": ternFace },
  marker: { "marker.yaml": marker },
  front: { "front.yaml": front },
}

export async function newLamp(dir: string, from: string): Promise<number> {
  const files = Object.hasOwn(examples, from) ? examples[from] : undefined
  if (!files) {
    const near = nearMatch(from, Object.keys(examples))
    throw new Refusal(
      `there is no example ${from}${near ? `; did you mean ${near}?` : ""} (there are ${Object.keys(examples).join(", ")})`,
    )
  }
  const taken = Object.keys(files).filter((name) => existsSync(join(dir, name)))
  if (taken.length > 0) throw new Refusal(`${dir} already has ${taken.join(" and ")}; choose another folder`)
  try {
    mkdirSync(dir, { recursive: true })
    for (const [name, text] of Object.entries(files)) writeFileSync(join(dir, name), text, { flag: "wx" })
  } catch (error) {
    throw new Refusal(`cannot write to ${dir}: ${because(error)}`)
  }
  const lamp = Object.keys(files)[0]!
  process.stdout.write(
    `Made ${Object.keys(files)
      .map((n) => join(dir, n))
      .join(" and ")}.\nNext: lampwright check ${join(dir, lamp)}\n`,
  )
  return 0
}
