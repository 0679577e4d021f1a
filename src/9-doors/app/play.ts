// The play head: where in the trace the lamp is, and how fast time passes. Changes every frame while playing.

import { createStore, useStore } from "zustand"
import type { LightTrace } from "../../7-proof/artefact.ts"

export interface Play {
  readonly trace: LightTrace | undefined
  /** Seconds from the start of the trace. */
  readonly time: number
  readonly length: number
  readonly playing: boolean
  /** Seconds of the lamp for each second of the viewer. */
  readonly speed: number
  readonly loop: boolean
  open(trace: LightTrace): void
  /** Nothing lies on the bench: there is nothing to play. */
  close(): void
  seek(time: number): void
  setPlaying(playing: boolean): void
  setSpeed(speed: number): void
  setLoop(loop: boolean): void
}

const calm = () => globalThis.matchMedia?.("(prefers-reduced-motion: reduce)").matches ?? false

export const play = createStore<Play>()((set, get) => ({
  trace: undefined,
  time: 0,
  length: 0,
  playing: false,
  speed: 1,
  loop: true,
  open(trace) {
    const first = get().trace === undefined
    const length = trace.step * Math.max(0, trace.samples - 1)
    set({ trace, length, time: Math.min(get().time, length) })
    if (!first) return
    // Where nothing may move by itself the lamp still lies there lit.
    if (calm()) set({ time: brightest(trace) })
    else get().setPlaying(true)
  },
  close: () => set({ trace: undefined, time: 0, length: 0, playing: false }),
  seek: (time) => set({ time: Math.max(0, Math.min(get().length, time)) }),
  setPlaying(playing) {
    if (playing === get().playing || (playing && get().length === 0)) return
    set({ playing, ...(playing && get().time >= get().length ? { time: 0 } : {}) })
    if (playing) start()
  },
  setSpeed: (speed) => set({ speed }),
  setLoop: (loop) => set({ loop }),
}))

/** Middle of the first stretch in which as much shines as ever does, s. */
function brightest({ step, samples, leds }: LightTrace): number {
  const all = Object.values(leds)
  let [most, from, to] = [0, 0, 0]
  for (let i = 0; i < samples; i++) {
    const lit = all.reduce((sum, l) => sum + (l[i] ?? 0), 0)
    if (lit > most) [most, from, to] = [lit, i, i]
    else if (lit === most && i === to + 1) to = i
  }
  return ((from + to) / 2) * step
}

let run = 0

function start() {
  // Stop and start within one frame must not leave two clocks running.
  const mine = ++run
  let last: number | undefined
  const frame = (now: number) => {
    const { playing, time, length, speed, loop, seek, setPlaying } = play.getState()
    if (!playing || mine !== run) return
    // A hidden page comes back after minutes: never jump more than a tenth of a second.
    const passed = last === undefined ? 0 : Math.min(0.1, Math.max(0, now - last) / 1000)
    last = now
    const next = time + passed * speed
    if (next < length) seek(next)
    else if (loop) seek(length > 0 ? next % length : 0)
    else {
      seek(length)
      setPlaying(false)
      return
    }
    requestAnimationFrame(frame)
  }
  requestAnimationFrame(frame)
}

export function usePlay<T>(pick: (state: Play) => T): T {
  return useStore(play, pick)
}

/** Index of the sample that holds at `time`. */
export const sampleAt = (trace: LightTrace, time: number): number =>
  Math.max(0, Math.min(trace.samples - 1, Math.floor(time / trace.step + 1e-6)))
