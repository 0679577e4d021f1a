// Which words of an image a run can come to at all: control flow followed from the vectors, branch by branch. What
// follows a call is reached only when the called routine can come back (main, for one, never does).

import { decodeFlash } from "../cpu/decode.ts"
import { operation as op } from "../cpu/operations.ts"

const skips = new Set<number>([op.cpse, op.sbic, op.sbis, op.sbrc, op.sbrs])
const calls = new Set<number>([op.call, op.rcall])

/** 1 at the first word of every instruction that can be reached; `entries` are word addresses. */
export function reachableWords(image: Uint8Array, entries: readonly number[]): Uint8Array {
  const { operation, b, words } = decodeFlash(image)
  const routines = new Set(entries)
  const returns = new Set<number>()
  const reached = new Uint8Array(operation.length)
  const follow = (entry: number) => {
    const seen = new Set<number>()
    const open = [entry]
    const go = (at: number) => {
      if (!seen.has(at)) open.push(at)
    }
    while (open.length > 0) {
      const at = open.pop()!
      if (seen.has(at)) continue
      seen.add(at)
      reached[at] = 1
      const kind = operation[at]!
      const next = at + words[at]!
      if (kind === op.ijmp || kind === op.icall || kind === op.illegal)
        throw Error(`word 0x${at.toString(16)} jumps to where only a run can tell, or is no instruction`)
      if (kind === op.ret || kind === op.reti) returns.add(entry)
      else if (kind === op.jmp || kind === op.rjmp) go(b[at]!)
      else if (calls.has(kind)) {
        routines.add(b[at]!)
        if (returns.has(b[at]!)) go(next)
      } else {
        go(next)
        if (kind === op.brbs || kind === op.brbc) go(b[at]!)
        if (skips.has(kind)) go(next + words[next]!)
      }
    }
  }
  for (let before = -1; before !== routines.size + returns.size; ) {
    before = routines.size + returns.size
    for (const entry of [...routines]) follow(entry)
  }
  return reached
}
