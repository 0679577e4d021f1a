// A small designed lamp made by hand: the marker's face, one board with two LEDs, a resistor, a diode and a link.
// Its numbers are invented; the tests only ask whether they arrive unchanged.

import { fact, result } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { practice } from "../0-ground/source.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Circuit, Part } from "../3-drive/artefact.ts"
import type { Board, Land, PlacedPart } from "../5-board/artefact.ts"
import type { PackInput } from "./artefact.ts"

export const outline = [
  { x: 4, y: 4 },
  { x: 60.123, y: 4 },
  { x: 60.123, y: 24.5 },
  { x: 4, y: 24.5 },
]

const land = (
  ref: string,
  pin: string,
  net: string,
  x: number,
  y: number,
  w = 1.6,
  h = 2.2,
  rotation = 0,
): Land => ({
  ref,
  pin,
  net,
  x,
  y,
  shape: w === h ? "round" : "oval",
  w,
  h,
  rotation,
  hole: 0.8,
})
const box = (x: number, y: number, w: number, h: number) => [
  { x: x - w / 2, y: y - h / 2 },
  { x: x + w / 2, y: y - h / 2 },
  { x: x + w / 2, y: y + h / 2 },
  { x: x - w / 2, y: y + h / 2 },
]
const placed = (
  ref: string,
  kind: string,
  value: string,
  x: number,
  y: number,
  w: number,
  h: number,
  height: number,
): PlacedPart => ({
  ref,
  kind,
  package: kind,
  value,
  x,
  y,
  rotation: 0,
  body: box(x, y, w, h),
  height,
  pins: {},
})

const board: Board = {
  name: "plate",
  pose: { originX: 64, originY: -4 },
  face: "plate",
  outline,
  size: { w: 56.123, h: 20.5 },
  screws: [{ x: 8.5, y: 8.25, diameter: 3.2, keepOut: 3.2 }],
  parts: [
    placed("marker-1", "led", "white", 20, 14.321, 5.8, 5.8, 8.7),
    placed("marker-2", "led", "white", 44, 14.321, 5.8, 5.8, 8.7),
    placed("R1", "resistor", "470 Ω", 32, 8, 6.8, 2.6, 2.6),
    placed("D1", "diode", "1N4007", 32, 20, 5.2, 2.7, 2.8),
    placed("X-tail", "pad", "", 56, 10, 2.6, 2.6, 3),
  ],
  lands: [
    land("marker-1", "A", "n1", 18.73, 14.321),
    land("marker-1", "K", "n2", 21.27, 14.321),
    land("marker-2", "A", "n2", 44, 15.591, 1.6, 2.2, 90),
    land("marker-2", "K", "earth", 44, 13.051, 1.6, 2.2, 90),
    land("R1", "1", "n1", 26.92, 8, 2, 2),
    land("R1", "2", "n3", 37.08, 8, 2, 2),
    land("D1", "A", "tail", 26.92, 20, 2.2, 2.2),
    land("D1", "K", "n3", 37.08, 20, 2.2, 2.2),
    land("X-tail", "1", "tail", 56, 10, 2.6, 2.6),
    land("W1", "1", "tail", 52, 12, 2, 2),
    land("W1", "2", "tail", 52, 22, 2, 2),
  ],
  tracks: [
    {
      net: "n1",
      width: 0.8,
      points: [
        { x: 18.73, y: 14.321 },
        { x: 26.92, y: 8 },
      ],
    },
  ],
  links: [{ ref: "W1", net: "tail", from: { x: 52, y: 12 }, to: { x: 52, y: 22 }, length: 10 }],
  linksLowerBound: 0,
  unrouted: [],
  clearance: 0.3,
  trackWidth: 0.4,
}

const part = (
  ref: string,
  kind: Part["kind"],
  stock: string,
  pkg: string,
  value: string,
  purpose: string,
): Part => ({
  ref,
  kind,
  stock,
  package: pkg,
  value,
  pins: {},
  purpose,
  home: { kind: "group", group: "marker" },
  reversible: false,
})

const circuit: Circuit = {
  parts: [
    part("marker-1", "led", "white-5mm", "led-5mm", "white", "lights"),
    part("marker-2", "led", "white-5mm", "led-5mm", "white", "lights"),
    part(
      "R1",
      "resistor",
      "resistor-quarter-watt",
      "axial-quarter-watt",
      "470 Ω",
      'sets the current, "tail" string',
    ),
    part("D1", "diode", "diode-1n4007", "do-41", "1N4007", "=HYPERLINK(1), reverse polarity"),
  ],
  nets: [
    { name: "tail", kind: "wire", current: 0.0123, voltage: 16, wire: "tail" },
    { name: "earth", kind: "earth", current: 0.0123, voltage: 0 },
  ],
  earth: "earth",
  strings: [],
  channels: [],
  signals: [],
  inputs: [],
  drives: [],
  corners: [
    {
      corner: "tail at 13.5 V, 25 °C, usual parts",
      live: ["tail"],
      supply: 13.5,
      temperature: 25,
      parts: "usual",
      ledCurrent: {},
      nodeVoltage: {},
      wireCurrent: { tail: 0.0123 },
      dissipation: {},
    },
  ],
  figures: [],
  findings: [],
}

