// What the proof says about heat in a closed housing and shaking on the road.

import { catalogue } from "../../0-ground/catalogue.ts"

export const endurance = catalogue("endurance", {
  "led-heat": {
    about:
      "Rule of thumb: how hot the LEDs of a board get when its housing is closed, all wires live that can be, on the hottest day, at the highest supply, with the strongest parts.",
    advice: "Give the housing more outside surface or a vent, or take less current.",
  },
  "resistor-heat": {
    about:
      "Rule of thumb: how hot the hottest resistor of a board gets in its closed housing, from the air inside and the rating's own derating line; the laminate under it browns long before the resistor dies.",
    advice:
      "Lift the resistor a few millimetres off the board, use the next larger one, or take less current.",
  },
  condensation: {
    about:
      "Rule of thumb: a housing closed in mild damp air holds water that settles inside when it gets colder than the dew point. No seal keeps breathing out for years.",
    advice:
      "Leave a hole of 2 to 3 mm at the lowest point, away from the wheel, or fit a vent membrane; lacquer the copper side. Do not seal it all round.",
  },
  "part-swing": {
    about:
      "Rule of thumb (Steinberg's, from memory): a long part is bent off its leads when the board swings too far under it; the board's first resonance must lie high enough for a shake of 5 g.",
    advice: "Add a screw with a spacer near the part, use thicker laminate, or glue the part's ends down.",
  },
  resonance: {
    about:
      "Rule of thumb: the board's first resonance, held at its screws, should lie an octave above the engine's own turning speed, or the board swings with it until leads and joints crack. The resonance is computed (Ritz's method, which errs upward by a few per cent or, on long bows, more); what shakes it is not measured on your vehicle.",
    advice: "Add a screw with a spacer where the board swings farthest, or use thicker laminate.",
  },
})
