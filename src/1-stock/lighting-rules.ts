// Rules for signal lamps as data: restated in our own words, each with its clause, edition and how it is known.
// No complete official text was open when these were written; only rules marked "read" may condemn a lamp.
// Ids are ours. Angles in degrees, intensities in candela. The tables of 571.108 stand in `us-photometry.ts`.

import type { Source } from "../0-ground/source.ts"

/** Which description (`vehicle.rules`) a rule belongs to. */
export type RuleBook = "un-l" | "un-car" | "us-motorcycle"
export type RuleFunction =
  | "rear-position"
  | "stop"
  | "direction-indicator"
  | "front-position"
  | "plate"
  | "reversing"

export interface Rule {
  readonly id: string
  readonly books: readonly RuleBook[]
  readonly functions: readonly RuleFunction[]
  /** What the rule asks, one sentence. */
  readonly text: string
  readonly low?: number
  readonly high?: number
  readonly unit: string
  readonly source: Source
  /** The id of a rule of other books whose question this one asks in its own book. */
  readonly like?: string
  /** End of the vehicle it holds for; absent: both. */
  readonly place?: "front" | "rear"
}

const memory = (document: string, place: string, confidence: "H" | "M" | "L"): Source => ({
  document,
  place,
  known: "memory",
  confidence,
})
const read = (document: string, place: string): Source => ({ document, place, known: "read" })

const r50 = "UN R50 01 series (2019) / R148, category L"
const r6 = "UN R6 01 series / R148"
const r7 = "UN R7 02 series / R148"
const fmvss = "49 CFR 571.108, rewrite of 4 December 2007"
const all: readonly RuleBook[] = ["un-l", "un-car", "us-motorcycle"]
const un: readonly RuleBook[] = ["un-l", "un-car"]

/** Least intensity on the axis and greatest in any direction, one lamp. */
export interface AxisRule extends Rule {
  readonly low: number
  readonly high: number
  /** The maximum of editions before about 2010; design to it where it is lower. */
  readonly olderHigh: number
  /** Where the minimum is known otherwise than the maximum. */
  readonly lowSource?: Source
  /** Front indicators: the category, and the distance to the dipped beam from which it does, mm. */
  readonly category?: string
  readonly from?: number
}

/** Front direction indicators by distance to the nearest dipped beam, lit surface to lit surface. */
const frontIndicators: readonly AxisRule[] = (
  [
    ["un-l", "P-04", "11", 75, 90, 1000, 700],
    ["un-l", "P-05", "11a", 40, 175, 1000, 700],
    ["un-l", "P-06", "11b", 20, 250, 1200, 800],
    ["un-l", "P-07", "11c", 0, 400, 1200, 860],
    ["un-car", "P-20a", "1", 40, 175, 1000, 700],
    ["un-car", "P-20b", "1a", 20, 250, 1200, 800],
    ["un-car", "P-20c", "1b", 0, 400, 1200, 860],
  ] as const
).map(([book, id, category, from, low, high, olderHigh]) => ({
  id,
  books: [book],
  functions: ["direction-indicator"],
  place: "front",
  category,
  from,
  text: `Front direction indicator, category ${category}${from === 0 ? "" : `, at least ${from} mm from the dipped beam`}: at least ${low} cd on the axis, at most ${high} cd anywhere`,
  low,
  high,
  olderHigh,
  unit: "cd",
  source: memory(book === "un-l" ? r50 : r6, `category ${category}`, "M"),
  ...(book === "un-l"
    ? {
        lowSource: read(
          "EEC 93/92 §6.3.3.1.1.3, quoted: intensity by distance",
          `category ${category}; the category's name from memory`,
        ),
      }
    : category === "1b"
      ? { lowSource: read("summary of UN R6: 400 cd the highest minimum of front indicators", "category 1b") }
      : { lowSource: memory(r6, `category ${category}`, "H") }),
}))

