// Codes of one group's outputs over time (SEMANTICS.md sections 2 to 4), from the lines of the description.

import type { Group, ProgrammeLine, Wire } from "../../../2-lamp/artefact.ts"
import { codeOf, leastCode, type Timing } from "./timing.ts"
import type { WireState } from "./wire-state.ts"

interface Line {
  readonly line: ProgrammeLine
  readonly flashing: boolean
  /** Look at which it became active. */
  since: number
  active: boolean
  plain: boolean
  sweepTime: number
}

interface Change {
  readonly from: number
  readonly to: number
  /** Look of the change; need not be whole, as starts within a sweep are not. */
  readonly at: number
  /** Milliseconds. */
  readonly lasts: number
  /** What follows: the rise of an LED that waits for its turn. */
  readonly turn?: { readonly at: number; readonly to: number; readonly lasts: number }
}

/** Section 4: no sweep lasts longer, seconds. */
const longestSweep = 5

/** What whole numbers may make of a description. */
export interface Departure {
  /** Milliseconds by which an LED's turn in a sweep comes later than described. */
  readonly turn: number
  /** Of fades outside sweeps. */
  readonly pace: "early" | "exact" | "late"
}

/** Codes by which whole-number arithmetic may be off during a change (SEMANTICS.md section 3). */
const roundedOff = 4

export class GroupLight {
  /** Codes after the latest look. */
  readonly codes: Float64Array
  /** Codes it may be off either way while on its way to another, 0 where it has arrived. */
  readonly loose: Uint8Array
  private readonly looseness: Uint8Array
  private readonly arrived: Uint8Array
  /** Look from which an LED is surely at its level, where rounding decides whether it had any way to go. */
  private readonly surely: Float64Array
  private readonly lines: Line[]
  private readonly both: boolean
  private readonly changes: Change[]
  private chosen: Line | undefined
  private look = 0
  /** Place of each output's first LED in the group's order. */
  private readonly places: readonly number[]
  private readonly timing: Timing
  private readonly departure: Departure

  constructor(
    group: Group,
    programme: readonly ProgrammeLine[],
    places: readonly number[],
    wires: ReadonlyMap<string, Wire>,
    timing: Timing,
    departure: Departure,
  ) {
    const outputs = places.length
    this.places = places
    this.timing = timing
    this.departure = departure
    const flashes = (l: ProgrammeLine) => l.when.some((w) => wires.get(w)?.role === "flashing")
    this.lines = programme
      .map((line, order) => ({ line, order, flashing: flashes(line) }))
      .filter(({ line }) => line.light === group.name)
      .sort(
        (a, b) =>
          Number(b.flashing) - Number(a.flashing) ||
          b.line.when.length - a.line.when.length ||
          b.line.level - a.line.level ||
          b.order - a.order,
      )
      .map(({ line, flashing }) => ({ line, flashing, since: 0, active: false, plain: false, sweepTime: 0 }))
    this.both = this.lines.some((l) => l.flashing) && this.lines.some((l) => !l.flashing)
    this.codes = new Float64Array(outputs)
    this.loose = new Uint8Array(outputs)
    this.looseness = new Uint8Array(outputs)
    this.arrived = new Uint8Array(outputs).fill(1)
    this.surely = new Float64Array(outputs)
    this.changes = Array.from({ length: outputs }, () => ({ from: 0, to: 0, at: 0, lasts: 0 }))
  }

  step(wires: ReadonlyMap<string, WireState>): void {
    const { look } = this
    let again = false
    for (const l of this.lines) {
      const on = l.line.when.every((w) => wires.get(w)?.live)
      const { when } = l.line
      const unpaced =
        sweepOf(l.line)?.firstFlash === "together" && when.some((w) => wires.get(w)?.paced === false)
      const plain = look === 0 || unpaced || when.some((w) => wires.get(w)?.plain)
      if (on && !l.active) {
        l.since = look
        l.plain = plain
        l.sweepTime = this.sweepTimeOf(l.line, wires)
        if (l === this.chosen) again = true
      }
      l.active = on
    }
    const heldBack = this.both && this.lines.some((l) => holdsOthersBack(l, wires))
    const next = this.lines.find((l) => l.active && (l.flashing || !heldBack))
    if (next !== this.chosen || again) this.change(next)
    for (let i = 0; i < this.codes.length; i++) {
      const code = this.codeAt(i, look + 1)
      this.codes[i] = code
      const arrived =
        code === 0 || (code === (this.changes[i]!.turn ?? this.changes[i]!).to && look >= this.surely[i]!)
      // Rounding may put off the last step of a rise by a millisecond, so one look more is loose.
      this.loose[i] = arrived && this.arrived[i] ? 0 : this.looseness[i]!
      this.arrived[i] = arrived ? 1 : 0
    }
    this.look++
  }

