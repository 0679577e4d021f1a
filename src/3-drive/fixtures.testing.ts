// Lamps for this room's tests, written out by hand so that they do not lean on the reading room.

import type { Group, Lamp, LightFunction, ProgrammeLine, Wire } from "../2-lamp/artefact.ts"

export function group(
  name: string,
  led: string,
  count: number,
  functions: readonly LightFunction[],
  place: (i: number) => readonly [number, number] = (i) => [12 + 10 * i, 12],
): Group {
  return {
    name,
    face: name,
    led,
    functions,
    order: "drawn",
    leds: Array.from({ length: count }, (_, i) => {
      const [x, y] = place(i)
      return { ref: `${name}-${i + 1}`, hole: { id: `hole-${name}-${i + 1}`, x, y, diameter: 5.2 } }
    }),
  }
}

export const line = (
  when: readonly string[],
  light: string,
  more: Partial<ProgrammeLine> = {},
): ProgrammeLine => ({ when, light, level: 1, rise: 0, fall: 0, ...more })

const common = { fuse: 5, size: 0.75, length: 2.4 } as const

export const ternWires: readonly Wire[] = [
  { name: "tail", role: "steady", replaces: 5, ...common },
  { name: "brake", role: "steady", replaces: 21, ...common },
  ...(["left", "right"] as const).map(
    (name): Wire => ({
      name,
      role: "flashing",
      flasher: "electronic",
      rate: 1.5,
      onShare: 0.5,
      replaces: 21,
      ...common,
    }),
  ),
  { name: "plus", role: "supply", ...common },
  { name: "earth", role: "earth", size: 0.75, length: 1 },
]

export function lampOf(
  name: string,
  wires: readonly Wire[],
  groups: readonly Group[],
  programme: readonly ProgrammeLine[],
  more: Partial<Lamp> = {},
): Lamp {
  return {
    name,
    vehicle: {
      kind: "three-wheeler",
      rules: "un-l",
      supply: { lowest: 9, usual: 13.5, highest: 16, surge: "clamped" },
      ambient: { lowest: -20, highest: 50 },
      wires,
    },
    faces: [],
    groups,
    programme,
    boards: [],
    copperClad: { base: "FR4", thickness: 1.6, copper: 0.035, sheet: { w: 100, h: 160 } },
    cutter: {
      engraver: { tip: 0.2, angle: 30, depth: 0.1, feed: 300, plunge: 100, spindle: 12000 },
      drills: [0.8, 1, 1.3, 3.2],
      drillFeed: 120,
      router: { diameter: 1.5, feed: 240, stepDown: 0.5 },
      machine: { rapid: 1500, acceleration: 100, flatness: 0.03, clearHeight: 3 },
    },
    pins: {},
    places: {},
    seed: 1,
    ...more,
  }
}

/** Two rows of eleven, as on the crescent. */
const crescent = (i: number): readonly [number, number] =>
  i < 11
    ? [106 + 10.8 * i, 44 + 10 * Math.sin((Math.PI * i) / 10)]
    : [106 + 10.8 * (i - 11), 55 + 25 * Math.sin((Math.PI * (i - 11)) / 10)]

const sweep = { sweep: { within: 0.18 }, rise: 0.02, fall: 0.01 }

export const tern: Lamp = lampOf(
  "Tern rear lamp",
  ternWires,
  [
    group("tail-stop", "red-5mm", 22, ["rear-position", "stop"], crescent),
    group("sweep-left", "amber-5mm", 8, ["direction-indicator"], (i) => [84 - 10 * i, 46 - 2.3 * i]),
    group("sweep-right", "amber-5mm", 8, ["direction-indicator"], (i) => [236 + 10 * i, 46 - 2.3 * i]),
  ],
  [
    line(["tail"], "tail-stop", { level: 0.12 }),
    line(["brake"], "tail-stop"),
    line(["left"], "sweep-left", sweep),
    line(["right"], "sweep-right", sweep),
  ],
)

export const marker: Lamp = lampOf(
  "Tern side marker",
  [
    { name: "tail", role: "steady", replaces: 5, fuse: 5, size: 0.75, length: 2 },
    { name: "earth", role: "earth", size: 0.75, length: 1 },
  ],
  [group("marker", "white-5mm", 4, ["front-position"])],
  [line(["tail"], "marker")],
)
