// A reader of Gerber layers for tests, written from the rules of the format alone and apart from the writer.
// It draws what it reads on a plain grid of bytes: dark adds, clear takes away, in the order of the file.

export interface GerberImage {
  readonly attributes: readonly string[]
  readonly apertures: ReadonlyMap<number, readonly [string, ...number[]]>
  /** Straight draws as x0, y0, x1, y1. */
  readonly segments: readonly (readonly [number, number, number, number])[]
  readonly flashes: readonly {
    readonly x: number
    readonly y: number
    readonly d: number
    readonly net?: string
  }[]
  readonly shapes: readonly {
    readonly dark: boolean
    readonly ring: readonly (readonly [number, number])[]
  }[]
}

const sides = 180

export function readGerber(text: string): GerberImage {
  const apertures = new Map<number, readonly [string, ...number[]]>()
  const attributes: string[] = []
  const segments: [number, number, number, number][] = []
  const flashes: { x: number; y: number; d: number; net?: string }[] = []
  const shapes: { dark: boolean; ring: [number, number][] }[] = []
  let divide = 0
  let unit = 0
  let dark = true
  let mode: 1 | 2 | 3 = 1
  let multi = false
  let current = 0
  let at: [number, number] = [0, 0]
  let contour: [number, number][] | undefined
  let inRegion = false
  let ended = false
  let net: string | undefined
  const closeContour = () => {
    if (!contour || contour.length < 2) return
    const [first, last] = [contour[0]!, contour[contour.length - 1]!]
    if (first[0] !== last[0] || first[1] !== last[1]) throw Error("a contour that does not close")
    shapes.push({ dark, ring: contour.slice(0, -1) })
  }
  const extended = (command: string) => {
    const code = command.slice(0, 2)
    if (code === "FS") {
      const m = /^FSLAX(\d)(\d)Y(\d)(\d)$/.exec(command)
      if (!m || m[1] !== m[3] || m[2] !== m[4]) throw Error(`format ${command}`)
      divide = 10 ** Number(m[2])
    } else if (code === "MO") unit = command === "MOMM" ? 1 : command === "MOIN" ? 25.4 : 0
    else if (code === "AD") {
      const m = /^ADD(\d+)([A-Z]),(.+)$/.exec(command)
      if (!m) throw Error(`aperture ${command}`)
      const n = Number(m[1])
      if (n < 10) throw Error(`aperture D${n}: numbers begin at 10`)
      const values = m[3]!.split("X").map(Number)
      if (m[2] === "P" && !(values[1]! >= 3 && values[1]! <= 12)) throw Error("a polygon of so many corners")
      apertures.set(n, [m[2]!, ...values])
    } else if (code === "LP") dark = command === "LPD"
    else if (/^T[FAOD]/.test(command)) {
      attributes.push(command)
      if (command.startsWith("TO.N,")) net = command.slice(5)
      if (command === "TD") net = undefined
    } else throw Error(`unknown command ${command}`)
  }
  const word = (command: string) => {
    if (command.startsWith("G04") || command === "") return
    if (command === "M02") {
      ended = true
      return
    }
    const g = /^G(01|02|03|36|37|75)/.exec(command)
    let rest = command
    if (g) {
      rest = command.slice(3)
      const n = Number(g[1])
      if (n <= 3) mode = n as 1 | 2 | 3
      if (n === 75) multi = true
      if (n === 36) {
        inRegion = true
        contour = undefined
      }
      if (n === 37) {
        closeContour()
        inRegion = false
        contour = undefined
      }
      if (rest === "") return
    }
    const select = /^D(\d+)$/.exec(rest)
    if (select && Number(select[1]) >= 10) {
      current = Number(select[1])
      if (!apertures.has(current)) throw Error(`D${current} was never defined`)
      return
    }
    const m = /^(?:X([+-]?\d+))?(?:Y([+-]?\d+))?(?:I([+-]?\d+))?(?:J([+-]?\d+))?D0?([123])$/.exec(rest)
    if (!m) throw Error(`cannot read ${command}`)
    if (divide === 0) throw Error("coordinates before the format")
    if (unit === 0) throw Error("coordinates before the unit")
    const value = (s: string) => (Number(s) / divide) * unit
    const to: [number, number] = [m[1] ? value(m[1]) : at[0], m[2] ? value(m[2]) : at[1]]
    const d = Number(m[5])
    if (d === 2) {
      if (inRegion) {
        closeContour()
        contour = [to]
      }
    } else if (d === 1) {
      const path = mode === 1 ? [to] : arc(at, to, m[3] ? value(m[3]) : 0, m[4] ? value(m[4]) : 0)
      if (inRegion) contour!.push(...path)
      else {
        const shape = apertures.get(current)
        if (shape?.[0] !== "C") throw Error("draws need a round aperture")
        let from = at
        for (const p of path) {
          segments.push([from[0], from[1], p[0], p[1]])
          shapes.push({ dark, ring: capsule(from, p, shape[1]! / 2) })
          from = p
        }
      }
    } else {
      if (inRegion) throw Error("a flash inside a region")
      if (!apertures.has(current)) throw Error("a flash without an aperture")
      flashes.push({ x: to[0], y: to[1], d: current, ...(net === undefined ? {} : { net }) })
      for (const s of outlineOf(apertures.get(current)!)) {
        shapes.push({ dark: s.dark === dark, ring: s.ring.map(([x, y]) => [x + to[0], y + to[1]]) })
      }
    }
    at = to
  }
  const arc = (from: [number, number], to: [number, number], i: number, j: number): [number, number][] => {
    if (!multi) throw Error("an arc before G75")
    const [cx, cy] = [from[0] + i, from[1] + j]
    const r = Math.hypot(i, j)
    const start = Math.atan2(-j, -i)
    let sweep = Math.atan2(to[1] - cy, to[0] - cx) - start
    if (mode === 3) while (sweep <= 1e-9) sweep += 2 * Math.PI
    else while (sweep >= -1e-9) sweep -= 2 * Math.PI
    const n = Math.max(2, Math.ceil((Math.abs(sweep) / (2 * Math.PI)) * sides))
    return Array.from({ length: n }, (_, k) =>
      k === n - 1
        ? to
        : [
            cx + r * Math.cos(start + (sweep * (k + 1)) / n),
            cy + r * Math.sin(start + (sweep * (k + 1)) / n),
          ],
    )
  }
  const flat = text.replace(/\r?\n/g, "")
  for (let from = 0; from < flat.length && !ended; ) {
    if (flat[from] === "%") {
      const to = flat.indexOf("%", from + 1)
      if (to < 0) throw Error("a % without its partner")
      for (const c of flat.slice(from + 1, to).split("*")) if (c !== "") extended(c)
      from = to + 1
    } else {
      const to = flat.indexOf("*", from)
      if (to < 0) throw Error("a command without *")
      word(flat.slice(from, to))
      from = to + 1
    }
  }
  if (!ended) throw Error("no M02 at the end")
  return { attributes, apertures, segments, flashes, shapes }
}

