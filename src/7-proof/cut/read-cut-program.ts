// Cutter program text → tool moves. The proof's own reader of the RS-274/NGC language (NISTIR 6556, version 3);
// it shares nothing with the writer. Lines that break the rules become faults with number and reason; never a throw.
// Coordinates come out in millimetres in the first work system (G54) with its origin as the program sees it.

import { type Cursor, Refusal, readValue } from "./program-value.ts"

export interface ToolMove {
  /** From 1. */
  readonly line: number
  readonly kind: "rapid" | "feed"
  readonly x0: number
  readonly y0: number
  readonly z0: number
  readonly x1: number
  readonly y1: number
  readonly z1: number
  /** mm/min; 0 for rapids. */
  readonly feed: number
  /** rpm; 0 while the spindle stands, negative when it turns counter-clockwise (M4). */
  readonly spindle: number
  readonly tool: number
  /** A rapid inside a hole this cycle has already drilled (pecking). */
  readonly inOwnHole: boolean
}

export interface ProgramNote {
  readonly line: number
  readonly reason: string
}

export interface ProgramReading {
  /** Arcs come as chords within 0.002 mm. Moves of no length are left out. */
  readonly moves: readonly ToolMove[]
  /** Lengths of the true path, arcs counted round; mm. */
  readonly feedLength: number
  readonly rapidLength: number
  /** Time of all feed moves at their programmed speed, minutes; no acceleration. */
  readonly feedMinutes: number
  readonly dwellSeconds: number
  /** Lines with M0, M1, M60 or M6. */
  readonly stops: readonly { readonly line: number; readonly word: "M0" | "M1" | "M6" | "M60" }[]
  readonly end: "M2" | "M30" | "%" | undefined
  readonly endLine: number
  /** Whether the words stood in the program before its first move. */
  readonly said: { readonly units: boolean; readonly distance: boolean; readonly plane: boolean }
  readonly inches: boolean
  /** At the end of the text or at M2/M30, before its resets. */
  readonly at: readonly [number, number, number]
  readonly spindleAtEnd: number
  readonly offsets: readonly [number, number, number]
  readonly parameters: ReadonlyMap<number, number>
  readonly faults: readonly ProgramNote[]
  /** Legal, but worth knowing: block delete, coolant pairs, text after the end. */
  readonly notes: readonly ProgramNote[]
}

export interface ReaderStart {
  readonly at?: readonly [number, number, number]
  readonly feed?: number
  readonly parameters?: Readonly<Record<number, number>>
  /** Reads G38.2 as a straight feed to where it may reach at most; refused otherwise. */
  readonly probing?: boolean
}

const arcTolerance = 0.002
const mostFaults = 100
/** Modal group of every G word we know, by ten times its number. */
const gGroups: Readonly<Record<number, number>> = Object.fromEntries(
  (
    [
      [1, [0, 1, 2, 3, 38.2, 80, 81, 82, 83, 84, 85, 86, 87, 88, 89]],
      [2, [17, 18, 19]],
      [3, [90, 91]],
      [5, [93, 94]],
      [6, [20, 21]],
      [7, [40, 41, 42]],
      [8, [43, 49]],
      [10, [98, 99]],
      [12, [54, 55, 56, 57, 58, 59, 59.1, 59.2, 59.3]],
      [13, [61, 61.1, 64]],
      [0, [4, 10, 28, 30, 53, 92, 92.1, 92.2, 92.3]],
    ] as const
  ).flatMap(([group, words]) => words.map((w) => [Math.round(w * 10), group])),
)
const mGroups: Readonly<Record<number, number>> = {
  0: 4,
  1: 4,
  2: 4,
  30: 4,
  60: 4,
  6: 6,
  3: 7,
  4: 7,
  5: 7,
  7: 8,
  8: 8,
  9: 8,
  48: 9,
  49: 9,
}
const systems = [540, 550, 560, 570, 580, 590, 591, 592, 593]
const A = 65
const letter = (name: string) => name.charCodeAt(0) - A
const [D, F, G, H, I, J, K, L, M, N, P, Q, R, S, T, X, Y, Z] = [..."DFGHIJKLMNPQRSTXYZ"].map(
  letter,
) as number[]
const legalLetters = new Set([..."ABCDFGHIJKLMPQRSTXYZ"].map(letter))

