// A board as bits: 1 where copper stands, 0 where it is gone. 32 pixels a word, rows from below upward.
// A pixel belongs to a shape when its centre does. The spare bits of a row's last word are never set.

export interface BitRaster {
  readonly width: number
  readonly height: number
  /** mm per pixel. */
  readonly pixel: number
  /** Board coordinates of the raster's lower left corner. */
  readonly left: number
  readonly bottom: number
  /** 32-bit words in a row. */
  readonly stride: number
  readonly words: Int32Array
}

/** A raster of zeros that covers the box; at most about 400 million pixels. */
export function bitRaster(
  box: { readonly minX: number; readonly minY: number; readonly maxX: number; readonly maxY: number },
  pixel: number,
): BitRaster {
  const width = Math.max(1, Math.ceil((box.maxX - box.minX) / pixel))
  const height = Math.max(1, Math.ceil((box.maxY - box.minY) / pixel))
  const stride = (width + 31) >>> 5
  return {
    width,
    height,
    pixel,
    left: box.minX,
    bottom: box.minY,
    stride,
    words: new Int32Array(stride * height),
  }
}

export function copyRaster(r: BitRaster): BitRaster {
  return { ...r, words: r.words.slice() }
}

/** Whether the pixel at board coordinates is set; outside the raster it is not. */
export function bitAt(r: BitRaster, x: number, y: number): boolean {
  return pixelAt(r, Math.floor((x - r.left) / r.pixel), Math.floor((y - r.bottom) / r.pixel))
}

export function pixelAt(r: BitRaster, i: number, j: number): boolean {
  if (i < 0 || j < 0 || i >= r.width || j >= r.height) return false
  return ((r.words[j * r.stride + (i >> 5)]! >>> (i & 31)) & 1) === 1
}

/** Sets or clears the pixels first…last of row j, both ends included; clipped to the raster. */
export function paintRun(r: BitRaster, j: number, first: number, last: number, set: boolean): void {
  if (j < 0 || j >= r.height) return
  if (first < 0) first = 0
  if (last >= r.width) last = r.width - 1
  if (first > last) return
  const { words } = r
  const row = j * r.stride
  const a = row + (first >> 5)
  const b = row + (last >> 5)
  const head = -1 << (first & 31)
  const tail = -1 >>> (31 - (last & 31))
  if (a === b) {
    if (set) words[a] = words[a]! | (head & tail)
    else words[a] = words[a]! & ~(head & tail)
    return
  }
  if (set) {
    words[a] = words[a]! | head
    words[b] = words[b]! | tail
    if (b - a > 1) words.fill(-1, a + 1, b)
  } else {
    words[a] = words[a]! & ~head
    words[b] = words[b]! & ~tail
    if (b - a > 1) words.fill(0, a + 1, b)
  }
}

/** Fills closed rings by the even-odd rule: one scan of crossings per pixel row, at pixel centres. */
export function paintPolygon(
  r: BitRaster,
  rings: readonly (readonly { readonly x: number; readonly y: number }[])[],
  set: boolean,
): void {
  const crossings: number[][] = Array.from({ length: r.height }, () => [])
  for (const ring of rings) {
    for (let k = 0, l = ring.length - 1; k < ring.length; l = k++) {
      const p = ring[l]!
      const q = ring[k]!
      const [low, high] = p.y < q.y ? [p, q] : [q, p]
      // Half-open in y: a vertex is counted once.
      const from = Math.max(0, Math.ceil((low.y - r.bottom) / r.pixel - 0.5))
      const to = Math.min(r.height - 1, Math.ceil((high.y - r.bottom) / r.pixel - 0.5) - 1)
      const slope = (high.x - low.x) / (high.y - low.y)
      for (let j = from; j <= to; j++) {
        const y = r.bottom + (j + 0.5) * r.pixel
        crossings[j]!.push(low.x + (y - low.y) * slope)
      }
    }
  }
  for (let j = 0; j < r.height; j++) {
    const row = crossings[j]!.sort((a, b) => a - b)
    for (let k = 0; k + 1 < row.length; k += 2) {
      const first = Math.ceil((row[k]! - r.left) / r.pixel - 0.5)
      const last = Math.ceil((row[k + 1]! - r.left) / r.pixel - 0.5) - 1
      paintRun(r, j, first, last, set)
    }
  }
}

