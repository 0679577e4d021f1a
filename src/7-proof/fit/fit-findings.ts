// What the proof says about LEDs, face and parts fitting together.

import { catalogue } from "../../0-ground/catalogue.ts"

export const fit = catalogue("fit", {
  "leds-enter": {
    about:
      "The chance that every LED of a board enters its hole without filing: body spread, hole position in the face and on the board, play of the leads in their holes, each LED for itself.",
    advice:
      "A larger hole in the face, or LEDs put into the face before they are soldered, makes it certain.",
  },
  flange: {
    about: "The LED's flange must not pass through the hole, or the LED falls through the face.",
    advice: "Use a smaller hole.",
  },
  protrusion: {
    about: "An LED that does not reach through the metal throws its light against the hole's wall.",
    advice: "Thinner metal, or an LED with a longer body.",
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
