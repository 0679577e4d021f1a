// Letters of single strokes for the engraver, drawn for this purpose on a grid 4 wide and 6 high. Lower case is
// engraved as capitals, letters with marks as their plain ones; what has no letter becomes a box.

import type { Point } from "../0-ground/geometry/point.ts"
import type { Mm } from "../0-ground/units/brand.ts"

const high = 6
const wide = 4
const gap = 2

/** Strokes parted by spaces, each a run of points: x from 0 to 4, y from 0 to 6. */
const letters: Readonly<Record<string, string>> = {
  A: "00-04-26-44-40 03-43",
  B: "00-06-36-45-44-33-42-41-30-00 03-33",
  C: "41-30-10-01-05-16-36-45",
  D: "00-06-26-44-42-20-00",
  E: "46-06-00-40 03-33",
  F: "46-06-00 03-33",
  G: "45-36-16-05-01-10-30-41-43-23",
  H: "00-06 40-46 03-43",
  I: "10-30 20-26 16-36",
  J: "01-10-20-31-36 16-46",
  K: "00-06 46-03-40",
  L: "06-00-40",
  M: "00-06-23-46-40",
  N: "00-06-40-46",
  O: "10-01-05-16-36-45-41-30-10",
  P: "00-06-36-45-44-33-03",
  Q: "10-01-05-16-36-45-41-30-10 22-40",
  R: "00-06-36-45-44-33-03 23-40",
  S: "01-10-30-41-42-33-13-04-05-16-36-45",
  T: "06-46 26-20",
  U: "06-01-10-30-41-46",
  V: "06-20-46",
  W: "06-10-24-30-46",
  X: "00-46 06-40",
  Y: "06-23-46 23-20",
  Z: "06-46-00-40",
  "0": "10-01-05-16-36-45-41-30-10 01-45",
  "1": "05-26-20 00-40",
  "2": "05-16-36-45-44-00-40",
  "3": "06-46-23-33-42-41-30-10-01",
  "4": "30-36-02-42",
  "5": "46-06-03-33-42-41-30-00",
  "6": "36-16-05-01-10-30-41-42-33-03",
  "7": "06-46-10",
  "8": "13-04-05-16-36-45-44-33-13-02-01-10-30-41-42-33",
  "9": "10-30-41-45-36-16-05-04-13-43",
  ".": "20-21",
  ",": "10-21",
  ":": "21-22 24-25",
  "-": "13-33",
  _: "00-40",
  "+": "23-43 03-23 21-25",
  "=": "02-42 04-44",
  "/": "00-46",
  "(": "30-21-25-36",
  ")": "10-21-25-16",
  "'": "24-26",
  '"': "14-16 34-36",
  "!": "20-21 22-26",
  "?": "05-16-36-45-44-22 20-21",
  "#": "10-16 30-36 02-42 04-44",
  "*": "13-33 12-34 14-32",
  "°": "14-15-26-35-34-14",
  "&": "40-04-05-16-25-24-02-01-10-20-42",
  "%": "00-46 05-15-16-06-05 30-40-41-31-30",
  " ": "",
}
const box = "00-06-46-40-00"

/** The text's strokes about (0, 0) as its middle, capitals `height` high. */
export function letterStrokes(text: string, height: Mm): Point[][] {
  const unit = height / high
  const plain = [...text.normalize("NFKD").replace(/[\u0300-\u036f]/g, "")]
  const width = plain.length * (wide + gap) - gap
  return plain.flatMap((letter, k) => {
    const drawn = letters[letter.toUpperCase()] ?? box
    if (drawn === "") return []
    return drawn.split(" ").map((stroke) =>
      stroke.split("-").map((point) => ({
        x: (Number(point[0]) + k * (wide + gap) - width / 2) * unit,
        y: (Number(point[1]) - high / 2) * unit,
      })),
    )
  })
}
