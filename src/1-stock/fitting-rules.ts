// Where lamps stand on the vehicle, and what else a fitter must see to that no drawing tells: restated in our own words
// for the build sheet, each with its clause and how it is known. To be measured on the vehicle.

import type { Source } from "../0-ground/source.ts"
import type { RuleBook, RuleFunction } from "./lighting-rules.ts"

export interface FittingRule {
  readonly id: string
  readonly books: readonly RuleBook[]
  readonly functions: readonly RuleFunction[]
  readonly item: "number" | "height" | "distance" | "visibility" | "position" | "wiring" | "failure"
  readonly text: string
  readonly source: Source
}

const read = (document: string, place = "quoted or summarised"): Source => ({
  document,
  place,
  known: "read",
})
const memory = (document: string, confidence: "H" | "M" | "L", place = "recalled"): Source => ({
  document,
  place,
  known: "memory",
  confidence,
})

const rear: readonly RuleFunction[] = ["rear-position"]
const stop: readonly RuleFunction[] = ["stop"]
const turn: readonly RuleFunction[] = ["direction-indicator"]
const front: readonly RuleFunction[] = ["front-position"]
const plate: readonly RuleFunction[] = ["plate"]
const l: readonly RuleBook[] = ["un-l"]
const car: readonly RuleBook[] = ["un-car"]
const un: readonly RuleBook[] = ["un-l", "un-car"]
const us: readonly RuleBook[] = ["us-motorcycle"]

const r53 = "UN R53 / EEC 93/92, 2009/67/EC annex IV"
const r48 = "UN R48"
const fmvss = "49 CFR 571.108, rewrite of 4 December 2007"

type Row = readonly [
  id: string,
  books: readonly RuleBook[],
  functions: readonly RuleFunction[],
  item: FittingRule["item"],
  text: string,
  source: Source,
]

