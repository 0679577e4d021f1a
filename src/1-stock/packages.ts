// Packages: lands, holes and bodies as data sheets draw them, from the component side, x right, y up, millimetres.
// Holes come from the small set of drills a hobby mill keeps; every ring is at least 0.3 mm, wider where there is room.
// DIP and SIP lands keep 0.94 mm between neighbours at 2.54 mm pitch, so that one 0.4 mm track passes.

import type { Source } from "../0-ground/source.ts"
import type { PackageBody, PackageLand, PackageType } from "./artefact.ts"
import { type Shelf, shelf } from "./find.ts"
import {
  at,
  filmResistor,
  lamp3mm,
  lamp5mm,
  landMemory,
  rectifier,
  relayOutline,
  transistorOutline,
} from "./sources.ts"

/** Rows of a dual in-line package are this far apart. */
const rows = 7.62
const pitch = 2.54

const round = (pin: string, x: number, y: number, d: number, hole: number): PackageLand => ({
  pin,
  x,
  y,
  shape: "round",
  w: d,
  h: d,
  hole,
})
const oval = (pin: string, x: number, y: number, w: number, h: number, hole: number): PackageLand => ({
  pin,
  x,
  y,
  shape: "oval",
  w,
  h,
  hole,
})
const box = (w: number, h: number, height: number, x = 0, y = 0): PackageBody => ({
  shape: "rectangle",
  x,
  y,
  w,
  h,
  height,
  linkBelow: false,
})
const disc = (d: number, height: number): PackageBody => ({ ...box(d, d, height), shape: "disc" })

/** Two pins on the x axis, `first` on the left. */
function pair(
  name: string,
  pins: readonly [string, string],
  apart: number,
  land: { readonly w: number; readonly h: number; readonly hole: number },
  body: PackageBody,
  source: Source,
): PackageType {
  const put = (pin: string, x: number) =>
    land.w === land.h ? round(pin, x, 0, land.w, land.hole) : oval(pin, x, 0, land.w, land.h, land.hole)
  return { name, lands: [put(pins[0], -apart / 2), put(pins[1], apart / 2)], body, source }
}

/** Pin 1 top left, counting counter-clockwise; rows run along y. */
function dualInLine(name: string, pins: number, length: number): PackageType {
  const half = pins / 2
  const y = (i: number) => ((half - 1) / 2 - i) * pitch
  const lands = Array.from({ length: pins }, (_, i) =>
    i < half
      ? oval(String(i + 1), -rows / 2, y(i), 2.4, 1.6, 0.8)
      : oval(String(i + 1), rows / 2, y(pins - 1 - i), 2.4, 1.6, 0.8),
  )
  return { name, lands, body: box(6.6, length, 4.6), source: at(landMemory, "DIP, rows 7.62 mm") }
}

/** Pins 1…n along x at 2.54 mm. */
function inLine(
  name: string,
  pins: number,
  land: { readonly w: number; readonly h: number; readonly hole: number },
  body: PackageBody,
  source: Source,
): PackageType {
  const lands = Array.from({ length: pins }, (_, i) =>
    oval(String(i + 1), (i - (pins - 1) / 2) * pitch, 0, land.w, land.h, land.hole),
  )
  return { name, lands, body, source }
}

const narrow = { w: 1.6, h: 2.2, hole: 0.8 }

/** A 2 × 3 pin header: odd pins left, even pins right, 1 at the top. */
const header2x3: PackageType = {
  name: "header-2x3",
  lands: [0, 1, 2, 3, 4, 5].map((i) =>
    round(String(i + 1), i % 2 === 0 ? -pitch / 2 : pitch / 2, (1 - Math.floor(i / 2)) * pitch, 1.7, 1.0),
  ),
  body: box(5.2, 7.8, 8.8),
  source: at(landMemory, "pin header, 0.64 mm square"),
}

const wirePad = (name: string, hole: number, land: number): PackageType => ({
  name,
  lands: [round("1", 0, 0, land, hole)],
  body: disc(land, 3),
  source: at(landMemory, "stranded wire soldered into its land"),
})

