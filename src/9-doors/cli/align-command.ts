// lampwright align: a face measured hole by hole → how to shift and turn the board behind it, and which LEDs bind.

import { readFileSync, statSync } from "node:fs"
import { nearMatch } from "../../0-ground/text/near-match.ts"
import { readLamp } from "../../2-lamp/read-lamp.ts"
import { alignFace } from "../../7-proof/align-face.ts"
import { listing, summary } from "./check-command.ts"
import { readLampSource } from "./files.ts"
import { because, Refusal } from "./refusal.ts"

const readAtMost = 1024 * 1024

export async function alignBoard(path: string, face: string, csv: string): Promise<number> {
  const text = readText(csv)
  const source = readLampSource(path)
  const { lamp, findings } = readLamp(source.text, source.drawing)
  if (!lamp) {
    process.stderr.write(`${listing(findings, path, source.text)}${summary(findings)}\n`)
    return 1
  }
  const aligned = alignFace(lamp, face, text)
  if (!aligned) {
    const names = lamp.faces.map((f) => f.name)
    const near = nearMatch(face, names)
    throw new Refusal(
      `${path} has no face ${face}${near ? `; did you mean ${near}?` : ""} (known: ${names.join(", ")})`,
    )
  }
  if ("fault" in aligned) throw new Refusal(`${csv}:${aligned.fault.line}: ${aligned.fault.reason}`)
  const say = (line: string) => process.stdout.write(`${line}\n`)
  const { shift, rotation, scale, left, room, before, after } = aligned
  const mm = (n: number) => `${n < 0 ? "−" : ""}${Math.abs(n).toFixed(2)} mm`
  const way = (n: number, plus: string, minus: string) =>
    `${Math.abs(n).toFixed(2)} mm ${n < 0 ? minus : plus}`
  const degrees = Math.abs(rotation).toFixed(2)
  say(`${face}: ${aligned.measured} of ${aligned.holes} LED holes measured.`)
  say(
    `Move the board ${way(shift.x, "right", "left")} and ${way(shift.y, "up", "down")} as seen from the road, and turn it ${degrees}° ${rotation < 0 ? "clockwise" : "counter-clockwise"} about the middle of the holes.`,
  )
  say(
    `The holes' pattern is ${Math.abs(100 * (scale - 1)).toFixed(2)} % too ${scale < 1 ? "small" : "large"}; a board cannot follow that.`,
  )
  say(`Position error (as a diameter): ${mm(before)} as measured, ${mm(after)} once moved and turned.`)
  const binding = left.filter((l) => l.binds)
  say(
    binding.length === 0
      ? `No LED binds: each has ${mm(room)} of room, the farthest (${left[0]!.id}) stands ${mm(left[0]!.distance)} aside.`
      : `${binding.length} will bind (room ${mm(room)}); file these holes, or drill them wider:`,
  )
  for (const b of binding)
    say(
      `  ${b.id}: ${mm(b.distance)} aside (${way(b.x, "right", "left")}, ${way(b.y, "up", "down")}), so ${mm(2 * (b.distance - room))} wider`,
    )
  say("Wear eye protection when you drill or file.")
  return binding.length === 0 ? 0 : 2
}

function readText(path: string): string {
  try {
    if (statSync(path).size > readAtMost) throw new Refusal(`${path} is larger than 1 MB`)
    return readFileSync(path, "utf8")
  } catch (error) {
    throw error instanceof Refusal ? error : new Refusal(`cannot read ${path}: ${because(error)}`)
  }
}
