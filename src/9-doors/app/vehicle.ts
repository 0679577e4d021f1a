// What the vehicle does to the lamp's wires while the score plays: the demonstration with any flasher, wires held
// with a key, or a recording. Each change is played again by the firmware on the bench, in the worker.

import { createStore, useStore } from "zustand"
import { flashLimits } from "../../1-stock/flashers.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Stimulus } from "../../7-proof/play-lamp.ts"
import { readWires } from "./engine.ts"
import { type Held, withHeld } from "./held-wires.ts"
import { play } from "./play.ts"
import { demonstration, playWires } from "./quick.ts"
import { asWires, type Fits, signalsOf, usualFits } from "./recording.ts"
import { page } from "./store.ts"

export const flashers = {
  described: { words: "as described", rate: undefined, onShare: undefined, kind: undefined },
  thermal: {
    words: "hot wire: slow to begin, wandering, contacts bounce",
    rate: undefined,
    onShare: undefined,
    kind: "thermal",
  },
  relay: {
    words: "relay: contacts bounce",
    rate: undefined,
    onShare: undefined,
    kind: "load-sensing",
  },
  transistor: { words: "transistor: steady", rate: undefined, onShare: undefined, kind: "electronic" },
  slow: {
    words: "slowest allowed",
    rate: flashLimits.rate.low / 60,
    onShare: flashLimits.onShare.high,
    kind: undefined,
  },
  fast: {
    words: "fastest allowed",
    rate: flashLimits.rate.high / 60,
    onShare: flashLimits.onShare.low,
    kind: undefined,
  },
  outage: {
    words: "as with a bulb out",
    // Of the usual 90 /min.
    rate: flashLimits.outage.rateFactor * 1.5,
    onShare: flashLimits.outage.onShare,
    kind: undefined,
  },
} as const
export type Flasher = keyof typeof flashers

export interface Vehicle {
  readonly flasher: Flasher
  /** A recording's name; its wires take the demonstration's place. */
  readonly recording:
    | {
        readonly name: string
        readonly text: string
        readonly signals: readonly string[]
        readonly fits: Fits
        readonly stimulus: Stimulus
        readonly seconds: number
      }
    | undefined
  /** Wires held by hand, over whatever else they do. */
  readonly held: readonly Held[]
  readonly playing: boolean
  /** What was not taken, in words. */
  readonly words: string
  setFlasher(flasher: Flasher): void
  press(wire: string): void
  release(wire: string): void
  letGo(): void
  openRecording(file: File): Promise<void>
  /** The wire is this signal of the recording; undefined: it stays dead. */
  fitSignal(wire: string, signal: string | undefined): Promise<void>
  asDescribed(): void
}

/** Longer recordings are played up to here: the trace of every LED is held in memory. */
const longest = 60
const largest = 20_000_000

export const vehicle = createStore<Vehicle>()((set, get) => ({
  flasher: "described",
  recording: undefined,
  held: [],
  playing: false,
  words: "",

  setFlasher(flasher) {
    set({ flasher, recording: undefined, words: "" })
    void again()
  },

  press(wire) {
    const { time, length, playing, setPlaying } = play.getState()
    if (length === 0 || get().held.some((h) => h.wire === wire && h.until === undefined)) return
    set({ held: [...get().held, { wire, from: time, until: undefined }] })
    if (!playing) setPlaying(true)
    void again()
  },

  release(wire) {
    const { time, length } = play.getState()
    const held = get().held.map((h) =>
      h.wire === wire && h.until === undefined
        ? // The head came round while the key was down.
          { ...h, until: time > h.from ? time : length }
        : h,
    )
    if (held.every((h, i) => h === get().held[i])) return
    set({ held })
    void again()
  },

  letGo() {
    for (const { wire, until } of get().held) if (until === undefined) get().release(wire)
  },

  async openRecording(file) {
    const lamp = page.getState().played?.made.lamp
    if (!lamp) return set({ words: `${file.name} is taken when the lamp has been made.` })
    if (file.size > largest) return set({ words: `${file.name} is larger than ${largest / 1e6} MB.` })
    const text = await file.text()
    const signals = signalsOf(text)
    const wires = lamp.vehicle.wires.map((w) => w.name)
    await take(file.name, text, signals, usualFits(signals, wires))
  },

  async fitSignal(wire, signal) {
    const { recording } = get()
    if (!recording) return
    const { [wire]: _, ...others } = recording.fits
    const { name, text, signals } = recording
    await take(name, text, signals, signal === undefined ? others : { ...others, [wire]: signal })
  },

  asDescribed() {
    set({ flasher: "described", recording: undefined, held: [], words: "" })
    void again()
  },
}))