const list: readonly PackageType[] = [
  pair(
    "led-5mm",
    ["A", "K"],
    pitch,
    { w: 1.7, h: 2.3, hole: 1.0 },
    disc(5.8, 8.71),
    at(lamp5mm, "outline drawing"),
  ),
  pair(
    "led-3mm",
    ["A", "K"],
    pitch,
    { w: 1.7, h: 2.3, hole: 1.0 },
    disc(3.8, 5.2),
    at(lamp3mm, "outline drawing"),
  ),
  pair(
    "axial-quarter-watt",
    ["1", "2"],
    10.16,
    { w: 2.0, h: 2.0, hole: 0.8 },
    box(6.8, 2.6, 2.6),
    at(filmResistor, "MFR-25 size; pitch from memory"),
  ),
  pair(
    "axial-half-watt",
    ["1", "2"],
    12.7,
    { w: 2.0, h: 2.0, hole: 0.8 },
    box(9.5, 3.6, 3.6),
    at(filmResistor, "MFR-50 size; pitch from memory"),
  ),
  pair(
    "axial-one-watt",
    ["1", "2"],
    17.78,
    { w: 2.2, h: 2.2, hole: 1.0 },
    box(12.5, 5.0, 5.0),
    at(filmResistor, "1 W size; pitch from memory"),
  ),
  pair(
    "do-41",
    ["A", "K"],
    10.16,
    { w: 2.2, h: 2.2, hole: 1.0 },
    box(5.2, 2.72, 2.8),
    at(rectifier, "DO-41 outline; pitch from memory"),
  ),
  pair(
    "do-35",
    ["A", "K"],
    7.62,
    { w: 2.0, h: 2.0, hole: 0.8 },
    box(4.2, 1.9, 1.9),
    at(landMemory, "DO-35, lead 0.5 mm"),
  ),
  pair(
    "do-15",
    ["A", "K"],
    12.7,
    { w: 2.2, h: 2.2, hole: 1.0 },
    box(7.6, 3.6, 3.7),
    at(landMemory, "DO-15, lead 0.7–0.9 mm"),
  ),
  // The tab stands behind the pins, the face before them.
  inLine(
    "to-220",
    3,
    { w: 2.0, h: 3.0, hole: 1.3 },
    box(10.4, 4.7, 19.5, 0, 0.4),
    at(landMemory, "TO-220 standing"),
  ),
  // Bent over its pins, face up: low enough for the board behind a face.
  inLine(
    "to-220-flat",
    3,
    { w: 2.0, h: 3.0, hole: 1.3 },
    box(10.4, 17, 5, 0, 12.5),
    at(landMemory, "TO-220, leads bent back 4 mm from the body"),
  ),
  // Flat side towards −y: collector, base, emitter from the left for those who look at the flat.
  {
    name: "to-92-cbe",
    lands: ["C", "B", "E"].map((pin, i) => oval(pin, (i - 1) * pitch, 0, 1.6, 2.2, 0.8)),
    body: box(4.8, 4.2, 8, 0, 0.3),
    source: transistorOutline,
  },
  dualInLine("dip-14", 14, 19.3),
  // As before with emitter, base, collector.
  {
    name: "to-92-ebc",
    lands: ["E", "B", "C"].map((pin, i) => oval(pin, (i - 1) * pitch, 0, 1.6, 2.2, 0.8)),
    body: box(4.8, 4.2, 8, 0, 0.3),
    source: transistorOutline,
  },
  // Common contact in the middle of one end, the coil beside it, the two other contacts at the far end.
  {
    name: "relay-cube",
    lands: [
      round("11", -7.1, 0, 2.5, 1.3),
      round("A1", -5.1, -6, 2.5, 1.3),
      round("A2", -5.1, 6, 2.5, 1.3),
      round("14", 7.1, -6, 2.5, 1.3),
      round("12", 7.1, 6, 2.5, 1.3),
    ],
    body: box(19.2, 15.6, 15.5),
    source: at(
      relayOutline,
      "19 × 15.5 mm, pins 0.9 × 0.4 mm (read); lay yours on the printed drawing first",
    ),
  },
  dualInLine("dip-18", 18, 23),
  dualInLine("dip-28", 28, 35.6),
  inLine("sip-9", 9, narrow, box(23, 2.6, 5.2), at(landMemory, "bussed network, 9 pins")),
  inLine("resonator-3", 3, narrow, box(7.6, 3.6, 6), at(landMemory, "three-pin ceramic resonator")),
  pair(
    "electrolytic-5",
    ["+", "-"],
    2.0,
    { w: 1.4, h: 2.2, hole: 0.8 },
    disc(5.3, 11.5),
    at(landMemory, "⌀5, pitch 2.0"),
  ),
  pair(
    "electrolytic-6.3",
    ["+", "-"],
    2.5,
    { w: 1.6, h: 2.2, hole: 0.8 },
    disc(6.6, 11.5),
    at(landMemory, "⌀6.3, pitch 2.5"),
  ),
  pair(
    "electrolytic-8",
    ["+", "-"],
    3.5,
    { w: 2.0, h: 2.0, hole: 1.0 },
    disc(8.3, 12),
    at(landMemory, "⌀8, pitch 3.5"),
  ),
  pair("ceramic-2.54", ["1", "2"], 2.54, narrow, box(4.5, 2.8, 4.5), at(landMemory, "radial ceramic")),
  pair(
    "ceramic-5.08",
    ["1", "2"],
    5.08,
    { w: 2.0, h: 2.0, hole: 0.8 },
    box(6.6, 3.2, 6.5),
    at(landMemory, "radial ceramic"),
  ),
  header2x3,
  wirePad("wire-pad", 1.0, 2.2),
  wirePad("wire-pad-large", 1.3, 2.6),
]

export const packages: Shelf<PackageType> = shelf("package", list, (p) => p.name)

/** Throws on an unknown name (a mistake in the program). */
export const packageType = (name: string): PackageType => packages.get(name)
