// SEMANTICS.md as a model: from the description and what each look finds, the code of every LED in every millisecond.
// Written from the page and the description alone; it knows neither the table nor the runtime.

import type { Lamp, ProgrammeLine, Sweep, Wire } from "../2-lamp/artefact.ts"

/** What each look finds: one set of live wires per millisecond. → LED ref → code for each of them. */
export function modelLight(lamp: Lamp, looks: readonly ReadonlySet<string>[]): ReadonlyMap<string, number[]> {
  const wires = new Map(
    lamp.vehicle.wires
      .filter((w) => w.role === "flashing" || w.role === "steady")
      .map((w) => [w.name, new WireState(w, answersQuickly(lamp, w.name), limitsOf(lamp))] as const),
  )
  const lines = lamp.programme.map((line) => new LineState(lamp, line))
  const leds = lamp.groups.flatMap((group) =>
    group.leds.map((led, i) => new LedState(led.ref, group.name, i, group.leds.length)),
  )
  const out = new Map(leds.map((led) => [led.ref, [] as number[]]))
  for (const [now, look] of looks.entries()) {
    for (const [name, wire] of wires) wire.look(now, look.has(name))
    for (const line of lines) line.step(now, wires)
    for (const led of leds) out.get(led.ref)!.push(led.step(decide(lamp, lines, led.group, wires)))
  }
  return out
}

const answersQuickly = (lamp: Lamp, wire: string): boolean =>
  lamp.programme.some(
    (l) =>
      l.when.includes(wire) && lamp.groups.some((g) => g.name === l.light && g.functions.includes("stop")),
  )

/** Section 9, milliseconds. */
function limitsOf({ flashing = {} }: Lamp) {
  const ms = (seconds: number | undefined, usual: number) => Math.round(1000 * (seconds ?? usual / 1000))
  return {
    steady: ms(flashing.steadyAfter, 1500),
    gap: ms(flashing.contactGap, 80),
    held: ms(flashing.heldBackFor, 750),
    on: ms(flashing.shortestOn, 100),
    unstable: ms(flashing.unstableFor, 2000),
    operation: ms(flashing.newOperationAfter, 2000),
    five: ms(flashing.fiveFlashesWithin, 1024),
  }
}

const looks = (seconds: number | undefined, usual: number) => Math.round(1000 * (seconds ?? usual / 1000))

/** Sections 1, 5 and 6. */
class WireState {
  live = false
  plain = false
  /** Flashes are going on: lines without a flashing wire are held back. */
  flashing = false
  firstOfOperation = false
  onTimes: number[] = []
  private count = 0
  private flashBegan = Number.NaN
  private ended = Number.NEGATIVE_INFINITY
  private pending = false
  private measured = false
  private steady = false
  private unstableUntil = Number.NEGATIVE_INFINITY
  private rises: number[] = []
  private readonly flasher: boolean
  private readonly toLive: number
  private readonly toDead: number
  private readonly limits: ReturnType<typeof limitsOf>
  constructor(wire: Wire, quick: boolean, limits: ReturnType<typeof limitsOf>) {
    this.flasher = wire.role === "flashing"
    this.limits = limits
    this.toLive = looks(wire.liveAfter, 3)
    this.toDead = looks(wire.deadAfter, this.flasher || quick ? 8 : 10)
  }

  look(now: number, found: boolean): void {
    if (now === 0) {
      this.live = this.plain = found
      this.flashing = found && this.flasher
      this.flashBegan = 0
      return
    }
    if (this.flasher) this.flasherBefore(now)
    else this.plain = false
    if (this.live) {
      this.count = found ? 0 : this.count + 1
      if (this.count === this.toDead) this.goDead(now)
    } else {
      this.count = Math.max(0, this.count + (found ? 1 : -1))
      if (this.count === this.toLive) this.goLive(now)
    }
  }

