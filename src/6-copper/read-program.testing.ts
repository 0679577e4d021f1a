// A strict reader of our own cutter programs for tests: every line must keep to NISTIR 6556 (rules restated from its
// clauses 3.1–3.3 and tables 4, 5 and 7), and it gives back the moves.

export interface ReadMove {
  readonly line: number
  readonly kind: "rapid" | "feed" | "arc"
  readonly from: readonly [number, number, number]
  readonly to: readonly [number, number, number]
  readonly feed: number
  readonly centre?: readonly [number, number]
  readonly spindleOn: boolean
}

const group: Readonly<Record<string, number>> = {
  G0: 1,
  G1: 1,
  G2: 1,
  G3: 1,
  G4: 0,
  G17: 2,
  G90: 3,
  G94: 5,
  G21: 6,
  G54: 12,
  M3: 7,
  M5: 7,
  M30: 4,
}

export interface ReadProgram {
  readonly moves: readonly ReadMove[]
  readonly comments: readonly string[]
}

/** Throws with the line's number where a line breaks a rule. */
export function readProgram(text: string): ReadProgram {
  if (text.includes("\r")) throw new Error("only LF line ends")
  if (!text.endsWith("\n")) throw new Error("last line must end")
  const lines = text.slice(0, -1).split("\n")
  const moves: ReadMove[] = []
  const comments: string[] = []
  let at: [number, number, number] = [0, 0, 0]
  let knownHeight = false
  let feed = Number.NaN
  let spindleOn = false
  let ended = false
  for (const [index, line] of lines.entries()) {
    const fail = (why: string): never => {
      throw new Error(`line ${index + 1} "${line}": ${why}`)
    }
    if (ended) fail("after the end of the program")
    if (line.length > 256) fail("longer than 256 characters")
    if (/^\([^()]*\)$/.test(line)) {
      if (!/^[\x20-\x7e]*$/.test(line)) fail("comment outside printable ASCII")
      comments.push(line.slice(1, -1))
      continue
    }
    if (!/^[A-Z][+-]?\d*\.?\d+( [A-Z][+-]?\d*\.?\d+)*$/.test(line))
      fail("not words of letter and plain number")
    const words = line.split(" ").map((w) => ({ letter: w[0]!, text: w.slice(1), value: Number(w.slice(1)) }))
    const groups = new Set<number>()
    const values = new Map<string, number>()
    let motion: string | undefined
    let dwell = false
    for (const { letter, text: digits, value } of words) {
      if (!"FGIJMPSXYZ".includes(letter)) fail(`letter ${letter} is not used here`)
      if ((digits.split(".")[1] ?? "").length > 4) fail("more than four decimals")
      if (/^-0(\.0*)?$/.test(digits)) fail("minus zero")
      if (letter === "G" || letter === "M") {
        const code = letter + digits
        const g = group[code]
        if (g === undefined) fail(`${code} is not used here`)
        const key = letter === "G" ? g! : 100 + g!
        if (groups.has(key)) fail("two words of one modal group")
        groups.add(key)
        if (letter === "G" && g === 1) motion = code
        if (code === "G4") dwell = true
      } else {
        if (values.has(letter)) fail(`letter ${letter} twice`)
        values.set(letter, value)
      }
    }
    if (dwell && !((values.get("P") ?? -1) >= 0)) fail("dwell without time")
    if (values.has("F")) {
      feed = values.get("F")!
      if (!(feed > 0)) fail("feed must be positive")
    }
    if (values.has("S") && !(values.get("S")! >= 0)) fail("negative spindle speed")
    const has = (code: string) => words.some((w) => w.letter + w.text === code)
    if (has("M3")) spindleOn = true
    if (has("M5")) spindleOn = false
    const axes = ["X", "Y", "Z"].filter((a) => values.has(a))
    if (axes.length > 0 && motion === undefined) fail("axis word without a motion")
    if (motion !== undefined) {
      if (axes.length === 0) fail("motion without an axis word")
      const to: [number, number, number] = [
        values.get("X") ?? at[0],
        values.get("Y") ?? at[1],
        values.get("Z") ?? at[2],
      ]
      if (!knownHeight && !values.has("Z")) fail("sideways before the height is known")
      knownHeight = true
      if (motion !== "G0" && Number.isNaN(feed)) fail("feed not set")
      if (motion === "G2" || motion === "G3") {
        if (!values.has("I") || !values.has("J")) fail("arc without centre")
        const centre = [at[0] + values.get("I")!, at[1] + values.get("J")!] as const
        const r0 = Math.hypot(at[0] - centre[0], at[1] - centre[1])
        const r1 = Math.hypot(to[0] - centre[0], to[1] - centre[1])
        if (Math.abs(r0 - r1) > 0.002) fail("radii differ by more than 0.002 mm")
        moves.push({ line: index + 1, kind: "arc", from: at, to, feed, centre, spindleOn })
      } else {
        if (values.has("I") || values.has("J")) fail("centre without an arc")
        moves.push({
          line: index + 1,
          kind: motion === "G0" ? "rapid" : "feed",
          from: at,
          to,
          feed,
          spindleOn,
        })
      }
      at = to
    }
    if (has("M30")) ended = true
  }
  if (!ended) throw new Error("no M30")
  return { moves, comments }
}
