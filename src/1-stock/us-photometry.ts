// The photometric tables of 49 CFR 571.108 as recalled: least candela at nineteen test points, sums of groups of them,
// and the maximum, by lighted sections. The sums are those of the recalled points, which agree with the recalled sums.

import type { Source } from "../0-ground/source.ts"
import type { RuleFunction } from "./lighting-rules.ts"

/** Lighted sections a table is for. LED lamps were long counted as three (agency letters of 1992 and 1998, read). */
export type Sections = 1 | 2 | 3

/** Least candela at (h, v); symmetric in both axes. */
export interface UsTable {
  readonly id: string
  readonly functions: readonly RuleFunction[]
  readonly colours: readonly ("red" | "amber" | "white")[]
  readonly place: "front" | "rear"
  readonly points: readonly { readonly h: number; readonly v: number; readonly low: number }[]
  /** Sums over the points of a group, left or right 1, 2 and centre 3. */
  readonly groups: { readonly g1: number; readonly g2: number; readonly g3: number }
  /** Absent: no maximum. */
  readonly high: number | undefined
  readonly sections: Sections
  readonly source: Source
}

const edition = "rewrite of 4 December 2007 (72 FR 68234)"
const memory = (place: string, confidence: "H" | "M" | "L"): Source => ({
  document: "49 CFR 571.108",
  place,
  edition,
  known: "memory",
  confidence,
})

/** Values at (5, 10), (20, 5), (10, 5), (10, 0), (0, 5), (5, 0) and the centre. */
type Values = readonly [
  p510: number,
  p205: number,
  p105: number,
  p100: number,
  p05: number,
  p50: number,
  centre: number,
]

interface Rows {
  readonly id: string
  readonly functions: readonly RuleFunction[]
  readonly colours: UsTable["colours"]
  readonly place: UsTable["place"]
  readonly table: string
  /** By sections; of the tables of turn signals a motorcycle need meet half (`of`). */
  readonly rows: readonly {
    readonly values: Values
    readonly high: number | undefined
    readonly confidence: "H" | "M" | "L"
    /** Of group 1, where the recalled sum is higher than that of its points. */
    readonly g1?: number
  }[]
  readonly of?: number
}

const half = 0.5
const motorcycle = "motorcycle alternative, half of it (table XIII-a)"

const list: readonly Rows[] = [
  {
    id: "US-stop",
    functions: ["stop"],
    colours: ["red"],
    place: "rear",
    table: "table IX, stop lamps",
    rows: [
      { values: [16, 10, 30, 40, 70, 80, 80], high: 300, confidence: "H" },
      { values: [19, 12, 35, 47, 82, 95, 95], high: 360, confidence: "M" },
      { values: [22, 15, 40, 55, 95, 110, 110], high: 420, confidence: "M" },
    ],
  },
  {
    id: "US-tail",
    functions: ["rear-position"],
    colours: ["red"],
    place: "rear",
    table: "table VIII, tail lamps",
    rows: [
      { values: [0.4, 0.3, 0.8, 0.8, 1.8, 2, 2], high: 18, confidence: "H" },
      { values: [0.7, 0.5, 1.4, 1.4, 3.1, 3.5, 3.5], high: 20, confidence: "M" },
      { values: [1, 0.7, 2, 2, 4.5, 5, 5], high: 25, confidence: "M" },
    ],
  },
  {
    id: "US-turn-rear-amber",
    functions: ["direction-indicator"],
    colours: ["amber"],
    place: "rear",
    table: `table VII, rear turn signals, yellow; ${motorcycle}`,
    of: half,
    rows: [
      // Recalled as 82 and as 84: the higher one is asked, here of half.
      { values: [26, 15, 50, 65, 110, 130, 130], high: 750, confidence: "M", g1: 84 },
      { values: [30, 20, 55, 75, 130, 150, 150], high: 900, confidence: "M" },
      { values: [35, 25, 65, 85, 150, 175, 175], high: 1050, confidence: "M" },
    ],
  },
  {
    id: "US-turn-rear-red",
    functions: ["direction-indicator"],
    colours: ["red"],
    place: "rear",
    table: `table VII, rear turn signals, red; ${motorcycle}`,
    of: half,
    rows: [
      { values: [16, 10, 30, 40, 70, 80, 80], high: 300, confidence: "M" },
      { values: [19, 12, 35, 47, 82, 95, 95], high: 360, confidence: "M" },
      { values: [22, 15, 40, 55, 95, 110, 110], high: 420, confidence: "M" },
    ],
  },
  {
    id: "US-turn-front",
    functions: ["direction-indicator"],
    colours: ["amber"],
    place: "front",
    table: `table VI-a, front turn signals, base values; ${motorcycle}`,
    of: half,
    rows: [
      { values: [40, 25, 75, 100, 175, 200, 200], high: undefined, confidence: "H" },
      { values: [47, 30, 88, 115, 205, 240, 240], high: undefined, confidence: "M" },
      { values: [55, 35, 100, 135, 240, 275, 275], high: undefined, confidence: "M" },
    ],
  },
  {
    id: "US-parking",
    functions: ["front-position"],
    colours: ["white", "amber"],
    place: "front",
    table: "table XIV, parking lamps (motorcycles need none)",
    // 250 cd below the level plane; the lower of the two holds everywhere here.
    rows: [{ values: [0.8, 0.4, 0.8, 1.4, 2.8, 3.6, 4], high: 125, confidence: "H" }],
  },
]

const sectionWords = ["one lighted section", "two lighted sections", "three lighted sections"] as const

export const usTables: readonly UsTable[] = list.flatMap(({ id, rows, table, of = 1, ...rest }) =>
  rows.map(({ values, high, confidence, g1 }, k): UsTable => {
    const at = values.map((v) => of * v) as unknown as Values
    const [p510, p205, p105, p100, p05, p50, centre] = at
    return {
      ...rest,
      id: k === 0 ? id : `${id}-${k + 1}`,
      points: spread(at),
      groups: {
        g1: Math.max(2 * (p510 + p205), g1 === undefined ? 0 : of * g1),
        g2: 2 * p105 + p100,
        g3: 2 * (p05 + p50) + centre,
      },
      high,
      sections: (k + 1) as Sections,
      source: memory(`${table}, ${sectionWords[k]!}`, of === 1 ? confidence : "M"),
    }
  }),
)

/** All nineteen points from the seven distinct values. */
function spread([p510, p205, p105, p100, p05, p50, centre]: Values): UsTable["points"] {
  const both = (h: number, v: number, low: number) =>
    [h, -h].flatMap((x) => (v === 0 ? [{ h: x, v, low }] : [v, -v].map((y) => ({ h: x, v: y, low }))))
  return [
    ...both(5, 10, p510),
    ...both(20, 5, p205),
    ...both(10, 5, p105),
    ...both(10, 0, p100),
    { h: 0, v: 5, low: p05 },
    { h: 0, v: -5, low: p05 },
    ...both(5, 0, p50),
    { h: 0, v: 0, low: centre },
  ]
}

/** Each point may fall to this share of its value as long as its group's sum is kept. */
export const usPointShare = {
  value: 0.6,
  source: memory("footnote to the photometric tables", "H"),
} as const
