// Errors and sizes of hand work that the fit is judged with. None is measured on the builder's own bench.

import { fact } from "../../0-ground/figure.ts"
import { practice, type Source } from "../../0-ground/source.ts"

export const memory = (document: string): Source => ({ document, known: "memory", confidence: "M" })

export const faceHole = fact(
  "fit.face-hole-error",
  "position of a hole in the face, standard deviation per axis",
  0.05,
  "mm",
  practice(
    "hole drilled by a machine or from a printed template and punch marks: common practice, no source",
  ),
)
export const boardHole = fact(
  "fit.board-hole-error",
  "position of a hole in the board, standard deviation per axis",
  0.03,
  "mm",
  practice("hole drilled on a hobby mill: common practice, no source"),
)
export const leadBend = fact(
  "fit.lead-bend",
  "where an LED comes to stand after its leads were bent or straightened by hand, standard deviation per axis",
  0.02,
  "mm",
  practice("leads left straight, or bent over a strip of card: common practice, no source"),
)
/** LED lead, square; across corners it is wider. */
export const lead = fact(
  "fit.lead",
  "side of an LED's lead",
  0.5,
  "mm",
  memory("5 mm lamp: leads 0.5 mm square, at least 25 mm long"),
)

export const templateScale = fact(
  "fit.template-scale",
  "scale of the face's pattern against the board's, standard deviation",
  0.05,
  "%",
  practice(
    "printed template checked with a steel rule to 0.1 mm in 100 mm (two deviations): common practice, no source",
  ),
)

export const air = fact("fit.air", "air between a part and the face", 0.5, "mm", practice())

/** Air between live copper and metal of the vehicle: not for the voltage, but for chips, water and bent corners. */
export const metalAir = fact(
  "fit.metal-air",
  "air kept between live copper and metal",
  0.3,
  "mm",
  practice(
    "12 V would need far less; chips, water and crooked screws ask for it: common practice, no source",
  ),
)