/** Area of a standard aperture, by plain geometry. */
export function apertureArea([kind, a, b, c]: readonly [string, ...number[]]): number {
  const hole = (d: number | undefined) => (d === undefined ? 0 : (Math.PI * d * d) / 4)
  if (kind === "C") return (Math.PI * a! * a!) / 4 - hole(b)
  if (kind === "R") return a! * b! - hole(c)
  if (kind === "O") {
    const [long, short] = [Math.max(a!, b!), Math.min(a!, b!)]
    return (long - short) * short + (Math.PI * short * short) / 4 - hole(c)
  }
  return (b! * (a! / 2) ** 2 * Math.sin((2 * Math.PI) / b!)) / 2
}

function outlineOf([kind, a, b, c]: readonly [string, ...number[]]): {
  dark: boolean
  ring: [number, number][]
}[] {
  const circle = (d: number, n = sides, turn = 0): [number, number][] =>
    Array.from({ length: n }, (_, k) => [
      (d / 2) * Math.cos((2 * Math.PI * k) / n + turn),
      (d / 2) * Math.sin((2 * Math.PI * k) / n + turn),
    ])
  const hole = (d: number | undefined) => (d === undefined ? [] : [{ dark: false, ring: circle(d) }])
  if (kind === "C") return [{ dark: true, ring: circle(a!) }, ...hole(b)]
  if (kind === "R")
    return [
      {
        dark: true,
        ring: [
          [-a! / 2, -b! / 2],
          [a! / 2, -b! / 2],
          [a! / 2, b! / 2],
          [-a! / 2, b! / 2],
        ],
      },
      ...hole(c),
    ]
  if (kind === "O") {
    const half = Math.abs(a! - b!) / 2
    const [dx, dy] = a! >= b! ? [half, 0] : [0, half]
    return [{ dark: true, ring: capsule([-dx, -dy], [dx, dy], Math.min(a!, b!) / 2) }, ...hole(c)]
  }
  return [{ dark: true, ring: circle(a!, b!, ((c ?? 0) * Math.PI) / 180) }]
}