  /** What time alone brings about, before this look changes anything. */
  private flasherBefore(now: number): void {
    if (this.live) {
      if (now - this.flashBegan >= this.limits.steady && !this.steady) {
        this.steady = true
        this.flashing = false
        this.rises = []
      }
      return
    }
    // Dead on the wire: from the look that first found it dead to a look that would be the first live one now.
    const dark = now - this.ended + this.toDead - this.toLive
    if (this.pending && dark >= this.limits.gap) this.enter(now)
    if (dark >= this.limits.held) this.flashing = false
  }

  private enter(now: number): void {
    this.pending = false
    if (!this.measured || this.steady) return
    const on = this.ended - this.flashBegan + this.toLive - this.toDead
    if (on < this.limits.on) this.judgeUnstable(now)
    else this.onTimes = [on, ...this.onTimes].slice(0, 3)
  }

  private judgeUnstable(now: number): void {
    this.unstableUntil = now + this.limits.unstable
    this.onTimes = []
  }

  private goDead(now: number): void {
    this.live = this.plain = false
    this.count = 0
    this.ended = now
    this.pending = true
  }

  private goLive(now: number): void {
    this.live = true
    this.count = 0
    if (!this.flasher) return
    if (this.pending) {
      this.pending = false
      this.measured = false
      this.plain = true
      this.flashing = !this.steady
      return
    }
    this.firstOfOperation = now - this.ended >= this.limits.operation
    if (this.firstOfOperation) this.rises = []
    this.rises = [...this.rises, now].slice(-5)
    if (this.rises.length === 5 && now - this.rises[0]! < this.limits.five) this.judgeUnstable(now)
    this.flashBegan = now
    this.measured = true
    this.steady = false
    this.flashing = true
    this.plain = now < this.unstableUntil
  }

  get unpaced(): boolean {
    return this.flasher && (this.firstOfOperation || this.onTimes.length < 2)
  }

  sweepTime(within: number, share: number): number {
    if (!this.flasher) return within
    const on = this.unpaced ? this.limits.on : Math.min(...this.onTimes)
    return Math.min(within, Math.floor((share * on) / 256))
  }
}

/** Sections 2 and 4, one line of the programme. */
class LineState {
  readonly line: ProgrammeLine
  readonly flashers: readonly string[]
  readonly sweep: ProgrammeLine["sweep"]
  active = false
  plain = false
  began = 0
  time = 0
  share = 0
  constructor(lamp: Lamp, line: ProgrammeLine) {
    this.line = line
    this.sweep = line.level > 0 ? line.sweep : undefined
    this.flashers = line.when.filter((w) => lamp.vehicle.wires.find((v) => v.name === w)?.role === "flashing")
  }

  step(now: number, wires: ReadonlyMap<string, WireState>): void {
    const { when } = this.line
    const was = this.active
    this.active = when.every((w) => wires.get(w)!.live)
    if (this.active && !was) {
      this.began = now
      this.plain = when.some((w) => wires.get(w)!.plain)
      const { sweep } = this
      if (sweep?.firstFlash === "together" && when.some((w) => wires.get(w)!.unpaced)) this.plain = true
      const part = sweep?.share
      const within = Math.round(1000 * (part === undefined ? (sweep?.within ?? 0) : (sweep?.atMost ?? 5)))
      const share = part === undefined ? 218 : Math.floor(256 * part)
      this.time = Math.max(2, Math.min(...when.map((w) => wires.get(w)!.sweepTime(within, share))))
      if (!sweep) this.time = 0
    }
    // One millisecond of the sweep has passed when the first one is shown.
    this.share = this.time > 0 && !this.plain ? Math.min(1, (now - this.began + 1) / this.time) : 1
  }
}

