// What each rule book is asked of, topic by topic: the rules that stand for it, or why there is none.

import type { Source } from "../0-ground/source.ts"
import { fittingRules } from "./fitting-rules.ts"
import {
  areaRules,
  axisRules,
  colourOf,
  colourRegions,
  oneLampRules,
  placeRules,
  plateRules,
  type RuleBook,
  ratioRules,
  sweepRules,
  timingRules,
  unGridSource,
  visibilityFields,
  visibilityFloor,
  wavelengthDrift,
} from "./lighting-rules.ts"
import { usTables } from "./us-photometry.ts"

export interface Covering {
  readonly id: string
  readonly text: string
  readonly source: Source
}

export interface Topic {
  readonly topic: string
  /** Codes of the findings that tell it. */
  readonly told: string
  readonly rules: (book: RuleBook) => readonly Covering[]
}

export const ruleBooks: readonly { readonly book: RuleBook; readonly name: string }[] = [
  { book: "un-l", name: "UN category L (motorcycles, mopeds, three-wheelers)" },
  { book: "us-motorcycle", name: "United States, motorcycles" },
  { book: "un-car", name: "UN cars and trailers" },
]

interface Held {
  readonly id: string
  readonly books: readonly RuleBook[]
  readonly source: Source
  readonly text?: string
  readonly functions?: readonly string[]
}

const told = (r: Held, text?: string): Covering => ({
  id: r.id,
  text: text ?? r.text ?? "",
  source: r.source,
})
const from = (
  shelf: readonly Held[],
  book: RuleBook,
  only: (r: Held & { like?: string }) => boolean = () => true,
) => shelf.filter((r) => r.books.includes(book) && only(r)).map((r) => told(r))
const named =
  (shelf: readonly Held[], ...ids: readonly string[]) =>
  (book: RuleBook) =>
    from(shelf, book, (r) => ids.includes(r.id) || (r.like !== undefined && ids.includes(r.like)))
const fitted =
  (...items: readonly string[]) =>
  (book: RuleBook) =>
    fittingRules
      .filter((r) => r.books.includes(book) && items.includes(r.item))
      .map((r) => told(r, `${r.functions.join(", ")}: ${r.text}`))

const vehicles = (book: RuleBook) => book !== "us-motorcycle"

