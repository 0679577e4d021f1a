// A lamp planned in a few plain numbers → its description as text → read, behaved, packed into the image, on the bench.
// The plan is what fast-check draws and shrinks; everything after it is the product's own way.

import { random } from "../../../0-ground/numbers/random.ts"
import type { Lamp } from "../../../2-lamp/artefact.ts"
import { readLamp } from "../../../2-lamp/read-lamp.ts"
import type { Circuit } from "../../../3-drive/artefact.ts"
import { wireInput } from "../../../3-drive/read-wires.ts"
import type { Behaviour } from "../../../4-behaviour/artefact.ts"
import { designBehaviour } from "../../../4-behaviour/design-behaviour.ts"
import { makeFirmware } from "../../../4-behaviour/make-firmware.ts"
import { circuit, portPins, tinyPins, withTiny } from "../../../4-behaviour/wings.testing.ts"
import type { Made } from "../lamp-on-bench.ts"

export interface WirePlan {
  readonly flasher: "none" | "thermal" | "load-sensing" | "electronic"
  /** Filters of its own, ms. */
  readonly liveAfter?: number | undefined
  readonly deadAfter?: number | undefined
  /** The same where the description need not allow it. */
  readonly filter?: readonly [live: number, dead: number] | undefined
}

/** Times by which flashers are judged, as the description names them, ms. */
export type FlashingPlan = Readonly<Partial<Record<(typeof flashingKeys)[number], number | undefined>>>
export const flashingKeys = [
  "shortest-on",
  "steady-after",
  "contact-gap",
  "new-operation-after",
  "unstable-for",
  "five-flashes-within",
  "held-back-for",
] as const

export interface GroupPlan {
  readonly leds: number
  readonly order: "outward" | "inward" | "left-to-right" | "right-to-left" | "drawn"
  /** Where along the row the vehicle's centre line is, 0…1. */
  readonly centre: number
  readonly stop: boolean
  /** LEDs on one output. */
  readonly perOutput: number
}

export interface LinePlan {
  /** Which wires, counted round. */
  readonly wires: readonly number[]
  readonly group: number
  /** Per cent. */
  readonly level: number
  /** Milliseconds; 0: no sweep. */
  readonly sweep: number
  readonly rise: number
  readonly fall: number
  /** LEDs that begin together. */
  readonly step: number
  /** Per cent of the on-time that the sweep takes instead, with `sweep` ms at the most; 0: no. */
  readonly share: number
  readonly together: boolean
  readonly othersBetween: boolean
}

export interface LampPlan {
  readonly wires: readonly WirePlan[]
  readonly groups: readonly GroupPlan[]
  readonly lines: readonly LinePlan[]
  readonly flashing?: FlashingPlan | undefined
  readonly activeHigh: boolean
  /** Times of the flasher in place of the described, also ones the description refuses. */
  readonly limits?: Lamp["flashing"]
  /** Every wire's pin is low while the wire is live. */
  readonly inverted?: boolean
  /** On an ATtiny84A; few enough wires, outputs and lines for it (`fitted`). */
  readonly small?: boolean
  /** Scrambles holes and pins. */
  readonly scramble: number
}

/** Pins a controller has for inputs and outputs together, and outputs it can dim. */
const room = { large: { pins: 20, outputs: 18 }, small: { pins: 9, outputs: 8 } }
/** What surely fits the small controller's table. */
const few = { wires: 3, groups: 2, lines: 4 }

export const wireName = (i: number) => `wire${i}`
const groupName = (i: number) => `group${i}`

/** Holes of a group in the order they are drawn: whole tens of millimetres along a row, scrambled. */
export function drawnHoles(plan: LampPlan, group: number): number[] {
  const row = Array.from({ length: plan.groups[group]!.leds }, (_, i) => 10 + 10 * i)
  return plan.scramble === 0 ? row : shuffled(row, plan.scramble + group)
}

export const centreLine = (g: GroupPlan) => 10 + Math.round(100 * g.centre * (g.leds - 1)) / 10

