// What this room checks, why, and what to do about it.

import { catalogue } from "../0-ground/catalogue.ts"

export const report = catalogue("drive", {
  way: {
    about:
      "Which way each group is driven: every way that makes sense is designed, solved at the corners and scored in points lost (light at the lowest supply, current at the strongest corner, spread of two levels, heat, parts, board, what lights without the controller). The advice tells why each of the others lost.",
    advice: "Hold another way by hand with pins: drive.<group>.way or drive.<group>.in-series.",
  },
  "led-current": {
    about:
      "The most current any LED of a group takes, at the highest supply with the strongest parts in the greatest heat, against the share of its hot rating we use.",
    advice: "Raise the resistor, or lower the group's current.",
  },
  "led-light-low": {
    about:
      "What is left of the full current at the lowest supply with the weakest parts in the cold. Dim is allowed, dark is not.",
    advice:
      "Put fewer LEDs in series (pins: drive.<group>.in-series), or check whether the lowest supply is meant.",
  },
  "led-junction": {
    about: "Temperature inside the hottest LED: surroundings plus its own heat.",
    advice: "Lower the group's current, or give the lamp more air.",
  },
  "led-even": {
    about:
      "Currents of one group's LEDs against each other at usual supply with usual parts: strings of different length need different resistors.",
    advice: "Choose a number of LEDs that divides into equal strings.",
  },
  "led-wanted": {
    about: "The current asked for in the description against what the limits leave.",
    advice: "Ask for less, or clamp the surge, or choose an LED that carries more.",
  },
  level: {
    about: "The lower level of a two-level group against the programme, solved with both feeds in place.",
    advice:
      "Pin the resistor (pins: drive.<group>.second-resistor), or choose a level nearer to what E24 values give.",
  },
  "stop-ratio": {
    about:
      "A stop lamp that shares its LEDs with the rear position lamp must stand out: both on against position alone, at every corner.",
    advice: "Lower the level of the rear position line.",
  },
  "dark-when-dead": {
    about: "LEDs of a group whose wires are dead, while other wires are live: nothing may feed across.",
    advice: "Look for a wire that feeds another group through shared parts.",
  },
  "leak-glow": {
    about:
      "LED current while the flasher is off and leaks; a clear LED shows some ten microampere in the dark.",
    advice: "Fit a stronger bleed resistor across the wire, or another flasher.",
  },
  tolerance: {
    about:
      "One thing at a time at its end, all else usual: which of supply, temperature, forward voltage, resistors, diodes, switches, reference and gain eats most of the reserve between the usual LED current and its limit. The advice gives all of them in per cent of the reserve.",
    advice: "Choose LEDs of one bin, more voltage over the resistors (fewer in series), or a regulated way.",
  },
  yield: {
    about:
      "Lamps built by lot from parts anywhere in their tolerances, on any supply and in any weather described: the share in which every LED of the group keeps its limits, with the interval that holds it with 95 % certainty.",
    advice: "See which tolerance eats the reserve; choose LEDs of one bin or fewer in series.",
  },
  "resistor-heat": {
    about:
      "Heat in a string's resistor at the worst corner, averaged over the flashing, against half of what its size may carry when hot.",
    advice: "Use the next larger resistor (pins: drive.<group>.resistor-part), or lower the current.",
  },
  "diode-heat": {
    about:
      "Temperature inside the hottest feed or supply diode in the greatest heat, its own heat and the warmer LEDs behind it worked out together until they stand still.",
    advice: "Share the load between more diodes (fewer LEDs on one feed), or give the lamp more air.",
  },
  "diode-current": {
    about: "Average current through a feed or supply diode against its rating.",
    advice: "Share the load between two wires or choose a larger diode.",
  },
  "sink-heat": {
    about:
      "Temperature inside the hottest transistor of a group's current sinks, or of what switches its rail: what the LEDs leave of the supply turns to heat in the sink.",
    advice: "Put more LEDs in series, so that less is left for the transistor, or lower the current.",
  },
  "rail-heat": {
    about: "Temperature inside the adjustable regulator that makes a group's rail, without a heat sink.",
    advice: "Fit a heat sink, lower the current, or drive the group another way.",
  },
  "rail-load": {
    about:
      "An adjustable regulator holds its voltage only while a little current is drawn; else the rail rises.",
    advice: "Pin smaller resistors round its set pin.",
  },
  "setter-surge": {
    about: "What transistors and the rail's regulator hold off while the surge is there.",
    advice: "Clamp the supply, or drive the group with plain resistors.",
  },
  "setter-reverse": {
    about: "Voltage backwards across a transistor's base with the battery the wrong way round.",
    advice: "A resistor from base to earth keeps it low.",
  },
  "relay-pull-in": {
    about:
      "Voltage at the coil of the relay that switches a rail at the lowest supply, against what its winding needs when warm: pull-in voltages are told at 20 °C and rise with the winding's resistance.",
    advice:
      "Let a transistor switch the rail (way: rail-switched), take a relay that pulls in at less, or thicker wire to it.",
  },
  "relay-heat": {
    about: "Temperature of a relay's winding that is live for long at the highest supply.",
    advice: "Let a transistor switch the rail (way: rail-switched), or give the relay air.",
  },
  "relay-contact": {
    about:
      "Current through the relay's contact while it is made: too little lets silver contacts tarnish shut.",
    advice: "Take a relay with gold contacts, or let a transistor switch the rail (way: rail-switched).",
  },
  "section-current": {
    about: "Current through one section of the low-side array against its rating.",
    advice: "Use more channels for the group.",
  },
  "array-heat": {
    about: "Temperature inside an array with all its sections on at the strongest corner.",
    advice: "Spread the channels over more arrays, or lower the current.",
  },
  "array-voltage": {
    about: "What an open section must hold off in a surge.",
    advice: "Clamp the supply.",
  },
  "array-drive": {
    about:
      "Input current of an array section while the controller is silent and only the pull-up holds it, against what the section needs for its load.",
    advice: "Use stronger pull-ups.",
  },
  "regulator-dropout": {
    about:
      "The controller's supply at the lowest battery, against the voltage at which its brown-out surely lets it run.",
    advice:
      "Feed the controller from a better wire, or accept that it stops in deep dips (the lights stay on).",
  },
  "regulator-input": {
    about: "Steady voltage at the regulator's input at the highest supply.",
    advice: "This supply is for 12 V vehicles; a 24 V vehicle needs another regulator.",
  },
  "regulator-heat": {
    about: "Temperature inside the regulator at the highest supply.",
    advice: "Fit a small heat sink.",
  },
  "controller-pins": {
    about: "Current of one controller pin, and of all together.",
    advice: "Weaker pull-ups or fewer channels.",
  },
  "input-live": {
    about: "A live wire at the lowest supply must surely read as live, over all tolerances.",
    advice: "Change the divider, or check the wire's resistance.",
  },
  "input-dead": {
    about: "A dead wire, with what leaks through its flasher or across the lamp, must surely read as dead.",
    advice: "Fit a stronger bleed resistor.",
  },
  "surge-led": {
    about: "LED current in the clamped load-dump pulse with every wire live, against the LED's pulse rating.",
    advice: "Raise the resistor.",
  },
  "surge-supply": {
    about: "What the controller's supply sees in the surge: regulator, clamp and capacitors.",
    advice: "Choose another clamp.",
  },
  "surge-unclamped": {
    about: "A load dump that nothing clamps carries far more energy than a lamp can take.",
    advice:
      "Fit a load-dump clamp (for example an SM8S24A) at the vehicle's supply and write surge: clamped.",
  },
  "reverse-led": {
    about:
      "Current backwards through the LEDs with the battery the wrong way round: the feed diodes let only leakage through.",
    advice: "Every feed needs its diode.",
  },
  "pulse-part": {
    about:
      "The whole circuit run over time through fast pulses (ISO 7637-2: 1, 2a, 3a, 3b), load dump and starting, outputs on and off: for each kind of part the one that comes nearest to what its data sheet lets it bear. All parts in all pulses stand in pulses.csv.",
    advice: "Fit a larger capacitor or a stronger clamp on the rail, or a part that bears more.",
  },
  "pulse-not-solved": {
    about:
      "The course of a pulse over time could not be worked out to its end; nothing is concluded from it.",
    advice: "Report the lamp: this is a fault in the program.",
  },
  starting: {
    about:
      "Starting the engine pulls the battery down (ISO 16750-2 profile, levels I and IV): the controller's supply over time against what its brown-out lets run. Starting again costs a sweep, never a light.",
    advice: "A larger capacitor on the controller's rail bridges the dip; below its plateau nothing does.",
  },
  "hold-up": {
    about:
      "How long the controller lives when its only live wire opens: contacts bounce, and each restart loses the start of a sweep. Between flashes it may stop; the lights do not wait for it.",
    advice: "Give the lamp a supply wire, or a larger capacitor on the controller's rail.",
  },
  "reverse-input": {
    about: "Current out of a controller pin with the battery the wrong way round.",
    advice: "Raise the divider's upper resistor.",
  },
  "wire-current": {
    about: "Current of a vehicle wire at the strongest corner against its fuse.",
    advice: "Lower the current or fit the right fuse and wire.",
  },
  "wire-drop": {
    about: "Voltage lost in feed and earth wire.",
    advice: "Use thicker or shorter wire.",
  },
  "wire-fuse": {
    about: "Every live wire to a lamp needs a fuse: a shorted lamp must not set the harness on fire.",
    advice: "Give the wire's fuse in the description, and fit it.",
  },
  "flasher-load": {
    about: "Flashers that watch their load flash fast or not at all with LEDs.",
    advice: "Use a load-independent flasher, or the load resistor told here, metal-cased, on bare metal.",
  },
  "flasher-ballast": {
    about:
      "Heat of a load resistor that takes the place of the missing bulb power, while the wire is live at the highest supply: it must be a metal-cased one on bare metal, away from plastic and hands.",
    advice: "Better change the flasher for a load-independent one: then no resistor is needed.",
  },
  "tell-tale": {
    about:
      "One tell-tale bulb between the two sides returns through the idle side's filaments; with LEDs there its current reaches the idle lamp, which glows or flashes too.",
    advice:
      "Part the sides with two diodes: one 1N4007 from each side to the tell-tale, its other terminal to earth; or fit two tell-tales.",
  },
  "fuse-wire": {
    about: "A fuse protects the wire behind it: its rating must not exceed what the wire may carry.",
    advice: "Fit a smaller fuse or a thicker wire.",
  },
  "safe-default": {
    about: "What lights when the controller is dead, blank or in reset.",
    advice: "Give each group that must not fail its own feed and a pull-up at its switch.",
  },
  "safe-five-volt": {
    about: "What fails when the controller's 5 V supply is dead.",
    advice:
      "Test the lamp in bring-up with the regulator removed, check it in service before riding, and keep the supply parts well soldered.",
  },
  "controller-supply": {
    about: "The controller should have a wire of its own, so that it runs before the first flash.",
    advice: "Add a wire with role: supply.",
  },
  "shared-channels": {
    about: "Where the controller has too few pins, neighbours of a sweep share an output.",
    advice: "Use fewer LEDs in the sweep for finer steps.",
  },
  "too-many-signals": {
    about: "The controller's pins do not reach for the groups and wires.",
    advice: "Let groups that need no timing be fed directly, or split the lamp in two.",
  },
  "earth-wire": {
    about: "The lamp needs an earth wire of its own; earth through the mounting corrodes.",
    advice: "Add a wire with role: earth.",
  },
  "group-unfed": {
    about: "A group that no programme line lights.",
    advice: "Add a programme line for the group, or drop the group.",
  },
  "unknown-led": {
    about: "An LED that is not in the stock.",
    advice: "Use one of the stock's keys.",
  },
  "unknown-pin": {
    about: "A choice held by hand that means nothing.",
    advice: "Use drive.<group>.way, .in-series, .resistor, .second-resistor or .resistor-part.",
  },
  "not-solved": {
    about: "The solver found no operating point; nothing may be concluded from such a corner.",
    advice: "Report the lamp: this is a fault in the program or a circuit without an answer.",
  },
})