export const axisRules: readonly AxisRule[] = [
  ...frontIndicators,
  {
    id: "P-01",
    books: ["un-l"],
    functions: ["front-position"],
    text: "Front position lamp: at least 4 cd on the axis, at most 140 cd anywhere",
    low: 4,
    high: 140,
    olderHigh: 60,
    unit: "cd",
    source: memory(r50, "§7, front position (MA)", "M"),
  },
  {
    id: "P-02",
    books: ["un-l"],
    functions: ["rear-position"],
    text: "Rear position lamp: at least 4 cd on the axis, at most 17 cd anywhere",
    low: 4,
    high: 17,
    olderHigh: 12,
    unit: "cd",
    source: memory(r50, "§7, rear position (MR)", "M"),
  },
  {
    id: "P-03",
    books: ["un-l"],
    functions: ["stop"],
    text: "Stop lamp: at least 40 cd on the axis, at most 260 cd anywhere",
    low: 40,
    high: 260,
    olderHigh: 185,
    unit: "cd",
    source: memory(r50, "§7, stop (MS)", "M"),
  },
  {
    id: "P-08",
    books: ["un-l"],
    functions: ["direction-indicator"],
    place: "rear",
    category: "12",
    text: "Rear direction indicator, category 12: at least 50 cd on the axis, at most 500 cd anywhere",
    low: 50,
    high: 500,
    olderHigh: 350,
    unit: "cd",
    source: memory(r50, "§7, category 12", "M"),
  },
  {
    id: "P-21",
    books: ["un-car"],
    functions: ["direction-indicator"],
    place: "rear",
    category: "2a",
    text: "Rear direction indicator, category 2a: at least 50 cd on the axis, at most 500 cd anywhere",
    low: 50,
    high: 500,
    olderHigh: 350,
    unit: "cd",
    source: memory(r6, "category 2a", "H"),
  },
  {
    id: "P-24",
    books: ["un-car"],
    functions: ["front-position"],
    text: "Front position lamp: at least 4 cd on the axis, at most 140 cd anywhere",
    low: 4,
    high: 140,
    olderHigh: 60,
    unit: "cd",
    source: memory(r7, "category A", "H"),
  },
  {
    id: "P-25",
    books: ["un-car"],
    functions: ["rear-position"],
    text: "Rear position lamp, one level: at least 4 cd on the axis, at most 17 cd anywhere",
    low: 4,
    high: 17,
    olderHigh: 12,
    unit: "cd",
    source: memory(r7, "category R1", "H"),
  },
  {
    id: "P-26",
    books: ["un-car"],
    functions: ["stop"],
    text: "Stop lamp, one level: at least 60 cd on the axis, at most 260 cd anywhere",
    low: 60,
    high: 260,
    olderHigh: 185,
    unit: "cd",
    source: memory(r7, "category S1; 60…185 cd read in a summary", "H"),
  },
  {
    id: "P-28",
    books: ["un-car"],
    functions: ["reversing"],
    text: "Reversing lamp: at least 80 cd on the axis, at most 300 cd on and above the horizon",
    low: 80,
    high: 300,
    olderHigh: 300,
    unit: "cd",
    source: memory("UN R23 / R148", "category AR", "M"),
  },
]

/** Share of the axis minimum that each listed direction must reach: horizontal h (+ right), vertical v (+ up). */
export const unGrid: readonly { readonly h: number; readonly v: number; readonly share: number }[] = [
  { h: 0, v: 0, share: 1 },
  ...[-5, 5].flatMap((h) => [
    { h, v: 0, share: 0.9 },
    { h, v: 10, share: 0.2 },
    { h, v: -10, share: 0.2 },
  ]),
  ...[-10, 10].flatMap((h) => [
    { h, v: 0, share: 0.35 },
    { h, v: 5, share: 0.2 },
    { h, v: -5, share: 0.2 },
  ]),
  ...[-20, 20].flatMap((h) => [
    { h, v: 5, share: 0.1 },
    { h, v: -5, share: 0.1 },
  ]),
  { h: 0, v: 5, share: 0.7 },
  { h: 0, v: -5, share: 0.7 },
]
/** Functions whose light is asked by that grid. */
export const unGridFunctions: readonly RuleFunction[] = [
  "rear-position",
  "stop",
  "direction-indicator",
  "front-position",
]
export const unGridSource: Source = memory(
  "UN R6, R7, R50, R148",
  "annex 4, standard light distribution",
  "H",
)

