// A lamp of 400 LEDs, made as far as it can be played: description, drive, programme and firmware. Its boards are not
// laid out; what draws it must do without them.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { readLamp } from "../src/2-lamp/read-lamp.ts"
import { makeForBench } from "../src/7-proof/bench/tern.testing.ts"
import { defaultStimulus, playLamp } from "../src/7-proof/play-lamp.ts"

const plates = [
  { id: "left", name: "l", x: 0, columns: 12, rows: 4 },
  { id: "crescent", name: "c", x: 110, columns: 38, rows: 8 },
  { id: "right", name: "r", x: 428, columns: 12, rows: 4 },
] as const
const pitch = 8

function drawing(): string {
  const groups = plates.map(({ id, name, x, columns, rows }) => {
    const [w, h] = [columns * pitch + 4, rows * pitch + 4]
    const holes = Array.from({ length: columns * rows }, (_, i) => {
      const [cx, cy] = [x + 6 + (i % columns) * pitch, 10 + Math.floor(i / columns) * pitch]
      return `<circle id="${name}${i + 1}" cx="${cx}" cy="${cy}" r="2.6"/>`
    })
    return `<g id="${id}"><path d="M${x} 4h${w}v${h}h${-w}Z"/>${holes.join("")}</g>`
  })
  return `<svg xmlns="http://www.w3.org/2000/svg" width="540mm" height="80mm" viewBox="0 0 540 80">${groups.join("\n")}</svg>`
}

/** The Tern's description with other faces: two-level LEDs in the middle, wings that sweep six LEDs at a time. */
function description(): string {
  const tern = readFileSync(join(import.meta.dirname, "../examples/tern/tern.yaml"), "utf8")
  return tern
    .replace("name: Tern rear lamp", "name: Four hundred LEDs")
    .replaceAll("centre-line: 177 mm", "centre-line: 264 mm")
    .replaceAll("within: 180 ms", "within: 180 ms, step: 6")
}

export function bigLamp() {
  const text = description()
  const { lamp, findings } = readLamp(text, () => drawing())
  if (!lamp) throw new Error(findings.map((f) => f.title).join("\n"))
  const made = makeForBench(lamp)
  const trace = playLamp(made, defaultStimulus(lamp), 8, 0.004)
  return { text, ...made, trace }
}