  private change(next: Line | undefined): void {
    const { look, chosen } = this
    const fall = this.paced(milliseconds(chosen?.line.fall))
    this.chosen = next
    const sweep = next && sweepOf(next.line)
    // Over already when it comes to decide: everything is at its level.
    const over = next !== undefined && (next.plain || (sweep && look - next.since >= next.sweepTime))
    const turns = turnsOf(this.places, sweep?.step ?? 1)
    const last = Math.max(0, ...turns)
    for (let i = 0; i < this.codes.length; i++) {
      const from = this.codes[i]!
      // A change that begins before the last one ended inherits how far that may be off.
      this.looseness[i] = Math.min(this.loose[i]! + roundedOff, 12)
      const to = next ? codeOf(next.line.level) : 0
      const asked = milliseconds(next?.line.rise)
      const rise = asked <= 1 ? 0 : asked
      const near = this.looseness[i]! > roundedOff && Math.abs(from - to) <= this.looseness[i]!
      this.surely[i] = near && !over ? look + Math.max(rise, fall) : 0
      if (over) this.changes[i] = this.towards(i, to, 0)
      else if (!next || !sweep) this.changes[i] = this.towards(i, to, to > from ? this.paced(rise) : fall)
      else {
        const within = milliseconds(sweep.within)
        const share = last > 0 ? (turns[i]! / last) * Math.max(0, 1 - rise / within) : 0
        const kept = Math.min(255, Math.floor(256 * share + 1e-9)) / 256
        const at = next.since + kept * next.sweepTime + (kept > 0 ? this.departure.turn : 0)
        const lasts = (rise * next.sweepTime) / within
        // Its turn is now or was before: it starts from what it shows.
        const now = at < look + 1
        const before = now ? { from, to: from, at: look, lasts: 0 } : this.towards(i, 0, fall)
        this.changes[i] = { ...before, turn: { at, to, lasts } }
      }
    }
  }

  /** From what is shown; but on its way down to this very level, outside a sweep, it goes on as it was. */
  private towards(i: number, to: number, lasts: number): Change {
    const { from, to: aim, at, lasts: slow, turn } = this.changes[i]!
    const sweeping = turn !== undefined && this.look > turn.at
    if (!sweeping && aim === to && this.codes[i]! >= to) return { from, to, at, lasts: slow }
    return { from: this.codes[i]!, to, at: this.look, lasts }
  }

  /** How long a fade outside a sweep takes: its pace is kept in 1/65 536 a millisecond (SEMANTICS.md section 3). */
  private paced(ms: number): number {
    if (this.departure.pace === "early") return ms * (1 - ms / (ms > 1000 ? 131072 : 65536))
    if (this.departure.pace === "late" && ms > 1000) return ms * (1 + ms / 131072)
    return ms
  }

  private sweepTimeOf(line: ProgrammeLine, wires: ReadonlyMap<string, WireState>): number {
    const { when } = line
    const sweep = sweepOf(line)
    if (!sweep) return 0
    const absolute = sweep.share === undefined
    const longest = milliseconds(absolute ? sweep.within : (sweep.atMost ?? longestSweep))
    const share = absolute
      ? this.timing.sweepShare
      : Math.min(this.timing.sweepShare, Math.floor(256 * sweep.share! + 1e-9))
    return Math.max(2, Math.min(...when.map((w) => wires.get(w)?.sweepTime(longest, share) ?? longest)))
  }

  /** `shown`: the millisecond after the look. */
  private codeAt(i: number, shown: number): number {
    const change = this.changes[i]!
    if (change.turn && shown > change.turn.at) {
      const { at, to, lasts } = change.turn
      return along({ from: along(change, Math.floor(at)), to, at, lasts }, shown, 0)
    }
    return along(change, shown)
  }
}

/** Without the last places of seconds that are no binary fractions. */
const milliseconds = (seconds = 0) => Math.round(1e9 * seconds) / 1e6

/** Code `shown − at` milliseconds into a change; one that lasts no longer than `instant` is over at once. */
function along({ from, to, at, lasts }: Change, shown: number, instant = 1): number {
  if (from === to) return to
  const x = lasts <= instant ? 1 : Math.min(1, (shown - at) / lasts)
  if (x >= 1) return to
  if (x <= 0) return from
  const code = to >= from ? from + (to - from) * x * x : to + (from - to) * (1 - x) * (1 - x)
  // Whole codes, rounded down, never between darkness and the least code.
  return Math.max(leastCode, Math.floor(code))
}

/** A dark line has no sweep. */
const sweepOf = ({ sweep, level }: ProgrammeLine) => (level > 0 ? sweep : undefined)

/** LEDs 0 … step − 1 have the first turn, the next so many the second; an output goes with its first LED. */
function turnsOf(places: readonly number[], step: number): readonly number[] {
  const steps = places.map((place) => Math.floor(place / step))
  const inOrder = [...new Set(steps)].sort((a, b) => a - b)
  return steps.map((s) => inOrder.indexOf(s))
}

/** All the line's flashes go on and its steady wires are live, and it wants darkness between them. */
const holdsOthersBack = ({ line, flashing }: Line, wires: ReadonlyMap<string, WireState>): boolean =>
  flashing &&
  line.betweenFlashes !== "other-lines" &&
  line.when.every((name) => {
    const wire = wires.get(name)
    return wire?.flashing ? wire.holdsBack : wire?.live
  })