export const topics: readonly Topic[] = [
  {
    topic: "Intensity: least on the axis, greatest anywhere",
    told: "light.intensity-least, light.intensity-most",
    rules: (book) =>
      vehicles(book)
        ? axisRules
            .filter((r) => r.books.includes(book))
            .flatMap((r) => [
              told(r),
              ...(r.lowSource ? [told({ ...r, source: r.lowSource }, `${r.low} cd, the least of it`)] : []),
            ])
        : usTables
            .filter((t) => t.sections === 1)
            .map((t) => ({
              id: t.id,
              text: `${t.functions.join(", ")}, ${t.colours.join(" or ")}, ${t.place}: sums of ${t.groups.g1}, ${t.groups.g2} and ${t.groups.g3} cd over the groups of test points${t.high === undefined ? "" : `, at most ${t.high} cd`}`,
              source: t.source,
            })),
  },
  {
    topic: "Intensity: grid of test points",
    told: "light.distribution",
    rules: (book) =>
      vehicles(book)
        ? [
            {
              id: "UN-grid",
              text: "Nineteen test points, each a share of the least on the axis; between them the lowest share round about",
              source: unGridSource,
            },
          ]
        : usTables
            .filter((t) => t.sections === 1)
            .map((t) => ({
              id: t.id,
              text: `Nineteen test points, each at least 60 % of its value (${Math.min(...t.points.map((p) => p.low))} to ${Math.max(...t.points.map((p) => p.low))} cd)`,
              source: t.source,
            })),
  },
  {
    topic: "Intensity: counted as two or three lighted sections",
    told: "light.two-sections, light.three-sections",
    rules: (book) =>
      vehicles(book)
        ? []
        : usTables
            .filter((t) => t.sections > 1)
            .map((t) => ({
              id: t.id,
              text: `${t.functions.join(", ")}, ${t.colours.join(" or ")}, ${t.place}: sums of ${t.groups.g1}, ${t.groups.g2} and ${t.groups.g3} cd${t.high === undefined ? "" : `, at most ${t.high} cd`}`,
              source: t.source,
            })),
  },
  {
    topic: "Light in the field of visibility",
    told: "light.visibility",
    rules: (book) => [
      ...from(visibilityFloor, book),
      ...visibilityFields
        .filter((f) => f.books.includes(book))
        .map((f) =>
          told(
            f,
            `${f.functions.join(", ")}: ${f.inward}° inward, ${f.outward}° outward, ${f.vertical}° up and down`,
          ),
        ),
    ],
  },
  {
    topic: "Ratio of stop to tail, and of turn to tail",
    told: "light.stop-to-tail, light.turn-to-tail",
    rules: (book) => from(ratioRules, book),
  },
  {
    topic: "Flash rate",
    told: "light.flash-rate (as described and as seen on the bench)",
    rules: named(timingRules, "T-01", "T-02", "T-04"),
  },
  {
    topic: "On-share",
    told: "light.on-share (as described and as seen on the bench)",
    rules: named(timingRules, "T-08"),
  },
  {
    topic: "Start-up",
    told: "light.first-light",
    rules: named(timingRules, "T-06"),
  },
  {
    topic: "First extinction",
    told: "light.first-dark",
    rules: named(timingRules, "T-07", "V-05b"),
  },
  {
    topic: "Voltage of the test",
    told: "corner of every light finding",
    rules: named(timingRules, "V-07", "V-08"),
  },
  { topic: "Sweep: lit until the end", told: "light.sweep-held", rules: named(sweepRules, "Q-02") },
  {
    topic: "Sweep: outward, uniform",
    told: "light.sweep-order, light.sweep-uniform",
    rules: named(sweepRules, "Q-03"),
  },
  { topic: "Sweep: within 200 ms", told: "light.sweep-finished", rules: named(sweepRules, "Q-05") },
  { topic: "Sweep: one vertical turn", told: "light.sweep-turns", rules: named(sweepRules, "Q-04") },
  { topic: "Sweep: gaps", told: "light.sweep-gap; build sheet", rules: named(sweepRules, "Q-06", "Q-08") },
  { topic: "Sweep: box", told: "light.sweep-box", rules: named(sweepRules, "Q-09") },
  { topic: "Sweep: first step", told: "light.first-step, light.lit-area", rules: named(sweepRules, "U-04") },
  {
    topic: "Colour of each function",
    told: "light.colour-wanted",
    rules: (book) =>
      colourOf
        .filter((c) => c.books.includes(book))
        .map((c) =>
          told(c, `${c.place ? `${c.place} ` : ""}${c.functions.join(", ")}: ${c.colours.join(" or ")}`),
        ),
  },
  {
    topic: "Colour boundaries, drift with temperature",
    told: "light.colour, light.colour-range",
    rules: () => [
      ...Object.entries(colourRegions).map(([name, r]) => ({
        id: r.id,
        text: `${name}: ${r.wavelength ? `${r.wavelength.low} to ${r.wavelength.high} nm` : "2254 to 6735 K along the black bodies' line"}`,
        source: r.source,
      })),
      {
        id: "drift",
        text: `amber ${wavelengthDrift.amber.low} to ${wavelengthDrift.amber.high} nm/K, red ${wavelengthDrift.red.low} to ${wavelengthDrift.red.high} nm/K`,
        source: wavelengthDrift.source,
      },
    ],
  },
  { topic: "Lit area", told: "light.lit-area", rules: (book) => from(areaRules, book) },
  {
    topic: "Gaps between separate holes: one lamp",
    told: "light.one-lamp",
    rules: (book) => from(oneLampRules, book),
  },
  {
    topic: "Registration plate",
    told: "light.plate-least, light.plate-even, light.plate-angle, light.plate-rearward",
    rules: (book) => from(plateRules, book),
  },
  {
    topic: "Separations, as far as the description tells them",
    told: "light.indicators-apart",
    rules: (book) => from(placeRules, book),
  },
  { topic: "Fitter's table: mounting heights", told: "build sheet, On the vehicle", rules: fitted("height") },
  {
    topic: "Fitter's table: separations and places",
    told: "build sheet, On the vehicle",
    rules: fitted("distance", "position", "number"),
  },
  { topic: "Fitter's table: visibility", told: "build sheet, On the vehicle", rules: fitted("visibility") },
  {
    topic: "Fitter's table: wiring and failure",
    told: "build sheet, On the vehicle",
    rules: fitted("wiring", "failure"),
  },
]

/** Why a book has no rule for a topic. */
export const without: Readonly<Partial<Record<RuleBook, Readonly<Record<string, string>>>>> = {
  "un-l": {
    "Intensity: counted as two or three lighted sections": "The UN tables do not count sections.",
    "Sweep: first step": "The UN text judges the sweep as a whole.",
    "Lit area": "No least area is known; the rule on gaps stands for it.",
  },
  "un-car": {
    "Intensity: counted as two or three lighted sections": "The UN tables do not count sections.",
    "Sweep: first step": "The UN text judges the sweep as a whole.",
    "Lit area": "No least area is known; the rule on gaps stands for it.",
  },
  "us-motorcycle": {
    "Start-up": "Only the end of the first cycle or light is limited (first extinction).",
    "Sweep: lit until the end": "The voluntary practice allows sequential switching off too.",
  },
}
