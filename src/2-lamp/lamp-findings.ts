// Everything that can be wrong with a description, and what to do about it.

import { catalogue } from "../0-ground/catalogue.ts"
import { practice } from "../0-ground/source.ts"

export const lampFindings = catalogue("lamp", {
  "too-large": {
    about: "A description is a page or two of text. A file far beyond that is not read at all.",
    advice: "Check that this is the right file; drawings stay in their own SVG files.",
  },
  "too-deep": {
    about: "Lists and mappings are nested far deeper than a description needs.",
    advice: "Look for a missing closing bracket near this place.",
  },
  "too-many": {
    about: "The text holds, or its aliases grow into, far more values than a lamp needs.",
    advice: "Write repeated values out, or remove the aliases.",
  },
  empty: {
    about: "The file holds no description.",
    advice: "Start from an example: the new command copies one.",
  },
  syntax: {
    about: "The text is not well-formed YAML, so nothing after this place can be trusted.",
    advice: "Correct this line; the indentation of its neighbours shows what was meant.",
  },
  "not-a-mapping": {
    about: "A description is a mapping: names followed by a colon and their values.",
    advice: "Begin with the line lampwright: 1.",
  },
  "duplicate-name": {
    about: "The same name stands twice, so one of the two would be lost.",
    advice: "Rename or remove one of them.",
  },
  "bad-name": {
    about:
      "Names of wires, faces, groups and boards become file names and references: letters, digits, hyphen and underscore, beginning with a letter.",
    advice: "Use a short plain name such as left-wing.",
  },
  version: {
    about: "The first key says which form of description this is.",
    advice: "Write lampwright: 1.",
  },
  "unknown-key": {
    about: "A key that means nothing here would be silently ignored, so it is refused.",
    advice: "Correct the spelling or remove the line.",
  },
  "missing-key": {
    about: "A value that has no safe default is not there.",
    advice: "Add it.",
  },
  "wrong-kind": {
    about: "A list, a mapping, a text or a number stands where another kind of value is asked.",
    advice: "Compare with the examples.",
  },
  "unknown-word": {
    about: "Only certain words are known here.",
    advice: "Use one of the words listed.",
  },
  "no-number": { about: "No number could be read.", advice: "Write a number with its unit." },
  "no-unit": { about: "Every value carries its unit, so that nothing is guessed.", advice: "Add the unit." },
  "unknown-unit": { about: "The unit is not known.", advice: "Use one of the units of this kind of value." },
  "wrong-unit": {
    about: "The unit belongs to another kind of value.",
    advice: "Check that the value stands at the right key.",
  },
  "out-of-range": {
    about: "The value lies outside what can physically be meant here.",
    advice: "Check the value and its unit.",
  },
  "unknown-reference": {
    about: "The description names something it does not have.",
    advice: "Correct the spelling, or add what is named.",
  },
  "no-effect": {
    about: "A value was given that nothing uses.",
    advice: "Remove it, or correct what it was meant for.",
  },
  "built-file": {
    about:
      "A file that belongs to the lamp as built is not beside the description, or is named by a path out of its folder.",
    advice: "Put the file into the description's folder and name it without a path, or remove the line.",
  },
  "drawing-missing": {
    about: "The SVG file named in the description could not be found beside it.",
    advice: "Put the drawing in the same folder as the description and check its name.",
  },
  "drawing-broken": {
    about: "The drawing is not well-formed XML.",
    advice: "Save the drawing again as plain SVG.",
  },
  "drawing-refused": {
    about: "The drawing holds something that is not read: declarations, references or foreign content.",
    advice: "Save it as plain SVG with only paths, circles, rectangles and groups.",
  },
  "drawing-scale": {
    about: "The drawing must say how many millimetres it measures: width, height and viewBox with one scale.",
    advice:
      'Give the svg element a width and height in mm and a viewBox, for example width="320mm" height="110mm" viewBox="0 0 320 110".',
  },
  "drawing-id": {
    about: "The named element is looked up by its id.",
    advice: "Give the element this id in the drawing.",
  },
  "drawing-path": {
    about: "A path, circle or transform in the drawing could not be read.",
    advice: "Redraw this element with plain paths and circles.",
  },
  "drawing-ignored": {
    about: "Something in the drawing was left out of the face.",
    advice: "Nothing to do if that was meant; otherwise turn it into closed paths and circles.",
  },
  outline: {
    about: "A face or board needs exactly one closed, simple edge.",
    advice: "Close the path and keep it from crossing itself.",
  },
  "hole-outside": { about: "A hole must lie inside the edge.", advice: "Move the hole or the edge." },
  "hole-edge": {
    about: "Too little metal between a hole and the edge bends or breaks out when drilled.",
    advice: "Move the hole inward.",
    source: practice("common practice, no source: leave a web of at least 1 mm beside a drilled hole"),
  },
  "led-spacing": {
    about: "The flanges of two LEDs must not meet behind the face.",
    advice: "Move the holes apart, or use an LED with a smaller flange.",
  },
  "hole-overlap": { about: "Two holes run into each other.", advice: "Move one of them." },
  "led-hole": {
    about: "The LED's body goes through the hole, its flange must not.",
    advice: "Choose the hole between the body's and the flange's diameter.",
  },
  "supply-order": {
    about: "Lowest, usual and highest must stand in this order.",
    advice: "Exchange the values.",
  },
  "supply-system": {
    about: "Everything here is designed for 12 V vehicle systems.",
    advice:
      "Give the voltages at the lamp's own wires; 24 V, 48 V and mains systems are outside what this tool designs.",
  },
  "supply-low": {
    about: "Below this voltage not even a single LED with its series diode and resistor lights.",
    advice: "Give the lowest voltage at which the lamp must still light.",
  },
  "ambient-order": {
    about: "The lowest temperature must be below the highest.",
    advice: "Exchange the values.",
  },
  "no-earth": {
    about: "The lamp's current needs a way back: one wire with the role earth.",
    advice: "Add a wire such as earth: { role: earth, size: 0.75 mm², length: 1 m }.",
  },
  "group-empty": {
    about: "A group needs at least one LED hole.",
    advice: "Check the face's hole diameter and drawing.",
  },
  "bin-order": {
    about: "A bin is given by its lower and its upper edge, in this order.",
    advice: "Exchange the two values.",
  },
  "beam-file": {
    about:
      "A measured light distribution is read from a photometric file in the open form LM-63, whole or not at all.",
    advice: "Save it again as LM-63 with TILT=NONE; the line named is at fault.",
  },
  "hole-shared": {
    about: "Each LED hole belongs to one group.",
    advice: "Name the holes of each group: holes: [u1, u2, …].",
  },
  "hole-unused": { about: "An LED hole without an LED stays dark.", advice: "Give the hole to a group." },
  "centre-line": {
    about: "Outward and inward are counted from the vehicle's centre line.",
    advice: "Add centre-line to the face, for example centre-line: 160 mm.",
  },
  "order-line": {
    about: "A group may follow one line: an open or closed path of a drawing, or points.",
    advice: "Name one path that runs past the holes in the order they should light, or list its points.",
  },
  "order-short": {
    about: "An order given hole by hole names every hole of the group once.",
    advice: "Add the missing holes where their turn comes.",
  },
  "share-without-flasher": {
    about: "A sweep that takes a share of the on-time needs a wire that goes on and off.",
    advice: "Give the sweep a time, for example within: 300 ms.",
  },
  "sweep-single": {
    about: "A sweep needs at least two LEDs.",
    advice: "Remove the sweep, or add LEDs to the group.",
  },
  "sweep-controller": {
    about: "Sweeps are made by the controller, which needs a board.",
    advice: "Let one board carry [controller, drivers, supply].",
  },
  "group-dark": { about: "No programme line lights this group.", advice: "Add a programme line for it." },
  "wire-unused": {
    about: "No programme line asks for this wire.",
    advice: "Add a programme line, or remove the wire.",
  },
  "programme-wire": {
    about: "Programme lines watch signal wires; supply and earth are always there.",
    advice: "Name a steady or flashing wire.",
  },
  "board-empty": {
    about: "A board that carries nothing cannot be made.",
    advice: "Name what it carries, or remove it.",
  },
  "board-missing": {
    about: "Every group's LEDs stand on exactly one board.",
    advice: "Let one board carry the group.",
  },
  "board-twice": {
    about: "Every group's LEDs stand on exactly one board.",
    advice: "Remove the group from one of the boards.",
  },
  "board-face": {
    about: "LEDs stand behind their holes, so their board lies behind that face.",
    advice: "Set behind to the group's face.",
  },
  "board-place": {
    about: "A board lies behind a face or has an outline of its own.",
    advice: "Add behind or outline.",
  },
  "board-room": {
    about: "A board with room for LEDs only takes no other parts.",
    advice: "Carry these on another board.",
  },
  "board-screw": {
    about: "A screw hole needs board all round it.",
    advice: "Move the screw inward, or make the board's inset smaller.",
    source: practice("common practice, no source: leave at least 1 mm of board beside a screw hole"),
  },
  "board-led": {
    about: "An LED stands behind its hole, so the board must reach under both of its leads.",
    advice: "Move the hole inward, or make the board's inset smaller.",
  },
  "board-cut": {
    about: "Notches, slots and engraved text lie on the board they belong to.",
    advice: "Give its place in the same coordinates as the outline.",
  },
  "board-wires": {
    about: "Wires leave a board at its edge or inside it.",
    advice: "Give wires-at in the same coordinates as the outline.",
  },
})