/** Least intensity everywhere in the field of geometric visibility. */
export const visibilityFloor: readonly Rule[] = [
  {
    id: "P-42a",
    books: un,
    functions: ["front-position", "rear-position"],
    text: "Position lamps: at least 0.05 cd in the whole field of geometric visibility",
    low: 0.05,
    unit: "cd",
    source: memory("UN R50, R7", "light distribution, field of visibility", "H"),
  },
  {
    id: "P-42b",
    books: un,
    functions: ["stop", "direction-indicator"],
    text: "Stop lamps and indicators: at least 0.3 cd in the whole field of geometric visibility",
    low: 0.3,
    unit: "cd",
    source: memory("UN R50, R6, R7", "light distribution, field of visibility", "H"),
  },
  {
    id: "L-14c",
    books: ["us-motorcycle"],
    functions: ["rear-position"],
    text: "Tail lamps: at least 0.05 cd in the whole field of visibility",
    low: 0.05,
    unit: "cd",
    source: memory(fmvss, "visibility, intensity option", "M"),
  },
  {
    id: "L-14a",
    books: ["us-motorcycle"],
    functions: ["stop", "direction-indicator"],
    text: "Stop lamps and turn signals: at least 0.3 cd in the whole field of visibility",
    low: 0.3,
    unit: "cd",
    source: memory(fmvss, "visibility, intensity option", "M"),
  },
]

/** Field of geometric visibility: inward, outward, up, down. A single lamp on the centre line sees `outward` both sides. */
export const visibilityFields: readonly {
  readonly id: string
  readonly books: readonly RuleBook[]
  readonly functions: readonly RuleFunction[]
  readonly inward: number
  readonly outward: number
  readonly vertical: number
  readonly source: Source
}[] = [
  {
    id: "G-17",
    books: ["un-l"],
    functions: ["direction-indicator"],
    inward: 20,
    outward: 80,
    vertical: 15,
    source: read("2009/67/EC annex IV n. 6.3, summary", "geometric visibility"),
  },
  {
    id: "G-19",
    books: ["un-l"],
    functions: ["stop"],
    inward: 45,
    outward: 45,
    vertical: 15,
    source: memory("UN R53 §6.4", "single stop lamp", "M"),
  },
  {
    id: "G-21",
    books: ["un-l"],
    functions: ["rear-position"],
    inward: 80,
    outward: 80,
    vertical: 15,
    source: memory("UN R53 §6.7", "single rear position lamp", "M"),
  },
  {
    id: "G-23",
    books: ["un-l"],
    functions: ["front-position"],
    inward: 80,
    outward: 80,
    vertical: 15,
    source: memory("UN R53 §6.6", "single front position lamp", "M"),
  },
  {
    id: "G-42",
    books: ["un-car"],
    functions: ["direction-indicator"],
    inward: 45,
    outward: 80,
    vertical: 15,
    source: memory("UN R48 §6.5", "geometric visibility", "H"),
  },
  {
    id: "G-45",
    books: ["un-car"],
    functions: ["front-position"],
    inward: 45,
    outward: 80,
    vertical: 15,
    source: memory("UN R48 §6.9", "geometric visibility", "M"),
  },
  {
    id: "G-41",
    books: ["un-car"],
    functions: ["stop"],
    inward: 45,
    outward: 45,
    vertical: 15,
    source: read("SR(NI) 2000/169 schedule 12", "stop lamps"),
  },
  {
    id: "G-44",
    books: ["un-car"],
    functions: ["rear-position"],
    inward: 45,
    outward: 80,
    vertical: 15,
    source: read("EEC 76/756 text (UN R48), degraded copy", "rear position lamps"),
  },
  {
    id: "L-14a",
    books: ["us-motorcycle"],
    functions: ["direction-indicator"],
    inward: 20,
    outward: 80,
    vertical: 15,
    source: memory(fmvss, "visibility, intensity option", "M"),
  },
  {
    id: "L-14b",
    books: ["us-motorcycle"],
    functions: ["stop"],
    inward: 45,
    outward: 45,
    vertical: 15,
    source: memory(fmvss, "visibility, intensity option", "M"),
  },
  {
    id: "L-14c",
    books: ["us-motorcycle"],
    functions: ["rear-position"],
    inward: 80,
    outward: 80,
    vertical: 15,
    source: memory(fmvss, "visibility, single lamp", "M"),
  },
]

