// What this room can find wrong with a light programme or with the firmware made from it.

import { catalogue } from "../0-ground/catalogue.ts"
import { legalTiming } from "./flasher-timing.ts"

export const { judge, state, entries } = catalogue("behaviour", {
  "lines-contradict": {
    about:
      "Two programme lines set the same group from the same wires, so that only one of them could ever be seen.",
    advice: "Remove one of the two lines, or give them different wires.",
  },
  "signal-darkened": {
    about:
      "A line at level 0 wins over lines with fewer wires. On a stop light or an indicator it would take a signal away.",
    advice: "Remove the line, or give it a level above 0.",
  },
  "flash-limit": {
    about:
      "The times by which flashers are judged must let every flash pass that the vehicle's flasher, or one that the law " +
      "allows, really makes: else good flashes get plain light, or lines of a shared group show at the wrong time.",
    advice: "Change this time under `flashing`, or check the wire's rate and on-share.",
    source: legalTiming,
  },
  "wire-not-read": {
    about: "A line of a group that the controller switches depends on a wire that no controller input reads.",
    advice: "Name a wire of this vehicle that reaches the controller.",
  },
  "group-never-lit": {
    about: "No programme line lights this group: its LEDs would be soldered for nothing.",
    advice: "Add a line to the programme that lights the group, or remove the group.",
  },
  "too-many": {
    about:
      "The table of the firmware has room for so many inputs, outputs and lines, and the controller for 20 pins.",
    advice: "Put LEDs in series so that fewer outputs are needed, or use two lamps.",
  },
  "sweep-end": {
    about:
      "The last LED of a sweep must be fully lit within 200 ms of the first light (sequential indicator, UN R148 family).",
    advice: "Shorten the sweep with `within`.",
    source: {
      document: "UN R6 5.6, R50 6.8, R148: sequential activation",
      place: "all parts lit within 200 ms of the start of the ON phase",
      known: "memory",
      confidence: "H",
    },
  },
  "sweep-too-long": {
    about: "The longest sweep the firmware can time.",
    advice: "Shorten the sweep with `within`.",
  },
  "sweep-without-supply": {
    about:
      "A sweep on a flashing wire needs a controller that stays alive between the flashes. Fed by the flashing wire " +
      "alone it starts anew with every flash and lights everything at once.",
    advice: "Bring a wire of role `supply` to the lamp, or leave the sweep out.",
  },
  "sweep-in-flash": {
    about:
      "The last LED must be full before the flasher's wire falls, even on the first flash and at the shortest on-time " +
      "that is accepted. Later flashes shorten the sweep to 85 % of the shortest on-time measured.",
    advice: "Reduce the delay of the wire's input network (smaller filter capacitor).",
  },
  "sweep-shortened": {
    about:
      "With the flasher as described, the sweep must be shorter than asked for, so that it ends before the wire falls.",
    advice: "Shorten `within`, or check the wire's rate and on-share.",
  },
  "rise-in-sweep": {
    about: "An LED's rise is part of the sweep and cannot last longer than it.",
    advice: "Shorten `rise`, or lengthen the sweep.",
  },
  "rise-in-flash": {
    about: "An LED on a flashing wire must reach its level before the shortest legal on-time is over.",
    advice: "Shorten `rise`.",
    source: legalTiming,
  },
  "fall-in-gap": {
    about: "The light of one flash must be out before the next begins, also at the shortest legal off-time.",
    advice: "Shorten `fall`.",
    source: legalTiming,
  },
  "fall-unseen": {
    about:
      "LEDs get their current from the wires that light them. When the last of these goes dead they go dark with it, " +
      "and a fall has nothing left to show.",
    advice: "Leave `fall` out, or light the group from a further wire as well.",
  },
  "stop-held-back": {
    about:
      "Where a stop light shares its LEDs with a flashing indicator, the indicator wins: the stop light is dark between " +
      "the flashes and for 750 ms after the last. Some laws ask for that, others forbid to combine the two.",
    advice: "Give the stop light its own LEDs unless your local law lets the two share them.",
    source: {
      document: "US practice: stop off on the side where a combined turn signal flashes; UN rules: own lamps",
      place: "California VC 24252(c)(1), 571.108; UN R48/R53 from memory",
      known: "memory",
      confidence: "M",
    },
  },
  "flash-hidden": {
    about:
      "A group fed straight from its wires adds up what they give it: an indicator that shares its LEDs with a steady " +
      "wire cannot be seen while that wire gives as much light, and is not dark between its flashes where it gives less.",
    advice: "Give the indicator LEDs of its own, or let the controller switch the group.",
  },
  "levels-against-bulbs": {
    about:
      "In a group the higher level wins. Where the wire of the stronger bulb has the lower level, its light is never " +
      "seen while the other wire is live: as a rule the two levels were exchanged.",
    advice: "Exchange the levels, or correct what the wires replace.",
  },
  "stop-rise": {
    about: "A stop light is read by its sudden onset; a slow rise costs the driver behind braking distance.",
    advice: "Leave `rise` out of the line that lights the stop function.",
  },
  "fade-too-long": {
    about: "The longest rise or fall the firmware can time.",
    advice: "Shorten `rise` or `fall`.",
  },
  "nothing-to-sweep": {
    about: "A sweep over a group that the controller switches as a whole: there is no order to be seen.",
    advice: "Remove the sweep, or let the LEDs be switched one by one.",
  },
  "level-floor": {
    about:
      "Levels below 3.2 % cannot be shown truthfully, because the switches are too slow for pulses under 8 µs.",
    advice: "Raise the level to 3.2 % or more.",
  },
  "dimmer-with-more": {
    about: "With a further wire live the group gets darker than with one of its wires alone.",
    advice: "Check the levels: more live wires usually mean more light.",
  },
  "first-light": {
    about:
      "Time from the settled wire to the first light, input network and filter included: 5 ms at most. A `live-after` " +
      "of the wire's own counts in full; it is a caution up to 10 ms.",
    advice: "Shorten the wire's `live-after`, or reduce the delay of its input network.",
  },
  "light-after-fall": {
    about:
      "How long light remains after the wire went dead, input network, filter and fall included: 20 ms, or the described " +
      "fall and 12 ms, and 50 ms at most.",
    advice: "Shorten `fall`, or the wire's `dead-after`.",
  },
  "pin-missing": {
    about: "Every input and output needs a controller pin that its signal may use.",
    advice: "Give the signal a free pin in `pins`, or leave the choice to the board.",
  },
  "pin-taken": {
    about: "Two signals share a controller pin.",
    advice: "Give each signal its own pin in `pins`, or leave the choice to the board.",
  },
  "tick-load": {
    about:
      "Worst-case work of a millisecond, counted from the table: inputs, lines, every LED starting at once. It must " +
      "stay under 80 % of the deadline after which new levels would come a millisecond late.",
    advice: "Use fewer lines or outputs.",
    source: {
      document: "bound counted on the compiled runtime and checked on an emulator",
      known: "computed",
    },
  },
  flicker: {
    about: "Dimming is free of visible flicker from 3 kHz on, at any level.",
    advice: "Use the firmware's own clock of 16 MHz.",
    source: {
      document: "IEEE 1789-2015, no observable effect at 100 % modulation",
      place: "modulation < 0.0333 · f up to 3000 Hz",
      known: "memory",
      confidence: "M",
    },
  },
  "code-size": {
    about: "The compiled runtime must end before the table begins.",
    advice: "This is a fault of Lampwright: please report it.",
  },
  "table-size": {
    about: "The table has 1024 bytes of room, and as many for its copy.",
    advice: "Use fewer lines or outputs.",
  },
})
