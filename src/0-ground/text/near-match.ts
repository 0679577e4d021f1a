// "Did you mean": the nearest known word to a misspelt one.

/** Edits (insert, drop, change, swap neighbours) to turn one word into the other. */
export function editDistance(a: string, b: string): number {
  const rows: number[][] = [Array.from({ length: b.length + 1 }, (_, j) => j)]
  for (let i = 1; i <= a.length; i++) {
    const row = [i]
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1
      let least = Math.min(rows[i - 1]![j]! + 1, row[j - 1]! + 1, rows[i - 1]![j - 1]! + same)
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        least = Math.min(least, rows[i - 2]![j - 2]! + 1)
      }
      row.push(least)
    }
    rows.push(row)
  }
  return rows[a.length]![b.length]!
}

/** The nearest of `known`, or undefined when none is within about a third of the word's length. */
export function nearMatch(word: string, known: Iterable<string>): string | undefined {
  const low = word.slice(0, 64).toLowerCase()
  let best: string | undefined
  let least = Math.max(1, Math.floor(Math.max(low.length, 3) / 2.5)) + 1
  for (const candidate of known) {
    const d = editDistance(low, candidate.toLowerCase())
    if (d < least) {
      least = d
      best = candidate
    }
  }
  return best
}