function capsule(p: readonly [number, number], q: readonly [number, number], r: number): [number, number][] {
  const angle = Math.atan2(q[1] - p[1], q[0] - p[0])
  const half = (about: readonly [number, number], from: number): [number, number][] =>
    Array.from({ length: sides / 2 + 1 }, (_, k) => {
      const a = from + (Math.PI * k) / (sides / 2)
      return [about[0] + r * Math.cos(a), about[1] + r * Math.sin(a)]
    })
  return [...half(q, angle - Math.PI / 2), ...half(p, angle + Math.PI / 2)]
}

export interface Painted {
  readonly width: number
  readonly height: number
  readonly left: number
  readonly bottom: number
  readonly pixel: number
  readonly bytes: Uint8Array
}

export function paint({ shapes }: GerberImage, pixel: number): Painted {
  let [left, bottom, right, top] = [1e9, 1e9, -1e9, -1e9]
  for (const { ring } of shapes)
    for (const [x, y] of ring) {
      left = Math.min(left, x)
      right = Math.max(right, x)
      bottom = Math.min(bottom, y)
      top = Math.max(top, y)
    }
  const width = Math.ceil((right - left) / pixel) + 1
  const height = Math.ceil((top - bottom) / pixel) + 1
  const bytes = new Uint8Array(width * height)
  for (const { dark, ring } of shapes) {
    const rows = new Map<number, number[]>()
    ring.forEach(([x0, y0], k) => {
      const [x1, y1] = ring[(k + 1) % ring.length]!
      if (y0 === y1) return
      const [lx, ly, hx, hy] = y0 < y1 ? [x0, y0, x1, y1] : [x1, y1, x0, y0]
      for (let j = Math.ceil((ly - bottom) / pixel - 0.5); bottom + (j + 0.5) * pixel < hy; j++) {
        const y = bottom + (j + 0.5) * pixel
        if (y < ly) continue
        rows.set(j, [...(rows.get(j) ?? []), lx + ((hx - lx) * (y - ly)) / (hy - ly)])
      }
    })
    for (const [j, xs] of rows) {
      xs.sort((a, b) => a - b)
      for (let k = 0; k + 1 < xs.length; k += 2) {
        const from = Math.max(0, Math.ceil((xs[k]! - left) / pixel - 0.5))
        const to = Math.min(width - 1, Math.ceil((xs[k + 1]! - left) / pixel - 0.5) - 1)
        if (to >= from) bytes.fill(dark ? 1 : 0, j * width + from, j * width + to + 1)
      }
    }
  }
  return { width, height, left, bottom, pixel, bytes }
}

export const darkArea = ({ bytes, pixel }: Painted): number =>
  bytes.reduce((sum, b) => sum + b, 0) * pixel * pixel

/** A number from 1 for each island of dark pixels (sides touch), 0 where there is none; and how many there are. */
export function islands({ width, height, bytes }: Painted): { of: Int32Array; count: number } {
  const of = new Int32Array(width * height)
  let count = 0
  const open: number[] = []
  for (let start = 0; start < of.length; start++) {
    if (bytes[start] === 0 || of[start] !== 0) continue
    count++
    of[start] = count
    open.push(start)
    while (open.length > 0) {
      const k = open.pop()!
      const i = k % width
      for (const n of [i > 0 ? k - 1 : -1, i + 1 < width ? k + 1 : -1, k - width, k + width]) {
        if (n < 0 || n >= of.length || bytes[n] === 0 || of[n] !== 0) continue
        of[n] = count
        open.push(n)
      }
    }
  }
  return { of, count }
}

export const islandAt = (p: Painted, of: Int32Array, x: number, y: number): number => {
  const i = Math.floor((x - p.left) / p.pixel)
  const j = Math.floor((y - p.bottom) / p.pixel)
  return i < 0 || j < 0 || i >= p.width || j >= p.height ? 0 : of[j * p.width + i]!
}