const lamp: Lamp = {
  name: "Marker",
  vehicle: {
    kind: "three-wheeler",
    rules: "un-l",
    supply: { lowest: 9, usual: 13.5, highest: 16, surge: "clamped" },
    ambient: { lowest: -20, highest: 50 },
    wires: [
      { name: "tail", role: "steady", fuse: 5, size: 0.75, length: 2, colour: "grey" },
      { name: "earth", role: "earth", size: 0.75, length: 1, colour: "brown" },
    ],
  },
  faces: [
    {
      name: "plate",
      metal: "aluminium",
      thickness: 2,
      hole: 5.2,
      outline: [
        { x: 0, y: 0 },
        { x: 64.5, y: 0 },
        { x: 64.5, y: 26 },
        { x: 0, y: 26 },
      ],
      windows: [],
      ledHoles: [
        { id: "h1", x: 44, y: 10.321, diameter: 5.2 },
        { id: "h2", x: 20, y: 10.321, diameter: 5.2 },
      ],
      screwHoles: [{ id: "s1", x: 55.5, y: 4.25, diameter: 3.2 }],
    },
  ],
  groups: [
    {
      name: "marker",
      face: "plate",
      led: "white-5mm",
      functions: ["marker"],
      order: "drawn",
      leds: [
        { ref: "marker-1", hole: { id: "h1", x: 44, y: 10.321, diameter: 5.2 } },
        { ref: "marker-2", hole: { id: "h2", x: 20, y: 10.321, diameter: 5.2 } },
      ],
    },
  ],
  programme: [{ when: ["tail"], light: "marker", level: 1, rise: 0, fall: 0 }],
  boards: [
    {
      name: "plate",
      carries: ["marker"],
      behind: "plate",
      screws: [],
      inset: 2,
      height: 11,
      roomFor: "everything",
    },
  ],
  copperClad: { base: "FR4", thickness: 1.6, copper: 0.035, sheet: { w: 100, h: 160 } },
  cutter: {
    engraver: { tip: 0.2, angle: 30, depth: 0.1, feed: 300, plunge: 100, spindle: 12000 },
    drills: [0.8, 1, 3.2],
    drillFeed: 120,
    router: { diameter: 1.5, feed: 240, stepDown: 0.5 },
    machine: { rapid: 1500, acceleration: 100, flatness: 0.03, clearHeight: 3 },
  },
  pins: {},
  places: {},
  seed: 1,
}

const forward = fact("stock.white-5mm.forward-voltage", "forward voltage", 3.2, "V", practice())
const findings: Finding[] = [
  {
    code: "drive.led-current",
    severity: "amber",
    title: "LED current at the highest supply",
    where: { text: "group marker" },
    measured: { value: 0.0195, unit: "A" },
    limit: { kind: "at most", value: 0.02, unit: "A" },
    margin: 0.025,
    corner: "16 V",
    advice: "Use 560 Ω.",
    source: practice(),
  },
]

export const design: PackInput = {
  text: "lampwright: 1\nname: Marker\n",
  lamp,
  circuit,
  behaviour: { inputs: [], channels: [], rules: [], findings: [], figures: [] },
  boards: {
    boards: [board],
    harness: [
      { name: "tail", net: "tail", from: { vehicle: "tail" }, to: { board: "plate", ref: "X-tail" } },
    ],
    pinChoice: { controller: {}, sections: {}, strings: {} },
    figures: [],
    findings: [],
  },
  firmware: undefined,
  copper: {
    boards: [
      {
        board: "plate",
        grooveWidth: 0.2536,
        depth: 0.1,
        grooves: [
          {
            points: [
              { x: 5, y: 5 },
              { x: 59, y: 5 },
            ],
          },
        ],
        islands: [{ net: "n1", ring: box(20, 14, 10, 6) }],
      },
    ],
  },
  plan: {
    programs: [
      {
        board: "plate",
        file: "plate-1-engrave.ngc",
        purpose: "engrave",
        tool: "engraver 0.2 mm 30°",
        toolDiameter: 0.2,
        text: "G21\nG90\nM2\n",
        cutLength: 54,
        travel: 12.5,
        plunges: 1,
        time: 75.4,
      },
    ],
    figures: [],
    findings: [],
  },
  proof: {
    boards: [
      {
        board: "plate",
        shorts: [],
        opens: [],
        narrowestCopper: 0.412,
        narrowestAt: { x: 20, y: 10, net: "n1" },
        narrowestGroove: 0.25,
        raster: 0.02,
      },
    ],
    trace: { step: 0.001, samples: 0, wires: {}, leds: {} },
    beams: [],
    figures: [],
    findings: [],
  },
  findings,
  figures: [
    result("drive.marker.current", "LED current", 0.0123, "A", "(supply − forward voltage) ÷ resistance", [
      forward,
    ]),
  ],
  verdict: "ready with cautions",
  stages: ["read", "drive"],
}

export const redDesign: PackInput = {
  ...design,
  verdict: "do not cut",
  findings: [{ ...findings[0]!, severity: "red", margin: -0.1 }, ...findings],
}

export const named = (name: string): PackInput => ({ ...design, lamp: { ...lamp, name } })
