// Seeded lamps that use every word of the programme language: the image's light against the model's, frame by frame.

import { expect, test } from "vitest"
import { random } from "../../../0-ground/numbers/random.ts"
import { finish } from "../../../0-ground/progress.ts"
import { designBehaviour } from "../../../4-behaviour/design-behaviour.ts"
import { makeFirmware } from "../../../4-behaviour/make-firmware.ts"
import { seededLamp } from "../../../4-behaviour/random-programmes.testing.ts"
import { circuit, pinsInOrder } from "../../../4-behaviour/wings.testing.ts"
import { compareWithModel } from "../compare.ts"
import { startBench } from "../start-bench.ts"
import type { WireEdge } from "../wires.ts"

const seconds = 3

test.each([1, 2, 3, 4, 5, 6, 7, 8, 9, 10])("seeded lamp %i, any wires: no mismatch", (seed) => {
  const of = seededLamp(1000 + seed)
  const c = circuit(of)
  const behaviour = designBehaviour(of, c)
  const firmware = makeFirmware(c, behaviour, pinsInOrder(c))!
  const controller = startBench({ lamp: of, circuit: c, behaviour, firmware }).controller!
  const chance = random(seed)
  const wires: Record<string, WireEdge[]> = {}
  for (const wire of of.vehicle.wires) {
    const edges: WireEdge[] = []
    const on = 60 + chance.below(400)
    for (let t = chance.below(300); t < 1000 * seconds; ) {
      const odd = chance.next() < 0.15
      edges.push({ t: (t + chance.next()) / 1000, live: true })
      t += odd ? 1 + chance.below(120) : on + chance.below(30)
      edges.push({ t: (t + chance.next()) / 1000, live: false })
      t += chance.next() < 0.2 ? 2 + chance.below(110) : 100 + chance.below(chance.next() < 0.15 ? 1600 : 400)
    }
    wires[wire.name] = edges
  }
  const run = controller.run({ wires })
  expect(run.advance(seconds)).toBe(true)
  const compared = finish(compareWithModel(of, run))
  expect(compared).toMatchObject({ mismatches: 0 })
  expect(compared.compared).toBeGreaterThan(4000)
  expect(run.chip.resets.length).toBe(1)
})