/** Timing of flashing lamps. */
export const timingRules: readonly Rule[] = [
  {
    id: "T-01",
    books: ["un-l"],
    functions: ["direction-indicator"],
    text: "Flash rate 90 ± 30 per minute",
    low: 60,
    high: 120,
    unit: "/min",
    source: read("UN R53 §6.3.8.1 (OJ EU 2020/31); ADR 19/00 cl. 6.3.11.1.1", "quoted"),
  },
  {
    id: "T-02",
    books: ["un-car"],
    functions: ["direction-indicator"],
    text: "Flash rate 90 ± 30 per minute",
    low: 60,
    high: 120,
    unit: "/min",
    source: read("UN R48 §6.5.9 through EEC 76/756; Swiss VTS art. 79(2)", "quoted"),
  },
  {
    id: "T-04",
    books: ["us-motorcycle"],
    functions: ["direction-indicator"],
    text: "Flash rate 60…120 per minute",
    low: 60,
    high: 120,
    unit: "/min",
    source: read("49 CFR 571.108 through SAE J590b", "agency letter of 28 June 1993"),
  },
  {
    id: "T-06",
    books: un,
    functions: ["direction-indicator"],
    text: "First light within 1.0 s of operating the control",
    high: 1,
    unit: "s",
    source: read("ADR 19 / UN R53 wording; Swiss VTS art. 79(2)", "quoted"),
  },
  {
    id: "T-07",
    books: un,
    functions: ["direction-indicator"],
    text: "First extinction within 1.5 s of operating the control",
    high: 1.5,
    unit: "s",
    source: read("ADR 19 / UN R53 wording; UN R48 through EEC 76/756", "quoted"),
  },
  {
    id: "V-05a",
    like: "T-07",
    books: ["us-motorcycle"],
    functions: ["direction-indicator"],
    text: "A flasher that begins with its dark phase has gone through a whole cycle within 1.5 s",
    high: 1.5,
    unit: "s",
    source: memory("SAE J590b; 49 CFR 571.108 S14.9.3.9", "normally open flashers, start", "M"),
  },
  {
    id: "V-05b",
    books: ["us-motorcycle"],
    functions: ["direction-indicator"],
    text: "A flasher that begins with light has gone out within 1.0 s",
    high: 1,
    unit: "s",
    source: memory("SAE J590b; 49 CFR 571.108 S14.9.3.9", "normally closed flashers, start", "M"),
  },
  {
    id: "T-08",
    books: all,
    functions: ["direction-indicator"],
    text: "On for 30…75 % of the period",
    low: 0.3,
    high: 0.75,
    unit: "",
    source: memory("SAE J590b; 49 CFR 571.108 S14.9.3.9", "percent current on-time", "H"),
  },
  {
    id: "V-07",
    books: un,
    functions: ["stop", "rear-position", "front-position", "direction-indicator"],
    text: "Light is measured at 13.5 V at the lamp",
    low: 13.5,
    high: 13.5,
    unit: "V",
    source: memory("UN R50, R148", "test procedure", "H"),
  },
  {
    id: "V-08",
    books: ["us-motorcycle"],
    functions: ["stop", "rear-position", "front-position", "direction-indicator"],
    text: "Light is measured at 12.8 V",
    low: 12.8,
    high: 12.8,
    unit: "V",
    source: memory("SAE J575/J1889, 49 CFR 571.108 S14", "design voltage", "M"),
  },
]

/** Voltage at which a book measures light, where the vehicle's supply has it; else the usual supply. */
export function testVoltage(
  book: RuleBook,
  supply: { readonly lowest: number; readonly usual: number; readonly highest: number },
): number {
  const asked = timingRules.find((r) => r.unit === "V" && r.books.includes(book))?.low
  return asked === undefined || asked < supply.lowest || asked > supply.highest ? supply.usual : asked
}

/** Sweeping direction indicators. */
const unSweeps: readonly Rule[] = [
  {
    id: "Q-02",
    books: un,
    functions: ["direction-indicator"],
    text: "Every part, once lit, stays lit to the end of the on phase",
    unit: "",
    source: memory("UN R6 §5.6 / R50 §6.8 (a)", "sequential activation", "H"),
  },
  {
    id: "Q-03",
    books: un,
    functions: ["direction-indicator"],
    text: "Parts light evenly and progressively from inboard to outboard",
    unit: "",
    source: memory("UN R6 §5.6 / R50 §6.8 (b)", "sequential activation", "H"),
  },
  {
    id: "Q-04",
    books: un,
    functions: ["direction-indicator"],
    text: "The lit path changes direction along the vertical at most once",
    high: 1,
    unit: "",
    source: read("UN R50 §6.8 (c) as in WP.29/2017/81", "summary"),
  },
  {
    id: "Q-05",
    books: un,
    functions: ["direction-indicator"],
    text: "All parts are lit at most 200 ms after the on phase begins",
    high: 0.2,
    unit: "s",
    source: memory("UN R6 §5.6 / R50 §6.8 (d)", "sequential activation", "H"),
  },
  {
    id: "Q-06",
    books: un,
    functions: ["direction-indicator"],
    text: "Neighbouring parts are at most 50 mm apart",
    high: 50,
    unit: "mm",
    source: read("UN R50 §6.8 (c) as in WP.29/2017/81", "summary"),
  },
  {
    id: "Q-08",
    books: un,
    functions: ["direction-indicator"],
    text: "Gaps make no overlap in the vertical sense and hold no other lamp",
    unit: "",
    source: memory("UN R6 §5.6 / R50 §6.8 (c)", "sequential activation", "M"),
  },
  {
    id: "Q-09",
    books: un,
    functions: ["direction-indicator"],
    text: "The box around the lit surface is at least 1.7 times as wide as high",
    low: 1.7,
    unit: "",
    source: memory("UN R6 §5.6 / R50 §6.8 (e)", "sequential activation", "H"),
  },
  {
    id: "U-04",
    books: ["us-motorcycle"],
    functions: ["direction-indicator"],
    text: "The first lit step alone has the least lens area and meets the photometry (cautious reading)",
    low: 2200,
    unit: "mm²",
    source: memory(
      "49 CFR 571.108, popular reading of the lens-area clause",
      "first step of a sequential lamp",
      "L",
    ),
  },
]

