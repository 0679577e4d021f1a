// Changes what the vehicle does to the lamp's wires while the score plays. Each change is a step that undo takes back,
// and is played again by the firmware on the bench, in the worker.

import { createStore, useStore } from "zustand"
import type { Lamp } from "../../2-lamp/artefact.ts"
import { readWires } from "./engine.ts"
import { withHeld } from "./held-wires.ts"
import { play } from "./play.ts"
import { demonstration, playWires } from "./quick.ts"
import { asWires, type Fits, signalsOf, usualFits } from "./recording.ts"
import { page } from "./store.ts"
import { asDescribed, type Flasher, flashers, isAsDescribed } from "./vehicle-does.ts"

export interface Vehicle {
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

const doing = () => page.getState().does
const { letVehicle } = page.getState()

export const vehicle = createStore<Vehicle>()((set, get) => ({
  playing: false,
  words: "",

  setFlasher(flasher) {
    letVehicle({ ...doing(), flasher, recording: undefined }, "the flasher")
  },

  press(wire) {
    const { time, length, playing, setPlaying } = play.getState()
    const { held } = doing()
    if (length === 0 || held.some((h) => h.wire === wire && h.until === undefined)) return
    const more = { ...doing(), held: [...held, { wire, from: time, until: undefined }] }
    // Wires held together are one step, and so are quick taps.
    if (held.some((h) => h.until === undefined)) letVehicle(more)
    else letVehicle(more, `holding ${wire}`, `hold ${wire}`)
    if (!playing) setPlaying(true)
  },

  release(wire) {
    const { time, length } = play.getState()
    const before = doing().held
    const held = before.map((h) =>
      h.wire === wire && h.until === undefined
        ? // The head came round while the key was down.
          { ...h, until: time > h.from ? time : length }
        : h,
    )
    if (held.some((h, i) => h !== before[i])) letVehicle({ ...doing(), held })
  },

  letGo() {
    for (const { wire, until } of doing().held) if (until === undefined) get().release(wire)
  },

  async openRecording(file) {
    const lamp = page.getState().played?.made.lamp
    if (!lamp) return set({ words: `${file.name} is taken when the lamp has been made.` })
    if (file.size > largest) return set({ words: `${file.name} is larger than ${largest / 1e6} MB.` })
    const text = await file.text()
    const signals = signalsOf(text)
    const wires = lamp.vehicle.wires.map((w) => w.name)
    await take(file.name, text, signals, usualFits(signals, wires), "the recording")
  },

  async fitSignal(wire, signal) {
    const { recording } = doing()
    if (!recording) return
    const { [wire]: _, ...others } = recording.fits
    const { name, text, signals } = recording
    const fits = signal === undefined ? others : { ...others, [wire]: signal }
    await take(name, text, signals, fits, `the signal of ${wire}`)
  },

  asDescribed() {
    set({ words: "" })
    if (!isAsDescribed(doing())) letVehicle(asDescribed, "the usual demonstration")
  },
}))

export const useVehicle = <T>(pick: (state: Vehicle) => T): T => useStore(vehicle, pick)

async function take(
  name: string,
  text: string,
  signals: readonly string[],
  fits: Fits,
  step: string,
): Promise<void> {
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
  const stimulus = asWires(read.stimulus, fits)
  const note = read.seconds > longest ? `The first ${longest} s are played.` : ""
  letVehicle(
    { ...doing(), recording: { name, text, signals, fits, stimulus, seconds, note }, held: [] },
    step,
  )
}

let turn = 0

async function again(): Promise<void> {
  const mine = ++turn
  const { played } = page.getState()
  if (!played) return vehicle.setState({ playing: false })
  const { made } = played
  const state = doing()
  if (isAsDescribed(state)) {
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
    // A wire that was taken out of the description meanwhile is held no more.
    const wires = made.lamp.vehicle.wires.map((w) => w.name)
    const own = Object.fromEntries(Object.entries(stimulus.wires).filter(([w]) => wires.includes(w)))
    const held = state.held.filter((h) => wires.includes(h.wire))
    const { lamp, circuit, behaviour, firmware } = made
    const trace = await playWires(
      { lamp, circuit, behaviour, firmware },
      withHeld({ ...stimulus, wires: own }, held, seconds),
      seconds,
    )
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

/** Whatever was changed, the lamp or the vehicle, by hand or by undo: it is played as it stands now. */
export function followDesign(): void {
  page.subscribe((now, before) => {
    if (now.does !== before.does) vehicle.setState({ words: "" })
    else if (now.played === before.played || isAsDescribed(now.does)) return
    void again()
  })
}
