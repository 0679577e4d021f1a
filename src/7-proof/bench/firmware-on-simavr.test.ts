// The Tern's firmware on our chip and on a live simavr: the ports must go through the same values.

import { expect, test } from "vitest"
import { Chip, plainChip } from "./chip/atmega328p.ts"
import { masked } from "./simavr/compare-ports.testing.ts"
import { liveSimavr } from "./simavr/live.testing.ts"
import { startBench } from "./start-bench.ts"
import { exampleLamp, makeForBench } from "./tern.testing.ts"
import { flasher } from "./wires.ts"

const live = liveSimavr("ports")
if (!("run" in live)) console.log(`not run here: the firmware on a live simavr needs ${live.missing}`)

test.skipIf(!("run" in live))("goes through the same port values, 0 to 8 cycles later, for 1.2 s", () => {
  if (!("run" in live)) return
  const { bench, controller } = startBench(makeForBench(exampleLamp("tern")))
  const image = controller!.image.bytes
  const cycles = 1.2 * 16e6
  const edges = bench.inputs
    .flatMap((input, i) =>
      flasher({ from: 0.03 + 0.11 * i, until: 1, rate: 2, onShare: 0.4, seed: i + 1, jitter: 0.02 }).map(
        (e) => ({
          cycle: Math.round(e.t * 16e6),
          port: input.port,
          bit: input.bit,
          high: e.live,
        }),
      ),
    )
    .sort((a, b) => a.cycle - b.cycle)
  const words = Array.from({ length: Math.ceil(image.length / 2) }, (_, i) =>
    (image[2 * i]! | ((image[2 * i + 1] ?? 255) << 8)).toString(16),
  )
  const lines = edges.map((e) => `edge ${e.cycle} ${"BCD"[e.port]} ${e.bit} ${e.high ? 1 : 0}`)
  const text = live.run([String(cycles)], `words ${words.length}\n${words.join(" ")}\n${lines.join("\n")}\n`)
  const all = { program: "tern", cycles, masks: [255, 255, 255] as const }
  const theirs = masked(text.trim().split("\n"), all)

  const chip = new Chip(image, plainChip)
  const ours: string[] = []
  // simavr leaves an input low until it is driven, and its own pull-up aside.
  for (const i of bench.inputs) chip.ports.setOutside(i.port, i.bit, false)
  chip.ports.onChange = (cycle) => {
    const { latch, direction } = chip.ports
    ours.push([cycle, ...[...latch, ...direction].map((v) => v.toString(16))].join(" "))
  }
  for (const e of edges) {
    chip.run(e.cycle)
    chip.ports.setOutside(e.port, e.bit, e.high)
  }
  chip.run(cycles)
  expect(chip.core.fault).toBeUndefined()
  const mine = masked(ours, all)
  const shared = Math.min(mine.length, theirs.length)
  expect(shared).toBeGreaterThan(1000)
  expect(Math.abs(mine.length - theirs.length)).toBeLessThanOrEqual(4)
  const values = (list: readonly string[]) => list.slice(0, shared).map((l) => l.slice(l.indexOf(" ") + 1))
  expect(values(mine)).toEqual(values(theirs))
  const off = mine.slice(0, shared).map((l, i) => Number.parseInt(l, 10) - Number.parseInt(theirs[i]!, 10))
  // simavr 1.6 counts neither the four cycles of an interrupt's entry nor those of waking, so ours come later, by no more
  // than eight cycles between the earliest and the latest.
  expect(Math.min(...off)).toBeGreaterThanOrEqual(0)
  expect(Math.max(...off)).toBeLessThanOrEqual(8)
})