/**
 * The same conditions in the United States: no federal clause asks them, but the newest voluntary practice began with
 * them, so they are told as a caution.
 */
const voluntary = memory(
  "SAE J588 MAR2021 clause 6.4.5 (voluntary; 571.108 has no clause on sequential turn signals)",
  "began with the UN conditions; its own figures were not seen",
  "L",
)
const usSweeps: readonly Rule[] = (
  [
    ["U-02a", "Q-03"],
    ["U-02b", "Q-04"],
    ["U-02c", "Q-05"],
    ["U-02d", "Q-06"],
    ["U-02e", "Q-08"],
    ["U-02f", "Q-09"],
  ] as const
).map(([id, like]) => ({
  ...unSweeps.find((r) => r.id === like)!,
  id,
  like,
  books: ["us-motorcycle"],
  source: voluntary,
}))

export const sweepRules: readonly Rule[] = [...unSweeps, ...usSweeps]

/** Ratios between functions that share LEDs, at the directions (sideways, up) of the test grid. */
export interface RatioRule extends Rule {
  readonly low: number
  /** The brighter function and the dimmer ones it must stand out from. */
  readonly bright: RuleFunction
  readonly dim: readonly RuleFunction[]
  readonly at: (h: number, v: number) => boolean
}

const nearAxis = (h: number, v: number) => (Math.abs(h) <= 5 && v === 0) || (h === 0 && v === 5)

export const ratioRules: readonly RatioRule[] = [
  {
    id: "I-06",
    books: un,
    functions: ["stop", "rear-position"],
    text: "Stop and position both on against position alone: at least 5 : 1 at the grid points within 10° sideways and 5° up and down",
    low: 5,
    bright: "stop",
    dim: ["rear-position"],
    at: (h, v) => Math.abs(h) <= 10 && Math.abs(v) <= 5,
    unit: "",
    source: read(
      "UN R7, R50, reciprocally incorporated lamps; field from memory",
      "national summaries, Germany and Poland",
    ),
  },
  {
    id: "I-01a",
    books: ["us-motorcycle"],
    functions: ["stop", "rear-position"],
    text: "Stop against tail: at least 5 : 1 at H-V, H-5L, H-5R and 5U-V",
    low: 5,
    bright: "stop",
    dim: ["rear-position"],
    at: nearAxis,
    unit: "",
    source: read("SAE J586 FEB84, quoted in an agency letter of 1994", "combined stop and tail lamps"),
  },
  {
    id: "I-01b",
    books: ["us-motorcycle"],
    functions: ["stop", "rear-position"],
    text: "Stop against tail: at least 3 : 1 at every other test point",
    low: 3,
    bright: "stop",
    dim: ["rear-position"],
    at: (h, v) => !nearAxis(h, v),
    unit: "",
    source: read("SAE J586 FEB84, quoted in an agency letter of 1994", "combined stop and tail lamps"),
  },
  {
    id: "I-04a",
    books: ["us-motorcycle"],
    functions: ["direction-indicator", "rear-position", "front-position"],
    text: "Turn signal against tail or parking light of the same lamp: at least 5 : 1 at H-V, H-5L, H-5R and 5U-V",
    low: 5,
    bright: "direction-indicator",
    dim: ["rear-position", "front-position"],
    at: nearAxis,
    unit: "",
    source: memory(fmvss, "S7.1.1.10, S7.1.2.11: turn signals combined with tail or parking lamps", "H"),
  },
  {
    id: "I-04b",
    books: ["us-motorcycle"],
    functions: ["direction-indicator", "rear-position", "front-position"],
    text: "Turn signal against tail or parking light of the same lamp: at least 3 : 1 at every other test point",
    low: 3,
    bright: "direction-indicator",
    dim: ["rear-position", "front-position"],
    at: (h, v) => !nearAxis(h, v),
    unit: "",
    source: memory(fmvss, "S7.1.1.10, S7.1.2.11: turn signals combined with tail or parking lamps", "H"),
  },
]

