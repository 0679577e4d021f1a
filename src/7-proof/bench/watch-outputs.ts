// From pins to light: what each LED gives in each frame, as a share of its full current. A switched LED shines
// while its channel is on and a feed wire is live; an LED without a channel follows its wires.

import type { Circuit } from "../../3-drive/artefact.ts"
import type { BenchLed, Made } from "./lamp-on-bench.ts"
import type { BenchRun } from "./run-bench.ts"
import { liveTime, type Stimulus, type WireEdge } from "./wires.ts"

/** Level of every channel's LEDs in every frame: frame × channels + channel, 0…1. */
export function channelLight(run: BenchRun): Float32Array {
  const { channels, leds } = run.bench
  const width = channels.length
  const out = new Float32Array(run.frames * width)
  const feeds = channels.map((c) => leds.find((l) => l.ref === c.leds[0])?.feeds ?? [])
  const kinds = new Map<string, { wires: readonly (readonly WireEdge[])[]; channels: number[] }>()
  feeds.forEach((names, c) => {
    const key = names.join(" ")
    const wires = names.map((n) => run.wires[n] ?? [])
    const kind = kinds.get(key) ?? { wires, channels: [] }
    kind.channels.push(c)
    kinds.set(key, kind)
  })
  for (const { wires, channels: own } of kinds.values()) {
    const share = liveShare(wires, run)
    for (let frame = 0; frame < run.frames; frame++) {
      const live = share(frame)
      if (live > 0) for (const c of own) out[frame * width + c] = live * run.duty(frame, c)
    }
  }
  return out
}

/** Share of a frame with any of the wires live; frames must be asked for in order. */
function liveShare(wires: readonly (readonly WireEdge[])[], run: BenchRun): (frame: number) => number {
  const edges = wires.flat().sort((a, b) => a.t - b.t)
  let next = 0
  let steady = 0
  return (frame) => {
    const from = run.frameStart[frame]! / run.clockHz
    const until = run.frameStart[frame + 1]! / run.clockHz
    if (until <= from) return 0
    if (next < edges.length && edges[next]!.t < until) {
      while (next < edges.length && edges[next]!.t < until) next++
      steady = wires.some((w) => w.findLast((e) => e.t < until)?.live) ? 1 : 0
      return liveTime(wires, from, until) / (until - from)
    }
    return steady
  }
}

/** Level of an LED without a channel for a set of live wires, 0…1. */
export type HardwareLevel = (led: BenchLed, live: ReadonlySet<string>) => number

/**
 * From the solved currents where the circuit has them (usual parts, nearest to the usual supply), relative to the
 * LED's greatest; else the level of the programme line that wins.
 */
export function hardwareLevels({ lamp, circuit }: Pick<Made, "lamp" | "circuit">): HardwareLevel {
  const memory = new Map<string, number>()
  const full = new Map<string, number>()
  const solved = (led: BenchLed, live: ReadonlySet<string>): number | undefined => {
    const state = nearestCorner(circuit, lamp.vehicle.supply.usual, led.feeds, live)
    return state?.ledCurrent[led.ref]
  }
  const fullOf = (led: BenchLed) => {
    let most = full.get(led.ref)
    if (most === undefined) {
      most = Math.max(0, ...subsets(led.feeds).map((s) => solved(led, s) ?? 0))
      full.set(led.ref, most)
    }
    return most
  }
  return (led, live) => {
    const on = led.feeds.filter((w) => live.has(w))
    if (on.length === 0) return 0
    const key = `${led.ref} ${on.join(" ")}`
    let level = memory.get(key)
    if (level === undefined) {
      const current = solved(led, new Set(on))
      const most = fullOf(led)
      level = current !== undefined && most > 0 ? current / most : lineLevel(lamp, led.group, live)
      memory.set(key, level)
    }
    return level
  }
}

function nearestCorner(
  circuit: Circuit,
  supply: number,
  feeds: readonly string[],
  live: ReadonlySet<string>,
): Circuit["corners"][number] | undefined {
  const far = (c: Circuit["corners"][number]) =>
    (c.parts === "usual" ? 0 : 1000) + Math.abs(c.supply - supply) * 10 + Math.abs(c.temperature - 25) / 10
  return circuit.corners
    .filter((c) => feeds.every((w) => c.live.includes(w) === live.has(w)))
    .reduce<Circuit["corners"][number] | undefined>((a, b) => (a && far(a) <= far(b) ? a : b), undefined)
}

function lineLevel(lamp: Made["lamp"], group: string, live: ReadonlySet<string>): number {
  const active = lamp.programme.filter((l) => l.light === group && l.when.every((w) => live.has(w)))
  return active.reduce((most, l) => Math.max(most, l.level), 0)
}

function subsets(names: readonly string[]): Set<string>[] {
  return Array.from(
    { length: 2 ** Math.min(names.length, 6) },
    (_, bits) => new Set(names.filter((_, i) => (bits >> i) & 1)),
  )
}

/** Which wires are live at a time. */
export function liveAt(stimulus: Stimulus, t: number): Set<string> {
  return new Set(
    Object.entries(stimulus.wires)
      .filter(([, edges]) => edges.findLast((e) => e.t <= t)?.live)
      .map(([name]) => name),
  )
}