/** The description as a builder would write it. */
export function describe(plan: LampPlan): string {
  const wires = plan.wires.map(({ flasher, liveAfter, deadAfter }, i) => {
    const role =
      flasher === "none" ? "steady" : `flashing, flasher: ${flasher}, rate: 90 /min, on-share: 50 %`
    const live = liveAfter === undefined ? "" : `, live-after: ${liveAfter} ms`
    const dead = deadAfter === undefined ? "" : `, dead-after: ${deadAfter} ms`
    return `    ${wireName(i)}: { role: ${role}${live}${dead}, fuse: 5 A }`
  })
  const limits = flashingKeys.flatMap((key) => {
    const ms = plan.flashing?.[key]
    return ms === undefined ? [] : [`  ${key}: ${ms} ms`]
  })
  const faces = plan.groups.map((g, i) => {
    const points = drawnHoles(plan, i).map((x) => `[${x} mm, 10 mm]`)
    const outline = `outline: { rectangle: ${10 * g.leds + 10} × 20 mm }`
    const holes = `holes: { along: list, points: [${points.join(", ")}] }`
    return `  face${i}: { ${outline}, ${holes}, metal: steel, thickness: 1 mm, hole: 5.2 mm, centre-line: ${centreLine(g)} mm }`
  })
  const groups = plan.groups.map(
    (g, i) =>
      `  ${groupName(i)}: { face: face${i}, led: amber-5mm, functions: [${g.stop ? "stop" : "marker"}], order: ${g.order} }`,
  )
  const lines = settled(plan).map((l) => {
    const within = l.share > 0 ? `${l.share} %, at-most: ${l.sweep} ms` : `${l.sweep} ms`
    const first = l.together ? ", first-flash: together" : ""
    const sweep = l.sweep > 0 ? `, sweep: { within: ${within}, step: ${l.step}${first} }` : ""
    const between = l.othersBetween ? ", between-flashes: other-lines" : ""
    return `  - { when: [${l.wires.map(wireName).join(", ")}], light: ${groupName(l.group)}, level: ${l.level} %${sweep}, rise: ${l.rise} ms, fall: ${l.fall} ms${between} }`
  })
  return `lampwright: 1
name: random lamp
vehicle:
  kind: cargo cycle
  rules: un-l
  supply: { lowest: 9 V, usual: 13.5 V, highest: 16 V, surge: clamped }
  wires:
${wires.join("\n")}
    plus: { role: supply, fuse: 5 A }
    earth: { role: earth }
faces:
${faces.join("\n")}
groups:
${groups.join("\n")}
programme:
${lines.join("\n")}
${limits.length > 0 ? `flashing:\n${limits.join("\n")}\n` : ""}boards:
${plan.groups.map((_, i) => `  board${i}: { carries: [${groupName(i)}], behind: face${i}, inset: 1 mm, height: 11 mm }`).join("\n")}
  control: { carries: [controller, drivers, supply], outline: 100 × 72 mm, height: 22 mm }
copper-clad: { base: FR4, thickness: 1.6 mm, copper: 35 µm, sheet: 100 × 160 mm }
cutter:
  engraver: { tip: 0.2 mm, angle: 30°, depth: 0.1 mm, feed: 300 mm/min }
  drills: [0.8 mm]
  router: { diameter: 1.5 mm }
  machine: { rapid: 1500 mm/min, flatness: 0.03 mm }
`
}

/** Lines with wires and groups that exist, no two that contradict each other, and one at least that lights each group. */
export function settled(plan: LampPlan): LinePlan[] {
  const taken = new Set<string>()
  const out: LinePlan[] = []
  const add = (line: LinePlan) => {
    const wires = [...new Set(line.wires.map((w) => w % plan.wires.length))].sort((a, b) => a - b)
    const group = line.group % plan.groups.length
    const key = `${group}: ${wires.join(" ")}`
    if (taken.has(key)) return
    taken.add(key)
    // One LED cannot sweep.
    const sweep = plan.groups[group]!.leds > 1 ? line.sweep : 0
    // A rise longer than its sweep is refused.
    const rise = sweep > 0 ? Math.min(line.rise, sweep) : line.rise
    // Only what flashes has an on-time and a time between flashes.
    const flashes = wires.some((w) => plan.wires[w]!.flasher !== "none")
    const share = flashes ? line.share : 0
    out.push({
      ...line,
      wires,
      group,
      sweep,
      share,
      rise: share > 0 ? Math.min(rise, 20) : rise,
      step: Math.min(line.step, plan.groups[group]!.leds),
      together: flashes && line.together,
      othersBetween: flashes && line.othersBetween,
    })
  }
  plan.lines.forEach(add)
  for (const group of plan.groups.keys()) {
    if (out.some((l) => l.group === group && l.level > 0)) continue
    const free = plan.wires.findIndex((_, w) => !taken.has(`${group}: ${w}`))
    add({ wires: free < 0 ? [0, 1] : [free], group, level: 100, ...plainLine })
  }
  return out
}

const plainLine = {
  sweep: 0,
  rise: 0,
  fall: 0,
  step: 1,
  share: 0,
  together: false,
  othersBetween: false,
}

/** The plan with as many LEDs as the controller has pins for. */
export function fitted(whole: LampPlan): LampPlan {
  const plan = whole.small
    ? {
        ...whole,
        wires: whole.wires.slice(0, few.wires),
        groups: whole.groups.slice(0, few.groups),
        lines: whole.lines.slice(0, few.lines),
      }
    : whole
  const { pins, outputs } = whole.small ? room.small : room.large
  let left = Math.min(outputs, pins - plan.wires.length)
  const groups = plan.groups.flatMap((g) => {
    const leds = Math.min(g.leds, left * g.perOutput)
    left -= Math.ceil(leds / g.perOutput)
    return leds > 0 ? [{ ...g, leds }] : []
  })
  return { ...plan, groups }
}

