// The first look and the first light off the page, in a worker of their own: the long search in the other one never
// keeps them waiting. What the lamp's wires do is played here too.

import * as Comlink from "comlink"
import type { Work } from "../../0-ground/progress.ts"
import { recallFrom } from "../../0-ground/recall.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import { seeDrawing, seeFaces } from "../../2-lamp/see-drawing.ts"
import type { LightTrace } from "../../7-proof/artefact.ts"
import {
  defaultStimulus,
  type FlasherKind,
  type Made,
  playing,
  type Stimulus,
} from "../../7-proof/play-lamp.ts"
import {
  type EarlyDesign,
  type FirstLight,
  lightFirst,
  lookFirst,
  type Unreadable,
} from "../../first-look.ts"

/** A task's turn, so that messages get in between: timers would cost 4 ms each. */
const bell = new MessageChannel()
const waiting: (() => void)[] = []
bell.port1.onmessage = () => waiting.shift()?.()
const pause = () =>
  new Promise<void>((resolve) => {
    waiting.push(resolve)
    bell.port2.postMessage(0)
  })

const recall = recallFrom(new Map())
let seen: EarlyDesign | Unreadable | undefined
const newest = { light: 0, play: 0 }

/** Runs on until the work is done; undefined when something newer of its kind was asked for meanwhile. */
async function inBreaths<T>(kind: keyof typeof newest, work: Work<T>): Promise<T | undefined> {
  const mine = ++newest[kind]
  for (;;) {
    const step = work.next()
    if (step.done) return step.value
    await pause()
    if (mine !== newest[kind]) return undefined
  }
}

const api = {
  look(text: string, drawings: Readonly<Record<string, string>>, onLamp: (lamp: Lamp) => void) {
    newest.light++
    seen = lookFirst(text, (name) => drawings[name], onLamp, recall)
    return seen
  },

  /** The lamp of the last look, lit; undefined where it cannot be, or when overtaken. */
  async light(): Promise<Pick<FirstLight, "firmware" | "trace"> | undefined> {
    if (!seen?.lamp) return undefined
    const lit = await inBreaths("light", lightFirst(seen as EarlyDesign))
    return lit && { firmware: lit.firmware, trace: lit.trace }
  },

  /** The firmware on the bench with other wires; undefined when overtaken. */
  play: (made: Made, stimulus: Stimulus, seconds: number): Promise<LightTrace | undefined> =>
    inBreaths("play", playing(made, stimulus, seconds)),

  /** What the demonstration does to the lamp's wires. */
  demonstration: (lamp: Lamp, kind?: FlasherKind): Stimulus => defaultStimulus(lamp, kind),

  seeDrawing,
  seeFaces: (text: string, drawings: Readonly<Record<string, string>>) =>
    seeFaces(text, (name) => drawings[name]),
}

export type QuickApi = typeof api

Comlink.expose(api)