export const useVehicle = <T>(pick: (state: Vehicle) => T): T => useStore(vehicle, pick)

async function take(name: string, text: string, signals: readonly string[], fits: Fits): Promise<void> {
  const { vehicle: of } = page.getState().played?.made.lamp ?? {}
  const asked = [...new Set(Object.values(fits))]
  // With no signal fitted yet the file is still read, for its length and its faults.
  const names = asked.length > 0 || signals.length === 0 ? asked : signals
  const read = await readWires(text, names.length > 0 ? names : (of?.wires.map((w) => w.name) ?? []))
  if ("fault" in read) {
    const { line, reason } = read.fault
    return vehicle.setState({ words: `${name}, line ${line}: ${reason}.` })
  }
  const seconds = Math.min(longest, Math.max(0.1, read.seconds))
  vehicle.setState({
    recording: { name, text, signals, fits, stimulus: asWires(read.stimulus, fits), seconds },
    held: [],
    words: read.seconds > longest ? `The first ${longest} s are played.` : "",
  })
  await again()
}

/** The vehicle does what the proof's demonstration does. */
const plain = ({ flasher, recording, held }: Vehicle) =>
  flasher === "described" && recording === undefined && held.length === 0

let turn = 0

async function again(): Promise<void> {
  const mine = ++turn
  const { played } = page.getState()
  if (!played) return
  const { made } = played
  const state = vehicle.getState()
  if (plain(state)) {
    vehicle.setState({ playing: false })
    play.getState().open(played.trace)
    return
  }
  vehicle.setState({ playing: true })
  try {
    const { step, samples } = played.trace
    const { stimulus, seconds } = state.recording ?? {
      stimulus: await demonstration(flashing(made.lamp, state.flasher), flashers[state.flasher].kind),
      seconds: step * samples,
    }
    const wires = withHeld(stimulus, state.held, seconds)
    const { lamp, circuit, behaviour, firmware } = made
    const trace = await playWires({ lamp, circuit, behaviour, firmware }, wires, seconds)
    if (!trace || mine !== turn || page.getState().played !== played) return
    vehicle.setState({ playing: false })
    play.getState().open(trace)
  } catch (error) {
    if (mine !== turn) return
    const words = error instanceof Error ? error.message : String(error)
    vehicle.setState({ playing: false, words: `The bench could not play these wires: ${words}` })
  }
}

/** The lamp with another flasher in the vehicle. */
function flashing(lamp: Lamp, name: Flasher): Lamp {
  const { rate, onShare } = flashers[name]
  if (rate === undefined) return lamp
  const wires = lamp.vehicle.wires.map((w) =>
    w.role === "flashing" ? { ...w, rate: rate as typeof w.rate, onShare } : w,
  )
  return { ...lamp, vehicle: { ...lamp.vehicle, wires } } as Lamp
}

/** Wires that light something, each with the key that holds it: its first letter, or a number where two share one. */
export function wireKeys(lamp: Lamp): readonly { readonly wire: string; readonly key: string }[] {
  const used = lamp.vehicle.wires.filter((w) => lamp.programme.some((l) => l.when.includes(w.name)))
  const first = (name: string) => name.charAt(0).toLowerCase()
  return used.map(({ name }, i) => {
    const shared = used.filter((w) => first(w.name) === first(name)).length > 1
    return { wire: name, key: shared || !/[a-z]/.test(first(name)) ? String(i + 1) : first(name) }
  })
}

/** A lamp that was changed plays what the vehicle did before. */
export function followDesign(): void {
  page.subscribe((now, before) => {
    // Another lamp: what was recorded or held for the one before is not its own.
    if (now.lamp === undefined && before.lamp !== undefined)
      vehicle.setState({ flasher: "described", recording: undefined, held: [], playing: false, words: "" })
    if (now.played === before.played || !now.played) return
    const names = new Set(now.played.made.lamp.vehicle.wires.map((w) => w.name))
    const state = vehicle.getState()
    const held = state.held.filter((h) => names.has(h.wire))
    if (held.length !== state.held.length) vehicle.setState({ held })
    if (!plain(vehicle.getState())) void again()
  })
}
