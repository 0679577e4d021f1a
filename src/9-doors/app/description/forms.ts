// Keys that can be written in several forms: what each form is called, how it is told, and how it begins when the
// builder changes to it. What the form before said (a size, the holes there were) is taken along.

export interface Form {
  readonly name: string
  readonly is: (value: unknown) => boolean
  /** YAML in one line. */
  readonly begins: (before: unknown, there: Surroundings) => string
  /** What the value is called where the form is a plain value. */
  readonly label?: string
}

/** What the description has besides. */
export interface Surroundings {
  /** Ids of the group's holes in their order. */
  readonly holes: readonly string[]
  /** File of a drawing. */
  readonly drawing: string
}

type Tree = Readonly<Record<string, unknown>>
const isTree = (v: unknown): v is Tree => typeof v === "object" && v !== null && !Array.isArray(v)
const has =
  (key: string, value?: string) =>
  (v: unknown): boolean =>
    isTree(v) && key in v && (value === undefined || v[key] === value)

/** Width and height that the form before had, millimetres; the usual ones where it had none. */
function sizeOf(before: unknown, usual: readonly [number, number]): readonly [number, number] {
  const size = isTree(before) ? before.rectangle : before
  const two = typeof size === "string" ? /^\s*([\d.]+)\s*(?:mm)?\s*[×x]\s*([\d.]+)\s*mm\s*$/.exec(size) : null
  if (two) return [Number(two[1]), Number(two[2])]
  if (!isTree(before)) return usual
  const across = mmOf(before.circle)
  if (across !== undefined) return [across, across]
  const points = pointsOf(before.points)
  if (points.length === 0) return usual
  const most = (i: 0 | 1) => Math.max(...points.map((p) => p[i]))
  return [most(0), most(1)].every((v) => v >= 2) ? [most(0), most(1)] : usual
}

function mmOf(value: unknown): number | undefined {
  const found = typeof value === "string" ? /^\s*(-?[\d.]+)\s*mm\s*$/.exec(value) : null
  return found ? Number(found[1]) : undefined
}

/** Points written in millimetres; empty where one is not. */
export function pointsOf(value: unknown): (readonly [number, number])[] {
  if (!Array.isArray(value)) return []
  const read = value.map((p: unknown) => (Array.isArray(p) ? p.map(mmOf) : []))
  return read.every((p) => p.length === 2 && p.every((c) => c !== undefined))
    ? (read as [number, number][])
    : []
}

const mm = (n: number) => `${Math.round(n * 1000) / 1000} mm`
const point = (x: number, y: number) => `[${mm(x)}, ${mm(y)}]`
const corners = ([w, h]: readonly [number, number]) =>
  `[${point(0, 0)}, ${point(w, 0)}, ${point(w, h)}, ${point(0, h)}]`

const shapes = (usual: readonly [number, number]): readonly Form[] => [
  {
    name: "a rectangle",
    is: has("rectangle"),
    begins: (before) => `{ rectangle: ${sizeOf(before, usual).join(" × ")} mm }`,
  },
  {
    name: "a disc",
    is: has("circle"),
    begins: (before) => `{ circle: ${mm(Math.min(...sizeOf(before, usual)))} }`,
  },
  {
    name: "a polygon",
    is: has("points"),
    begins: (before) => `{ points: ${corners(sizeOf(before, usual))} }`,
  },
]

const board: readonly Form[] = [
  {
    name: "a size",
    label: "size",
    is: (v) => typeof v === "string" && !v.includes("#"),
    begins: (before) => `${sizeOf(before, [60, 40]).join(" × ")} mm`,
  },
  {
    name: "a drawing",
    label: "drawing",
    is: (v) => typeof v === "string" && v.includes("#"),
    begins: (_, { drawing }) => JSON.stringify(`${drawing}#edge`),
  },
  ...shapes([60, 40]),
]

const screws: readonly Form[] = [
  {
    name: "one in each corner",
    is: has("corners"),
    begins: (before) => `{ diameter: ${screwOf(before)}, corners: 4 mm }`,
  },
  {
    name: "at points",
    is: has("at"),
    begins: (before) => `{ diameter: ${screwOf(before)}, at: [${point(10, 10)}] }`,
  },
]
const screwOf = (before: unknown) =>
  isTree(before) && typeof before.diameter === "string" ? before.diameter : "3.2 mm"

const patterns: readonly Form[] = [
  {
    name: "along a line",
    is: has("along", "line"),
    begins: (before) => {
      const { first, last, count } = endsOf(before)
      return `{ along: line, from: ${point(...first)}, to: ${point(...last)}, count: ${count} }`
    },
  },
  {
    name: "along an arc",
    is: has("along", "arc"),
    begins: (before) => {
      // A sixth of a circle over the same ends: its radius is their distance.
      const { first, last, count } = endsOf(before)
      const radius = Math.hypot(last[0] - first[0], last[1] - first[1])
      const turned = Math.atan2(last[1] - first[1], last[0] - first[0])
      const down = radius * Math.cos(Math.PI / 6)
      const x = (first[0] + last[0]) / 2 + down * Math.sin(turned)
      const y = (first[1] + last[1]) / 2 - down * Math.cos(turned)
      const by = (turned * 180) / Math.PI
      return `{ along: arc, centre: ${point(x, y)}, radius: ${mm(radius)}, from: ${degrees(by + 120)}, to: ${degrees(by + 60)}, count: ${count} }`
    },
  },
  {
    name: "at points",
    is: has("along", "list"),
    begins: (before) =>
      `{ along: list, points: [${placesOf(before)
        .map((p) => point(...p))
        .join(", ")}] }`,
  },
]

