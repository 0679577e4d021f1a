// What the proof says about LEDs, face and parts fitting together.

import { catalogue } from "../../0-ground/catalogue.ts"

export const fit = catalogue("fit", {
  "leds-enter": {
    about:
      "The chance that every LED of a board enters its hole without filing: body spread, hole position in the face and on the board, play of the leads in their holes, each LED for itself.",
    advice:
      "A larger hole in the face, or LEDs put into the face before they are soldered, makes it certain.",
    stuck: "no hole that still holds the LEDs' flange is wide enough for such errors",
  },
  "leds-enter-together": {
    about:
      "The chance that every LED of a board enters when the holes also share errors: screws that sit aside shift and turn the board (as far as it cannot be pushed straight), a printed template is a little too large or small.",
    advice:
      "Measure the template against a steel rule, and tighten the board's screws only with all LEDs in.",
    stuck:
      "no hole that still holds the LEDs' flange is wide enough for such errors; the error named is to be made smaller",
  },
  "best-hole": {
    about:
      "The smallest hole with which every LED of a board enters in 99 of 100 builds, and which of the errors is best made smaller.",
    advice: "A hole wider than that only lets more daylight past the LED.",
  },
  "screw-head": {
    about:
      "A screw's head or washer must stay clear of parts, and of copper, which it would join to the vehicle's metal.",
    advice: "Use a smaller head without a washer, a plastic screw, or an insulating washer.",
    stuck: "a part stands under the head, and where it stands is the board's own choice or a pin's",
  },
  "edge-copper": {
    about:
      "Copper and soldered lands near the board's edge stand next to the wall of the housing: board edge inside the face's edge, and copper inside the board's edge.",
    advice: "A larger inset keeps the board away from the wall; lacquer or tape on the wall helps.",
    stuck: "the board lies behind no face, so what is round it is not described",
  },
  "cover-air": {
    about:
      "Soldered leads behind the board against the cover: spacers, board and leads with their tolerances added up, within the depth of the housing.",
    advice: "A deeper housing, shorter spacers, or insulating card on the cover.",
  },
  "wire-bend": {
    about: "A wire soldered upright into its board needs room to bend aside below the face.",
    advice: "Solder the wire flat, or use one with thinner insulation.",
  },
  "wire-notch": {
    about: "All wires of a board leave together through the housing's notch or hole.",
    advice: "Widen the notch, or split the bundle. Smooth its edge and fit a grommet.",
  },
  "lead-through": {
    about: "The short leads of a part must come out on the copper side far enough to be soldered.",
    advice: "Use a thinner board.",
  },
  "stack-air": {
    about:
      "Air between the tallest part and what is above it when spacer, part and seating all err the wrong way, added up; the statistical sum stands beside it.",
    advice: "Longer spacers, or a flatter part.",
  },
  "stack-depth": {
    about:
      "How deep the lamp is behind its face: spacers, board and soldered leads, each with its tolerance.",
    advice: "Leave 3 mm of air between the soldered leads and any metal behind them.",
  },
  flange: {
    about: "The LED's flange must not pass through the hole, or the LED falls through the face.",
    advice: "Use a smaller hole.",
  },
  protrusion: {
    about: "An LED that does not reach through the metal throws its light against the hole's wall.",
    advice: "Thinner metal, or an LED with a longer body.",
    stuck: "even the thinnest usual sheet, 0.8 mm, is too thick for these LEDs",
  },
  "seat-height": {
    about:
      "The LED's flange rests behind the metal; the board lies further back and the leads must reach it.",
    advice: "Set the board's height so that the LEDs reach the face, and use spacers of that height.",
  },
  "lead-length": {
    about: "Leads must reach from the flange through the board and a millimetre beyond to be soldered.",
    advice: "Bring the board nearer to the face.",
  },
  "part-height": {
    about: "Parts other than the LEDs must stay clear of the face above them.",
    advice: "Lay the part down, use a flatter one, or give the board more height.",
  },
})