const table: readonly Row[] = [
  ["G-10", l, turn, "number", "Two on each side: two front, two rear.", read(r53)],
  ["G-11", l, turn, "distance", "Front pair: lit surfaces at least 240 mm apart.", read(r53)],
  ["G-12", l, turn, "position", "Front pair: outside the headlamp's lit surface.", read("ADR 19; EEC 93/92")],
  [
    "G-13",
    l,
    turn,
    "distance",
    "Front, to the nearest dipped beam, lit surface to lit surface: at least 75 mm from 90 cd, 40 mm from 175 cd, 20 mm from 250 cd, less from 400 cd.",
    read("EEC 93/92 §6.3.3.1.1.3"),
  ],
  [
    "G-14",
    l,
    turn,
    "distance",
    "Rear pair: inner edges of the lit surfaces at least 180 mm apart.",
    read("ADR 19; EEC 93/92; 2009/67/EC annex IV"),
  ],
  ["G-15", l, turn, "height", "350 to 1200 mm above the ground.", read(r53)],
  [
    "G-16",
    l,
    turn,
    "position",
    "Rear pair: at most 300 mm from the vehicle's rear end, lengthwise.",
    read(r53),
  ],
  [
    "G-17",
    l,
    turn,
    "visibility",
    "Seen from 20° inward to 80° outward, 15° up and down; 5° down below 750 mm.",
    read("2009/67/EC annex IV n. 6.3"),
  ],
  [
    "G-18",
    l,
    stop,
    "height",
    "250 to 1500 mm above the ground; one or two lamps.",
    read("club summary of UN R53"),
  ],
  [
    "G-19",
    l,
    stop,
    "visibility",
    "A single lamp 45° to both sides, a pair 45° outward and 10° inward; 15° up and down, 5° down below 750 mm.",
    memory("UN R53 §6.4", "M"),
  ],
  ["G-20", l, rear, "height", "250 to 1500 mm above the ground.", read("club summary of UN R53")],
  [
    "G-21",
    l,
    rear,
    "visibility",
    "A single lamp 80° to both sides, a pair 80° outward and 45° inward; 15° up and down, 5° down below 750 mm.",
    memory("UN R53 §6.7", "M", "recalled; newer series change the inward angle"),
  ],
  [
    "G-22",
    l,
    front,
    "height",
    "350 to 1200 mm above the ground; one or two lamps.",
    memory("UN R53 §6.6", "M"),
  ],
  [
    "G-23",
    l,
    front,
    "visibility",
    "A single lamp 80° to both sides, a pair 80° outward and 20 to 45° inward by edition; 15° up and down.",
    memory("UN R53 §6.6", "M"),
  ],
  [
    "G-25",
    l,
    [...turn, ...stop, ...rear, ...front],
    "position",
    "Pairs stand symmetric about the vehicle's middle plane and square to it, have one colour, and light together.",
    memory(r53, "H"),
  ],
  [
    "G-26",
    l,
    [...turn, ...stop, ...rear],
    "position",
    "Wide three-wheelers need pairs: outer edge at most 400 mm from the vehicle's side, inner edges at least 500 mm apart (400 mm on a narrow one), 350 to 1500 mm high; indicators seen 45° inward and 80° outward.",
    memory("Reg. (EU) 3/2014 annex IX", "L"),
  ],
  [
    "G-40",
    car,
    [...turn, ...rear],
    "distance",
    "Outer edge at most 400 mm from the vehicle's side; inner edges at least 600 mm apart, 400 mm under 1300 mm of vehicle width.",
    read("EEC 76/756 text (UN R48), degraded copies", "rear lamps read, indicators recalled"),
  ],
  [
    "G-41",
    car,
    stop,
    "position",
    "350 to 1500 mm high (2100 mm where the body forces it), 400 mm apart, seen 45° to each side, 15° up and down (10° down below 1500 mm).",
    read("SR(NI) 2000/169 schedule 12"),
  ],
  [
    "G-42",
    car,
    turn,
    "position",
    "350 to 1500 mm high (2100 mm); seen 45° inward and 80° outward, 15° up and down (5° down below 750 mm).",
    read("German inspection extract for cars", "heights; angles recalled"),
  ],
  [
    "G-43",
    car,
    turn,
    "distance",
    "Front, to the dipped beam: 40 mm category 1; 20 to 40 mm category 1a; less category 1b.",
    memory(r48, "H"),
  ],
  [
    "G-44",
    car,
    rear,
    "visibility",
    "45° inward, 80° outward; 15° up and down (5° down below 750 mm).",
    read("EEC 76/756 text (UN R48), degraded copy"),
  ],
  [
    "P-41",
    un,
    [...turn, ...stop, ...rear, ...front],
    "height",
    "Mounted below 750 mm the light need reach its values only down to 5° below the level.",
    memory("UN R6, R7, R50", "M"),
  ],
  [
    "Q-08",
    un,
    turn,
    "position",
    "Sweeping: gaps may not make parts overlap in height on the way outward, nor hold another lamp.",
    memory("UN R6 §5.6 / R50 §6.8 (c)", "M"),
  ],
  [
    "T-13",
    un,
    turn,
    "wiring",
    "All indicators of a side hang on one switch and flash in phase.",
    read("UN R48 §6.5 lineage; Swiss VTS art. 79(2)"),
  ],
  [
    "T-16",
    un,
    turn,
    "wiring",
    "Hazard warning: all indicators together, by a switch of its own.",
    read("ADR 19 / UN R53 wording"),
  ],
  [
    "F-01",
    un,
    turn,
    "failure",
    "When one indicator fails otherwise than by a short, the others of its side go on flashing.",
    read("EEC 76/756 text (UN R48), degraded copy"),
  ],
  [
    "F-03",
    l,
    turn,
    "failure",
    "A tell-tale, seen or heard, shows that the indicators work; on failure it goes out, stays on or changes its rate.",
    read("EC rule summaries of UN R53 §6.3", "optical or acoustic; rest recalled"),
  ],
  [
    "F-07",
    un,
    turn,
    "failure",
    "LED indicators: the tell-tale must tell when any one light source fails, or when so many have failed that the least intensity is missed. This lamp cannot tell the vehicle; ask the test house.",
    memory("UN R6 §6.4 lineage, R50, R148", "M"),
  ],
  [
    "F-08",
    un,
    [...stop, ...rear],
    "failure",
    "With one light source failed the lamp still meets its distribution, or a tell-tale reports it.",
    read("GRE-76-22/Rev.1"),
  ],
  [
    "P-80",
    un,
    plate,
    "visibility",
    "Readable from 25 m by night; at least 2.5 cd/m² over the plate.",
    read("German rules of 1990"),
  ],
  [
    "G-42b",
    car,
    [...rear, ...front],
    "height",
    "350 to 1500 mm high (2100 mm where the body forces it).",
    memory(r48, "H", "position in height"),
  ],
  [
    "G-43b",
    car,
    front,
    "distance",
    "Outer edge at most 400 mm from the vehicle's side; inner edges at least 600 mm apart, 400 mm under 1300 mm of vehicle width.",
    memory(r48, "M", "position in width; recalled, not required on all vehicles"),
  ],
  [
    "G-45",
    car,
    front,
    "visibility",
    "45° inward, 80° outward; 15° up and down (5° down below 750 mm).",
    memory(`${r48} §6.9`, "M"),
  ],
  [
    "P-09",
    un,
    [...turn, ...stop, ...rear, ...front],
    "number",
    "Two lamps of one function side by side (marked D): each at most half of the greatest light of a single one.",
    memory("UN R50, R6, R7", "M"),
  ],
  [
    "P-44",
    un,
    rear,
    "visibility",
    "Where it shares its surface with the stop light, up to 60 cd is allowed below a plane 5° under the level.",
    memory("UN R7, R50", "M"),
  ],
  [
    "P-84",
    un,
    plate,
    "position",
    "Its light strikes no part of the plate at more than 82° from the plate's normal.",
    memory("UN R4, R50", "M"),
  ],
  [
    "P-87",
    [...un, ...us],
    plate,
    "visibility",
    "Shows no white light straight to the rear.",
    memory("UN R4, R50; 571.108", "H"),
  ],
  [
    "P-86",
    us,
    plate,
    "position",
    "Its light strikes the plate at 8° to the plate's plane or more.",
    memory(fmvss, "M"),
  ],
  [
    "L-07",
    us,
    turn,
    "distance",
    "Front pair at least 406 mm (16 in) apart, centre to centre.",
    memory(fmvss, "H"),
  ],
  [
    "L-08",
    us,
    turn,
    "distance",
    "Front: at least 102 mm (4 in) from the headlamp, lit edge to lit edge.",
    read("agency letters, latest of 2005"),
  ],
  [
    "L-09",
    us,
    turn,
    "distance",
    "Rear pair at least 229 mm (9 in) apart, centre to centre.",
    memory(fmvss, "H"),
  ],
  [
    "L-10",
    us,
    turn,
    "distance",
    "Rear: at least 102 mm (4 in) from a stop or tail lamp on the centre line, edge to edge.",
    read("agency letters of 1984 and 1987"),
  ],
  [
    "L-11",
    us,
    [...stop, ...rear],
    "number",
    "One on the vertical centre line, or two symmetric.",
    read("agency letters"),
  ],
  ["L-12a", us, turn, "height", "508 to 2108 mm (20 to 83 in) above the ground.", memory(fmvss, "M")],
  [
    "L-12b",
    us,
    [...stop, ...rear],
    "height",
    "381 to 1829 mm (15 to 72 in) above the ground.",
    memory(fmvss, "M"),
  ],
  [
    "L-14a",
    us,
    turn,
    "visibility",
    "At least 0.3 cd from 20° inward to 80° outward, 15° up and down; or 1250 mm² unobstructed over 45°.",
    memory(fmvss, "M"),
  ],
  [
    "L-14b",
    us,
    stop,
    "visibility",
    "At least 0.3 cd 45° to both sides, 15° up and down.",
    memory(fmvss, "M"),
  ],
  [
    "L-14c",
    us,
    rear,
    "visibility",
    "At least 0.05 cd from 45° inward to 80° outward (a single lamp 80° to both sides), 15° up and down.",
    memory(fmvss, "M"),
  ],
  [
    "U-07",
    us,
    [...stop, ...rear],
    "wiring",
    "Steady: neither stop nor tail light may sweep or flash.",
    read("agency letter of 1993", "tail lamps; stop recalled"),
  ],
  [
    "U-08",
    us,
    stop,
    "wiring",
    "Where stop and turn share a surface the stop light is off on the side that flashes.",
    read("California Vehicle Code 24252(c)(1)"),
  ],
  [
    "F-04",
    us,
    turn,
    "failure",
    "Failure shows by steady on, steady off or a marked change of rate.",
    read("agency letters of 1991"),
  ],
]

export const fittingRules: readonly FittingRule[] = table.map(
  ([id, books, functions, item, text, source]) => ({
    id,
    books,
    functions,
    item,
    text,
    source,
  }),
)

/** A fitter's rules for a rule book and some functions, in the order of the table. */
export const fittingFor = (book: RuleBook, functions: readonly string[]): readonly FittingRule[] =>
  fittingRules.filter((r) => r.books.includes(book) && r.functions.some((f) => functions.includes(f)))