/** The line that alone decides for a group, "dark" between flashes, or nothing. */
function decide(
  lamp: Lamp,
  lines: readonly LineState[],
  group: string,
  wires: ReadonlyMap<string, WireState>,
): LineState | "dark" | undefined {
  const own = lines.filter((l) => l.line.light === group)
  const rank = (l: LineState) => [
    l.flashers.length > 0 ? 1 : 0,
    l.line.when.length,
    l.line.level,
    lamp.programme.indexOf(l.line),
  ]
  const active = own
    .filter((l) => l.active)
    .sort((a, b) => {
      const [x, y] = [rank(a), rank(b)]
      const i = x.findIndex((v, k) => v !== y[k])
      return i < 0 ? 0 : y[i]! - x[i]!
    })
  const best = active[0]
  if (best && best.flashers.length > 0) return best
  const held = own.some(
    (l) =>
      l.flashers.length > 0 &&
      l.line.betweenFlashes !== "other-lines" &&
      l.flashers.every((w) => wires.get(w)!.flashing) &&
      l.line.when.every((w) => l.flashers.includes(w) || wires.get(w)!.live),
  )
  return held ? "dark" : best
}

/** Sections 3 and 4, one LED. */
class LedState {
  readonly ref: string
  readonly group: string
  private readonly index: number
  private readonly count: number
  private code = 0
  private from = 0
  private to = 0
  private k = 0
  private duration = 0
  private line: LineState | "dark" | undefined
  private begun = true
  constructor(ref: string, group: string, index: number, count: number) {
    this.ref = ref
    this.group = group
    this.index = index
    this.count = count
  }

  step(decides: LineState | "dark" | undefined): number {
    const before = this.line
    if (decides !== before) {
      const fall = before instanceof LineState ? Math.round(1000 * before.line.fall) : 0
      this.line = decides
      if (!(decides instanceof LineState)) this.change(0, fall)
      else {
        const level = levelOf(decides)
        if (decides.plain || (decides.sweep && decides.share >= 1)) this.change(level, 0)
        else if (decides.sweep) {
          this.change(0, fall)
          this.begun = false
        } else this.change(level, level > this.code ? Math.round(1000 * decides.line.rise) : fall)
      }
    }
    this.code = this.swept() ? this.sweptCode(this.line as LineState) : this.changedCode()
    return this.code
  }

  private sweeping = false
  /** 0 for the first to begin, 1 for the last. */
  private placeIn(sweep: Sweep): number {
    const turn = (i: number) => Math.floor(i / (sweep.step ?? 1))
    return turn(this.count - 1) > 0 ? turn(this.index) / turn(this.count - 1) : 0
  }

  private swept(): boolean {
    const line = this.line
    if (!this.begun && line instanceof LineState) {
      const W = Math.round(1000 * line.sweep!.within)
      const rise = 1000 * line.line.rise <= 1 ? 0 : 1000 * line.line.rise
      const start = Math.floor(256 * this.placeIn(line.sweep!) * (1 - rise / W)) / 256
      if (line.share >= 1 || line.share >= Math.min(start, 255 / 256)) {
        this.begun = true
        this.sweeping = true
        this.from = this.code
        this.startShare = Math.min(start, 255 / 256)
      }
    }
    return this.sweeping
  }

  private startShare = 0
  private sweptCode(line: LineState): number {
    const W = 1000 * line.sweep!.within
    const rise = 1000 * line.line.rise
    const x = rise <= 1 ? 1 : Math.min(1, ((line.share - this.startShare) * W) / rise)
    const to = levelOf(line)
    if (x >= 1 || line.share >= 1) {
      this.sweeping = false
      this.to = to
      return to
    }
    return shape(this.from, to, x)
  }

  private change(to: number, duration: number): void {
    if (to === this.to && !this.sweeping && this.code >= to) {
      this.begun = true
      return
    }
    this.sweeping = false
    this.begun = true
    this.from = this.code
    this.to = to
    this.k = 0
    this.duration = duration
  }

  private changedCode(): number {
    if (this.code === this.to) return this.to
    this.k++
    if (this.duration <= 1 || this.k >= this.duration) return this.to
    return shape(this.from, this.to, this.k / this.duration)
  }
}

const levelOf = (l: LineState): number =>
  l.line.level <= 0 ? 0 : Math.max(8, Math.round(255 * l.line.level))

const shape = (from: number, to: number, x: number): number =>
  Math.max(8, Math.floor(to >= from ? from + (to - from) * x ** 2 : to + (from - to) * (1 - x) ** 2))