/** Colour each function must show. */
export const colourOf: readonly {
  readonly id: string
  readonly books: readonly RuleBook[]
  readonly functions: readonly RuleFunction[]
  readonly colours: readonly ("red" | "amber" | "white")[]
  readonly place?: "front" | "rear"
  readonly source: Source
}[] = [
  {
    id: "C-10",
    books: un,
    functions: ["direction-indicator"],
    colours: ["amber"],
    source: memory("UN R53 / R48", "colour of direction indicators", "H"),
  },
  {
    id: "C-10b",
    books: ["us-motorcycle"],
    functions: ["direction-indicator"],
    place: "front",
    colours: ["amber"],
    source: memory("49 CFR 571.108", "colour of front turn signals", "H"),
  },
  {
    id: "C-11",
    books: ["us-motorcycle"],
    functions: ["direction-indicator"],
    place: "rear",
    colours: ["amber", "red"],
    source: read("49 CFR 571.108, rear turn signals red or amber", "quoted"),
  },
  {
    id: "C-12",
    books: all,
    functions: ["stop", "rear-position"],
    colours: ["red"],
    source: memory("UN R53 / R48; 49 CFR 571.108", "colour of stop and rear position lamps", "H"),
  },
  {
    id: "C-13",
    books: all,
    functions: ["front-position"],
    colours: ["white", "amber"],
    source: memory("UN R53; 49 CFR 571.108", "colour of front position lamps", "M"),
  },
  {
    id: "C-14",
    books: all,
    functions: ["plate", "reversing"],
    colours: ["white"],
    source: memory("UN R53; 49 CFR 571.108", "colour of plate lamps", "H"),
  },
]

/** Colour regions in CIE 1931 (x, y), corners in order; and the dominant wavelengths of near-monochromatic light inside. */
export const colourRegions = {
  amber: {
    id: "C-01",
    corners: [
      [0.545, 0.425],
      [0.56, 0.44],
      [0.609, 0.39],
      [0.597, 0.39],
    ],
    wavelength: { low: 587.4, high: 596.4 },
    source: read(
      "SAE J578-2020 summary; UN R48 §2.29 the same region",
      "corners and two edges; third edge from memory",
    ),
  },
  red: {
    id: "C-02",
    corners: [
      [0.645, 0.335],
      [0.665, 0.335],
      [0.735, 0.265],
      [0.721, 0.259],
    ],
    wavelength: { low: 609.7, high: 780 },
    source: read("SAE J578-2020 summary; UN R48 §2.29 the same region", "corners"),
  },
  white: {
    id: "C-03",
    corners: [
      [0.31, 0.348],
      [0.453, 0.44],
      [0.5, 0.44],
      [0.5, 0.382],
      [0.443, 0.382],
      [0.31, 0.283],
    ],
    wavelength: undefined,
    /** K: where the light of glowing black bodies enters and leaves the region. */
    temperature: { low: 2254, high: 6735 },
    source: read("SAE J578-2020 summary", "corners"),
  },
} as const satisfies Record<
  string,
  {
    readonly id: string
    readonly corners: readonly (readonly [number, number])[]
    readonly wavelength: { readonly low: number; readonly high: number } | undefined
    readonly temperature?: { readonly low: number; readonly high: number }
    readonly source: Source
  }
>

/**
 * Chromaticity of a black body, kelvin from 1667 to 25000 (the cubic fit of Kim and others, 2002, from memory; good to
 * 0.001). White LEDs are sorted along this line.
 */
export function blackBody(kelvin: number): readonly [x: number, y: number] {
  const t = 1000 / kelvin
  const x =
    kelvin <= 4000
      ? -0.2661239 * t ** 3 - 0.2343589 * t ** 2 + 0.8776956 * t + 0.17991
      : -3.0258469 * t ** 3 + 2.1070379 * t ** 2 + 0.2226347 * t + 0.24039
  const y =
    kelvin <= 2222
      ? -1.1063814 * x ** 3 - 1.3481102 * x ** 2 + 2.18555832 * x - 0.20219683
      : kelvin <= 4000
        ? -0.9549476 * x ** 3 - 1.37418593 * x ** 2 + 2.09137015 * x - 0.16748867
        : 3.081758 * x ** 3 - 5.8733867 * x ** 2 + 3.75112997 * x - 0.37001483
  return [x, y]
}

