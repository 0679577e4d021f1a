// What the lamp makes of one wire, look by look (SEMANTICS.md sections 1, 4, 5, 6). Written from those words,
// not from the runtime.

import { timing } from "./timing.ts"

const never = Number.NEGATIVE_INFINITY

export class WireState {
  live = false
  /** The flash under way comes without sweep and rise. */
  plain = false
  /** Lines without a flashing wire are held back. */
  holdsBack = false
  private look = 0
  private count = 0
  /** First look of this flash that found the wire live, first look that found it dead again. */
  private flashBegan = never
  private wentDead = never
  private measured = false
  /** The flash that ended has not yet been dead for long enough to be entered. */
  private pending = false
  private firstOfOperation = true
  private steady = false
  private unstableUntil = never
  private onTimes: number[] = []
  private rises: number[] = []
  readonly flashing: boolean
  private readonly assert: number
  private readonly release: number

  constructor(flashing: boolean, quick: boolean) {
    this.flashing = flashing
    const filter = quick ? timing.quick : timing.slow
    this.assert = filter.assert
    this.release = filter.release
  }

  /** One look; the very first decides at once. */
  step(reads: boolean): void {
    if (this.look === 0) {
      if (reads) {
        this.live = true
        this.plain = true
        this.flashBegan = 0
        this.holdsBack = this.flashing
      }
    } else if (this.filtered(reads)) {
      this.live = !this.live
      if (this.live) this.rise(this.look - this.assert + 1)
      else this.fall(this.look - this.release + 1)
    }
    if (this.flashing) this.judge()
    this.look++
  }

  /** Sweep time a flash that begins now gets, for a line that allows `within` milliseconds. */
  sweepTime(within: number): number {
    if (!this.flashing) return within
    if (this.firstOfOperation || this.onTimes.length < timing.knownNeeded)
      return Math.min(within, timing.shortSweep)
    return Math.min(within, Math.floor(timing.sweepShare * Math.min(...this.onTimes)))
  }

  private filtered(reads: boolean): boolean {
    if (reads === this.live) this.count = this.live ? 0 : Math.max(0, this.count - 1)
    else this.count++
    if (this.count < (this.live ? this.release : this.assert)) return false
    this.count = 0
    return true
  }

  private rise(at: number): void {
    const deadFor = at - this.wentDead
    if (this.flashing && this.pending && deadFor < timing.contactGap) {
      this.pending = false
      this.measured = false
      this.plain = true
      this.holdsBack = !this.steady
      return
    }
    this.enter()
    this.plain = false
    this.flashBegan = at
    this.measured = true
    this.steady = false
    if (!this.flashing) return
    this.firstOfOperation = deadFor >= timing.operationGap
    this.rises.push(at)
    if (this.rises.length > timing.risesTooMany) this.rises.shift()
    if (this.rises.length === timing.risesTooMany && at - this.rises[0]! < timing.risesWithin)
      this.becomeUnstable()
    this.plain = this.look < this.unstableUntil
    this.holdsBack = true
  }

  private fall(at: number): void {
    this.wentDead = at
    this.pending = true
    this.plain = false
  }

  private judge(): void {
    const { look } = this
    if (this.live && !this.steady && look - this.flashBegan >= timing.steadyAfter) {
      this.steady = true
      this.holdsBack = false
      this.rises = []
    }
    if (this.live) return
    // A return that is being filtered right now still ends the gap at its first live look.
    const dead = look - this.wentDead - (this.assert - 1)
    if (dead >= timing.contactGap) this.enter()
    if (dead >= timing.flashGap) this.holdsBack = false
  }

  /** The last flash is over for certain: its on-time counts, or condemns the flasher. */
  private enter(): void {
    if (!this.pending) return
    this.pending = false
    const on = this.wentDead - this.flashBegan
    if (!this.measured || this.steady) return
    if (on < timing.shortestOn) this.becomeUnstable()
    else this.onTimes = [on, ...this.onTimes].slice(0, timing.remembered)
  }

  private becomeUnstable(): void {
    this.unstableUntil = this.look + timing.unstableFor
    this.onTimes = []
  }
}
