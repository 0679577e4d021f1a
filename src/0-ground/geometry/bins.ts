// Things told by the square cells their boxes touch: who may be near a point or a line is found without asking all.

/** Slack at the cells' borders, mm. */
const slack = 1e-9

export class Bins {
  private readonly cell: number
  private readonly ids = new Map<number, number[]>()
  private readonly stamps: number[] = []
  private stamp = 0

  /** `cell`: side of a cell, mm. */
  constructor(cell: number) {
    this.cell = cell
  }

  put(id: number, minX: number, minY: number, maxX: number, maxY: number): void {
    const { cell, ids } = this
    this.stamps[id] = 0
    const right = Math.floor((maxX + slack) / cell)
    const high = Math.floor((maxY + slack) / cell)
    for (let r = Math.floor((minY - slack) / cell); r <= high; r++)
      for (let c = Math.floor((minX - slack) / cell); c <= right; c++) {
        const key = keyOf(c, r)
        const list = ids.get(key)
        if (list) list.push(id)
        else ids.set(key, [id])
      }
  }

  /** Those whose box may hold the point. */
  at(x: number, y: number): readonly number[] {
    return this.ids.get(keyOf(Math.floor(x / this.cell), Math.floor(y / this.cell))) ?? nobody
  }

  /** Those whose box the segment a–b may run through, each once. */
  along(ax: number, ay: number, bx: number, by: number): readonly number[] {
    const { cell, ids, stamps } = this
    const stamp = ++this.stamp
    const out: number[] = []
    const low = Math.floor((Math.min(ay, by) - slack) / cell)
    const high = Math.floor((Math.max(ay, by) + slack) / cell)
    const left = Math.min(ax, bx)
    const right = Math.max(ax, bx)
    const isSteep = Math.abs(by - ay) > 1e3 * slack
    const slope = (bx - ax) / (by - ay)
    for (let r = low; r <= high; r++) {
      let from = left
      let to = right
      // What the segment covers of this row of cells; a level one may lie on the border of two.
      if (isSteep) {
        const p = ax + slope * (r * cell - ay)
        const q = ax + slope * ((r + 1) * cell - ay)
        from = Math.max(left, Math.min(p, q))
        to = Math.min(right, Math.max(p, q))
      }
      const last = Math.floor((to + slack) / cell)
      for (let c = Math.floor((from - slack) / cell); c <= last; c++)
        for (const id of ids.get(keyOf(c, r)) ?? nobody)
          if (stamps[id] !== stamp) {
            stamps[id] = stamp
            out.push(id)
          }
    }
    return out
  }
}

const nobody: readonly number[] = []

/** Cells so far apart that they share a number would only be asked in vain. */
const keyOf = (c: number, r: number): number => r * 65_536 + c
