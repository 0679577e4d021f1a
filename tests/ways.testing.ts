// Small lamps with the way their LEDs are driven held by hand: one level from one wire, two levels from two, a sweep.

const head = (name: string, wires: string) => `
lampwright: 1
name: ${name}
vehicle:
  kind: three-wheeler
  rules: un-l
  supply: { lowest: 9 V, usual: 13.5 V, highest: 16 V, surge: clamped }
  ambient: { lowest: -20 °C, highest: 50 °C }
  wires:
${wires}
    earth: { role: earth, size: 0.75 mm², length: 1 m, colour: brown }
faces:
  plate:
    outline: { rectangle: 96 × 60 mm, corner: 4 mm }
    holes: { along: line, from: [18 mm, 30 mm], to: [78 mm, 30 mm], count: 6 }
    metal: aluminium
    thickness: 2 mm
    hole: 5.2 mm
copper-clad: { base: FR4, thickness: 1.6 mm, copper: 35 µm, sheet: 100 × 160 mm }
cutter:
  engraver: { tip: 0.2 mm, angle: 30°, depth: 0.1 mm, feed: 300 mm/min, plunge: 100 mm/min, spindle: 12000 /min }
  drills: [0.8 mm, 1.0 mm, 1.3 mm, 3.2 mm]
  drill-feed: 120 mm/min
  router: { diameter: 1.5 mm, feed: 240 mm/min, step-down: 0.5 mm }
  machine: { rapid: 1500 mm/min, acceleration: 100 mm/s², flatness: 0.03 mm, clear-height: 3 mm }
`

const wire = (name: string, role: string, bulb: number, more = "") =>
  `    ${name}: { role: ${role}, ${more}replaces: ${bulb} W, fuse: 5 A, size: 0.75 mm², length: 2 m, colour: grey }`
const plus = "    plus: { role: supply, fuse: 5 A, size: 0.75 mm², length: 2 m, colour: red }"
const control = "  control: { carries: [controller, drivers, supply], outline: 100 × 72 mm, height: 22 mm }"

export const oneLevel = (way: string) => `${head("Front light", wire("light", "steady", 5))}
groups:
  front: { face: plate, led: white-5mm, functions: [front-position], order: left-to-right }
programme:
  - { when: light, light: front, level: 100 % }
boards:
  plate: { carries: [front], behind: plate, inset: 2 mm, height: 13 mm }
pins: { drive.front.way: ${way} }
`

export const twoLevels = (way: string) => `${head(
  "Tail and stop",
  [wire("tail", "steady", 5), wire("brake", "steady", 21), plus].join("\n"),
)}
groups:
  rear: { face: plate, led: red-5mm, functions: [rear-position, stop], order: left-to-right }
programme:
  - { when: tail, light: rear, level: 12 % }
  - { when: brake, light: rear, level: 100 % }
boards:
  plate: { carries: [rear], behind: plate, inset: 2 mm, height: ${way === "rail-relay" ? 18 : 13} mm }
${way === "pwm" ? control : ""}
pins: { drive.rear.way: ${way} }
`

export const swept = (way: string) => `${head(
  "Sweep",
  [wire("left", "flashing", 21, "flasher: electronic, rate: 90 /min, on-share: 50 %, "), plus].join("\n"),
)}
groups:
  wing: { face: plate, led: amber-5mm, functions: [direction-indicator], order: left-to-right }
programme:
  - { when: left, light: wing, sweep: { within: 150 ms }, rise: 20 ms, fall: 10 ms }
boards:
  plate: { carries: [wing], behind: plate, inset: 2 mm, height: 13 mm }
${control}
pins: { drive.wing.way: ${way} }
`
