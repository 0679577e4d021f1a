// Which keys a description has, their units, ranges and defaults. Types, checks and the published JSON Schema
// all come from here.

import { z } from "zod"
import {
  type Dimension,
  exampleOf,
  inShownUnit,
  readQuantity,
  readSize,
  showQuantity,
  unitOf,
} from "./read-quantity.ts"

/** What a refused value carries to the finding. */
export interface Refusal {
  readonly finding: "no-number" | "no-unit" | "unknown-unit" | "wrong-unit" | "out-of-range" | "bad-name"
  readonly says: string
  readonly suggestion?: string
  readonly measured?: number
  readonly limit?: number
  readonly kind?: "at least" | "at most"
  readonly unit?: string
}

interface Bounds {
  readonly low: number
  readonly high: number
}

function refuse(ctx: z.core.ParsePayload, params: Refusal): never {
  ctx.issues.push({ code: "custom", message: params.says, input: ctx.value, params: { ...params } })
  return z.NEVER
}

const codeOf = {
  "no-number": "no-number",
  "no-unit": "no-unit",
  "unknown-unit": "unknown-unit",
  "wrong-dimension": "wrong-unit",
} as const

const scalarIn = z.union([z.string(), z.number()])

/** A value with its unit; `low` and `high` are both allowed. */
function quantity(dimension: Dimension, about: string, bounds: Bounds, example = exampleOf(dimension)) {
  const { low, high } = bounds
  return scalarIn
    .transform((raw, ctx): number => {
      const read = readQuantity(raw, dimension)
      if (!read.ok)
        return refuse(ctx, {
          finding: codeOf[read.problem],
          says: read.says,
          // The example of this very key says more than that of any length.
          ...(read.suggestion === undefined
            ? {}
            : { suggestion: read.suggestion === exampleOf(dimension) ? example : read.suggestion }),
        })
      if (read.value >= low - 1e-12 && read.value <= high + 1e-12) return read.value
      const below = read.value < low
      return refuse(ctx, {
        finding: "out-of-range",
        says: `${showQuantity(read.value, dimension)} is ${below ? "below" : "above"} ${showQuantity(below ? low : high, dimension)}, the ${below ? "least" : "most"} that can be meant here`,
        measured: inShownUnit(read.value, dimension),
        limit: inShownUnit(below ? low : high, dimension),
        kind: below ? "at least" : "at most",
        unit: unitOf(dimension),
      })
    })
    .meta({
      description: `${about} Between ${showQuantity(low, dimension)} and ${showQuantity(high, dimension)}.`,
      examples: [example],
    })
}

const length = (about: string, low: number, high: number, example?: string) =>
  quantity("length", about, { low, high }, example)

const size = (about: string, low: number, high: number) =>
  z
    .string()
    .transform((raw, ctx): { w: number; h: number } => {
      const read = readSize(raw)
      if ("w" in read) {
        for (const side of [read.w, read.h])
          if (side < low || side > high)
            return refuse(ctx, {
              finding: "out-of-range",
              says: `${side} mm is outside ${low} mm to ${high} mm`,
              measured: side,
              limit: side < low ? low : high,
              kind: side < low ? "at least" : "at most",
              unit: "mm",
            })
        return { w: read.w, h: read.h }
      }
      if (read.ok) return refuse(ctx, { finding: "no-number", says: "a size needs two lengths" })
      return refuse(ctx, {
        finding: codeOf[read.problem],
        says: read.says,
        ...(read.suggestion === undefined ? {} : { suggestion: read.suggestion }),
      })
    })
    .meta({ description: `${about} Width × height.`, examples: ["70 × 45 mm"] })

const label = (about: string) => z.string().min(1).max(120).meta({ description: about })
const whole = (about: string, low: number, high: number) =>
  z.number().int().min(low).max(high).meta({ description: about })
const word = (about: string) => z.string().min(1).max(60).meta({ description: about })

const coordinate = length("A coordinate; x to the right, y up.", -5000, 5000, "12 mm")
const point = z.tuple([coordinate, coordinate]).meta({ description: "A point: [x, y]." })

const reservedFiles = /^(con|prn|aux|nul|com\d|lpt\d)$/i

/** Mapping from a name of the builder's choice. */
function named<T extends z.ZodType>(about: string, value: T) {
  return z
    .record(z.string(), value)
    .meta({ description: `${about} The names are yours: letters, digits, hyphen and underscore.` })
}