export function readPlan(plan: LampPlan): Lamp {
  const text = describe(plan)
  const { lamp, findings } = readLamp(text, () => undefined)
  const red = findings.filter((f) => f.severity === "red")
  if (!lamp || red.length > 0) throw Error(`${red.map((f) => f.title).join("\n")}\n${text}`)
  return {
    ...lamp,
    ...(plan.limits ? { flashing: plan.limits } : {}),
    vehicle: {
      ...lamp.vehicle,
      wires: lamp.vehicle.wires.map((w, i) => {
        const [live, dead] = plan.wires[i]?.filter ?? []
        return live === undefined ? w : { ...w, liveAfter: live / 1000, deadAfter: dead! / 1000 }
      }),
    },
  }
}

/**
 * Read from its description, with the drive room's input networks, one output for every `perOutput` LEDs, pins
 * scrambled. `wrong` changes what the firmware is made from, to see that it is noticed.
 */
export function makePlan(plan: LampPlan, wrong: (b: Behaviour) => Behaviour = (b) => b) {
  const lamp = readPlan(plan)
  const body = circuitOf(lamp, plan)
  const designed = designBehaviour(lamp, body)
  const behaviour = plan.inverted
    ? { ...designed, inputs: designed.inputs.map((i) => ({ ...i, inverted: true })) }
    : designed
  const usable = plan.small ? tinyPins : portPins
  const pins = plan.scramble === 0 ? [...usable] : shuffled(usable, plan.scramble)
  const controller = Object.fromEntries(body.signals.map((s, i) => [s.name, pins[i]!]))
  const firmware = makeFirmware(body, wrong(behaviour), { controller })
  return { lamp, circuit: body, behaviour, firmware } satisfies Made
}

function circuitOf(lamp: Lamp, plan: LampPlan): Circuit {
  const whole = circuit(lamp, plan.activeHigh)
  const plain = plan.small ? withTiny(whole) : whole
  const stock = plan.small ? "controller-attiny84a" : "controller-atmega328p"
  const channels = lamp.groups
    .flatMap((g) => {
      const per = plan.groups[Number(g.name.slice(5))]!.perOutput
      const refs = g.leds.map((l) => l.ref)
      return Array.from({ length: Math.ceil(refs.length / per) }, (_, i) => ({
        group: g.name,
        leds: refs.slice(i * per, (i + 1) * per),
      }))
    })
    .map((c, index) => ({ ...c, index, activeHigh: plan.activeHigh, net: `out-${index}` }))
  const inputs = plain.inputs.map((i) => {
    const network = { wire: i.wire, net: i.net, upper: "", lower: "", filter: "", clamp: "" }
    return wireInput(network, lamp.vehicle.supply.usual, stock)
  })
  const feeds = plain.inputs.map((i) => ({ wire: i.wire, net: `wire-${i.wire}` }))
  return {
    ...plain,
    channels,
    inputs,
    signals: plain.signals.filter((s) => s.direction === "input" || s.channel! < channels.length),
    nets: feeds.map(({ wire, net }) => ({ name: net, kind: "wire" as const, wire, current: 1, voltage: 16 })),
    strings: channels.map((c) => ({
      name: `string-${c.index}`,
      group: c.group,
      leds: c.leds,
      nets: ["rail", ...c.leds.map((_, i) => (i + 1 < c.leds.length ? `led-${c.index}-${i}` : c.net))],
      resistors: [],
      channel: c.index,
    })),
    // Every wire feeds the rail, so that only the controller decides what is lit.
    parts: [
      ...plain.parts,
      ...feeds.map(({ wire, net }) => ({
        ref: `D-${wire}`,
        kind: "diode" as const,
        stock: "diode-1n5819",
        package: "do-41",
        value: "",
        pins: { A: net, K: "rail" },
        purpose: "feeds the rail",
        home: { kind: "supply" as const },
        reversible: false,
      })),
    ],
  }
}

export function shuffled<T>(list: readonly T[], seed: number): T[] {
  const chance = random(seed)
  const out = [...list]
  for (let i = out.length - 1; i > 0; i--) {
    const j = chance.below(i + 1)
    ;[out[i], out[j]] = [out[j]!, out[i]!]
  }
  return out
}

/** x of a group's holes in the order the description asks for, worked out apart from the reader. */
export function orderedHoles(plan: LampPlan, group: number): number[] {
  const g = plan.groups[group]!
  const from = centreLine(g)
  const key: Record<GroupPlan["order"], (x: number) => number> = {
    drawn: () => 0,
    "left-to-right": (x) => x,
    "right-to-left": (x) => -x,
    outward: (x) => Math.abs(x - from),
    inward: (x) => -Math.abs(x - from),
  }
  const of = key[g.order]
  return drawnHoles(plan, group).sort((a, b) => of(a) - of(b))
}