/**
 * Paints what a round tool sweeps when it goes straight from (x0, y0) with radius r0 to (x1, y1) with radius r1:
 * the hull of the two discs, row by row. A radius below zero counts as no disc at that end.
 */
export function paintSweep(
  r: BitRaster,
  x0: number,
  y0: number,
  r0: number,
  x1: number,
  y1: number,
  r1: number,
  set: boolean,
): void {
  if (r0 < 0 && r1 < 0) return
  if (r0 < 0 || r1 < 0) {
    // The tool leaves the foil on the way: keep the part where its radius is above zero.
    const t = r0 / (r0 - r1)
    const x = x0 + (x1 - x0) * t
    const y = y0 + (y1 - y0) * t
    if (r0 < 0) {
      x0 = x
      y0 = y
      r0 = 0
    } else {
      x1 = x
      y1 = y
      r1 = 0
    }
  }
  const scale = 1 / r.pixel
  // In pixels, with pixel centres on whole numbers.
  const ax = (x0 - r.left) * scale - 0.5
  const ay = (y0 - r.bottom) * scale - 0.5
  const bx = (x1 - r.left) * scale - 0.5
  const by = (y1 - r.bottom) * scale - 0.5
  const ra = r0 * scale
  const rb = r1 * scale
  const dx = bx - ax
  const dy = by - ay
  const d = Math.hypot(dx, dy)
  const from = Math.max(0, Math.ceil(Math.min(ay - ra, by - rb)))
  const to = Math.min(r.height - 1, Math.floor(Math.max(ay + ra, by + rb)))
  // The two outer tangents; none when one disc lies inside the other.
  const tangent = d > Math.abs(ra - rb) && d > 0
  let lx0 = 0
  let ly0 = 0
  let lx1 = 0
  let ly1 = 0
  let rx0 = 0
  let ry0 = 0
  let rx1 = 0
  let ry1 = 0
  if (tangent) {
    const ux = dx / d
    const uy = dy / d
    // Tangent points stand where the outward normal n has n·u = (ra − rb)/d.
    const c = (ra - rb) / d
    const s = Math.sqrt(1 - c * c)
    const nlx = ux * c - uy * s
    const nly = uy * c + ux * s
    const nrx = ux * c + uy * s
    const nry = uy * c - ux * s
    lx0 = ax + nlx * ra
    ly0 = ay + nly * ra
    lx1 = bx + nlx * rb
    ly1 = by + nly * rb
    rx0 = ax + nrx * ra
    ry0 = ay + nry * ra
    rx1 = bx + nrx * rb
    ry1 = by + nry * rb
  }
  for (let j = from; j <= to; j++) {
    let low = Number.POSITIVE_INFINITY
    let high = Number.NEGATIVE_INFINITY
    const ha = ra * ra - (j - ay) * (j - ay)
    if (ha >= 0) {
      const h = Math.sqrt(ha)
      low = ax - h
      high = ax + h
    }
    const hb = rb * rb - (j - by) * (j - by)
    if (hb >= 0) {
      const h = Math.sqrt(hb)
      if (bx - h < low) low = bx - h
      if (bx + h > high) high = bx + h
    }
    if (tangent) {
      const l = onEdge(lx0, ly0, lx1, ly1, j)
      if (l < low) low = l
      if (l > high && l !== Number.POSITIVE_INFINITY) high = l
      const q = onEdge(rx0, ry0, rx1, ry1, j)
      if (q < low) low = q
      if (q > high && q !== Number.POSITIVE_INFINITY) high = q
    }
    if (low <= high) paintRun(r, j, Math.ceil(low), Math.floor(high), set)
  }
}

/** x where the edge crosses the row, or +∞ when it does not reach it. */
function onEdge(x0: number, y0: number, x1: number, y1: number, y: number): number {
  if (y0 === y1 || (y < y0 && y < y1) || (y > y0 && y > y1)) return Number.POSITIVE_INFINITY
  return x0 + ((x1 - x0) * (y - y0)) / (y1 - y0)
}

/** How many pixels are set. */
export function countBits(r: BitRaster): number {
  let n = 0
  for (let i = 0; i < r.words.length; i++) {
    let v = r.words[i]!
    v -= (v >>> 1) & 0x55555555
    v = (v & 0x33333333) + ((v >>> 2) & 0x33333333)
    n += Math.imul((v + (v >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24
  }
  return n
}