interface Words {
  /** Value of each letter except G and M; `has` tells which stood on the line. */
  readonly value: Float64Array
  readonly has: Uint8Array
  /** G words by modal group as ten times the number, −1 when absent; index 0 for the non-modal group. */
  readonly g: Int16Array
  /** M words by modal group, −1 when absent. */
  readonly m: Int16Array
  bothCoolants: boolean
  readonly settings: [number, number][]
}

/** Reads a whole program. `start` sets the state before the first line; the defaults are G21 G90 G17 G94 at the origin. */
export function readCutProgram(text: string, start: ReaderStart = {}): ProgramReading {
  const moves: ToolMove[] = []
  const faults: ProgramNote[] = []
  const notes: ProgramNote[] = []
  const stops: { line: number; word: "M0" | "M1" | "M6" | "M60" }[] = []
  const parameters = new Map<number, number>(
    Object.entries(start.parameters ?? {}).map(([k, v]) => [Number(k), v]),
  )
  // Absolute position: program coordinate + origin of the work system + G92 offset.
  const at: [number, number, number] = [...(start.at ?? [0, 0, 0])]
  const origins = systems.map(() => [0, 0, 0] as [number, number, number])
  let system = 0
  let shift: [number, number, number] = [0, 0, 0]
  let keptShift: [number, number, number] = [0, 0, 0]
  let motion = 800
  let plane = 170
  let unit = 1
  let incremental = false
  let inverseTime = false
  let feed = start.feed ?? 0
  let speed = 0
  let turning = 0
  let selected = 0
  let tool = 0
  let retractToR = false
  // What a drilling cycle keeps while it stays active.
  let cycle = { z: Number.NaN, r: Number.NaN, p: Number.NaN, q: Number.NaN }
  let feedLength = 0
  let rapidLength = 0
  let feedMinutes = 0
  let dwellSeconds = 0
  let end: ProgramReading["end"]
  let endLine = 0
  let wrapped = false
  let saidUnits = false
  let saidDistance = false
  let saidPlane = false
  const said = { units: false, distance: false, plane: false }
  let moved = false
  let line = 0

  const words: Words = {
    value: new Float64Array(26),
    has: new Uint8Array(26),
    g: new Int16Array(14),
    m: new Int16Array(10),
    bothCoolants: false,
    settings: [],
  }
  const refuse = (reason: string): never => {
    throw new Refusal(reason)
  }
  const has = (l: number) => words.has[l] === 1
  const offset = (axis: number) => origins[system]![axis]! + shift[axis]!

  const go = (
    kind: "rapid" | "feed",
    x: number,
    y: number,
    z: number,
    minutes?: number,
    inOwnHole = false,
    trueLength?: number,
  ) => {
    if (![x, y, z].every((v) => Math.abs(v) < 1e6)) refuse("a coordinate beyond a kilometre")
    const length = Math.hypot(x - at[0], y - at[1], z - at[2])
    if (!moved) {
      moved = true
      said.units = saidUnits
      said.distance = saidDistance
      said.plane = saidPlane
    }
    if (length > 0) {
      moves.push({
        line,
        kind,
        x0: at[0],
        y0: at[1],
        z0: at[2],
        x1: x,
        y1: y,
        z1: z,
        feed: kind === "rapid" ? 0 : minutes === undefined ? feed : (trueLength ?? length) / minutes,
        spindle: turning * speed,
        tool,
        inOwnHole,
      })
      if (kind === "rapid") rapidLength += length
      else {
        feedLength += trueLength ?? length
        feedMinutes += minutes ?? (trueLength ?? length) / feed
      }
    }
    at[0] = x
    at[1] = y
    at[2] = z
  }

  const target = (axis: number, l: number, machine: boolean): number => {
    if (!has(l)) return at[axis]!
    const v = words.value[l]! * unit
    if (machine) return v
    return incremental ? at[axis]! + v : v + offset(axis)
  }

  const straight = (rapid: boolean, machine: boolean) => {
    if (!has(X) && !has(Y) && !has(Z)) refuse(`${rapid ? "G0" : "G1"} without X, Y or Z`)
    const minutes = rapid ? undefined : minutesOfLine()
    go(rapid ? "rapid" : "feed", target(0, X, machine), target(1, Y, machine), target(2, Z, machine), minutes)
  }

  /** Inverse time gives the minutes of the line; otherwise the feed must be set. */
  const minutesOfLine = (): number | undefined => {
    if (!inverseTime) {
      if (!(feed > 0)) refuse("a feed move before any F")
      return undefined
    }
    if (!has(F) || !(words.value[F]! > 0)) refuse("G93 needs an F above zero on every feed line")
    return 1 / words.value[F]!
  }

  const arc = (clockwise: boolean) => {
    // Axes of the plane and the one across it; turning is seen from the positive end of the latter.
    const [a, b, c] = plane === 170 ? [0, 1, 2] : plane === 180 ? [2, 0, 1] : [1, 2, 0]
    const letters = [X, Y, Z]
    const centreLetters = [I, J, K]
    const la = letters[a!]!
    const lb = letters[b!]!
    const name = clockwise ? "G2" : "G3"
    const minutes = minutesOfLine()
    const a0 = at[a!]!
    const b0 = at[b!]!
    const c0 = at[c!]!
    const a1 = target(a!, la, false)
    const b1 = target(b!, lb, false)
    const c1 = target(c!, letters[c!]!, false)
    if (!has(la) && !has(lb)) refuse(`${name} without an end point in its plane`)
    let ca: number
    let cb: number
    if (has(R)) {
      if (has(I) || has(J) || has(K)) refuse(`${name} with both a radius and a centre`)
      if (a1 === a0 && b1 === b0) refuse(`${name} with a radius needs an end other than its start`)
      const radius = words.value[R]! * unit
      const half = Math.hypot(a1 - a0, b1 - b0) / 2
      if (half - Math.abs(radius) > arcTolerance) refuse(`the radius is too small to reach the end point`)
      const rise = Math.sqrt(Math.max(0, radius * radius - half * half))
      // Short way round: the centre lies left of the chord for counter-clockwise arcs, right for clockwise.
      const side = (clockwise ? -1 : 1) * (radius < 0 ? -1 : 1)
      ca = (a0 + a1) / 2 - (side * rise * (b1 - b0)) / (2 * half)
      cb = (b0 + b1) / 2 + (side * rise * (a1 - a0)) / (2 * half)
    } else {
      const ia = centreLetters[a!]!
      const ib = centreLetters[b!]!
      if (has(centreLetters[c!]!)) refuse(`${name} with a centre word across its plane`)
      if (!has(ia) && !has(ib)) refuse(`${name} without centre or radius`)
      ca = a0 + (has(ia) ? words.value[ia]! * unit : 0)
      cb = b0 + (has(ib) ? words.value[ib]! * unit : 0)
    }
    const r0 = Math.hypot(a0 - ca, b0 - cb)
    const r1 = Math.hypot(a1 - ca, b1 - cb)
    if (r0 === 0) refuse("an arc of radius zero")
    const allowed = unit === 1 ? 0.002 : 0.0002 * 25.4
    if (Math.abs(r0 - r1) > allowed + 1e-9) {
      refuse(`the arc's start and end are ${Math.abs(r0 - r1).toFixed(4)} mm apart in radius`)
    }
    const from = Math.atan2(b0 - cb, a0 - ca)
    let sweep = Math.atan2(b1 - cb, a1 - ca) - from
    const full = a1 === a0 && b1 === b0
    if (clockwise) {
      if (full) sweep = -2 * Math.PI
      else if (sweep >= 0) sweep -= 2 * Math.PI
    } else if (full) sweep = 2 * Math.PI
    else if (sweep <= 0) sweep += 2 * Math.PI
    const step = 2 * Math.acos(Math.max(0.5, 1 - arcTolerance / Math.max(r0, r1)))
    const count = Math.max(1, Math.ceil(Math.abs(sweep) / step))
    const length = Math.hypot(Math.abs(sweep) * r0, c1 - c0)
    const p: [number, number, number] = [0, 0, 0]
    for (let i = 1; i <= count; i++) {
      const t = i / count
      const r = r0 + (r1 - r0) * t
      p[a!] = i === count ? a1 : ca + r * Math.cos(from + sweep * t)
      p[b!] = i === count ? b1 : cb + r * Math.sin(from + sweep * t)
      p[c!] = c0 + (c1 - c0) * t
      go("feed", p[0], p[1], p[2], minutes === undefined ? undefined : minutes / count, false, length / count)
    }
  }

  const drill = (code: number, sticky: boolean) => {
    const name = `G${code / 10}`
    if (plane !== 170) refuse(`${name} outside the XY plane is not read here`)
    if (inverseTime) refuse(`${name} while inverse time (G93) is active`)
    if (!has(X) && !has(Y) && !has(Z)) refuse(`${name} without X, Y or Z`)
    if (!(feed > 0)) refuse("a feed move before any F")
    const repeats = has(L) ? whole(words.value[L]!, "L") : 1
    if (repeats < 1) refuse("L must be at least 1")
    if (repeats > 10000) refuse("L beyond 10000 repeats")
    const keep = (l: number, kept: number, scale: number) =>
      has(l) ? words.value[l]! * scale : sticky ? kept : Number.NaN
    const r = keep(R, cycle.r, unit)
    const z = keep(Z, cycle.z, unit)
    const p = keep(P, cycle.p, 1)
    const q = keep(Q, cycle.q, unit)
    if (Number.isNaN(z)) refuse(`${name} without Z and no cycle active`)
    if (Number.isNaN(r)) refuse(`${name} without R and no cycle active`)
    if (code === 820 && !(p >= 0)) refuse("G82 needs a dwell P of at least zero")
    if (code === 830 && !(q > 0)) refuse("G83 needs a peck Q above zero")
    const top = incremental ? at[2] + r : r + offset(2)
    const bottom = incremental ? top + z : z + offset(2)
    if (top < bottom) refuse(`${name} with R below Z`)
    cycle = { z, r, p, q }
    const retract = retractToR ? top : Math.max(at[2], top)
    if (at[2] < top) go("rapid", at[0], at[1], top)
    for (let i = 0; i < repeats; i++) {
      const x = i > 0 && !incremental ? at[0] : target(0, X, false)
      const y = i > 0 && !incremental ? at[1] : target(1, Y, false)
      go("rapid", x, y, at[2])
      go("rapid", x, y, top)
      if (code === 830) {
        let depth = top
        while (depth - q > bottom + 1e-9) {
          depth -= q
          go("feed", x, y, depth)
          go("rapid", x, y, top)
          go("rapid", x, y, Math.min(top, depth + 0.254), undefined, true)
          if (moves.length > 5_000_000) refuse("more pecks than can be meant")
        }
      }
      go("feed", x, y, bottom)
      if (code === 820) dwellSeconds += p
      go("rapid", x, y, retract)
    }
  }

  const nonModal = (code: number) => {
    const axisWords = has(X) || has(Y) || has(Z)
    switch (code) {
      case 100: {
        if (!has(L) || whole(words.value[L]!, "L") !== 2) refuse("G10 is read with L2 only")
        const p = has(P) ? whole(words.value[P]!, "P") : 0
        if (p < 1 || p > 9) refuse("G10 L2 needs P1 to P9")
        for (const [axis, l] of [X, Y, Z].entries()) {
          if (has(l)) origins[p - 1]![axis] = words.value[l]! * unit
        }
        notes.push({ line, reason: "G10 moves a work origin of the machine" })
        break
      }
      case 920:
        if (!axisWords) refuse("G92 without X, Y or Z")
        for (const [axis, l] of [X, Y, Z].entries()) {
          if (has(l)) shift[axis] = at[axis]! - origins[system]![axis]! - words.value[l]! * unit
        }
        keptShift = [...shift]
        notes.push({ line, reason: "G92 shifts every later coordinate" })
        break
      case 921:
        shift = [0, 0, 0]
        keptShift = [0, 0, 0]
        break
      case 922:
        shift = [0, 0, 0]
        break
      case 923:
        shift = [...keptShift]
        break
      default:
        refuse(`G${code / 10} goes to a place that only the machine knows`)
    }
  }

  const execute = () => {
    const { g, m, value } = words
    if (g[5]! >= 0) inverseTime = g[5] === 930
    if (has(F)) {
      if (value[F]! < 0) refuse("a negative feed")
      if (!inverseTime) feed = value[F]! * (g[6]! >= 0 ? (g[6] === 200 ? 25.4 : 1) : unit)
    }
    if (has(S)) {
      if (value[S]! < 0) refuse("a negative spindle speed")
      speed = value[S]!
    }
    if (has(T)) {
      selected = whole(value[T]!, "T")
      if (selected < 0) refuse("a negative tool number")
    }
    if (m[6] === 6) {
      tool = selected
      turning = 0
      stops.push({ line, word: "M6" })
    }
    if (m[7]! >= 0) turning = m[7] === 3 ? 1 : m[7] === 4 ? -1 : 0
    if (words.bothCoolants) notes.push({ line, reason: "M7 and M8 on one line" })
    if (g[0] === 40) {
      if (!has(P)) refuse("G4 without P")
      if (value[P]! < 0) refuse("a negative dwell")
      dwellSeconds += value[P]!
    }
    if (g[2]! >= 0) {
      plane = g[2]!
      saidPlane = true
    }
    if (g[6]! >= 0) {
      unit = g[6] === 200 ? 25.4 : 1
      saidUnits = true
    }
    if (g[7]! > 400) refuse("cutter radius compensation is not read: the path would not be the one written")
    if (g[8] === 430) refuse("tool length offsets are not read: the depth would not be the one written")
    if (g[12]! >= 0) {
      system = systems.indexOf(g[12]!)
      if (system > 0) notes.push({ line, reason: `work system G${g[12]! / 10}: its origin is the machine's` })
    }
    if (g[3]! >= 0) {
      incremental = g[3] === 910
      saidDistance = true
    }
    if (g[10]! >= 0) retractToR = g[10] === 990
    const usesAxes = g[0] === 100 || g[0] === 280 || g[0] === 300 || g[0] === 920
    const axisWords = has(X) || has(Y) || has(Z)
    if (usesAxes && g[1]! >= 0 && g[1] !== 800) refuse("two words on the line both use the axis words")
    if (usesAxes || g[0]! > 920) nonModal(g[0]!)
    const moveNow = g[1]! >= 0 || (axisWords && !usesAxes)
    if (g[1]! >= 0 && g[1] !== motion) {
      if (!(g[1]! >= 810 && g[1]! <= 890))
        cycle = { z: Number.NaN, r: Number.NaN, p: Number.NaN, q: Number.NaN }
    }
    const before = motion
    if (g[1]! >= 0) motion = g[1]!
    checkUnused(moveNow)
    if (g[0] === 530 && motion !== 0 && motion !== 10) refuse("G53 works with G0 or G1 only")
    if (g[0] === 530 && incremental) refuse("G53 while G91 is active")
    if (moveNow) {
      const machine = g[0] === 530
      if (machine) notes.push({ line, reason: "G53 goes to a machine coordinate" })
      switch (motion) {
        case 0:
          straight(true, machine)
          break
        case 10:
          straight(false, machine)
          break
        case 20:
        case 30:
          arc(motion === 20)
          break
        case 382:
          if (start.probing && axisWords) {
            const before = [...at]
            straight(false, false)
            if (Math.hypot(at[0] - before[0]!, at[1] - before[1]!, at[2] - before[2]!) < 0.254)
              refuse("a probing move shorter than 0.254 mm")
            break
          }
          refuse(axisWords ? "a probing move cannot be judged" : "G38.2 without X, Y or Z")
          break
        case 800:
          if (axisWords && !usesAxes) refuse("an axis word while no motion is active (G80)")
          break
        case 810:
        case 820:
        case 830:
          drill(motion, before === motion)
          break
        default:
          refuse(`the cycle G${motion / 10} is not read here`)
      }
    }
    if (m[4]! >= 0) {
      const word = m[4]!
      if (word === 2 || word === 30) {
        end = word === 2 ? "M2" : "M30"
        endLine = line
      } else stops.push({ line, word: `M${word}` as "M0" | "M1" | "M60" })
    }
  }

  /** A word nothing on the line uses is a mistake in the program, not a comment. */
  const checkUnused = (moveNow: boolean) => {
    const drilling = moveNow && motion >= 810 && motion <= 890
    const onArc = moveNow && (motion === 20 || motion === 30)
    const useless = (l: number, used: boolean) => {
      if (has(l) && !used) refuse(`${String.fromCharCode(A + l)} without a word that uses it`)
    }
    for (const l of [I, J, K]) useless(l, onArc)
    useless(R, onArc || drilling)
    useless(Q, drilling)
    useless(L, drilling || words.g[0] === 100)
    useless(P, drilling || words.g[0] === 40 || words.g[0] === 100)
    useless(D, false)
    useless(H, false)
  }

  // --- Lines ---------------------------------------------------------------
  let position = 0
  while (position <= text.length && end === undefined) {
    let next = text.indexOf("\n", position)
    if (next < 0) next = text.length
    if (position === text.length && line > 0) break
    const raw =
      text.charCodeAt(next - 1) === 13 && next > position
        ? text.slice(position, next - 1)
        : text.slice(position, next)
    position = next + 1
    line++
    try {
      const bare = strip(raw, refuse)
      if (bare === "") continue
      if (bare === "%") {
        if (!wrapped && moves.length === 0 && faults.length === 0 && !moved) wrapped = true
        else {
          end = "%"
          endLine = line
          if (!wrapped) faults.push({ line, reason: "a closing % without an opening one" })
        }
        continue
      }
      readWords(bare, words, parameters, refuse, (reason) => notes.push({ line, reason }))
      execute()
      for (const [index, value] of words.settings) parameters.set(index, value)
    } catch (error) {
      if (!(error instanceof Refusal)) throw error
      faults.push({ line, reason: error.reason })
      if (faults.length >= mostFaults) {
        faults.push({ line, reason: `more than ${mostFaults} faults; the rest was not read` })
        break
      }
    }
  }
  const rest = end === undefined ? "" : text.slice(position).replace(/[%\s]/g, "")
  if (rest !== "")
    notes.push({ line: endLine, reason: "text after the end of the program is never executed" })
  if (end === undefined && faults.length < mostFaults) {
    faults.push({
      line: Math.max(1, line),
      reason: wrapped ? "the closing % is missing" : "the program does not end: no M2, no M30, no pair of %",
    })
  }
  return {
    moves,
    feedLength,
    rapidLength,
    feedMinutes,
    dwellSeconds,
    stops,
    end,
    endLine,
    said: moved ? said : { units: saidUnits, distance: saidDistance, plane: saidPlane },
    inches: unit !== 1,
    at,
    spindleAtEnd: turning * speed,
    offsets: [offset(0), offset(1), offset(2)],
    parameters,
    faults,
    notes,
  }
}

