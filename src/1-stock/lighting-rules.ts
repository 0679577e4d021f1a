// Rules for signal lamps as data: restated in our own words, each with its clause, edition and how it is known.
// No complete official text was open when these were written; only rules marked "read" may condemn a lamp.
// Ids are ours. Angles in degrees, intensities in candela.

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
}

export const axisRules: readonly AxisRule[] = [
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

/** Front direction indicators by distance to the nearest dipped beam, illuminating surface to illuminating surface. */
export const frontIndicatorRules = [
  { id: "P-04", category: "11", distance: 75, low: 90, high: 1000, olderHigh: 700 },
  { id: "P-05", category: "11a", distance: 40, low: 175, high: 1000, olderHigh: 700 },
  { id: "P-06", category: "11b", distance: 20, low: 250, high: 1200, olderHigh: 800 },
  { id: "P-07", category: "11c", distance: 0, low: 400, high: 1200, olderHigh: 860 },
].map((r) => ({
  ...r,
  books: ["un-l"] as readonly RuleBook[],
  source: read("EEC 93/92 §6.3.3.1.1.3, quoted; maxima from memory", `category ${r.category}`),
}))

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

/** Sweeping direction indicators. */
export const sweepRules: readonly Rule[] = [
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

/** Ratios between functions that share LEDs. */
export const ratioRules: readonly Rule[] = [
  {
    id: "I-06",
    books: un,
    functions: ["stop", "rear-position"],
    text: "Stop and position both on against position alone: at least 5 : 1 at the grid points within 10° sideways and 5° up and down",
    low: 5,
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
    unit: "",
    source: read("SAE J586 FEB84, quoted in an agency letter of 1994", "combined stop and tail lamps"),
  },
  {
    id: "I-01b",
    books: ["us-motorcycle"],
    functions: ["stop", "rear-position"],
    text: "Stop against tail: at least 3 : 1 at every other test point",
    low: 3,
    unit: "",
    source: read("SAE J586 FEB84, quoted in an agency letter of 1994", "combined stop and tail lamps"),
  },
]

/** Colour each function must show. */
export const colourOf: readonly {
  readonly id: string
  readonly books: readonly RuleBook[]
  readonly functions: readonly RuleFunction[]
  readonly colours: readonly ("red" | "amber" | "white")[]
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
    id: "C-11",
    books: ["us-motorcycle"],
    functions: ["direction-indicator"],
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
    source: read("SAE J578-2020 summary", "corners"),
  },
} as const satisfies Record<
  string,
  {
    readonly id: string
    readonly corners: readonly (readonly [number, number])[]
    readonly wavelength: { readonly low: number; readonly high: number } | undefined
    readonly source: Source
  }
>

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
]

/** Where lamps stand. */
export const placeRules: readonly Rule[] = [
  {
    id: "G-14",
    books: ["un-l"],
    functions: ["direction-indicator"],
    text: "Rear indicators: inner edges at least 180 mm apart",
    low: 180,
    unit: "mm",
    source: read("ADR 19; EEC 93/92; 2009/67/EC annex IV", "quoted"),
  },
  {
    id: "G-15",
    books: ["un-l"],
    functions: ["direction-indicator"],
    text: "Indicators 350…1200 mm above ground",
    low: 350,
    high: 1200,
    unit: "mm",
    source: read("EEC 93/92; 2009/67/EC annex IV", "summaries"),
  },
  {
    id: "G-18",
    books: ["un-l"],
    functions: ["stop"],
    text: "Stop lamp 250…1500 mm above ground",
    low: 250,
    high: 1500,
    unit: "mm",
    source: read("club summary of UN R53", "height"),
  },
  {
    id: "L-09",
    books: ["us-motorcycle"],
    functions: ["direction-indicator"],
    text: "Rear turn signals at least 229 mm apart, centre to centre",
    low: 229,
    unit: "mm",
    source: memory(fmvss, "motorcycle table", "H"),
  },
  {
    id: "L-10",
    books: ["us-motorcycle"],
    functions: ["direction-indicator"],
    text: "Rear turn signals at least 102 mm from the tail and stop lamp, edge to edge",
    low: 102,
    unit: "mm",
    source: read("agency letters of 1984 and 1987", "motorcycles"),
  },
]

