// A measured light distribution: candela over two angles, as photometric files hold it, asked in any direction.

/**
 * The three ways in which goniophotometers count angles (LM-63, LM-75): A and B have their poles up and aside and the
 * axis at 0/0; C has its pole on the axis, the vertical angle counted from it.
 */
export interface IntensityTable {
  readonly type: "A" | "B" | "C"
  /** Degrees, ascending. */
  readonly vertical: readonly number[]
  /** Degrees, ascending; C: planes round the axis, 0 to the right, 90 up. */
  readonly horizontal: readonly number[]
  /** One row for each horizontal angle, one value for each vertical angle. */
  readonly candela: readonly (readonly number[])[]
}

const rad = Math.PI / 180

/** Candela in a direction `right` degrees aside and `up` degrees above the axis; 0 outside the table. Bilinear. */
export function intensityAt(table: IntensityTable, right: number, up: number): number {
  if (table.type === "A") return at(table, folded(table.horizontal, right), folded(table.vertical, up))
  const x = Math.sin(right * rad) * Math.cos(up * rad)
  const y = Math.sin(up * rad)
  const z = Math.cos(right * rad) * Math.cos(up * rad)
  if (table.type === "B")
    return at(
      table,
      folded(table.horizontal, Math.asin(clamp(x)) / rad),
      folded(table.vertical, Math.atan2(y, z) / rad),
    )
  const turn = (Math.atan2(y, x) / rad + 360) % 360
  return at(table, plane(table, turn), Math.acos(clamp(z)) / rad)
}

/** Candela on the axis. */
export const onAxis = (table: IntensityTable): number => intensityAt(table, 0, 0)

/**
 * Flux in lumen by zone means: in each zone between two vertical angles the mean of its two edges counts over the
 * zone's solid angle; between planes the mean of the two. A coarse table gives about a percent more than a curve would.
 */
export function fluxOf(table: IntensityTable): number {
  const { type, vertical, horizontal } = table
  // Solid angle of a zone: of a sphere's polar (C) or equatorial (A, B) strip.
  const strip = (from: number, to: number) =>
    type === "C" ? Math.cos(from * rad) - Math.cos(to * rad) : Math.sin(to * rad) - Math.sin(from * rad)
  const [rows, columns, value] =
    type === "B"
      ? [horizontal, vertical, (i: number, k: number) => table.candela[i]![k]!]
      : [vertical, horizontal, (i: number, k: number) => table.candela[k]![i]!]
  let sum = 0
  for (let i = 0; i + 1 < rows.length; i++) {
    const zone = strip(rows[i]!, rows[i + 1]!)
    if (columns.length === 1) sum += ((zone * (value(i, 0) + value(i + 1, 0))) / 2) * 2 * Math.PI
    for (let k = 0; k + 1 < columns.length; k++) {
      const mean = (value(i, k) + value(i + 1, k) + value(i, k + 1) + value(i + 1, k + 1)) / 4
      sum += zone * mean * (columns[k + 1]! - columns[k]!) * rad
    }
  }
  return sum * copies(table)
}

/** Angle from the axis to half the axis intensity along the first plane of a C table, degrees; undefined: never. */
export function halfAngleOf({ vertical, candela }: IntensityTable): number | undefined {
  const row = candela[0]!
  const half = row[0]! / 2
  for (let i = 1; i < row.length; i++) {
    const [a, b] = [row[i - 1]!, row[i]!]
    if (a >= half && b < half)
      return vertical[i - 1]! + ((vertical[i]! - vertical[i - 1]!) * (a - half)) / (a - b)
  }
  return undefined
}

/** How many times the tabled part fits the whole by symmetry. */
function copies({ type, vertical, horizontal }: IntensityTable): number {
  const last = horizontal[horizontal.length - 1]!
  if (type === "C") return last === 90 ? 4 : last === 180 ? 2 : 1
  return (horizontal[0] === 0 && last > 0 ? 2 : 1) * (vertical[0] === 0 && vertical.length > 1 ? 2 : 1)
}

/** A C table's plane for a turn of 0…360°, by the symmetry that its last plane tells. */
function plane({ horizontal }: IntensityTable, turn: number): number {
  const last = horizontal[horizontal.length - 1]!
  if (horizontal.length === 1) return horizontal[0]!
  if (last === 90) return turn > 270 ? 360 - turn : turn > 180 ? turn - 180 : turn > 90 ? 180 - turn : turn
  return last === 180 && turn > 180 ? 360 - turn : turn
}

/** A table that begins at 0 is the same on both sides. */
const folded = (angles: readonly number[], angle: number) => (angles[0] === 0 ? Math.abs(angle) : angle)

function at({ horizontal, vertical, candela }: IntensityTable, h: number, v: number): number {
  const a = between(horizontal, h)
  const b = between(vertical, v)
  if (!a || !b) return 0
  const mix = (row: readonly number[]) => row[b.k]! * (1 - b.t) + row[b.k + (b.t > 0 ? 1 : 0)]! * b.t
  return mix(candela[a.k]!) * (1 - a.t) + mix(candela[a.k + (a.t > 0 ? 1 : 0)]!) * a.t
}

function between(angles: readonly number[], angle: number): { k: number; t: number } | undefined {
  const last = angles.length - 1
  const slack = 1e-9
  if (angles.length === 1) return { k: 0, t: 0 }
  if (angle < angles[0]! - slack || angle > angles[last]! + slack) return undefined
  let low = 0
  let high = last
  while (high - low > 1) {
    const mid = (low + high) >> 1
    if (angles[mid]! <= angle) low = mid
    else high = mid
  }
  return { k: low, t: clamp((angle - angles[low]!) / (angles[high]! - angles[low]!), 0) }
}

const clamp = (n: number, low = -1) => Math.max(low, Math.min(1, n))
