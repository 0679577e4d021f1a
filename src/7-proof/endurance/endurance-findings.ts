// What the proof says about heat in a closed housing and shaking on the road.

import { catalogue } from "../../0-ground/catalogue.ts"

export const endurance = catalogue("endurance", {
  "led-heat": {
    about:
      "Rule of thumb: how hot the LEDs of a board get when its housing is closed, all wires live that can be, on the hottest day, at the highest supply, with the strongest parts.",
    advice: "Give the housing more outside surface or a vent, or take less current.",
    stuck: "no current above a milliampere keeps them cool in this housing; a vent or more surface would",
  },
  "resistor-heat": {
    about:
      "Rule of thumb: how hot the hottest resistor of a board gets in its closed housing, from the air inside and the rating's own derating line; the laminate under it browns long before the resistor dies.",
    advice:
      "Lift the resistor a few millimetres off the board, use the next larger one, or take less current.",
    stuck: "it feeds no LEDs whose current could be lowered; lifting it off the board would",
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
    stuck: "no usual thickness of laminate is stiff enough; screws would be",
  },
  resonance: {
    about:
      "Rule of thumb: the board's first resonance, held at its screws, should lie an octave above the engine's own turning speed, or the board swings with it until leads and joints crack. The resonance is computed (Ritz's method, which errs upward by a few per cent or, on long bows, more); what shakes it is not measured on your vehicle.",
    advice: "Add a screw with a spacer where the board swings farthest, or use thicker laminate.",
    stuck: "no usual thickness of laminate is stiff enough; screws would be",
  },
  "road-resonance": {
    about:
      "Rule of thumb: the board's first resonance should lie an octave above what the road shakes wheels and frame with. That is far below an engine's speed, but it lasts as long as the ride.",
    advice: "Add a screw with a spacer where the board swings farthest, or use thicker laminate.",
    stuck: "no usual thickness of laminate is stiff enough; screws would be",
  },
  unheld: {
    about:
      "A board without screws hangs on the leads of its LEDs. That holds a small one; how it swings is not computed.",
    advice:
      "Screws with spacers through the face, or a drop of neutral silicone at the ends of the board, keep the leads from working loose.",
  },
  "regulator-heat": {
    about:
      "Rule of thumb: how hot a regulator gets in the closed housing, where the air is warmer than outside; with the heat sink that the description gives it, which is on the parts list.",
    advice: "Screw it to a heat sink or to the metal of the housing, or give the housing more surface.",
    stuck: "no heat sink that is sold cools it in this housing",
  },
  "lead-distance": {
    about:
      "From the solder joint to the LED's body: nearer than 1.6 mm the heat of soldering reaches the die and the resin round the leads softens (data sheets; 260 °C for 5 seconds at most).",
    advice: "Give the board more height, or solder in less than three seconds with a cool iron.",
  },
  expansion: {
    about:
      "Rule of thumb: face and board grow by different amounts in the heat and shrink in the cold. An LED that sits tight in its hole then works at its own leads and joints; one with play does not.",
    advice:
      "Do not glue LEDs into their holes; leave their leads a few millimetres free between face and board.",
    stuck: "no hole that still holds the flange leaves so much play",
  },
  solder: {
    about:
      "Rule of thumb: what keeps hand-soldered joints of a single-sided board alive on a vehicle. Nothing of it can be computed.",
    advice:
      "Bend leads over before soldering where there is room, fill the land all round, clean and lacquer the copper side, tie wires down within 20 mm of their joints, and solder nothing that still carries a load.",
  },
  sealing: {
    about:
      "Rule of thumb: a sealed housing is blown up by heat and sucked in by cold. What its seal must hold, by the gas law, is told; small cracks in the seal suck water in with every cooling.",
    advice:
      "Let it breathe through a hole of 2 to 3 mm at the lowest point or through a membrane rather than rely on a seal.",
  },
})