/** Least lit area where the United States ask for one. */
export const areaRules: readonly Rule[] = [
  {
    id: "L-02",
    books: ["us-motorcycle"],
    functions: ["direction-indicator"],
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

/** 571.108 test points for one lighted section: least candela at (h, v); symmetric in both axes. */
export interface UsTable {
  readonly id: string
  readonly functions: readonly RuleFunction[]
  readonly colour: "red" | "amber" | "white"
  readonly points: readonly { readonly h: number; readonly v: number; readonly low: number }[]
  /** Sums over the points of a group, left or right 1, 2 and centre 3. */
  readonly groups: { readonly g1: number; readonly g2: number; readonly g3: number }
  readonly high: number | undefined
  /** Lighted sections the table is for; LED lamps were long counted as three (agency letters of 1992 and 1998, read). */
  readonly sections: 1 | 3
  readonly source: Source
}

/** All 19 points from the seven distinct values: (5,10) (20,5) (10,5) (10,0) (0,5) (5,0) and the centre. */
function usPoints(p510: number, p205: number, p105: number, p100: number, p05: number, p50: number) {
  const both = (h: number, v: number, low: number) =>
    [h, -h].flatMap((x) =>
      v === 0
        ? [{ h: x, v, low }]
        : [
            { h: x, v, low },
            { h: x, v: -v, low },
          ],
    )
  return [
    ...both(5, 10, p510),
    ...both(20, 5, p205),
    ...both(10, 5, p105),
    ...both(10, 0, p100),
    { h: 0, v: 5, low: p05 },
    { h: 0, v: -5, low: p05 },
    ...both(5, 0, p50),
    { h: 0, v: 0, low: p50 },
  ]
}

export const usTables: readonly UsTable[] = [
  {
    id: "US-stop",
    functions: ["stop"],
    colour: "red",
    points: usPoints(16, 10, 30, 40, 70, 80),
    groups: { g1: 52, g2: 100, g3: 380 },
    high: 300,
    sections: 1,
    source: memory(fmvss, "table IX, one lighted section", "H"),
  },
  {
    id: "US-tail",
    functions: ["rear-position"],
    colour: "red",
    points: usPoints(0.4, 0.3, 0.8, 0.8, 1.8, 2),
    groups: { g1: 1.4, g2: 2.4, g3: 9.6 },
    high: 18,
    sections: 1,
    source: memory(fmvss, "table VIII, one lighted section", "H"),
  },
  {
    id: "US-turn-rear-amber",
    functions: ["direction-indicator"],
    colour: "amber",
    points: usPoints(13, 7.5, 25, 32.5, 55, 65),
    groups: { g1: 41, g2: 82.5, g3: 305 },
    high: 750,
    sections: 1,
    source: memory(fmvss, "table XIII-a, motorcycle turn signal, half of table VII", "M"),
  },
  {
    id: "US-turn-rear-red",
    functions: ["direction-indicator"],
    colour: "red",
    points: usPoints(8, 5, 15, 20, 35, 40),
    groups: { g1: 26, g2: 50, g3: 190 },
    high: 300,
    sections: 1,
    source: memory(fmvss, "table XIII-a, motorcycle turn signal, half of table VII", "M"),
  },
  {
    id: "US-stop-3",
    functions: ["stop"],
    colour: "red",
    points: usPoints(22, 15, 40, 55, 95, 110),
    groups: { g1: 74, g2: 135, g3: 520 },
    high: 420,
    sections: 3,
    source: memory(fmvss, "table IX, three lighted sections", "M"),
  },
  {
    id: "US-tail-3",
    functions: ["rear-position"],
    colour: "red",
    points: usPoints(1, 0.7, 2, 2, 4.5, 5),
    groups: { g1: 3.4, g2: 6, g3: 24 },
    high: 25,
    sections: 3,
    source: memory(fmvss, "table VIII, three lighted sections", "M"),
  },
]

/** Each point may fall to this share of its value as long as its group's sum is kept. */
export const usPointShare = {
  value: 0.6,
  source: memory(fmvss, "footnote to the photometric tables", "H"),
} as const

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
