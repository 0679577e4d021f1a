// Writes a cutter program line by line and keeps count of what it does. Only words of RS-274 as NISTIR 6556 has them:
// absolute millimetres, G0, G1, G2, G3 in centre format, G4, S, F, M3, M5, M30; LF line ends; at most four decimals.
// Between passes the tool rises to the clear height before it moves sideways; nothing moves fast below it but upward.

import type { Mm, MmPerMinute } from "../0-ground/units/brand.ts"
import { type Move, movesTime } from "./move-time.ts"

export interface ProgramAsk {
  readonly header: readonly string[]
  /** 0: it stands still. */
  readonly spindle: number
  readonly clearHeight: Mm
  readonly rapid: MmPerMinute
  /** mm/s² */
  readonly acceleration: number
  /** What feed moves are held to; absent: no limit. */
  readonly greatestFeed?: MmPerMinute
}

export interface ProgramCount {
  readonly text: string
  readonly cutLength: Mm
  readonly travel: Mm
  readonly plunges: number
  readonly time: number
}

/** Seconds the spindle gets to reach its speed. */
const spinUp = 2
/** The last stretch above the copper goes at the plunge's feed, mm. */
const approachGap = 0.5

export function programWriter(ask: ProgramAsk) {
  const lines: string[] = ask.header.map(comment)
  const moves: Move[] = []
  let x = 0
  let y = 0
  let z = Number.NaN
  let feed = Number.NaN
  let cutLength = 0
  let travel = 0
  let plunges = 0

  const put = (nx: number, ny: number, nz: number, speed: MmPerMinute, rapid: boolean) => {
    const dz = Number.isNaN(z) ? 0 : nz - z
    const length = Math.hypot(nx - x, ny - y, dz)
    if (length > 0) {
      const way = [(nx - x) / length, (ny - y) / length, dz / length] as const
      moves.push({ rapid, length, speed: speed / 60, start: way, end: way })
    }
    if (rapid) travel += Math.hypot(nx - x, ny - y)
    else if (nz < 0) cutLength += Math.hypot(nx - x, ny - y)
    x = nx
    y = ny
    z = nz
  }
  const feedWord = (f: MmPerMinute) => {
    const same = f === feed
    feed = f
    return same ? "" : ` F${number(f)}`
  }
  const words = (nx: number, ny: number, nz: number) =>
    (nx === x ? "" : ` X${number(nx)}`) +
    (ny === y ? "" : ` Y${number(ny)}`) +
    (nz === z ? "" : ` Z${number(nz)}`)

  const writer = {
    note(text: string) {
      lines.push(comment(text))
    },
    /** Up to the clear height, then sideways. */
    travelTo(nx: number, ny: number) {
      writer.rise()
      if (nx === x && ny === y) return
      lines.push(`G0${words(nx, ny, z)}`)
      put(nx, ny, z, ask.rapid, true)
    },
    rise() {
      if (z === ask.clearHeight) return
      lines.push(`G0 Z${number(ask.clearHeight)}`)
      put(x, y, ask.clearHeight, ask.rapid, true)
    },
    /** From the clear height down to just above the copper quickly, then into it at `f`. */
    plunge(depth: Mm, f: MmPerMinute) {
      const quick = Math.max(f, Math.min(ask.rapid / 2, ask.greatestFeed ?? ask.rapid))
      if (z > approachGap) writer.line(x, y, approachGap, quick)
      writer.line(x, y, depth, f)
      plunges++
    },
    /** Over a place, down to `start`, then slowly until the probe trips (at the latest at `depth`), and up again. */
    probe(nx: number, ny: number, start: Mm, depth: Mm, f: MmPerMinute) {
      writer.travelTo(nx, ny)
      writer.line(x, y, start, Math.max(f, Math.min(ask.rapid / 2, ask.greatestFeed ?? ask.rapid)))
      lines.push(`G38.2 Z${number(depth)}${feedWord(f)}`)
      // On a sheet that is where it should be the probe trips at zero.
      put(x, y, 0, f, false)
      plunges++
    },
    line(nx: number, ny: number, nz: number, f: MmPerMinute) {
      const changed = words(nx, ny, nz)
      if (changed === "") return
      lines.push(`G1${changed}${feedWord(f)}`)
      put(nx, ny, nz, f, false)
    },
    /** A full circle about (cx, cy) from where the tool is. */
    circle(cx: number, cy: number, f: MmPerMinute, clockwise = false) {
      const radius = Math.hypot(x - cx, y - cy)
      const length = 2 * Math.PI * radius
      lines.push(
        `${clockwise ? "G2" : "G3"} X${number(x)} Y${number(y)} I${number(cx - x)} J${number(cy - y)}${feedWord(f)}`,
      )
      const turn = clockwise ? -1 : 1
      const way = [(-turn * (y - cy)) / radius, (turn * (x - cx)) / radius, 0] as const
      moves.push({ rapid: false, length, speed: f / 60, start: way, end: way, radius })
      cutLength += length
    },
    /** Half a circle about (cx, cy) to the place opposite. */
    arc(nx: number, ny: number, cx: number, cy: number, clockwise: boolean, f: MmPerMinute) {
      // The centre that both ends fit to what is written of it.
      const mx = (x + nx) / 2
      const my = (y + ny) / 2
      const [ox, oy] = Math.hypot(mx - cx, my - cy) < 0.002 ? [mx, my] : [cx, cy]
      const radius = Math.hypot(x - ox, y - oy)
      lines.push(
        `${clockwise ? "G2" : "G3"} X${number(nx)} Y${number(ny)} I${number(ox - x)} J${number(oy - y)}${feedWord(f)}`,
      )
      const turn = clockwise ? -1 : 1
      const start = [(-turn * (y - oy)) / radius, (turn * (x - ox)) / radius, 0] as const
      const end = [(-turn * (ny - oy)) / radius, (turn * (nx - ox)) / radius, 0] as const
      moves.push({ rapid: false, length: Math.PI * radius, speed: f / 60, start, end, radius })
      cutLength += Math.PI * radius
      x = nx
      y = ny
    },
    finish(): ProgramCount {
      writer.rise()
      lines.push("M5")
      writer.travelTo(0, 0)
      lines.push("M30")
      const time = movesTime(moves, ask.acceleration) + (ask.spindle > 0 ? spinUp : 0)
      lines.splice(ask.header.length, 0, comment(`runs for about ${showTime(time)}`))
      return {
        text: `${lines.join("\n")}\n`,
        cutLength,
        travel,
        plunges,
        time,
      }
    },
  }

  lines.push("G21 G90 G94 G17", "G54")
  lines.push(`G0 Z${number(ask.clearHeight)}`)
  z = ask.clearHeight
  if (ask.spindle > 0) lines.push(`S${number(ask.spindle)} M3`, `G4 P${spinUp}`)
  else lines.push("M5")
  return writer
}

export type ProgramWriter = ReturnType<typeof programWriter>

/** At most four decimals, no exponent, no trailing zeros, no minus zero. */
export function number(value: number): string {
  const text = value.toFixed(4).replace(/\.?0+$/, "")
  return text === "-0" ? "0" : text
}

const showTime = (seconds: number): string =>
  seconds < 60 ? `${Math.ceil(seconds)} s` : `${Math.ceil(seconds / 60)} min`

/** A comment line: printable ASCII without brackets of its own, cut to the 256 characters a line may have. */
export function comment(text: string): string {
  const plain = text
    .replaceAll("°", " deg")
    .replaceAll("µ", "u")
    .replaceAll("×", "x")
    .replaceAll("–", "-")
    .normalize("NFKD")
    .replace(/[()]/g, " ")
    .replace(/[\u0300-\u036f]/g, "")
    .replace(/[^\x20-\x7e]/g, "?")
  return `(${plain.slice(0, 250)})`
}
