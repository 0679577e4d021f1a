// Codes of one group's outputs over time (SEMANTICS.md sections 2 to 4), from the lines of the description.

import type { Group, ProgrammeLine, Wire } from "../../../2-lamp/artefact.ts"
import { codeOf, leastCode } from "./timing.ts"
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

/** Codes by which whole-number arithmetic may be off during a change (SEMANTICS.md section 3). */
const roundedOff = 3

export class GroupLight {
  /** Codes after the latest look. */
  readonly codes: Float64Array
  /** Codes it may be off either way while on its way to another, 0 where it has arrived. */
  readonly loose: Uint8Array
  private readonly looseness: Uint8Array
  private readonly arrived: Uint8Array
  private readonly lines: Line[]
  private readonly both: boolean
  private readonly changes: Change[]
  private chosen: Line | undefined
  private look = 0
  /** Milliseconds by which an LED's turn in a sweep comes later than described. */
  private readonly late: number

  constructor(
    group: Group,
    programme: readonly ProgrammeLine[],
    outputs: number,
    wires: ReadonlyMap<string, Wire>,
    late: number,
  ) {
    this.late = late
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
    this.changes = Array.from({ length: outputs }, () => ({ from: 0, to: 0, at: 0, lasts: 0 }))
  }

  step(wires: ReadonlyMap<string, WireState>): void {
    const { look } = this
    let again = false
    for (const l of this.lines) {
      const on = l.line.when.every((w) => wires.get(w)?.live)
      const plain = look === 0 || l.line.when.some((w) => wires.get(w)?.plain)
      if (on && !l.active) {
        l.since = look
        l.plain = plain
        l.sweepTime = sweepTimeOf(l.line, wires)
        if (l === this.chosen) again = true
      }
      l.active = on
    }
    const heldBack =
      this.both && this.lines.some((l) => l.flashing && l.line.when.some((w) => wires.get(w)?.holdsBack))
    const next = this.lines.find((l) => l.active && (l.flashing || !heldBack))
    if (next !== this.chosen || again) this.change(next)
    for (let i = 0; i < this.codes.length; i++) {
      const code = this.codeAt(i, look + 1)
      this.codes[i] = code
      const arrived = code === 0 || code === (this.changes[i]!.turn ?? this.changes[i]!).to
      // Rounding may put off the last step of a rise by a millisecond, so one look more is loose.
      this.loose[i] = arrived && this.arrived[i] ? 0 : this.looseness[i]!
      this.arrived[i] = arrived ? 1 : 0
    }
    this.look++
  }

  private change(next: Line | undefined): void {
    const { look, chosen } = this
    const fall = 1000 * (chosen?.line.fall ?? 0)
    this.chosen = next
    const n = this.codes.length
    for (let i = 0; i < n; i++) {
      const from = this.codes[i]!
      // A change that begins before the last one ended inherits how far that may be off.
      this.looseness[i] = Math.min(this.loose[i]! + roundedOff, 12)
      const to = next ? codeOf(next.line.level) : 0
      if (!next || next.plain) {
        this.changes[i] = { from, to, at: look, lasts: next ? 0 : fall }
        continue
      }
      const within = 1000 * (next.line.sweep?.within ?? 0)
      const shrink = within > 0 ? next.sweepTime / within : 1
      const rise = 1000 * next.line.rise
      const share = n > 1 && within > 0 ? (i / (n - 1)) * Math.max(0, 1 - rise / within) : 0
      const kept = Math.min(255, Math.floor(256 * share + 1e-9)) / 256
      const turn = next.since + kept * next.sweepTime + (kept > 0 ? this.late : 0)
      const lasts = to >= from ? rise * shrink : fall
      if (turn <= look) this.changes[i] = { from, to, at: look, lasts }
      else
        this.changes[i] = { from, to: 0, at: look, lasts: fall, turn: { at: turn, to, lasts: rise * shrink } }
    }
  }

  /** `shown`: the millisecond after the look. */
  private codeAt(i: number, shown: number): number {
    let change = this.changes[i]!
    if (change.turn && shown > change.turn.at) {
      const { at, to, lasts } = change.turn
      change = { from: along(change, at), to, at, lasts }
    }
    return along(change, shown)
  }
}

/** Code `shown − at` milliseconds into a change. */
function along({ from, to, at, lasts }: Change, shown: number): number {
  if (from === to) return to
  const x = lasts <= 1 ? 1 : Math.min(1, (shown - at) / lasts)
  if (x >= 1) return to
  if (x <= 0) return from
  const code = to >= from ? from + (to - from) * x * x : to + (from - to) * (1 - x) * (1 - x)
  // Whole codes, rounded down, never between darkness and the least code.
  return Math.max(leastCode, Math.floor(code))
}

function sweepTimeOf(line: ProgrammeLine, wires: ReadonlyMap<string, WireState>): number {
  if (!line.sweep) return 0
  const within = 1000 * line.sweep.within
  const flashing = line.when.map((w) => wires.get(w)).find((w) => w?.flashing)
  return flashing ? flashing.sweepTime(within) : within
}
