// Everything the proof says about what was made, with what it means and what to do.

import { catalogue } from "../0-ground/catalogue.ts"

export const proof = catalogue("proof", {
  "program-unreadable": {
    about:
      "Every cutter program is read again by the rules of its language; a line that breaks them may do anything on a machine.",
    advice: "Do not run this program; make it again.",
  },
  "program-unsafe": {
    about:
      "No fast move may go through the board, the spindle must turn before the tool goes in, units and distance mode must be said, no tool may leave the sheet or reach the table, and a program ends with the tool up.",
    advice: "Do not run this program as it stands. Wear eye protection at the mill whatever the report says.",
  },
  "program-missing": {
    about: "Every board needs a program for its grooves, for each drill and for its edge.",
    advice: "Make the board's programs again.",
  },
  "program-depth": {
    about: "How deep the deepest move goes, against board thickness and a millimetre of waste board.",
    advice: "Put at least a millimetre of waste board under the sheet.",
  },
  "program-time": {
    about:
      "How long the programs run and how far they travel, counted from their text by the proof's own reader: every move with its ramps.",
    advice: "Plan for the changing of tools beside it.",
  },
  "program-count": {
    about:
      "What the programs claim of time, travel and length is counted again from their text; a claim that is off means that the text is not what its maker thought.",
    advice: "Do not trust the claim; look at the program, or make it again.",
  },
  "program-sheet": {
    about:
      "Every tool that cuts stays on the sheet with its whole width: beyond it are clamps and the table.",
    advice: "Use a larger sheet, or place the board further inside it.",
  },
  "sheet-boards": {
    about:
      "On a sheet that several boards share, each board is looked for by its holes alone, turned each way, and must lie where the drawing shows it.",
    advice: "Do not run the sheet's programs; make them again, or cut the board by its own programs.",
  },
  "sheet-apart": {
    about:
      "On a shared sheet no cut of one board may reach into another: grooves, holes, end mill and router, with their whole width.",
    advice: "Do not run the sheet's programs; make them again, or give `cutting.board-gap` more room.",
  },
  "sheet-clamps": {
    about: "On a shared sheet every cut stays off the edge that is left to the clamps.",
    advice: "Clamp further out, or leave less to the clamps in `cutting.clamping-edge`.",
  },
  "sheet-stray": {
    about: "On a shared sheet every cut belongs to some board.",
    advice: "Look at the program there before it is run: a clamp may lie in its way.",
  },
  "one-file": {
    about:
      "One file with tool stops must make exactly the cutting moves of the programs it is put together from, in their order.",
    advice: "Make the board's programs again, or use one file a tool.",
  },
  slot: {
    about: "A slot must be cut through the board over its whole length and width, and no wider.",
    advice: "Make the outline program again, or use a router that fits the slot.",
  },
  position: {
    about:
      "Play and step of the axes put every cut a little beside its place; two cuts on either side of a track take twice that from it.",
    advice: "Take the play out of the axes, or ask for wider tracks.",
  },
  "program-feed": {
    about: "Feeds faster than described break fine tips and drills.",
    advice: "Lower the feed in the program, or describe the feed your cutter stands.",
  },
  "program-clear-height": {
    about: "Fast moves across the board need room above clamps and curled copper.",
    advice: "Raise the machine's clear height in the description.",
  },
  wiring: {
    about:
      "What the boards say about parts, pins and wires is compared with the circuit and the choices made for it.",
    advice: "The boards do not carry the circuit that was designed: design them again.",
  },
  netlist: {
    about:
      "The copper left after cutting and the wire links are followed from hole to hole and compared with the circuit, net by net, on every board.",
    advice: "Nothing to do.",
  },
  short: {
    about:
      "Two nets that must be apart are joined in the copper that is left, at the shallowest cut the sheet's flatness allows.",
    advice: "Look for a missing or too shallow groove at this place.",
  },
  open: {
    about:
      "Lands of one net are no longer joined in the copper that is left, at the deepest cut the sheet's flatness allows.",
    advice: "Look for a groove or hole across the track at this place.",
  },
  "link-idle": {
    about: "A wire link is soldered for nothing when the copper joins its two ends already.",
    advice: "The link may be left out; the holes do no harm.",
  },
  harness: {
    about:
      "Every net that lives on several boards, and every vehicle wire, must be joined by harness wires between pads.",
    advice: "Add the harness wire between the boards named.",
  },
  "net-unreached": {
    about: "All pins of a net are followed over copper, links and harness wires together.",
    advice: "Add the missing harness wire or route the missing track.",
  },
  "cut-depth": {
    about: "The groove must go through the foil everywhere, also where the sheet lies lowest.",
    advice: "Cut deeper, or hold or probe the sheet so that its height errors get smaller.",
  },
  "depth-window": {
    about:
      "The depths at which every groove is through the foil and every track keeps enough copper, with the surface's height errors taken off; how far the set depth is from the nearer end is what the tool's zero may be off.",
    advice: "Set the depth nearer to the middle of the window, or probe the surface.",
  },
  "depth-flatness": {
    about:
      "At the best depth the surface may be off by so much, up or down, before a net is not parted or copper gets too thin; more than the described flatness is needed.",
    advice: "Probe the surface and bend the program to it, or use an engraver with a smaller angle.",
  },
  "depth-shallow-end": {
    about: "The least depth that parts all nets where the surface lies low, and what fails first above it.",
    advice: "Cut deeper, or hold the sheet flatter.",
  },
  "depth-deep-end": {
    about:
      "The greatest depth that leaves every track and ring its least copper where the surface lies high, and what fails first below it.",
    advice: "Cut less deep, use a smaller angle or a finer tip, or ask for wider tracks.",
  },
  "narrowest-copper": {
    about: "The narrowest copper any net depends on, found by widening every groove until a net falls apart.",
    advice: "A wider track, a finer engraver or a shallower cut gives more copper.",
  },
  "narrowest-groove": {
    about: "The narrowest groove between two nets at the bottom of the foil, at the shallowest cut.",
    advice:
      "A second pass beside the first, or a wider tip, gives a wider groove that solder does not bridge.",
  },
  "land-ring": {
    about: "Copper left around each hole to solder on.",
    advice: "Larger lands, a smaller drill or a groove further away leave more ring.",
  },
  "land-bare": {
    about: "A land without copper around its hole cannot be soldered.",
    advice: "Look for a groove or a hole over this land.",
  },
  "hole-missing": {
    about: "Every land needs a hole of its own, of the drill the part asks for.",
    advice: "Make the drill programs again.",
  },
  "hole-stray": {
    about: "A hole that belongs to no land and no screw cuts tracks or weakens the board.",
    advice: "Make the drill programs again.",
  },
  "hole-depth": {
    about: "Every hole must go through the board.",
    advice: "Drill deeper: board thickness and the drill's point.",
  },
  holes: {
    about: "Drilled holes compared one by one with the lands and screws of the board.",
    advice: "Nothing to do.",
  },
  "led-place": {
    about:
      "LED holes of the drill program against the face's holes through the mirror between face and copper side: a mirrored board is the classic ruined evening.",
    advice: "Do not cut: the LEDs would not stand behind their holes.",
  },
  "package-mirrored": {
    about: "Each part's lands against its package as it looks from the copper side.",
    advice: "Do not cut: the part's pins would be mirrored or moved.",
  },
  "screw-copper": {
    about: "Copper of a net under a metal screw head or spacer is joined to the face, or to another net.",
    advice: "Use an insulating washer or spacer there, or move the screw away from the copper.",
  },
  outline: {
    about:
      "The outline program must cut all round the board where its edge is declared, eat nothing of it and leave tabs that hold it.",
    advice: "Make the outline program again, or check the router's diameter in the description.",
  },
  "led-current-bound": {
    about:
      "The greatest current an LED can get, by interval arithmetic over supply, resistor tolerance and LED spread.",
    advice: "Choose a larger resistor or a lower current for this group.",
  },
  "fitted-value": {
    about:
      "Every resistor's value is worked out once more from the solved voltages and heats by Ohm's law, and compared with the figure that explains it: one step of its series off is noticed.",
    advice: "Fit the value that was designed, or hold another by hand in the description and check again.",
  },
  "current-disagrees": {
    about: "The solved LED currents must lie inside bounds found by another road.",
    advice: "Solver and bounds disagree: do not build this circuit before it is understood.",
  },
})