/** Why a name cannot be used for a wire, face, group or board; undefined when it can. */
export function nameFault(name: string): string | undefined {
  if (!/^[A-Za-z][A-Za-z0-9_-]*$/.test(name))
    return "only letters, digits, hyphen and underscore are taken, beginning with a letter"
  if (name.length > 40) return "it is longer than 40 characters"
  if (reservedFiles.test(name)) return "some systems cannot have a file of this name"
  return undefined
}

const wire = z
  .strictObject({
    role: z.enum(["steady", "flashing", "supply", "earth"]).meta({
      description:
        "steady: a lamp switch; flashing: through the flasher; supply: always live; earth: the return.",
    }),
    flasher: z.enum(["thermal", "load-sensing", "electronic"]).optional().meta({
      description:
        "Flashing wires: the kind of flasher in the vehicle; it decides whether a small load is taken for a failed bulb.",
    }),
    rate: quantity(
      "rate",
      "Flashing wires: flashes per minute; 90 /min when absent.",
      { low: 0.2, high: 10 },
      "90 /min",
    ).optional(),
    "on-share": quantity(
      "share",
      "Flashing wires: share of a period with the wire live; 50 % when absent.",
      { low: 0.05, high: 0.95 },
      "50 %",
    ).optional(),
    replaces: quantity(
      "power",
      "Wattage of the bulb this wire fed before.",
      { low: 0.1, high: 200 },
      "21 W",
    ).optional(),
    ballast: quantity(
      "resistance",
      "Flashing wires: load resistor fitted outside the lamp from this wire to earth, for a flasher that watches its load.",
      { low: 1, high: 10_000 },
      "12 Ω",
    ).optional(),
    "tell-tale": z
      .strictObject({
        to: word("The flashing wire on its other side."),
        bulb: quantity("power", "Wattage of its bulb.", { low: 0.1, high: 10 }, "3.4 W"),
      })
      .optional()
      .meta({
        description:
          "Flashing wires: one tell-tale bulb between this wire and the other side's, which returns through the idle side.",
      }),
    fuse: quantity("current", "Fuse in this wire.", { low: 0.05, high: 60 }, "5 A").optional(),
    size: quantity("area", "Conductor cross-section.", { low: 0.05, high: 25 }, "0.75 mm²").optional(),
    length: length(
      "Length one way, from the fuse or earth point to the lamp.",
      10,
      50_000,
      "2.4 m",
    ).optional(),
    colour: z.string().max(40).optional().meta({ description: "Insulation colour, free text." }),
    "live-after": quantity(
      "time",
      "How long it must be live before the lamp believes it; 3 ms when absent; longer than that its light comes later than 5 ms.",
      { low: 0.001, high: 0.05 },
      "3 ms",
    ).optional(),
    "dead-after": quantity(
      "time",
      "How long it must be dead before the lamp believes it; 8 ms for flashing and stop wires, else 10 ms, when absent.",
      { low: 0.001, high: 0.05 },
      "8 ms",
    ).optional(),
  })
  .meta({ description: "A wire of the vehicle that reaches the lamp." })

const arc = z
  .strictObject({
    along: z.literal("arc"),
    centre: point,
    radius: length("Radius of the arc.", 0.5, 5000, "80 mm"),
    from: quantity("angle", "Angle of the first hole, counter-clockwise from the right.", {
      low: -720,
      high: 720,
    }),
    to: quantity("angle", "Angle of the last hole.", { low: -720, high: 720 }),
    count: whole("Number of holes, evenly spaced.", 1, 500),
    name: word("Begins each hole's id; hole when absent.").optional(),
  })
  .meta({ description: "Holes along an arc." })
const line = z
  .strictObject({
    along: z.literal("line"),
    from: point,
    to: point,
    count: whole("Number of holes, evenly spaced.", 1, 500),
    name: word("Begins each hole's id; hole when absent.").optional(),
  })
  .meta({ description: "Holes along a straight line." })
const list = z
  .strictObject({
    along: z.literal("list"),
    points: z.array(point).min(1).max(500),
    name: word("Begins each hole's id; hole when absent.").optional(),
  })
  .meta({ description: "Holes at the points listed." })
