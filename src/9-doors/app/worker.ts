// The chain off the page: pumps the work, reports progress, and looks up every 30 ms so that Stop is heard.

import * as Comlink from "comlink"
import { strToU8, zipSync } from "fflate"
import type { Progress } from "../../0-ground/progress.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import { readLamp } from "../../2-lamp/read-lamp.ts"
import type { Board } from "../../5-board/artefact.ts"
import { readWiresVcd } from "../../7-proof/play-lamp.ts"
import { packLamp } from "../../8-pack/pack-lamp.ts"
import {
  type Designed,
  designLamp,
  type EarlyDesign,
  type LampDesign,
  type Memory,
} from "../../design-lamp.ts"
import { browserCrew } from "./crew.ts"
import { takeTurn } from "./turn.ts"

const breath = 30

/** Kept for the worker's life: starting threads costs more than a small lamp. */
const crew = browserCrew()

let turn = 0
/** Unchanged stages of the last few lamps are not made again while the page is open. */
const memories = new Map<string, Memory>()
const kept = 3

function memoryOf(file: string): Memory {
  const memory: Memory = memories.get(file) ?? new Map()
  // Last used goes last; the oldest is dropped.
  memories.delete(file)
  memories.set(file, memory)
  for (const oldest of memories.keys()) if (memories.size > kept) memories.delete(oldest)
  return memory
}

const api = {
  /** Undefined when stopped or overtaken by a newer call. */
  async design(
    file: string,
    text: string,
    drawings: Readonly<Record<string, string>>,
    onLamp: (lamp: Lamp) => void,
    onEarly: (early: EarlyDesign) => void,
    onBoard: (board: Board) => void,
    onFirst: (first: LampDesign) => void,
    onProgress: (p: Progress) => void,
  ): Promise<Designed | undefined> {
    const mine = ++turn
    crew?.giveUp()
    // Reading takes milliseconds: the face can stand on the bench while the rest is worked out.
    const { lamp } = readLamp(text, (name) => drawings[name])
    if (lamp) onLamp(lamp)
    const work = designLamp(text, (name) => drawings[name], {
      memory: memoryOf(file),
      crew,
      onStage: onEarly,
      onBoard,
      onFirst: (first) => {
        onFirst(first)
        return undefined
      },
    })
    let due = performance.now() + breath
    for (;;) {
      const step = work.next()
      if (step.done) return step.value
      const resting = crew?.isResting() === true
      if (!resting && performance.now() < due) continue
      onProgress(step.value)
      await (resting ? crew?.heard() : takeTurn())
      if (mine !== turn) {
        work.return(undefined as unknown as Designed)
        return undefined
      }
      due = performance.now() + breath
    }
  },

  stop(): void {
    turn++
    crew?.giveUp()
  },

  /** Wires from a recording (IEEE 1364). */
  readWires: (text: string, names: readonly string[]) => readWiresVcd(text, names),

  /** The pack as one zip; the same lamp gives the same bytes, so no file carries today's date. */
  zip(design: LampDesign, folder: string): Uint8Array {
    const files = Object.fromEntries(
      packLamp(design).files.map((f) => [`${folder}/${f.path}`, strToU8(f.text)] as const),
    )
    const bytes = zipSync(files, { level: 6, mtime: new Date(1980, 0, 1) })
    return Comlink.transfer(bytes, [bytes.buffer])
  },
}

export type WorkerApi = typeof api

Comlink.expose(api)
