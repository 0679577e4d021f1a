// What the lamp makes of one wire, look by look (SEMANTICS.md sections 1, 4, 5, 6). Written from those words,
// not from the runtime.

import type { Wire } from "../../../2-lamp/artefact.ts"
import type { Timing } from "./timing.ts"

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
  /** Look from which it counted as dead. */
  private deadSince = never
  private measured = false
  /** The flash that ended has not yet been dead for long enough to be entered. */
  private pending = false
  private firstOfOperation = true
  private steady = false
  private unstableUntil = never
  private onTimes: number[] = []
  private rises: number[] = []
  readonly flashing: boolean
  private readonly timing: Timing
  private readonly assert: number
  private readonly release: number

  constructor(wire: Wire | undefined, brakes: boolean, timing: Timing) {
    this.timing = timing
    this.flashing = wire?.role === "flashing"
    const filter = this.flashing || brakes ? timing.quick : timing.slow
    const looks = (seconds: number | undefined, usual: number) =>
      seconds === undefined ? usual : Math.max(1, Math.round(1000 * seconds))
    this.assert = looks(wire?.liveAfter, filter.assert)
    this.release = looks(wire?.deadAfter, filter.release)
  }

  /** One look; the very first decides at once. */
  step(reads: boolean): void {
    const was = this.live
    if (this.look === 0) {
      if (reads) {
        this.live = true
        // Of a steady wire only this very look is plain, which the group knows by itself.
        this.plain = this.flashing
        this.flashBegan = 0
        this.holdsBack = this.flashing
      }
    } else if (this.filtered(reads)) {
      this.live = !this.live
      if (this.live) this.rise(this.look - this.assert + 1)
      else this.fall(this.look - this.release + 1)
    }
    if (this.flashing) this.judge(was)
    this.look++
  }

  /** On-times pace the sweep: they are known, and this is not the first flash of an operation. */
  get paced(): boolean {
    return !this.flashing || !(this.firstOfOperation || this.onTimes.length < this.timing.knownNeeded)
  }

  /** Sweep time a flash that begins now gets, ms: at most `longest`, at most `share` / 256 of an on-time. */
  sweepTime(longest: number, share: number): number {
    if (!this.flashing) return longest
    const on = this.paced ? Math.min(...this.onTimes) : this.timing.shortestOn
    return Math.min(longest, Math.floor((share * on) / 256))
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
    if (this.flashing && this.pending && deadFor < this.timing.contactGap) {
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
    this.firstOfOperation = this.look - this.deadSince >= this.timing.operationGap
    if (this.firstOfOperation) this.rises = []
    this.rises.push(at)
    if (this.rises.length > this.timing.risesTooMany) this.rises.shift()
    if (this.rises.length === this.timing.risesTooMany && at - this.rises[0]! < this.timing.risesWithin)
      this.becomeUnstable()
    this.plain = this.look < this.unstableUntil
    this.holdsBack = true
  }

  private fall(at: number): void {
    this.wentDead = at
    this.deadSince = this.look
    this.pending = true
    this.plain = false
  }

  /** `was`: live before this look; a wire that just came or went is judged by what it was. */
  private judge(was: boolean): void {
    const { look } = this
    if (was && !this.steady && look - this.flashBegan >= this.timing.steadyAfter) {
      this.steady = true
      this.holdsBack = false
      this.rises = []
    }
    if (was || this.live) return
    // A return that is being filtered right now still ends the gap at its first live look.
    const dead = look - this.wentDead - (this.assert - 1)
    if (dead >= this.timing.contactGap) this.enter()
    if (dead >= this.timing.flashGap) this.holdsBack = false
  }

  /** The last flash is over for certain: its on-time counts, or condemns the flasher. */
  private enter(): void {
    if (!this.pending) return
    this.pending = false
    const on = this.wentDead - this.flashBegan
    if (!this.measured || this.steady) return
    if (on < this.timing.shortestOn) this.becomeUnstable()
    else this.onTimes = [on, ...this.onTimes].slice(0, this.timing.remembered)
  }

  private becomeUnstable(): void {
    this.unstableUntil = this.look + this.timing.unstableFor
    this.onTimes = []
  }
}
