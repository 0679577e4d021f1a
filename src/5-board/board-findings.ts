// Catalogue of this room's findings.

import { catalogue } from "../0-ground/catalogue.ts"
import { practice, type Source } from "../0-ground/source.ts"

const ipc: Source = {
  document: "IPC-2221 curve fit I = 0.048 · ΔT^0.44 · A^0.725 (area in square mils), outer layer",
  place: "formula and constants as printed on a public trace calculator that names IPC-2221",
  known: "read",
}

export const trackSource = ipc

export const { judge, state, entries } = catalogue("board", {
  "no-board": {
    about:
      "Every part needs a board: a board that carries its group, or one that carries controller, drivers or supply.",
    advice: "Add the missing word or group to a board's `carries` in the description.",
  },
  "no-face": {
    about: "A board behind a face takes its outline and its LED places from that face.",
    advice: "Name an existing face under `behind`, or give the board an outline of its own.",
  },
  "no-outline": {
    about: "A board's outline is the face's edge moved inward; too much of it leaves nothing.",
    advice: "Make the inset smaller or the face larger.",
  },
  "led-outside": {
    about: "An LED's lands must lie inside its board with room to the edge, or the LED cannot be soldered.",
    advice:
      "Make the inset smaller, move the hole inward, or put the group on the board behind its own face.",
  },
  "pin-place": {
    about: "A place pinned in the description must be readable and possible.",
    advice:
      'Write boards.<board>.<part>: "x y rotation", millimetres and degrees as seen from the copper side.',
  },
  "pin-signal": {
    about: "A controller pin held by hand must be one the signal may use, and no two signals share one.",
    advice: "Write controller.<signal>: <port pin>, for example controller.output-0: PB3.",
  },
  "no-room": {
    about: "Parts may not overlap, and stand inside the board with their margins.",
    advice: "Make the board larger, or move parts to another board.",
    source: practice(),
  },
  "all-routed": {
    about:
      "Every net of the board is one piece of copper and wire links; an open net is a lamp that stays dark.",
    advice: "Make the board larger, or give the parts more room.",
  },
  links: {
    about:
      "Wire links join copper over the component side. Each is two more solder joints and a chance to forget one.",
    advice: "Fit every link on the build sheet. A larger board or another place for a part may save some.",
    stuck: "whether a larger board or another place saves one is only known once the board is laid out anew",
    source: practice(),
  },
  clearance: {
    about:
      "Copper of different nets keeps the width of the engraver's groove, or the groove would eat into a track.",
    advice: "Use a finer tip or a shallower cut, or make the board larger.",
  },
  "land-ring": {
    about: "A land needs copper round its hole to hold solder.",
    advice: "Choose a package with larger lands or a smaller hole.",
    source: {
      document: "common practice, no source: 0.3 mm at least on an engraved board, 0.5 mm is better",
      known: "practice",
    },
  },
  "hole-edge": {
    about: "A hole too near the board's edge breaks out.",
    advice: "Move the part inward or make the board larger.",
    source: practice("common practice, no source: at least 1 mm from the hole's rim to the edge"),
  },
  "body-gap": {
    about: "Bodies must not touch, or parts do not sit down.",
    advice: "Make the board larger, or unpin parts that stand too near.",
    source: practice(),
  },
  height: {
    about: "Parts must fit into the room above the board.",
    advice: "Give the board more height, lay the part flat, or move it to another board.",
  },
  "led-offset": {
    about:
      "An LED's lands are centred behind its hole, so that the LED stands in the hole without a bend in its leads.",
    advice: "Unpin the LED.",
  },
  "edge-clearance": {
    about: "Copper keeps clear of the outline, where the router cuts.",
    advice: "Make the board larger.",
    source: practice("common practice, no source: at least 0.5 mm of copper to the edge"),
  },
  "track-current": {
    about: "The narrowest track of each net carries the net's current with less than 20 K of warming.",
    advice: "Use a wider track, thicker copper or a larger board.",
    source: ipc,
  },
  "voltage-drop": {
    about:
      "Voltage lost in a board's copper is missing at its LEDs. Counted with the net's whole current over its longest way and tracks as drawn, so the true drop is several times less.",
    advice: "Use thicker copper, or bring the wire in nearer to where its current goes.",
    source: practice("common practice in vehicle wiring, no source: at most 3 % of the supply"),
  },
  "wires-place": {
    about:
      "Wire pads lie near the place where the board's wires leave, so that no wire crosses the board: it would lie on sharp ends and pull when it moves.",
    advice: "Mark another place under `wires-at`, or tie the longer wire down beside its pad too.",
    source: practice(),
  },
  "strain-relief": {
    about:
      "A pulled wire tears its land off the board; a cable tie through two slots takes the pull instead.",
    advice:
      "Mark another place under `wires-at`, or fix the wires to the housing before they reach the board.",
    source: practice(),
  },
  "iron-access": {
    about: "Between lands of different nets an iron's tip needs room, or its solder makes a bridge.",
    advice: "Use a fine tip there and look for a bridge with a lens; a larger board gives parts more room.",
    source: practice(),
  },
})
