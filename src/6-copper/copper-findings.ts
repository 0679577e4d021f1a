// What this room can find, with what to do about it.

import { catalogue } from "../0-ground/catalogue.ts"
import { practice } from "../0-ground/source.ts"

export const cutFindings = catalogue("cut", {
  "groove-fits-clearance": {
    about:
      "The groove must fit between two neighbouring tracks: its width at the copper surface must not be more than the " +
      "clearance the board has, and should leave a little on both sides for the rounding of coordinates.",
    advice: "Use a finer tip, a smaller angle or a shallower depth, or give the board more clearance.",
  },
  "groove-keeps-copper": {
    about:
      "The middle of every groove stays at least half its width away from all copper as designed, so that no track " +
      "and no land gets narrower than asked. Measured on the coordinates of the cutter program.",
    advice: "Use a finer tip or a shallower depth, or give the board more clearance.",
  },
  "nets-separate": {
    about:
      "The grooves, drawn with their width, are flooded from every piece of copper: no two pieces may be in one basin, " +
      "and no piece may be cut in two.",
    advice:
      "Give the board more clearance, or report this as a fault of the program with the lamp's description.",
  },
  "copper-overlaps": {
    about: "Copper of two different nets touches as designed; no groove can part it.",
    advice: "Move the parts or tracks named, or route the board again.",
  },
  "depth-through-copper": {
    about:
      "The set depth must reach through the copper even where the board lies low: foil thickness, flatness of the " +
      "surface and 10 µm to spare.",
    advice: "Cut deeper, or level the surface (probe it, or face the bed).",
    source: practice(),
  },
  "deepest-groove": {
    about:
      "Where the board lies high the cutter goes deeper and the groove gets wider; the narrowest track must then " +
      "still have nine tenths of its width.",
    advice: "Level the surface, use a smaller angle, or ask for wider tracks.",
    source: practice(),
  },
  "isolation-gap": {
    about:
      "Where the board lies low the cutter goes less deep and the gap between two nets gets narrower; " +
      "solder bridges gaps under 0.15 mm easily.",
    advice: "Cut deeper, use a wider tip, or level the surface.",
    source: practice(),
  },
  flatness: {
    about:
      "The surface should be flat, or probed, to a third of the depth, or the grooves vary too much in width.",
    advice: "Face the bed, hold the sheet down all over, or cut with a measured height map.",
    source: practice(),
  },
  "clear-height": {
    about:
      "Between cuts the tool crosses the board at this height; it must pass over clamps and a bowed sheet.",
    advice: "Set `cutter.machine.clear-height` to 2 mm or more.",
    source: practice(),
  },
  "fits-sheet": {
    about: "Everything the cutter touches must lie on the copper-clad sheet.",
    advice: "Use a larger sheet, or make the board smaller.",
  },
  sheets: {
    about:
      "Boards that share a sheet are packed by their outlines, turned by quarter turns where that helps. The least number by " +
      "area counts no gap between boards and no edge for the clamps, so it may not be reachable.",
    advice: "Nothing needs to be done.",
  },
  "sheet-used": {
    about:
      "How far along its longer side a shared sheet is used; what lies beyond is left in one piece. The router must stay off the clamps.",
    advice: "Leave less to the clamps, or use a larger sheet.",
  },
  "sheet-left-out": {
    about:
      "A board that finds no room inside the clamping edge of the described sheet, turned either way, is on no shared sheet; its own programs need no clamping edge and remain.",
    advice:
      "Cut this board by its own programs, leave less to the clamps (`cutting.clamping-edge`), or use a larger sheet.",
    stuck: "the board is larger than the sheet",
  },
  "reaches-below-zero": {
    about: "Cutter programs count from the sheet's lower left corner: no coordinate may be negative.",
    advice: "The board must lie further from the origin, by at least the router's radius.",
  },
  "drill-missing": {
    about: "Every hole needs a drill of its size, or must be wide enough to be milled with the router.",
    advice: "Add the drill to `cutter.drills`, or choose a hole for which there is a drill.",
  },
  "inside-corner": {
    about:
      "A round cutter leaves material in inside corners that are tighter than its radius; the board is then larger there.",
    advice: "Round the corner of the outline, or use a smaller router.",
    source: practice(),
  },
  "outline-lost": {
    about: "The outline must leave a closed path for the router.",
    advice: "Check the board's outline: it must be one closed line that does not cross itself.",
  },
  tabs: {
    about:
      "Holding tabs keep the board in the sheet until it is cut free by hand; fewer than three let it turn.",
    advice: "Fix the board with tape before the outline is cut, or make the board larger.",
    source: practice(),
  },
  "heights-unreadable": {
    about: "A height map is lines of x, y, z in millimetres on a full rectangular grid of places.",
    advice: "Give one line x,y,z for each place of the grid.",
  },
  "cannot-warp": {
    about:
      "Programs of straight moves, arcs and drilling cycles in the XY plane can be bent to a surface; offsets, " +
      "compensation and places only the machine knows would change their meaning.",
    advice: "Bend the programs of the pack, or write the program out in plain G0 and G1 moves.",
  },
  "rapid-over-surface": {
    about:
      "Rapid moves keep their height when a program is bent: they must pass over the highest place measured.",
    advice: "Raise `cutter.machine.clear-height`, or level the sheet.",
    source: practice(),
  },
  "heights-residual": {
    about:
      "Between the places measured the surface is taken as straight; how far each place lies from the line between its neighbours tells how wrong that is.",
    advice: "Measure at more places, or measure again: a speck under the probe looks the same.",
    source: practice(),
  },
  "heights-reach": {
    about: "Outside the measured grid the height of its edge is used; far outside that is a guess.",
    advice: "Measure the whole board, edge to edge.",
    source: practice(),
  },
  "feed-of-machine": {
    about: "A feed faster than the axes can follow is held to what they can; the time told counts with that.",
    advice: "Nothing needs to be done: the programs ask for no more than the machine's greatest feed.",
  },
  "speed-of-spindle": {
    about: "The programs set the spindle to the speed nearest to what is asked that it can turn.",
    advice: "Ask for a speed within the spindle's range, and lower the feed in step with the speed.",
  },
  "loose-bow": {
    about:
      "A loose sheet is bowed; only clamped all over, or probed, does it lie as flat as the depth needs.",
    advice: "Clamp or tape the sheet down all over and measure it, or cut with a measured height map.",
  },
  "second-pass": {
    about:
      "A second pass beside the first widens the gap that solder has to bridge; it is left out where copper is too near.",
    advice: "Give the board more clearance for second passes everywhere.",
  },
  "edge-groove": {
    about:
      "A groove just inside the edge parts the rim of copper, with the burr the router leaves on it, from every net.",
    advice: "Move the groove nearer to the edge, or the copper further from it.",
  },
  "thermal-relief": {
    about:
      "A land in wide copper takes the heat of a hand iron away; a broken ring of groove round it keeps it near the " +
      "joint. Tracks leave the land through the gaps as wide as they were drawn, so the land carries the same current.",
    advice: "Leave thermal relief out (`cutting.thermal-relief: none`) and use a stronger iron instead.",
    source: practice(),
  },
  "slot-narrow": {
    about: "A slot is milled with the router, which must fit in it.",
    advice: "Make the slot as wide as the router, or use a smaller router.",
  },
  "text-placed": {
    about:
      "Engraved text keeps off tracks and lands; where it would touch them it moves to the nearest free place.",
    advice: "Make the text smaller or shorter, or name another place.",
  },
  "area-cleared": {
    about: "A chosen area is freed of all copper but tracks and lands, as far as the tool gets between them.",
    advice: "List a thinner end mill in `cutter.mills`, or leave more room between the tracks there.",
  },
  "travel-near-bound": {
    about:
      "The way between the grooves against a length that no order can go below (a 1-tree with the strokes held fixed). " +
      "It costs time only.",
    advice: "Nothing needs to be done: the program is right, only somewhat longer than it could be.",
  },
})
