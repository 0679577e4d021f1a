// What the proof says about light and rules.

import { catalogue } from "../../0-ground/catalogue.ts"

const official = "Compare with the current official text before you rely on it. "

/** What a finding says where the law of the beam reaches beyond what data sheets tell. */
export const idealisation = {
  corner: "cosine law, an idealisation this far off the axis",
  advice:
    "This far off the axis the cosine law is an idealisation: LED data sheets show stray light there that it leaves out, so the true light may well be more. Measure it with a light meter.",
}

export const light = catalogue("light", {
  "not-approved": {
    about:
      "A hand-built lamp is not type-approved, whatever it measures. Local law and licensed practice decide whether it may be used on the road.",
    advice:
      "Ask the authority or testing body that is responsible for your vehicle before you use the lamp on the road.",
    stuck: "it does not go away by numbers",
  },
  "intensity-least": {
    about:
      "Axis intensity with the weakest parts, the lower edge of the LED's bin and the LEDs warmed up, at the usual supply and 25 °C.",
    advice: `${official}More current, more LEDs or a brighter bin give more light.`,
    stuck: "the LEDs are dark here, or no level, current or bin reaches it",
  },
  "intensity-most": {
    about: "Axis intensity with the strongest parts and the upper edge of the LED's bin, before warming up.",
    advice: `${official}Less current or a lower level gives less light.`,
    stuck: "no lower level or current is left",
  },
  "weather-least": {
    about:
      "The least light on the axis over every solved supply, temperature and part, LEDs warmed up. Rules are tested at the usual supply near 23 °C; this is what the road sees at worst.",
    advice: "More current or a brighter bin; what the battery lacks no lamp can give.",
  },
  "weather-most": {
    about:
      "The greatest light on the axis over every solved supply, temperature and part, LEDs still cold: what may dazzle.",
    advice: "Less current or a lower level.",
  },
  "two-sections": {
    about:
      "Lighted sections of an LED lamp are counted by its longest lit dimension in voluntary practice: up to 150 mm one, up to 300 mm two. More sections are asked for more light in the United States.",
    advice: `${official}Ask the testing body how it counts the lighted sections of an LED lamp.`,
    stuck: "no level, current or bin in its range reaches the light of that many sections",
  },
  "three-sections": {
    about:
      "Lamps of many LEDs were long counted as three lighted sections in the United States, which asks for more light; later readings count by size or as one.",
    advice: `${official}Ask the testing body how it counts the lighted sections of an LED lamp.`,
    stuck: "no level, current or bin in its range reaches the light of that many sections",
  },
  "first-step": {
    about:
      "A widely repeated reading of the United States rule: what a sweeping turn signal lights first must by itself meet the photometry. It is not in the rule's text.",
    advice: `${official}Ask the testing body; a sweep by larger steps (\`step\`) lights more at first.`,
    stuck: "even all LEDs together do not reach it",
  },
  "test-distance": {
    about:
      "Intensity is defined from far away; a photometer stands a few metres off, and each LED is seen from its own place. How far a measurement there differs from the intensity, at the test point where it differs most.",
    advice: "Have it measured from farther off.",
    stuck: "it follows from the size of the lit surface and the width of the beams",
  },
  "plate-least": {
    about:
      "Light on the registration plate at its darkest place: from each LED's place, aim and beam to each place of the plate, inverse squares, weakest parts. Luminance is that of a white matt plate.",
    advice: `${official}More light, or a lamp that looks at the far edge.`,
    stuck: "the far edge of the plate gets no light from where the lamp stands",
  },
  "plate-even": {
    about: "How evenly the registration plate is lit.",
    advice: `${official}A lamp farther from the plate lights it more evenly.`,
    stuck: "no tilt or distance that was tried lights this plate evenly enough",
  },
  "plate-angle": {
    about: "Light that only grazes the registration plate makes its letters unreadable.",
    advice: `${official}Set the lamp farther off the plate's surface.`,
    stuck: "no distance that was tried is steep enough",
  },
  "plate-rearward": {
    about: "The white light of a plate lamp must not be seen straight from behind.",
    advice: `${official}Turn the lamp's face down, or give it a shade.`,
    stuck: "no tilt that was tried hides it; a shade would",
  },
  luminance: {
    about:
      "Intensity along the axis over the area of the lit holes: how bright the face looks from near. Clear LEDs at full current are bright enough to hurt: do not look into them.",
    advice: "A diffuser spreads the same light over more area.",
  },
  distribution: {
    about: "Light in the directions of the standard grid: each needs its share of the axis minimum.",
    advice: `${official}LEDs with a wider beam bring more light aside.`,
    stuck: "no current, bin or beam reaches that direction",
  },
  visibility: {
    about:
      "Light in the corner of the field in which the lamp must be seen; lamps of clear LEDs throw nearly all their light ahead. The beam is taken as a cosine power, which far off the axis is an idealisation: LEDs throw stray light there that it leaves out, so this finding only warns.",
    advice: `${official}LEDs with a wider beam, diffused ones, or some turned aside reach the edge of the field.`,
    stuck:
      "no beam up to 140° with the same light on the axis reaches it; LEDs that look aside, in a face that is bent there, would",
  },
  "stop-to-tail": {
    about:
      "Stop light and tail light from the same LEDs must differ clearly: the ratio of both on to tail alone.",
    advice: "Lower the tail level or raise the stop level.",
    stuck: "the tail light would fall below one per cent of full current",
  },
  "turn-to-tail": {
    about: "Indicator and tail or parking light from the same LEDs must differ clearly (United States).",
    advice: "Lower the tail level or raise the indicator's.",
    stuck: "the dimmer light would fall below one per cent of full current",
  },
  "flash-rate": {
    about: "Flashes per minute of the wire that feeds an indicator.",
    advice:
      "The flasher sets the rate: fit one that keeps it between 60 and 120 per minute with this lamp's load.",
    stuck: "the flasher sets the rate",
  },
  "on-share": {
    about: "Share of a period with the indicator's wire live.",
    advice: `${official}The flasher sets it.`,
    stuck: "the flasher sets it",
  },
  "sweep-order": {
    about: "A sweeping indicator lights from inboard to outboard, part after part.",
    advice: `${official}Use order: outward, and set the face's centre line.`,
    stuck: "no order of these LEDs runs outward only; their places come from the face",
  },
  "sweep-held": {
    about: "Every part of a sweeping indicator, once lit, stays lit until the on phase ends.",
    advice: `${official}Look for a programme line that dims the group while its wire is live.`,
    stuck: "the programme's lines meet here, and which of them gives way is yours to decide",
  },
  "first-light": {
    about:
      "From operating the control to the first light: the flasher's dark phase, where it begins with one, and the lamp's own delay as the bench shows it.",
    advice: "Fit a faster flasher, or one that begins with light.",
    stuck: "even a flasher of 90 per minute begins too late with the lamp's own delay",
  },
  "first-dark": {
    about:
      "From operating the control to the first extinction: one period of the flasher and the lamp's own fall.",
    advice: "Fit a faster flasher, or shorten the line's fall.",
    stuck: "even a flasher of 90 per minute and no fall at all end too late",
  },
  "sweep-finished": {
    about: "All parts of a sweeping indicator must be lit a fifth of a second after it began.",
    advice: `${official}Shorten the sweep's \`within\`.`,
    stuck: "the flash is too short for it",
  },
  "sweep-turns": {
    about: "Along the sweep the LEDs may change their vertical direction once at most.",
    advice: "Move the LEDs of the face onto a line or a single bow.",
    stuck: "the LEDs' places come from the face's drawing or list",
  },
  "sweep-gap": {
    about: "Neighbouring parts of a sweeping indicator may not lie far apart, edge to edge.",
    advice: "Place LEDs closer, or use more of them.",
    stuck: "the LEDs' places come from the face's drawing or list",
  },
  "sweep-box": {
    about: "The rectangle round the whole lit surface of a sweeping indicator must be wide rather than tall.",
    advice: `${official}Stretch the row of LEDs sideways.`,
    stuck: "the LEDs' places come from the face's drawing or list",
  },
  "sweep-uniform": {
    about:
      "The sweep should run at an even speed; the rule gives no number, half the mean speed either way is ours.",
    advice: "Space the LEDs evenly along the sweep.",
    stuck: "the LEDs' places come from the face's drawing or list",
  },
  "one-lamp": {
    about: "LEDs that stand apart count as one lamp only if neighbouring lit patches are near to each other.",
    advice: `${official}Place LEDs closer.`,
    stuck: "the LEDs' places come from the face's drawing or list",
  },
  "indicators-apart": {
    about: "Left and right rear indicators need a distance between the inner edges of their lit surfaces.",
    advice: "Move the indicators outward, or check what your vehicle's class asks for.",
    stuck: "the places of both indicators come from the face's drawing or list",
  },
  colour: {
    about:
      "Whether the LED's dominant wavelength, junction warmed up at 25 °C, lies inside the signal colour; of white LEDs, whether their colour temperature does.",
    advice: `${official}Choose a bin nearer to the middle of the colour.`,
    stuck: "no bin keeps inside with that drift",
  },
  "colour-range": {
    about:
      "The dominant wavelength at the coldest and the hottest ambient: amber LEDs drift towards green in the cold and towards orange when hot.",
    advice: "The rules are tested near 23 °C; less current keeps the LEDs cooler.",
    stuck: "no bin keeps inside with that drift",
  },
  "colour-wanted": {
    about: "Which colour a function must have.",
    advice: `${official}Choose LEDs of the right colour.`,
    stuck: "the stock has no LED of that colour in this body",
  },
  "lit-area": {
    about: "The United States ask for a smallest lit area; LEDs behind single holes have little.",
    advice: `${official}A lens or light guide that spreads the light over the face gives more area.`,
    stuck: "the holes are as wide and as many as they can be",
  },
  "not-checked": {
    about: "A function whose rules this program does not check.",
    advice: "Have it measured.",
    stuck: "no rule for it is known here",
  },
})
