// One run of the very image on the bench: wires change, pins follow, the program runs, and every frame of light
// is measured at the pins. A frame is one period of timer 1, begun by the first port write after it; where the
// timer does not run, a fixed period.

import { Chip, type ChipOptions } from "./chip/atmega328p.ts"
import type { BenchInput, LampOnBench } from "./lamp-on-bench.ts"
import { pinEdges, wireEdges } from "./wire-volts.ts"
import type { Stimulus, WireEdge } from "./wires.ts"

/** Frames are this long while timer 1 stands still. */
const idleFrame = 4000
/** Reads of the pins closer together than this are one look. */
const sameLook = 3200

/** What a wire does, at its pin. */
export const edgesAt = (input: BenchInput, stimulus: Stimulus): WireEdge[] =>
  pinEdges(stimulus.wires[input.wire] ?? [], stimulus.volts?.[input.wire], input.network)

/** What every wire does at the lamp: when its voltage would surely read live, or not surely dead. */
function edgesOnWires(
  { inputs }: LampOnBench,
  { wires, volts = {} }: Stimulus,
  threshold: "liveAbove" | "deadBelow",
): Readonly<Record<string, readonly WireEdge[]>> {
  return Object.fromEntries(
    Object.entries(wires).map(([wire, edges]) => {
      const own = volts[wire]
      if (!own) return [wire, edges]
      const level = inputs.find((i) => i.wire === wire)?.network[threshold]
      return [wire, wireEdges(edges, own, level ?? (own.live + own.dead) / 2)]
    }),
  )
}

export class BenchRun {
  readonly chip: Chip
  readonly clockHz: number
  readonly bench: LampOnBench
  readonly stimulus: Stimulus
  /** Number of finished frames. */
  frames = 0
  /** Cycle at which each frame began; one entry more than `frames`. */
  frameStart = new Float64Array(1024)
  /** Cycles each channel was on in each frame: frame × channels + channel. */
  onCycles: Uint16Array
  /** 1 where a frame was begun by the timer. */
  timed = new Uint8Array(1024)
  /** Cycle of every look, and which ports were read in it with their cycles (−1: not read). */
  readonly looks: { readonly cycle: number; readonly read: [number, number, number] }[] = []

  /** Called at every change of a channel's pin: its LEDs lit or not. */
  onPin: (cycle: number, channel: number, lit: boolean) => void = () => {}

  /** Wire name → when it is surely live, and when it may be, before its input network. */
  readonly wires: Readonly<Record<string, readonly WireEdge[]>>
  readonly perhaps: Readonly<Record<string, readonly WireEdge[]>>

  private readonly edges: { cycle: number; port: number; bit: number; high: boolean }[] = []
  private nextEdge = 0
  private nextReset = 0
  private readonly lit: Uint8Array
  /** For each port: which pins light when high, which pins carry a channel, which are lit now. */
  private readonly highLights = new Uint8Array(3)
  private readonly used = new Uint8Array(3)
  /** Pins whose LEDs light while nothing drives them. */
  private readonly floatsLit = new Uint8Array(3)
  private readonly litPins = new Uint8Array(3)
  /** Channel at port × 8 + bit. */
  private readonly channelAt = new Int16Array(24).fill(-1)
  private readonly since: Float64Array
  private readonly on: Float64Array
  private wrapSeen = -1

  constructor(bench: LampOnBench, image: Uint8Array, stimulus: Stimulus, options: ChipOptions) {
    this.bench = bench
    this.stimulus = stimulus
    this.wires = edgesOnWires(bench, stimulus, "liveAbove")
    this.perhaps = edgesOnWires(bench, stimulus, "deadBelow")
    this.clockHz = options.clockHz
    this.chip = new Chip(image, options)
    const channels = bench.channels.length
    this.onCycles = new Uint16Array(1024 * channels)
    this.lit = new Uint8Array(channels)
    this.since = new Float64Array(channels)
    this.on = new Float64Array(channels)
    for (const input of bench.inputs) {
      this.chip.ports.setOutside(input.port, input.bit, input.inverted)
      for (const e of edgesAt(input, stimulus))
        this.edges.push({
          cycle: Math.round(e.t * options.clockHz),
          port: input.port,
          bit: input.bit,
          high: e.live !== input.inverted,
        })
    }
    this.edges.sort((a, b) => a.cycle - b.cycle || a.port - b.port || a.bit - b.bit)
    this.applyEdges(0)
    bench.channels.forEach((c, i) => {
      this.channelAt[c.port * 8 + c.bit] = i
      this.used[c.port]! |= 1 << c.bit
      if (c.floatsLit) this.floatsLit[c.port]! |= 1 << c.bit
      if (c.activeHigh) this.highLights[c.port]! |= 1 << c.bit
    })
    this.chip.ports.onChange = (cycle, port) => this.pinsChanged(cycle, port)
    this.chip.ports.onRead = (port) => this.look(port)
    for (let port = 0; port < 3; port++) this.readLevels(0, port)
  }

