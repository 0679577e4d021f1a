// 300 seeded faults on a small board, each with its truth worked out beside it: those that matter must be red, those
// that do not must pass. Truth by trigonometry and the board's own plan, not by the simulation.

import { expect, test } from "vitest"
import { random } from "../../0-ground/numbers/random.ts"
import { finish } from "../../0-ground/progress.ts"
import type { Board } from "../../5-board/artefact.ts"
import { proveCut } from "./prove-cut.ts"
import { readHeights } from "./read-heights.ts"
import {
  drillText,
  engraveText,
  program,
  type Stroke,
  strokes,
  syntheticBoard,
  syntheticBoards,
  syntheticCircuit,
  syntheticLamp,
  syntheticPrograms,
} from "./synthetic-board.testing.ts"
import { wantedNetlist } from "./wanted-netlist.ts"

interface Case {
  readonly what: string
  readonly matters: boolean
  readonly programs?: ReturnType<typeof syntheticPrograms>
  readonly board?: Board
  readonly heights?: string
}

const foil = syntheticLamp.copperClad.copper
const flatness = syntheticLamp.cutter.machine.flatness
const chance = random(2024)
const all = strokes()
const board = syntheticBoard()

/** One stroke at a depth of its own, the others at 0.1 mm. */
function atDepth(odd: number, depth: number): string {
  const head = engraveText([all[odd]!], depth)
  const rest = engraveText(all.filter((_, i) => i !== odd))
  return head.slice(0, head.lastIndexOf("M5")) + rest.slice(rest.indexOf("\nG0 X") + 1)
}

const kinds: readonly (() => Case)[] = [
  function move() {
    const i = chance.below(all.length)
    if (chance.below(2) === 0) {
      const rest = all.filter((_, k) => k !== i)
      return {
        what: `groove ${i} removed`,
        matters: true,
        programs: syntheticPrograms({ engrave: engraveText(rest) }),
      }
    }
    // Another order, some of them backward, one cut twice: the copper left is the same.
    const turned = all.map((s): Stroke => (chance.below(2) ? s : { ...s, from: s.to, to: s.from }))
    const order = [...turned.slice(i), ...turned.slice(0, i), turned[i]!]
    return {
      what: `order begins at ${i}`,
      matters: false,
      programs: syntheticPrograms({ engrave: engraveText(order) }),
    }
  },
  function depth() {
    const i = chance.below(all.length)
    const off = chance.below(2) === 0 ? -0.05 : 0.05
    return {
      what: `groove ${i} ${off} mm off in depth`,
      matters: 0.1 + off - flatness < foil,
      programs: syntheticPrograms({ engrave: atDepth(i, 0.1 + off) }),
    }
  },
  function bent() {
    // A plane, so that the depth at a groove's ends bounds it; 0.01 mm of error is left by probing.
    for (;;) {
      const [a, b] = [(chance.next() - 0.5) * 0.006, (chance.next() - 0.5) * 0.006]
      const at = (x: number, y: number) => a * x + b * y
      const ends = all.flatMap((s) => [s.from, s.to])
      const spare = Math.min(...ends.map(([x, y]) => 0.1 + at(x, y))) - 0.01 - foil
      if (Math.abs(spare) < 0.002) continue
      const corners = [0, 40].flatMap((x) => [0, 30].map((y) => `${x},${y},${at(x, y)}`))
      return {
        what: `board tilted by ${a}, ${b}`,
        matters: spare < 0,
        heights: corners.join("\n"),
      }
    }
  },
  function tool() {
    const diameter = [0.7, 0.8, 0.805, 0.9, 1, 1.3][chance.below(6)]!
    const programs = syntheticPrograms().map((p) =>
      p.purpose === "drill" ? program("drill", p.text, diameter) : p,
    )
    // Drills are sold in steps of 0.05 mm and more: a hundredth is the same drill.
    return { what: `drill ${diameter} for 0.8`, matters: Math.abs(diameter - 0.8) > 0.011, programs }
  },
  function mirrored() {
    const flipX = chance.below(2) === 1
    const flipY = chance.below(2) === 1
    const x = (v: number) => (flipX ? 40 - v : v)
    const y = (v: number) => (flipY ? 30 - v : v)
    const flipped = all.map(
      (s): Stroke => ({ ...s, from: [x(s.from[0]), y(s.from[1])], to: [x(s.to[0]), y(s.to[1])] }),
    )
    const onlyHoles = chance.below(2) === 0
    const holes = board.lands.map((l) => ({ x: x(l.x), y: y(l.y) }))
    return {
      what: `${onlyHoles ? "holes" : "grooves"} mirrored: ${flipX}, ${flipY}`,
      matters: flipX || flipY,
      programs: syntheticPrograms(
        onlyHoles ? { drill: drillText(holes) } : { engrave: engraveText(flipped) },
      ),
    }
  },
  function link() {
    if (chance.below(2) === 0) return { what: "link missing", matters: true, board: { ...board, links: [] } }
    // A second link that joins copper of A with itself may be there or not.
    const spare = {
      ref: "W2",
      net: "A",
      from: { x: 3, y: 3 + chance.below(4) },
      to: { x: 8, y: 8 },
      length: 7,
    }
    const end = (pin: string, at: { x: number; y: number }) => ({
      ...board.lands.find((l) => l.ref === "W1")!,
      ref: "W2",
      pin,
      ...at,
      w: 1.6,
      h: 1.6,
    })
    // Left out means with its lands: a land that nothing owns but copper joins is rightly called a short.
    const kept = chance.below(2) === 0
    const lands = kept ? [...board.lands, end("1", spare.from), end("2", spare.to)] : board.lands
    const links = kept ? [...board.links, spare] : board.links
    return {
      what: `idle link ${links.length === 2 ? "there" : "left out"}`,
      matters: false,
      board: { ...board, lands, links },
      programs: syntheticPrograms({ drill: drillText(lands) }),
    }
  },
]

const cases = Array.from({ length: 300 }, (_, k) => kinds[k % kinds.length]!())

test("the set has faults that matter and faults that do not, of every kind", () => {
  for (const [k, kind] of kinds.entries()) {
    const own = cases.filter((_, i) => i % kinds.length === k)
    expect(
      own.some((c) => c.matters),
      kind.name,
    ).toBe(true)
    expect(
      own.some((c) => !c.matters),
      kind.name,
    ).toBe(true)
  }
})

test("all 300 are judged right", { timeout: 120_000 }, () => {
  const wrong: string[] = []
  for (const c of cases) {
    const made = c.board ?? board
    const wanted = wantedNetlist(syntheticCircuit(), syntheticBoards(made))
    const { heights } = c.heights === undefined ? { heights: undefined } : readHeights(c.heights)
    const seen = finish(
      proveCut(syntheticLamp, made, wanted, c.programs ?? syntheticPrograms(), () => undefined, "A", {
        heights,
      }),
    )
    const red = seen.findings.filter((f) => f.severity === "red")
    if (red.length > 0 !== c.matters)
      wrong.push(`${c.what}: ${red.map((f) => f.title).join("; ") || "passed"}`)
  }
  expect(wrong).toEqual([])
})
