// Boxes by the square cells they touch, all put in at once: for each cell its boxes in ascending order, one after
// another in a single array. For what is listed anew again and again, where a map of lists would cost most of the time.

export class CellLists {
  private readonly size: number
  private count = 0
  private left = 0
  private low = 0
  private columns = 0
  private rows = 0
  private start = new Int32Array(1)
  private items = new Int32Array(0)
  private box = new Int32Array(0)

  /** `size`: side of a cell, mm. */
  constructor(size: number) {
    this.size = size
  }

  /** `boxes`: minX, minY, maxX, maxY of each; what was in before is forgotten. */
  fill(boxes: Float64Array, count: number): void {
    const { size } = this
    this.count = count
    if (this.box.length < 4 * count) this.box = new Int32Array(4 * count)
    const { box } = this
    let left = Number.POSITIVE_INFINITY
    let low = Number.POSITIVE_INFINITY
    let right = Number.NEGATIVE_INFINITY
    let high = Number.NEGATIVE_INFINITY
    for (let i = 0; i < 4 * count; i += 4) {
      box[i] = Math.floor(boxes[i]! / size)
      box[i + 1] = Math.floor(boxes[i + 1]! / size)
      box[i + 2] = Math.floor(boxes[i + 2]! / size)
      box[i + 3] = Math.floor(boxes[i + 3]! / size)
      if (box[i]! < left) left = box[i]!
      if (box[i + 1]! < low) low = box[i + 1]!
      if (box[i + 2]! > right) right = box[i + 2]!
      if (box[i + 3]! > high) high = box[i + 3]!
    }
    this.left = left
    this.low = low
    this.columns = count > 0 ? right - left + 1 : 0
    this.rows = count > 0 ? high - low + 1 : 0
    const cells = this.columns * this.rows
    if (this.start.length < cells + 1) this.start = new Int32Array(cells + 1)
    const { start } = this
    start.fill(0)
    this.eachCell((cell) => {
      start[cell + 1]!++
    })
    for (let c = 0; c < cells; c++) start[c + 1] = start[c + 1]! + start[c]!
    const entries = start[cells]!
    if (this.items.length < entries) this.items = new Int32Array(Math.ceil(1.2 * entries))
    const { items } = this
    // Filled from each cell's start, which moves on to the next cell's; then all are moved back by one.
    this.eachCell((cell, i) => {
      items[start[cell]!++] = i
    })
    for (let c = cells; c > 0; c--) start[c] = start[c - 1]!
    start[0] = 0
  }

  private eachCell(visit: (cell: number, i: number) => void): void {
    const { box, left, low, columns } = this
    for (let i = 0; i < this.count; i++) {
      const k = 4 * i
      for (let y = box[k + 1]! - low; y <= box[k + 3]! - low; y++)
        for (let x = box[k]! - left; x <= box[k + 2]! - left; x++) visit(y * columns + x, i)
    }
  }

  /** Place of the cell at column `x` and row `y`, counted in cells from the origin; −1 where nothing is near. */
  cell(x: number, y: number): number {
    const c = x - this.left
    const r = y - this.low
    return c < 0 || r < 0 || c >= this.columns || r >= this.rows ? -1 : r * this.columns + c
  }

  /** Its boxes are `item(k)` for k from `first` up to, not including, `end`. */
  first(cell: number): number {
    return this.start[cell]!
  }
  end(cell: number): number {
    return this.start[cell + 1]!
  }
  item(k: number): number {
    return this.items[k]!
  }
}