const pattern = z.union([line, arc, list])

const outlineForms = [
  z
    .strictObject({
      rectangle: size("Lower left corner at 0, 0.", 2, 2000),
      corner: length("Radius of the corners; square when absent.", 0, 1000, "4 mm").optional(),
    })
    .meta({ description: "A rectangle." }),
  z
    .strictObject({ circle: length("Diameter; the circle touches both axes.", 2, 2000, "60 mm") })
    .meta({ description: "A disc." }),
  z.strictObject({ points: z.array(point).min(3).max(5000) }).meta({ description: "A closed polygon." }),
] as const

const screws = z
  .union([
    z.strictObject({
      diameter: length("Screw hole.", 0.5, 20, "3.2 mm"),
      corners: length("One in each corner, this far from both sides.", 0.5, 500, "4 mm"),
    }),
    z.strictObject({
      diameter: length("Screw hole.", 0.5, 20, "3.2 mm"),
      at: z.array(point).min(1).max(100),
    }),
  ])
  .meta({ description: "Screw holes: one in each corner, or at the points listed." })

const drawingRef = z
  .string()
  .regex(
    /^[^#]+#[^#]+$/,
    "does not name a drawing and an element in it|Write the file, a hash and the element's id: tern-face.svg#crescent.",
  )
  .meta({
    description: "An SVG file beside the description and the id of one element in it.",
    examples: ["tern-face.svg#crescent"],
  })

const face = z
  .strictObject({
    drawing: drawingRef.optional(),
    outline: z.union(outlineForms).optional().meta({ description: "The edge, where there is no drawing." }),
    holes: z
      .union([pattern, z.array(pattern).min(1).max(50)])
      .optional()
      .meta({ description: "LED holes, where there is no drawing." }),
    screws: screws.optional(),
    metal: label("What the face is made of, free text."),
    thickness: length("Thickness of the face.", 0.2, 20, "2 mm"),
    hole: length(
      "Nominal LED hole. In a drawing, circles of this diameter (within 0.15 mm) are LED holes.",
      0.5,
      25,
      "5.2 mm",
    ),
    drill: length(
      "What the LED holes are really drilled to; as drawn when absent.",
      0.5,
      25,
      "5.3 mm",
    ).optional(),
    "centre-line": length(
      "x of the vehicle's centre line, in the face's coordinates; outward and inward count from it.",
      -5000,
      5000,
      "160 mm",
    ).optional(),
  })
  .meta({ description: "A metal face as seen from the road: a drawing, or an outline with holes." })

const functions = [
  "rear-position",
  "stop",
  "direction-indicator",
  "front-position",
  "marker",
  "reversing",
  "plate",
] as const

const angle = (about: string, low: number, high: number, example: string) =>
  quantity("angle", about, { low, high }, example)

const aim = z
  .strictObject({
    right: angle(
      "Turned to the right as seen by whoever faces the lamp; negative: to the left.",
      -80,
      80,
      "10°",
    ).prefault("0°"),
    up: angle("Turned upward; negative: down.", -80, 80, "0°").prefault("0°"),
  })
  .meta({ description: "Where LEDs look that are not square to the lamp's axis." })

const edges = <T extends z.ZodType>(about: string, one: T) =>
  z.tuple([one, one]).meta({ description: `${about} Lower and upper edge.` })

const bin = z
  .strictObject({
    light: edges(
      "Intensity on the axis at the test current.",
      quantity("intensity", "An edge of the bin.", { low: 0.0005, high: 1000 }, "3.2 cd"),
    ).optional(),
    wavelength: edges(
      "Dominant wavelength.",
      quantity("wavelength", "An edge of the bin.", { low: 380, high: 780 }, "590 nm"),
    ).optional(),
    beam: angle("Angle between the two half-intensity directions.", 2, 175, "30°").optional(),
    "colour-temperature": edges(
      "White LEDs: correlated colour temperature.",
      quantity("colour-temperature", "An edge of the bin.", { low: 1000, high: 25000 }, "3000 K"),
    ).optional(),
  })
  .meta({
    description: "What the LEDs' own packet or data sheet promises, where it differs from the stock's.",
  })

const numberPlate = z
  .strictObject({
    size: size("The registration plate the group lights.", 20, 1000),
    below: length(
      "From the middle of the group's LEDs down to the middle of the plate; negative where the plate lies higher.",
      -1000,
      1000,
      "80 mm",
    ),
    behind: length(
      "How far the plate's surface lies behind the LEDs, square to the plate.",
      1,
      1000,
      "40 mm",
    ),
    right: length(
      "From the middle of the group's LEDs to the middle of the plate, to the right as seen by whoever reads it.",
      -1000,
      1000,
      "0 mm",
    ).prefault("0 mm"),
    tilt: angle(
      "How far the lamp's face is turned down from the way the plate looks; 90° (when absent): it hangs level over the plate and looks straight down; more: towards the plate.",
      -180,
      180,
      "100°",
    ).prefault("90°"),
  })
  .meta({ description: "Where the registration plate lies that the group lights." })

const group = z
  .strictObject({
    face: word("Name of the face its holes are in."),
    led: word("Key of an LED in the stock, for example red-5mm."),
    functions: z
      .array(z.enum(functions))
      .min(1)
      .max(7)
      .meta({ description: "What the group is seen as on the road." }),
    order: z
      .union([
        z.enum([
          "outward",
          "inward",
          "left-to-right",
          "right-to-left",
          "top-to-bottom",
          "bottom-to-top",
          "drawn",
        ]),
        z
          .strictObject({
            along: z.union([drawingRef, z.array(point).min(2).max(500)]).meta({
              description:
                "A line to follow: an SVG file and the id of a path in it, or points. Each hole stands where the line comes nearest to it.",
            }),
          })
          .meta({ description: "Along a line." }),
        z
          .array(z.union([z.string(), z.number()]).transform(String).meta({ description: "A hole's id." }))
          .min(1)
          .max(500)
          .meta({ description: "Hole ids, first to last: every hole of the group once." }),
      ])
      .default("drawn")
      .meta({ description: "Order for sweeps and LED numbers, as seen from the road." }),
    holes: z
      .array(z.union([z.string(), z.number()]).transform(String))
      .min(1)
      .max(500)
      .optional()
      .meta({ description: "Ids of its holes; every LED hole of the face when absent." }),
    current: quantity(
      "current",
      "Wanted LED current at full level and usual supply; chosen by the tool when absent.",
      { low: 0.0005, high: 2 },
      "20 mA",
    ).optional(),
    bin: bin.optional(),
    beam: z
      .string()
      .min(1)
      .max(200)
      .optional()
      .meta({
        description:
          "A measured light distribution of one such LED: a photometric file (LM-63, .ies) beside the description. Its shape counts; how strong it is the bin says.",
        examples: ["red-led.ies"],
      }),
    lens: quantity(
      "share",
      "Light that a lens or window before the LEDs lets through; all of it when absent.",
      { low: 0.01, high: 1 },
      "85 %",
    ).optional(),
    place: z.enum(["front", "rear"]).optional().meta({
      description:
        "Which end of the vehicle it shines from; when absent its functions tell, and an indicator is taken as a rear one.",
    }),
    "dipped-beam": length(
      "Front indicators: from their lit surface to that of the nearest dipped beam; it decides how much light is asked.",
      0,
      2000,
      "60 mm",
    ).optional(),
    plate: numberPlate.optional(),
    aim: aim.optional(),
    aims: z
      .record(z.string(), aim)
      .optional()
      .meta({ description: "LEDs that look elsewhere than the others, by the id of their hole." }),
  })
  .meta({ description: "LEDs that light together." })

/** A time, or a share of the on-time; which one it is, the unit tells. */
function timeOrShare(about: string) {
  const time = quantity("time", about, { low: 0.001, high: 5 }, "180 ms")
  const share = quantity("share", about, { low: 0.05, high: 0.85 }, "50 %")
  return scalarIn
    .transform((raw, ctx): { readonly time: number } | { readonly share: number } => {
      const isShare = readQuantity(raw, "share").ok
      const read = (isShare ? share : time).safeParse(raw)
      if (read.success) return isShare ? { share: read.data } : { time: read.data }
      for (const issue of read.error.issues) ctx.issues.push({ ...issue, input: raw } as never)
      return z.NEVER
    })
    .meta({
      description: `${about} Between 1 ms and 5 s, or between 5 % and 85 %.`,
      examples: ["180 ms", "50 %"],
    })
}

const flashLimit = (about: string, low: number, high: number, example: string) =>
  quantity("time", about, { low, high }, example).optional()

const flashing = z
  .strictObject({
    "shortest-on": flashLimit(
      "A flash shorter than this is a fault of the flasher; 100 ms when absent.",
      0.03,
      0.5,
      "100 ms",
    ),
    "steady-after": flashLimit(
      "A wire live for longer than this is on for good, not flashing; 1.5 s when absent.",
      0.3,
      10,
      "1.5 s",
    ),
    "contact-gap": flashLimit(
      "Dead for less than this is a bad contact, not the end of a flash; 80 ms when absent.",
      0.02,
      0.3,
      "80 ms",
    ),
    "new-operation-after": flashLimit(
      "After this long dead, the next flash counts as a first one; 2 s when absent.",
      0.5,
      30,
      "2 s",
    ),
    "unstable-for": flashLimit(
      "How long a misbehaving flasher gets plain light; 2 s when absent.",
      0.2,
      30,
      "2 s",
    ),
    "five-flashes-within": flashLimit(
      "Five flashes beginning within this time are too fast for a flasher; 1.024 s when absent.",
      0.1,
      4,
      "1024 ms",
    ),
    "held-back-for": flashLimit(
      "How long after the last flash the other lines of a shared group stay back; 750 ms when absent.",
      0.05,
      10,
      "750 ms",
    ),
  })
  .meta({ description: "What counts as a flash: the times by which flashing wires are judged." })

const programmeLine = z
  .strictObject({
    when: z
      .union([z.string(), z.array(z.string()).min(1).max(8)])
      .meta({ description: "The wire, or all the wires, that must be live." }),
    light: word("Name of the group."),
    level: quantity("share", "Share of full current.", { low: 0, high: 1 }, "12 %").prefault("100 %"),
    sweep: z
      .strictObject({
        within: timeOrShare(
          "From the first LED to the last: a time, or a share of the time its flashing wire is live.",
        ),
        "at-most": quantity(
          "time",
          "Where within is a share: never longer than this.",
          { low: 0.001, high: 5 },
          "200 ms",
        ).optional(),
        step: whole("LEDs that begin together; 1 when absent.", 1, 100).optional(),
        "first-flash": z.enum(["shortened", "together"]).optional().meta({
          description:
            "The first flash after a pause, whose length nobody knows yet: shortened (when absent) sweeps in so short a time that it is surely complete; together lights every LED at once.",
        }),
      })
      .optional()
      .meta({ description: "Lights the LEDs one after the other in the group's order." }),
    rise: quantity("time", "Time to full light.", { low: 0, high: 5 }, "20 ms").prefault("0 ms"),
    fall: quantity("time", "Time to dark.", { low: 0, high: 5 }, "10 ms").prefault("0 ms"),
    "between-flashes": z.enum(["dark", "other-lines"]).optional().meta({
      description:
        "Lines with a flashing wire, in a group that other lines light too: dark (when absent) keeps those lines back until the flasher has stopped; other-lines lets them show between the flashes.",
    }),
  })
  .meta({ description: "One line of the light programme." })

const notch = z
  .strictObject({
    at: point,
    width: length("Width of the notch; its end and its mouth are rounded.", 0.5, 100, "6 mm"),
    depth: length("How far it reaches in from the edge.", 0.3, 100, "4 mm"),
  })
  .meta({ description: "A rounded notch in the edge, nearest to the point given, for wires to pass." })

const slot = z
  .strictObject({
    from: point,
    to: point,
    width: length("Width of the slot; the router must fit in it.", 0.5, 50, "2 mm"),
  })
  .meta({ description: "A slot milled through the board between the middles of its two round ends." })

const clearForms = [
  z
    .strictObject({ at: point, size: size("Size of the area.", 0.5, 2000) })
    .meta({ description: "A rectangle by its lower left corner." }),
  z.strictObject({ points: z.array(point).min(3).max(500) }).meta({ description: "A closed polygon." }),
] as const

const engravedText = z
  .strictObject({
    says: z.string().min(1).max(60).meta({ description: "What is engraved, in single strokes." }),
    at: point,
    height: length("Height of the capitals.", 0.8, 50, "2.5 mm").prefault("2.5 mm"),
    turn: quantity("angle", "Turned counter-clockwise as read on the copper side.", {
      low: -360,
      high: 360,
    }).prefault("0°"),
  })
  .meta({ description: "Text engraved on the copper side, its middle at the point given." })

const board = z
  .strictObject({
    carries: z
      .array(z.string())
      .max(60)
      .meta({ description: "Group names and the words controller, drivers, supply." }),
    behind: word("The face it lies behind; its edge is then the face's edge moved in by inset.").optional(),
    outline: z
      .union([z.string(), ...outlineForms])
      .optional()
      .meta({
        description:
          "Own edge as seen from the component side: a size such as 90 × 65 mm, a drawing file.svg#id, or a rectangle, disc or polygon.",
      }),
    screws: screws.optional(),
    inset: length("How far its edge stays inside the face's edge.", 0, 100, "3 mm").prefault("2 mm"),
    height: length("Room between its component side and what lies above it.", 1, 300, "11 mm"),
    depth: length(
      "Room from the back of what lies above it to the cover or metal behind it; not judged when absent.",
      2,
      500,
      "25 mm",
    ).optional(),
    notch: length(
      "Notch or hole of the housing that the wires of this board leave through; not judged when absent.",
      1,
      100,
      "8 mm",
    ).optional(),
    "screw-heads": z.enum(["metal", "insulated"]).default("metal").meta({
      description: "insulated: plastic screws, or metal ones with an insulating washer under the head.",
    }),
    "room-for": z
      .enum(["everything", "leds-only"])
      .default("everything")
      .meta({ description: "What else may stand on it." }),
    "wires-at": point
      .optional()
      .meta({ description: "Where the wires leave; the nearest edge when absent." }),
    relief: z.enum(["ties", "none"]).default("ties").meta({
      description: "Strain relief at wires-at: two slots for a cable tie, or none.",
    }),
    notches: z.array(notch).min(1).max(20).optional(),
    slots: z.array(slot).min(1).max(20).optional(),
    clear: z.array(z.union(clearForms)).min(1).max(20).optional().meta({
      description: "Areas freed of all copper that is neither track nor land.",
    }),
    text: z.array(engravedText).min(1).max(20).optional(),
  })
  .meta({ description: "A board to be made." })

const supply = z
  .strictObject({
    lowest: quantity(
      "voltage",
      "Lowest at the lamp's wires with the lamp still lit.",
      { low: 0, high: 1000 },
      "9 V",
    ),
    usual: quantity("voltage", "With the engine running.", { low: 0, high: 1000 }, "13.5 V"),
    highest: quantity("voltage", "Highest that lasts.", { low: 0, high: 1000 }, "16 V"),
    surge: z.enum(["clamped", "unclamped"]).default("unclamped").meta({
      description: "Whether the vehicle itself clamps load-dump surges; unclamped is the harder case.",
    }),
  })
  .meta({ description: "The vehicle's 12 V supply as it reaches the lamp." })

const ambient = z
  .strictObject({
    lowest: quantity("temperature", "Coldest air around the lamp.", { low: -60, high: 100 }, "-20 °C"),
    highest: quantity("temperature", "Warmest air around the lamp.", { low: -40, high: 120 }, "50 °C"),
  })
  .meta({ description: "Air around the lamp." })

const rules = z.enum(["un-l", "us-motorcycle", "un-car"]).meta({
  description:
    "Which rule tables the lamp is compared with. A hand-built lamp is not type-approved; local law decides.",
})

const vehicle = z.strictObject({
  kind: label("What the lamp is for, free text."),
  rules,
  supply,
  ambient: ambient.prefault({ lowest: "-20 °C", highest: "50 °C" }),
  wires: named("The vehicle's wires at the lamp.", wire),
})

const copperClad = z
  .strictObject({
    base: z.enum(["FR1", "FR4"]).meta({ description: "Board material." }),
    thickness: length("Thickness of the board.", 0.2, 5, "1.6 mm"),
    copper: quantity("foil", "Copper thickness, or its weight (305 g/m², 1 oz/ft²).", {
      low: 0.005,
      high: 0.21,
    }),
    sheet: size("The sheet it is cut from.", 10, 1000),
    flatness: quantity(
      "share",
      "Bow of the loose sheet as a share of its length, as its maker says.",
      { low: 0, high: 0.1 },
      "1 %",
    ).optional(),
  })
  .meta({ description: "The copper-clad sheet." })

const cutter = z
  .strictObject({
    engraver: z.strictObject({
      tip: length("Flat at the tip.", 0, 3, "0.2 mm"),
      "run-out": length(
        "Run-out of the tip in the spindle, full reading of the gauge; it widens every groove.",
        0,
        0.5,
        "0.01 mm",
      ).optional(),
      wear: length(
        "Length of the point that is worn off; the flat is wider by what it lacks.",
        0,
        1,
        "0.05 mm",
      ).optional(),
      angle: quantity("angle", "Full included angle.", { low: 1, high: 120 }),
      depth: length("Cutting depth below the copper surface.", 0.01, 1, "0.1 mm"),
      feed: quantity("feed", "Feed while cutting.", { low: 1, high: 10_000 }),
      plunge: quantity("feed", "Feed into the copper.", { low: 1, high: 5000 }).prefault("100 mm/min"),
      spindle: quantity("rate", "Spindle speed.", { low: 1, high: 2000 }, "12000 /min").prefault(
        "12000 /min",
      ),
    }),
    drills: z
      .array(length("Drill diameter.", 0.3, 10, "0.8 mm"))
      .min(1)
      .max(30)
      .meta({ description: "Drills at hand." }),
    "drill-feed": quantity("feed", "Feed while drilling.", { low: 1, high: 3000 }).prefault("100 mm/min"),
    router: z.strictObject({
      diameter: length("Diameter of the end mill for edges.", 0.3, 6, "1.5 mm"),
      feed: quantity("feed", "Feed while routing.", { low: 1, high: 5000 }).prefault("240 mm/min"),
      "step-down": length("Depth of each pass.", 0.05, 3, "0.5 mm").prefault("0.5 mm"),
    }),
    mills: z
      .array(
        z.strictObject({
          diameter: length("Diameter of the end mill.", 0.1, 6, "0.8 mm"),
          feed: quantity("feed", "Feed while clearing.", { low: 1, high: 5000 }).prefault("200 mm/min"),
          plunge: quantity("feed", "Feed into the copper.", { low: 1, high: 5000 }).prefault("60 mm/min"),
        }),
      )
      .max(10)
      .optional()
      .meta({ description: "End mills at hand for clearing copper; without one the engraver clears." }),
    machine: z.strictObject({
      "greatest-feed": quantity("feed", "Fastest feed the machine cuts with.", {
        low: 10,
        high: 50_000,
      }).optional(),
      spindle: z
        .strictObject({
          lowest: quantity("rate", "Slowest the spindle turns.", { low: 1, high: 2000 }, "5000 /min"),
          highest: quantity("rate", "Fastest the spindle turns.", { low: 1, high: 2000 }, "24000 /min"),
        })
        .optional()
        .meta({ description: "Speeds the spindle can be set to." }),
      resolution: length("Smallest step of an axis.", 0, 0.2, "0.005 mm").optional(),
      backlash: length("Play of an axis when it turns back.", 0, 1, "0.02 mm").optional(),
      rapid: quantity("feed", "Travel above the work.", { low: 50, high: 50_000 }, "1500 mm/min"),
      acceleration: quantity("acceleration", "Acceleration of the axes.", { low: 1, high: 20_000 }).prefault(
        "100 mm/s²",
      ),
      flatness: length("Height difference over the clamped sheet.", 0, 2, "0.03 mm"),
      "clear-height": length("Safe height above the copper for travel.", 0.2, 50, "3 mm").prefault("3 mm"),
    }),
  })
  .meta({ description: "The cutter and what it holds." })

const builtRecord = z
  .strictObject({
    revision: word("Which revision of the lamp this is, for example A."),
    date: z
      .string()
      .regex(/^\d{4}-\d{2}-\d{2}$/, "is no date|Write year-month-day: 2026-11-20.")
      .meta({ description: "When it was built or tested: year-month-day.", examples: ["2026-11-20"] }),
    by: label("Who built or tested it.").optional(),
    readings: word("A bring-up.csv beside the description with its column measured filled in.").optional(),
    photos: z
      .array(label("File name of a photo beside the description."))
      .max(200)
      .default([])
      .meta({ description: "Photos by file name; they are listed, not read." }),
    changes: z
      .array(z.string().min(1).max(600))
      .max(200)
      .default([])
      .meta({ description: "What was made otherwise than designed, one sentence each." }),
  })
  .meta({ description: "One lamp as it was built: readings, photos, departures from the design." })

const cutting = z
  .strictObject({
    separate: z.enum(["between", "around"]).default("between").meta({
      description:
        "between: one groove between two neighbours, copper kept wide; around: a groove round each piece as drawn.",
    }),
    "second-pass": quantity(
      "share",
      "A second pass beside the first wherever there is room, overlapping it by this share; none when absent.",
      { low: 0.1, high: 0.9 },
      "40 %",
    ).optional(),
    "edge-groove": length(
      "A groove all round, its middle this far inside the edge, so that a burr of the edge touches no net; none when absent.",
      0.1,
      5,
      "0.3 mm",
    ).optional(),
    "thermal-relief": z.enum(["none", "spokes"]).default("none").meta({
      description:
        "spokes: lands in wide copper get a broken ring of groove, so that a hand iron need not heat all of it.",
    }),
    direction: z.enum(["climb", "conventional"]).default("conventional").meta({
      description: "Which way the router goes round an edge or a hole, for a spindle that turns clockwise.",
    }),
    "lead-in": length(
      "Where a groove closes on itself the tool ramps in over this length and runs over its start by as much.",
      0,
      10,
      "1 mm",
    ).prefault("1 mm"),
    files: z.enum(["one-per-tool", "one"]).default("one-per-tool").meta({
      description: "one: a board's programs in one file that stops for each tool.",
    }),
    sheet: z.enum(["own", "shared"]).default("own").meta({
      description:
        "shared: beside each board's own programs, programs that cut all boards from as few sheets as it takes, one run for each tool.",
    }),
    "clamping-edge": length(
      "Along every edge of a shared sheet this much is left to the clamps.",
      0,
      100,
      "5 mm",
    ).prefault("5 mm"),
    "board-gap": length(
      "Left standing between the router's cuts round two boards of a shared sheet.",
      0.5,
      50,
      "2 mm",
    ).prefault("2 mm"),
    probes: length("Distance between the places the probing program measures.", 2, 100, "12 mm").prefault(
      "12 mm",
    ),
  })
  .meta({ description: "How the boards are cut." })

export const lampShape = z
  .strictObject({
    lampwright: z.literal(1).meta({ description: "Form of the description." }),
    name: label("The lamp's name, for drawings and sheets."),
    seed: whole("Seeds every search: another seed may find another layout.", 0, 4294967295).default(1),
    vehicle,
    faces: named("The faces the light comes through.", face),
    groups: named("LEDs that light together.", group),
    programme: z.array(programmeLine).min(1).max(200).meta({ description: "The light programme." }),
    flashing: flashing.optional(),
    boards: named("The boards to be made.", board),
    "copper-clad": copperClad,
    cutter,
    cutting: cutting.optional(),
    pins: z
      .record(z.string(), z.union([z.string(), z.number()]))
      .default({})
      .meta({ description: "Choices held by hand, by path; checked as hard as the tool's own." }),
    built: z
      .array(builtRecord)
      .max(100)
      .default([])
      .meta({ description: "The lamp as built, newest last; nothing is designed from it." }),
  })
  .meta({
    title: "Lampwright lamp description",
    description: "One vehicle lamp: what it is; the tool designs the rest.",
  })

export type LampShape = z.output<typeof lampShape>
export type FaceShape = LampShape["faces"][string]
export type OutlineShape = NonNullable<FaceShape["outline"]>
export type PatternShape = z.output<typeof pattern>
export type ScrewsShape = NonNullable<FaceShape["screws"]>
export type BoardShape = LampShape["boards"][string]
export type GroupShape = LampShape["groups"][string]
export type BuiltShape = LampShape["built"][number]
export type ProgrammeShape = z.output<typeof programmeLine>
export type WireShape = LampShape["vehicle"]["wires"][string]

/** The parts that are checked on their own when another part cannot be read. */
export const partShapes = {
  wire,
  face,
  group,
  board,
  programmeLine,
  supply,
  ambient,
  copperClad,
  cutter,
} as const

/** The published JSON Schema (2020-12) of a description. */
export function lampSchema(): Record<string, unknown> {
  return z.toJSONSchema(lampShape, { io: "input" }) as Record<string, unknown>
}