type Place = readonly [number, number]
const usualRow = [10, 23.333, 36.667, 50].map((x): Place => [x, 10])

/** Where the holes of a row stand, millimetres. */
function placesOf(before: unknown): readonly Place[] {
  if (Array.isArray(before)) return before.length > 0 ? placesOf(before[0]) : usualRow
  if (!isTree(before)) return usualRow
  if (before.along === "list") return orUsual(pointsOf(before.points))
  const n = Number(before.count)
  if (!Number.isInteger(n) || n < 1 || n > 500) return usualRow
  const steps = Array.from({ length: n }, (_, i) => (n === 1 ? 0 : i / (n - 1)))
  if (before.along === "line") {
    const [from, to] = pointsOf([before.from, before.to])
    return from && to ? steps.map((t) => [between(from[0], to[0], t), between(from[1], to[1], t)]) : usualRow
  }
  const [centre] = pointsOf([before.centre])
  const [radius, from, to] = [mmOf(before.radius), degreesOf(before.from), degreesOf(before.to)]
  if (!centre || radius === undefined || from === undefined || to === undefined) return usualRow
  return steps.map((t) => {
    const a = (between(from, to, t) * Math.PI) / 180
    return [centre[0] + radius * Math.cos(a), centre[1] + radius * Math.sin(a)]
  })
}

const orUsual = (places: readonly Place[]) => (places.length > 0 ? places : usualRow)
const between = (a: number, b: number, t: number) => a + (b - a) * t
const degrees = (n: number) => `${Math.round(n * 1000) / 1000}°`
const degreesOf = (v: unknown) => {
  const found = typeof v === "string" ? /^\s*(-?[\d.]+)\s*°\s*$/.exec(v) : null
  return found ? Number(found[1]) : undefined
}

function endsOf(before: unknown) {
  const places = placesOf(before)
  const [first, last] = [places[0]!, places.at(-1)!]
  const apart = Math.hypot(last[0] - first[0], last[1] - first[1]) > 0.001
  return apart ? { first, last, count: places.length } : { first: usualRow[0]!, last: usualRow[3]!, count: 4 }
}

const rows: Form = {
  name: "several rows",
  is: Array.isArray,
  begins: (before, there) => `[${isTree(before) ? inFlow(before) : patterns[0]!.begins(before, there)}]`,
}

const orders: readonly Form[] = [
  {
    name: "in one direction",
    label: "direction",
    is: (v) => typeof v === "string",
    begins: () => "left-to-right",
  },
  {
    name: "along a line of a drawing",
    is: (v) => isTree(v) && typeof v.along === "string",
    begins: (_, { drawing }) => `{ along: ${JSON.stringify(`${drawing}#line`)} }`,
  },
  {
    name: "along a line through points",
    is: (v) => isTree(v) && Array.isArray(v.along),
    begins: () => `{ along: [${point(0, 0)}, ${point(50, 0)}] }`,
  },
  {
    name: "hole by hole",
    label: "holes, first to last",
    is: Array.isArray,
    begins: (_, { holes }) => inFlow(holes),
  },
]

const clear: readonly Form[] = [
  { name: "a rectangle", is: has("size"), begins: () => `{ at: ${point(10, 10)}, size: 10 × 10 mm }` },
  {
    name: "a polygon",
    is: has("points"),
    begins: () => `{ points: [${point(10, 10)}, ${point(20, 10)}, ${point(15, 20)}] }`,
  },
]

const formsOf: readonly (readonly [RegExp, readonly Form[]])[] = [
  [/^faces\.[^.]+\.outline$/, shapes([60, 24])],
  [/^boards\.[^.]+\.outline$/, board],
  [/^(faces|boards)\.[^.]+\.screws$/, screws],
  [/^faces\.[^.]+\.holes$/, [...patterns, rows]],
  [/^faces\.[^.]+\.holes\.\d+$/, patterns],
  [/^groups\.[^.]+\.order$/, orders],
  [/^boards\.[^.]+\.clear\.\d+$/, clear],
]

/** The forms the key at `path` can be written in; undefined where there is only one. */
export const formsFor = (path: string): readonly Form[] | undefined =>
  formsOf.find(([at]) => at.test(path))?.[1]

/** Plain values of a description as YAML in one line. */
function inFlow(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(inFlow).join(", ")}]`
  if (isTree(value))
    return `{ ${Object.entries(value)
      .map(([k, v]) => `${k}: ${inFlow(v)}`)
      .join(", ")} }`
  return typeof value === "string" && /^[\p{L}\d][\p{L}\d .°²×/%µΩ+-]*$/u.test(value)
    ? value
    : JSON.stringify(value)
}