/** Drift of an amber AlInGaP LED's dominant wavelength, nanometres per kelvin; red about half. */
export const wavelengthDrift = {
  amber: { low: 0.08, high: 0.13 },
  red: { low: 0.03, high: 0.06 },
  source: memory("LED application notes", "dominant wavelength over temperature", "M"),
} as const

/** What counts as one lamp when light comes through many holes. */
export const oneLampRules: readonly Rule[] = [
  {
    id: "G-01a",
    books: un,
    functions: ["stop", "rear-position", "front-position", "direction-indicator"],
    text: "Lit patches cover at least 60 % of the smallest quadrilateral around them",
    low: 0.6,
    unit: "",
    source: read("EEC text, definition of a single lamp (degraded copy)", "UN R48 §2.16"),
  },
  {
    id: "G-01b",
    books: un,
    functions: ["stop", "rear-position", "front-position", "direction-indicator"],
    text: "or neighbouring patches are at most 15 mm apart",
    high: 15,
    unit: "mm",
    source: memory("UN R48 §2.16, R53 definitions", "single lamp", "M"),
  },
  {
    id: "P-68",
    like: "G-01b",
    books: ["us-motorcycle"],
    functions: ["stop", "rear-position", "front-position", "direction-indicator"],
    text: "Compartments at most 560 mm (22 in) apart count as one lamp for photometry",
    high: 560,
    unit: "mm",
    source: read("SAE J586 FEB84 and agency letters of 1994 and 2001", "vehicles under 2032 mm wide"),
  },
]

/** How far pairs stand apart, and from other lamps, as far as one description tells it. */
export interface PlaceRule extends Rule {
  readonly low: number
  /** What is measured from: inner edges or centres of a pair, or the edge of the stop and tail lamp between them. */
  readonly between: "edges" | "centres" | "stop-or-tail"
}

export const placeRules: readonly PlaceRule[] = [
  {
    id: "G-11",
    books: ["un-l"],
    functions: ["direction-indicator"],
    place: "front",
    between: "edges",
    text: "Front indicators: lit surfaces at least 240 mm apart",
    low: 240,
    unit: "mm",
    source: read("EEC 93/92; 2009/67/EC annex IV", "quoted"),
  },
  {
    id: "G-14",
    books: ["un-l"],
    functions: ["direction-indicator"],
    place: "rear",
    between: "edges",
    text: "Rear indicators: inner edges at least 180 mm apart",
    low: 180,
    unit: "mm",
    source: read("ADR 19; EEC 93/92; 2009/67/EC annex IV", "quoted"),
  },
  {
    id: "G-40",
    books: ["un-car"],
    functions: ["direction-indicator"],
    between: "edges",
    text: "Indicators: inner edges at least 600 mm apart; 400 mm on a vehicle less than 1300 mm wide",
    low: 600,
    unit: "mm",
    source: memory("UN R48 §6.5", "position in width", "H"),
  },
  {
    id: "L-07",
    books: ["us-motorcycle"],
    functions: ["direction-indicator"],
    place: "front",
    between: "centres",
    text: "Front turn signals at least 406 mm (16 in) apart, centre to centre",
    low: 406,
    unit: "mm",
    source: memory(fmvss, "motorcycle table", "H"),
  },
  {
    id: "L-09",
    books: ["us-motorcycle"],
    functions: ["direction-indicator"],
    place: "rear",
    between: "centres",
    text: "Rear turn signals at least 229 mm (9 in) apart, centre to centre",
    low: 229,
    unit: "mm",
    source: memory(fmvss, "motorcycle table", "H"),
  },
  {
    id: "L-10",
    books: ["us-motorcycle"],
    functions: ["direction-indicator"],
    place: "rear",
    between: "stop-or-tail",
    text: "Rear turn signals at least 102 mm from a tail and stop lamp on the centre line, edge to edge",
    low: 102,
    unit: "mm",
    source: read("agency letters of 1984 and 1987", "motorcycles"),
  },
]

