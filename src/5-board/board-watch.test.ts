// Boards told while the search goes on: each better than the one before, the last the one that is kept.

import { expect, test } from "vitest"
import { finish } from "../0-ground/progress.ts"
import { forgetful } from "../0-ground/recall.ts"
import type { Board } from "./artefact.ts"
import { designBoards } from "./design-boards.ts"
import { randomBoard } from "./random-boards.testing.ts"

for (const seed of [2, 3])
  test(`random board ${seed}: the last one told is the result, and watching changes nothing`, () => {
    const { lamp, circuit } = randomBoard(seed)
    const told: Board[] = []
    const onBoard = (b: Board) => told.push(b)
    const { boards } = finish(designBoards(lamp, circuit, undefined, forgetful, { onBoard }))
    expect(told[told.length - 1]).toEqual(boards[0])
    expect(finish(designBoards(lamp, circuit)).boards).toEqual(boards)
    for (const [i, b] of told.slice(1).entries()) {
      const was = told[i]!
      expect([b.unrouted.length, b.links.length] <= [was.unrouted.length, was.links.length]).toBe(true)
    }
    // Whoever has enough at once keeps the first board.
    const short = finish(designBoards(lamp, circuit, undefined, forgetful, { enough: () => true }))
    expect(short.boards[0]).toEqual(told[0])
  })