function whole(value: number, name: string): number {
  const n = Math.round(value)
  if (Math.abs(value - n) > 1e-4) throw new Refusal(`${name} must be a whole number`)
  return n
}

const spaceOrComment = /[ \t();a-z]/

/** Spaces and comments out, capitals; most lines need none of it and pass through. */
function strip(raw: string, refuse: (reason: string) => never): string {
  if (raw.length > 256) refuse("a line longer than 256 characters")
  if (!spaceOrComment.test(raw)) return raw
  let out = ""
  let from = 0
  for (let i = 0; i < raw.length; i++) {
    const c = raw.charCodeAt(i)
    if (c === 32 || c === 9) {
      out += raw.slice(from, i)
      from = i + 1
    } else if (c === 40) {
      out += raw.slice(from, i)
      const close = raw.indexOf(")", i)
      if (close < 0) refuse("a comment that is not closed on its line")
      const inner = raw.indexOf("(", i + 1)
      if (inner >= 0 && inner < close) refuse("a comment inside a comment")
      i = close
      from = close + 1
    } else if (c === 41) refuse("a ) without its (")
    else if (c === 59) refuse("a semicolon is not part of this dialect")
  }
  return (out + raw.slice(from)).toUpperCase()
}

function readWords(
  bare: string,
  words: Words,
  parameters: ReadonlyMap<number, number>,
  refuse: (reason: string) => never,
  note: (reason: string) => void,
): void {
  words.has.fill(0)
  words.g.fill(-1)
  words.m.fill(-1)
  words.bothCoolants = false
  words.settings.length = 0
  let mCount = 0
  const c: Cursor = { text: bare, at: 0 }
  if (bare.charCodeAt(0) === 47) {
    c.at = 1
    note("block delete: this line runs only while the machine's switch is off")
  }
  if (bare.charCodeAt(c.at) - A === N) {
    const digits = /^\d*/.exec(bare.slice(c.at + 1, c.at + 8))![0]
    if (digits.length === 0) refuse("a line number without digits")
    if (digits.length > 5) refuse("a line number of more than five digits")
    c.at += 1 + digits.length
  }
  while (c.at < bare.length) {
    const code = bare.charCodeAt(c.at)
    if (code === 35) {
      c.at++
      const index = whole(readValue(c, parameters), "a parameter number")
      if (index < 1 || index > 5399) refuse(`parameter #${index} does not exist`)
      if (bare[c.at] !== "=") refuse("a parameter without =")
      c.at++
      words.settings.push([index, readValue(c, parameters)])
      continue
    }
    const l = code - A
    if (!legalLetters.has(l)) {
      refuse(l === N ? "a line number must come first" : `"${bare[c.at]}" cannot start a word`)
    }
    c.at++
    const value = readValue(c, parameters)
    if (l === G) {
      const ten = Math.round(value * 10)
      const group = Math.abs(value * 10 - ten) < 1e-3 ? gGroups[ten] : undefined
      if (group === undefined) return void refuse(`G${value} is not a word of this language`)
      if (words.g[group]! >= 0) refuse(`two G words of modal group ${group}`)
      words.g[group] = ten
    } else if (l === M) {
      const n = Math.round(value)
      const group = Math.abs(value - n) < 1e-4 ? mGroups[n] : undefined
      if (group === undefined) return void refuse(`M${value} is not a word of this language`)
      const both = group === 8 && words.m[8]! + n === 15 && words.m[8] !== n
      if (words.m[group]! >= 0 && !both) refuse(`two M words of modal group ${group}`)
      if (both) words.bothCoolants = true
      words.m[group] = n
      if (++mCount > 4) refuse("more than four M words")
    } else if (l < 3) refuse("a rotary axis on a flat board")
    else {
      if (words.has[l] === 1) refuse(`the letter ${String.fromCharCode(code)} twice`)
      words.has[l] = 1
      words.value[l] = value
    }
  }
}