/** Light on the registration plate, and what leaves its lamp to the rear. */
export const plateRules: readonly Rule[] = [
  {
    id: "P-82",
    books: ["un-l"],
    functions: ["plate"],
    text: "At least 2.5 cd/m² all over the plate (category L is recalled with 2.0: the higher figure is asked)",
    low: 2.5,
    unit: "cd/m²",
    source: memory("UN R50 / R148, category L; national rule of 1990 read: 2.5 cd/m²", "plate lamps", "L"),
  },
  {
    id: "P-81",
    books: ["un-car"],
    functions: ["plate"],
    text: "At least 2.5 cd/m² at each test point of the plate",
    low: 2.5,
    unit: "cd/m²",
    source: memory("UN R4 / R148; national rule of 1990 read: the same figure", "plate lamps", "H"),
  },
  {
    id: "P-86a",
    books: ["us-motorcycle"],
    functions: ["plate"],
    text: "At least 8 lux (0.75 foot-candle) at each test station of the plate",
    low: 8,
    unit: "lx",
    source: memory(fmvss, "licence plate lamps, photometry", "M"),
  },
  {
    id: "P-83",
    books: un,
    functions: ["plate"],
    text: "Between any two points luminance changes by at most twice the least luminance for each centimetre",
    high: 2,
    unit: "",
    source: memory("UN R4, R50", "uniformity of the plate's luminance", "M"),
  },
  {
    id: "P-86b",
    books: ["us-motorcycle"],
    functions: ["plate"],
    text: "Mean of the two brightest stations at most 20 times the mean of the two darkest",
    high: 20,
    unit: "",
    source: memory(fmvss, "licence plate lamps, ratio", "M"),
  },
  {
    id: "P-84",
    books: un,
    functions: ["plate"],
    text: "Light strikes the plate at no more than 82° from its normal",
    high: 82,
    unit: "°",
    source: memory("UN R4, R50", "incidence of light on the plate", "M"),
  },
  {
    id: "P-86c",
    like: "P-84",
    books: ["us-motorcycle"],
    functions: ["plate"],
    text: "Light strikes the plate at 8° to its plane or more",
    high: 82,
    unit: "°",
    source: memory(fmvss, "licence plate lamps, incidence", "M"),
  },
  {
    id: "P-87",
    books: all,
    functions: ["plate"],
    text: "No white light straight to the rear: at most 0.25 cd, below which a light does not count as seen",
    high: 0.25,
    unit: "cd",
    source: memory("UN R4 and UN R48 §5.10; 571.108", "white light to the rear", "M"),
  },
]

/** Least lit area where the United States ask for one. */
export const areaRules: readonly Rule[] = [
  {
    id: "L-01",
    books: ["us-motorcycle"],
    functions: ["direction-indicator"],
    place: "front",
    text: "Front turn signal, motorcycle: effective projected luminous lens area at least 2258 mm² (3.5 in²)",
    low: 2258,
    unit: "mm²",
    source: memory(fmvss, "motorcycle table; SAE J131 read: 22 cm²", "H"),
  },
  {
    id: "L-02",
    books: ["us-motorcycle"],
    functions: ["direction-indicator"],
    place: "rear",
    text: "Turn signal, motorcycle: effective projected luminous lens area at least 2258 mm² (3.5 in²)",
    low: 2258,
    unit: "mm²",
    source: memory(fmvss, "motorcycle table; SAE J131 read: 22 cm²", "H"),
  },
  {
    id: "L-05",
    books: ["us-motorcycle"],
    functions: ["stop"],
    text: "Stop lamp, motorcycle: effective projected luminous lens area at least 5000 mm²",
    low: 5000,
    unit: "mm²",
    source: memory(fmvss, "motorcycle table", "H"),
  },
]

/** Every rule that is a single number or sentence, for lists and look-ups. */
export const rules: readonly Rule[] = [
  ...axisRules,
  ...visibilityFloor,
  ...timingRules,
  ...sweepRules,
  ...ratioRules,
  ...oneLampRules,
  ...areaRules,
  ...placeRules,
  ...plateRules,
]

/** The rules of one book for one function. */
export const rulesFor = (book: RuleBook, fn: RuleFunction): readonly Rule[] =>
  rules.filter((r) => r.books.includes(book) && r.functions.includes(fn))

/** Throws on an unknown id (a mistake in the program). */
export function rule(id: string): Rule {
  const found = rules.find((r) => r.id === id)
  if (!found) throw new Error(`no lighting rule ${id}`)
  return found
}

/** What the tool always says beside these rules. */
export const ruleCaution =
  "A hand-built lamp is not type-approved. These figures are restated from memory or summaries; local law and a licensed inspection decide."