  /** Runs on to `seconds` from power-on; false when a fault stopped the chip. */
  advance(seconds: number): boolean {
    const end = Math.round(seconds * this.clockHz)
    while (this.chip.cycle < end && !this.chip.core.fault) {
      const edge = this.edges[this.nextEdge]
      const reset = this.stimulus.resets?.[this.nextReset]
      const resetAt = reset ? Math.round(reset.t * this.clockHz) : Number.POSITIVE_INFINITY
      this.chip.run(Math.min(end, edge?.cycle ?? end, resetAt))
      this.applyEdges(this.chip.cycle)
      if (reset && this.chip.cycle >= resetAt) {
        this.nextReset++
        this.chip.reset(reset.cause)
      }
    }
    // What is left lit after a fault stays as it is: time goes on without the program.
    this.closeIdleFrames(end)
    return this.chip.core.fault === undefined
  }

  /** Share of a frame in which a channel was on, 0…1. */
  duty(frame: number, channel: number): number {
    const length = this.frameStart[frame + 1]! - this.frameStart[frame]!
    return length > 0 ? this.onCycles[frame * this.bench.channels.length + channel]! / length : 0
  }

  private applyEdges(cycle: number): void {
    for (; this.nextEdge < this.edges.length; this.nextEdge++) {
      const e = this.edges[this.nextEdge]!
      if (e.cycle > cycle) return
      this.chip.ports.setOutside(e.port, e.bit, e.high)
    }
  }

  private look(port: number): void {
    const { cycle } = this.chip
    const last = this.looks.at(-1)
    if (last && cycle - last.cycle < sameLook) {
      if (last.read[port]! < 0) last.read[port] = cycle
    } else {
      const read: [number, number, number] = [-1, -1, -1]
      read[port] = cycle
      this.looks.push({ cycle, read })
    }
  }

  private pinsChanged(cycle: number, port: number): void {
    const wrap = this.chip.timer.lastWrap
    if (wrap !== this.wrapSeen) {
      this.closeIdleFrames(this.wrapSeen < 0 ? cycle - 1 : cycle - idleFrame)
      this.wrapSeen = wrap
      if (wrap >= 0) this.closeFrame(cycle, true)
    } else this.closeIdleFrames(cycle)
    this.readLevels(cycle, port)
  }

  private readLevels(cycle: number, port: number): void {
    const { latch, direction } = this.chip.ports
    const out = direction[port]!
    // What the circuit's pull-ups do with an undriven pin is the circuit's affair.
    const driven = out & ~(latch[port]! ^ this.highLights[port]!)
    const lit = (driven | (~out & this.floatsLit[port]!)) & this.used[port]!
    let changed = lit ^ this.litPins[port]!
    this.litPins[port] = lit
    while (changed !== 0) {
      const bit = 31 - Math.clz32(changed)
      changed &= ~(1 << bit)
      const i = this.channelAt[port * 8 + bit]!
      this.onPin(cycle, i, ((lit >> bit) & 1) === 1)
      if ((lit >> bit) & 1) {
        this.lit[i] = 1
        this.since[i] = cycle
      } else {
        this.lit[i] = 0
        this.on[i]! += cycle - this.since[i]!
      }
    }
  }

  private closeIdleFrames(cycle: number): void {
    // A running timer closes its own frames; only a missing one leaves a frame open this long.
    while (cycle - this.frameStart[this.frames]! > idleFrame + idleFrame / 4)
      this.closeFrame(this.frameStart[this.frames]! + idleFrame, false)
  }

  private closeFrame(cycle: number, timed: boolean): void {
    const channels = this.lit.length
    if (this.frames + 2 > this.frameStart.length) this.grow()
    for (let i = 0; i < channels; i++) {
      let on = this.on[i]!
      // A fixed period may be closed a little after a change that already belongs to the next one.
      if (this.lit[i] && this.since[i]! < cycle) {
        on += cycle - this.since[i]!
        this.since[i] = cycle
      }
      this.onCycles[this.frames * channels + i] = Math.min(65535, on)
      this.on[i] = 0
    }
    this.frames++
    this.frameStart[this.frames] = cycle
    // Whether the frame that begins now is the timer's.
    this.timed[this.frames] = timed ? 1 : 0
  }

  private grow(): void {
    const double = <T extends Float64Array | Uint16Array | Uint8Array>(from: T, to: T): T => {
      to.set(from)
      return to
    }
    this.frameStart = double(this.frameStart, new Float64Array(this.frameStart.length * 2))
    this.onCycles = double(this.onCycles, new Uint16Array(this.onCycles.length * 2))
    this.timed = double(this.timed, new Uint8Array(this.timed.length * 2))
  }
}
