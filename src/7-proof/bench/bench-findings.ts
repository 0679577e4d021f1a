// What the virtual bench claims about a lamp's controller, with what it means and what to do.

import { catalogue } from "../../0-ground/catalogue.ts"

const safety =
  "A hand-built lamp is not type-approved; local law and licensed practice decide. Try the first lamp on a fused bench supply."

const chosen = (place: string) => ({ document: "chosen by this program", place, known: "chosen" }) as const

export const bench = catalogue("bench", {
  "image-unreadable": {
    about: "The firmware file is read again record by record, as a programmer would read it.",
    advice: "Make the firmware again; do not program a controller with this file.",
  },
  "not-connected": {
    about: "Every output, input and LED of the circuit must be found on a controller pin or a feed wire.",
    advice: "Design the circuit and its pins again.",
  },
  fuses: {
    about: "The fuse bytes decide clock, watchdog and brown-out; wrong ones make a right program run wrong.",
    advice: "Program the fuse bytes given in the pack and read them back.",
  },
  "program-fault": {
    about:
      "The emulated controller stops where a program leaves its memory, executes data or uses something this bench does not model.",
    advice: "Do not program this image; make the firmware again.",
  },
  "follows-model": {
    about:
      "Every frame of every output is compared with the light the description promises, computed from the description alone. Nothing is allowed in time, and in level 3 of 255 codes while an LED is changing.",
    advice: "Firmware and description disagree: make the firmware again, and report the lamp if it stays.",
  },
  "first-light": {
    about:
      "How long after its wire has settled live a group shows its first light, input network and filter included. A `live-after` longer than the usual 3 ms is added to the limit; the light programme cautions about it.",
    advice: "Look at the input network's delay and the filter times of the input.",
    source: chosen("5 ms: quicker than a bulb by a factor of twenty, a twentieth of the shortest flash"),
  },
  "stop-full": {
    about:
      "How long after its wire has settled live every LED of a stop light is at its level, a described rise apart.",
    advice: "Look at the input network's delay and the filter times of the input.",
    source: chosen("5 ms: a stop light is read by its sudden onset; a bulb takes about 200 ms"),
  },
  "flash-rate": {
    about:
      "How often the light itself flashes under the flasher as described, from first light to first light: 60 to 120 a minute.",
    advice: "The vehicle's flasher sets the rate: correct the wire's `rate`, or fit another flasher.",
  },
  "on-share": {
    about: "Which share of a period the light is on, from first light to darkness: 30 to 75 %.",
    advice: "The vehicle's flasher sets the on-share: correct the wire's `on-share`, or fit another flasher.",
  },
  "sweep-time": {
    about: "How long a sweep takes from the first light to the last LED full, with a clock 0.5 % slow.",
    advice: "Lengthen `within`, or shorten the rise.",
  },
  "sweep-rule": {
    about: "Sweeping indicators must have every part lit within 200 ms of the start of the ON phase.",
    advice: "Shorten `within`.",
    source: {
      document: "UN R50 6.8, R6 5.6 (sequential activation)",
      known: "memory",
      confidence: "H",
    },
  },
  "full-before-fall": {
    about:
      "The last LED must be full 3 ms before the flasher lets go, from the first flash on, for every flasher a vehicle may have.",
    advice: "Shorten `within`, or the rise.",
  },
  "sweep-order": {
    about:
      "LEDs must begin in the order described, measured from the pins through the circuit to the holes in the face.",
    advice: "Look at the group's order and at the choice of controller pins.",
  },
  "stays-lit": {
    about: "An LED that has begun must not get darker before its wire falls.",
    advice: "Make the firmware again, and report the lamp if it stays.",
  },
  "dark-after-fall": {
    about: "How long light is left after the wire went dead.",
    advice: "Shorten the fall.",
    source: chosen("20 ms, or the described fall and 12 ms: a sixth of the shortest dark phase"),
  },
  "wrong-wire": {
    about: "No output may be on while no wire of its group is or just was live.",
    advice: "Look at the programme and at the choice of pins.",
  },
  "steady-light": {
    about: "A wire that stays live must stay lit; frames in which a group goes dark are counted.",
    advice: "Make the firmware again, and report the lamp if it stays.",
  },
  resets: {
    about: "The watchdog must never bite while the program is sound.",
    advice: "The program takes too long: fewer channels or lines.",
  },
  "table-intact": {
    about:
      "The program serves from its table. If the table is damaged it takes the copy, then the safe map, then nothing.",
    advice: "The table in the image is damaged: make the firmware again.",
  },
  overruns: {
    about: "The program counts the milliseconds whose work it did not finish in time.",
    advice: "Fewer channels, lines or changes at once.",
  },
  "tick-work": {
    about: "Longest time the program took to finish a millisecond's work, of the time it has.",
    advice: "Fewer channels, lines or changes at once.",
  },
  "look-interval": {
    about: "The program must look at every wire once a millisecond.",
    advice: "Fewer channels, lines or changes at once.",
  },
  "dimming-frequency": {
    about: "Dimming must be too fast to be seen as flicker, also from the corner of the eye.",
    advice: "Dimming frequency is the runtime's: report the lamp.",
    source: {
      document: "IEEE 1789-2015, low-risk limit at full modulation",
      known: "memory",
      confidence: "M",
    },
  },
  "stack-margin": {
    about: "Bytes between the deepest stack and the highest variable seen in any run.",
    advice: "Fewer channels or lines.",
  },
  "damaged-table": {
    about:
      "Bits of the table are flipped and its copies wiped: whatever is left, light must follow the wire. Measured: longest wait for light.",
    advice: `Do not use this image. ${safety}`,
  },
  "dead-controller": {
    about:
      "With an empty or dead controller the circuit alone must light every group whose wire is live. Measured: LEDs left dark.",
    advice: `Check the pull-ups at the drivers and the polarity of the outputs. ${safety}`,
  },
  "after-hang": {
    about:
      "After the program hangs, the watchdog must bring light back. Measured: longest dark time while a wire is live.",
    advice: "Program the watchdog fuse; the drivers' pull-ups must light the LEDs during reset.",
  },
  "after-reset": {
    about:
      "After a reset in the middle of a flash, light must be there at once. Measured: longest dark time.",
    advice: "The drivers' pull-ups must light the LEDs during reset.",
  },
})
