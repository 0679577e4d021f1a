// Everything the description refers to by name must exist: faces, groups, wires, LEDs, holes.

import { nearMatch } from "../0-ground/text/near-match.ts"
import { type Located, type Sound, where } from "./check-shape.ts"
import { lampFindings as report } from "./lamp-findings.ts"
import { isPlainMap, type Plain } from "./parse-text.ts"
import { quote } from "./read-quantity.ts"

export const stations = ["controller", "drivers", "supply"] as const

/** Names as they stand in the text, readable or not: a broken wire is still a wire that exists. */
export interface Names {
  readonly wires: readonly string[]
  readonly faces: readonly string[]
  readonly groups: readonly string[]
  readonly boards: readonly string[]
}

export function namesIn({ tree: { root } }: Located): Names {
  const keys = (map: Plain | undefined) => (isPlainMap(map) ? Object.keys(map) : [])
  const vehicle = isPlainMap(root.vehicle) ? root.vehicle : undefined
  return {
    wires: keys(vehicle?.wires),
    faces: keys(root.faces),
    groups: keys(root.groups),
    boards: keys(root.boards),
  }
}

/** False when a name leads nowhere. */
export function checkNames(at: Located, sound: Sound, leds: readonly string[]): boolean {
  const names = namesIn(at)
  const { tree, findings } = at
  let all = true
  const known = (what: string, word: string, list: readonly string[], path: string) => {
    if (list.includes(word)) return
    all = false
    const near = nearMatch(word, list)
    const some = list.length === 0 ? "There is none." : `Known: ${list.slice(0, 20).join(", ")}.`
    findings.push(
      report.state("unknown-reference", {
        severity: "red",
        title: `There is no ${what} called ${quote(word)}.`,
        where: where(tree, path),
        advice: near === undefined ? some : `Did you mean ${near}? ${some}`,
      }),
    )
  }
  for (const [name, group] of sound.groups) {
    known("face", group.face, names.faces, `groups.${name}.face`)
    known("LED", group.led, leds, `groups.${name}.led`)
  }
  for (const [i, line] of sound.programme) {
    known("group", line.light, names.groups, `programme.${i}.light`)
    const several = typeof line.when !== "string"
    wiresOf(line.when).forEach((wire, k) => {
      known("wire", wire, names.wires, several ? `programme.${i}.when.${k}` : `programme.${i}.when`)
    })
  }
  for (const [name, board] of sound.boards) {
    if (board.behind !== undefined) known("face", board.behind, names.faces, `boards.${name}.behind`)
    board.carries.forEach((what, k) => {
      known("group or station", what, [...names.groups, ...stations], `boards.${name}.carries.${k}`)
    })
  }
  return all
}

export const wiresOf = (when: string | readonly string[]): readonly string[] =>
  typeof when === "string" ? [when] : when
