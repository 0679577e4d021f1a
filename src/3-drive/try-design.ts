// A design by itself on the solver: the group's own parts written as they would be in the lamp, solved at every corner
// with each of its feeds, and with all of them, live. What is counted and measured here is what would be built.

import { packageType } from "../1-stock/packages.ts"
import { modelOf } from "../1-stock/parts.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { LedString, Part } from "./artefact.ts"
import type { GroupPlan } from "./choose-topology.ts"
import { CircuitDraft } from "./circuit-draft.ts"
import { type CornerCase, heatOf } from "./corners.ts"
import { earthWire } from "./feed-wires.ts"
import type { GroupDesign } from "./group-design.ts"
import { type CircuitBody, modelCircuit, type Setting } from "./model-circuit.ts"
import { coilTemperature, pullInVolt, relayModel } from "./relay-coil.ts"
import { shareChannels } from "./share-channels.ts"
import { type OperatingPoint, operatingPoint, real } from "./solver/operating-point.ts"
import { writeController, writeSwitches } from "./write-controller.ts"
import { type Nets, roomFor, writeGroup } from "./write-group.ts"

export interface Tried {
  readonly parts: number
  /** Bodies on the board, mm². */
  readonly area: number
  /** The tallest part against the room over its board, mm; absent where it fits. */
  readonly tooTall?: { readonly part: Part; readonly height: number; readonly room: number }
  readonly corners: readonly TriedCorner[]
}

export interface TriedCorner {
  readonly at: Bench
  /** For each set of live feeds. */
  readonly outcomes: readonly Outcome[]
}

export interface Bench {
  readonly supply: number
  readonly celsius: number
  readonly parts: CornerCase["parts"]
}

export interface Outcome {
  /** Numbers of the live feeds, 0 the brightest. */
  readonly live: readonly number[]
  readonly converged: boolean
  /** LED ref → ampere, as the mean over the pulses; one of each string kind. */
  readonly led: ReadonlyMap<string, number>
  /** Watt beside the LEDs. */
  readonly heat: number
  /** Hottest regulator and transistor, °C inside; absent without one. */
  readonly regulator?: number
  readonly transistor?: number
  /** Voltage at the coil of its relay against what a winding warm from long running asks for. */
  readonly coil?: number
}

export interface Trial {
  readonly lamp: Lamp
  /** The plan as the programme asks for it: its feeds are what may be live. */
  readonly asked: GroupPlan
  readonly design: GroupDesign
  /** Another group needs the controller anyway. */
  readonly controller: boolean
  readonly corners: readonly Bench[]
  readonly liveSets: readonly (readonly number[])[]
}

export function tryDesign(trial: Trial): Tried {
  const { lamp, design, corners, liveSets } = trial
  const { body, draft, alike } = writeAlone(trial)
  const own = draft.parts.filter((p) => p.kind !== "led")
  const bought = [...own, ...controllerFor(trial)]
  const tall = own
    .map((part) => ({
      part,
      height: packageType(part.package).body.height,
      room: roomFor(lamp, design.plan.group.name, part.home),
    }))
    .find((t) => t.height > t.room)
  const solved = liveSets.map((live) => {
    let before: OperatingPoint | undefined
    return corners.map((at) => {
      const network = (ledRise?: ReadonlyMap<string, number>) =>
        modelCircuit(body, lamp, {
          ...settingOf(trial, at, live),
          alike,
          ...(ledRise ? { ledRise } : {}),
        })
      const cold = operatingPoint(network(), real, before)
      before = cold
      if (at.parts !== "strongest" || !cold.converged) return outcomeOf(trial, body, at, live, cold, alike)
      // Warm LEDs drop less: once more with the heat of the first answer.
      const rise = riseOf(design, body, cold, alike)
      return outcomeOf(trial, body, at, live, operatingPoint(network(rise), real, cold), alike)
    })
  })
  return {
    parts: bought.length,
    area: bought.reduce((sum, p) => sum + footArea(p), 0),
    ...(tall ? { tooTall: tall } : {}),
    corners: corners.map((at, k) => ({ at, outcomes: solved.map((s) => s[k]!) })),
  }
}

function footArea(part: Part): number {
  const { w, h } = packageType(part.package).body
  return w * h
}

interface Alone {
  /** One string stands for all that are equal: at a corner they carry the same. */
  readonly body: CircuitBody
  readonly alike: ReadonlyMap<string, number>
  readonly draft: CircuitDraft
}

/** A group's design by itself as a circuit, and the same with one string for all that are equal. */
export function writeAlone({ lamp, design }: Pick<Trial, "lamp" | "design">): Alone {
  const draft = new CircuitDraft()
  const earth = draft.net("earth", "earth", earthWire(lamp)?.name)
  const wires = design.plan.feeds.flatMap((f) => f.wires)
  const nets: Nets = { earth, wire: new Map(wires.map((w) => [w.name, draft.net(w.name, "wire", w.name)])) }
  const switched = design.plan.topology === "switched"
  writeGroup(draft, lamp, nets, design, switched ? 0 : undefined)
  if (switched) writeSwitches(draft, earth, draft.net("5V", "supply"), ["PB0"])
  const { parts, alike } = lump(draft)
  return { draft, alike, body: { parts, nets: [...draft.nets.values()], earth, signals: draft.signals } }
}

/** Strings of one length on one feed and equally crowded channels are equal; the first of them stands for all. */
function lump(draft: CircuitDraft): {
  readonly parts: readonly Part[]
  readonly alike: ReadonlyMap<string, number>
} {
  const part = new Map(draft.parts.map((p) => [p.ref, p]))
  const outer = (s: LedString) => {
    const inner = new Set([...s.nets, ...(s.sink ? [s.sink.foot] : [])])
    const feeds = s.sink
      ? [s.nets[0]!]
      : s.resistors.flatMap((r) => Object.values(part.get(r)!.pins)).filter((n) => !inner.has(n))
    const crowd = draft.strings.filter((o) => o.channel !== undefined && o.channel === s.channel)
    return JSON.stringify([s.leds.length, feeds, crowd.map((o) => o.leds.length).sort((a, b) => a - b)])
  }
  const kinds = new Map<string, LedString[]>()
  for (const s of draft.strings) kinds.set(outer(s), [...(kinds.get(outer(s)) ?? []), s])
  const alike = new Map<string, number>()
  const dropped = new Set<string>()
  const partsOf = (s: LedString) => [
    ...s.leds,
    ...s.resistors,
    ...(s.sink ? [s.sink.pass, s.sink.hold, s.sink.bias] : []),
  ]
  for (const [first, ...others] of kinds.values()) {
    for (const ref of partsOf(first!)) alike.set(ref, others.length + 1)
    for (const s of others) for (const ref of partsOf(s)) dropped.add(ref)
    // The sections of their channels side by side carry what the strings that are left carry.
    const channel = draft.channels.find((c) => c.index === first!.channel)
    const channels = new Set([first!, ...others].map((s) => s.channel)).size
    const array =
      channel &&
      draft.parts.find((p) => p.kind === "low-side-array" && Object.values(p.pins).includes(channel.net))
    const pin = array && Object.entries(array.pins).find(([, net]) => net === channel.net)?.[0]
    if (array) alike.set(`${array.ref}.${pin}`, channels)
  }
  return { parts: draft.parts.filter((p) => !dropped.has(p.ref)), alike }
}

/** What the controller brings with it when this design is the only one that needs it, and the inputs of its wires. */
function controllerFor({ lamp, asked, design, controller }: Trial): readonly Part[] {
  if (design.plan.topology !== "switched" || asked.topology === "switched") return []
  const written = (plans: readonly GroupPlan[]) => {
    const draft = new CircuitDraft()
    const wires = design.plan.feeds.flatMap((f) => f.wires)
    const all = [...lamp.vehicle.wires.filter((w) => w.role === "supply"), ...wires]
    const nets: Nets = { earth: draft.net("earth", "earth"), wire: new Map(all.map((w) => [w.name, w.name])) }
    writeController(
      draft,
      lamp,
      nets,
      shareChannels(plans, () => 0),
    )
    return draft.parts
  }
  const whole = written([design.plan])
  return controller ? whole.slice(written([]).length) : whole
}

function settingOf({ asked }: Trial, at: Bench, live: readonly number[]): Setting {
  const on = live.flatMap((f) => asked.feeds[f]?.wires[0] ?? [])
  return {
    wires: new Map(on.map((w) => [w.name, at.supply])),
    parts: at.parts,
    celsius: at.celsius,
    drive: (s) => (s.direction === "output" ? "high" : "open"),
  }
}

function riseOf(
  { led }: GroupDesign,
  body: CircuitBody,
  point: OperatingPoint,
  alike: Alone["alike"],
): ReadonlyMap<string, number> {
  const leds = body.parts.filter((p) => p.kind === "led")
  return new Map(
    leds.map((p) => [p.ref, (led.thermalResistance * heatOf(p, point)) / (alike.get(p.ref) ?? 1)]),
  )
}

function outcomeOf(
  { lamp, asked, design }: Trial,
  body: CircuitBody,
  at: Bench,
  live: readonly number[],
  point: OperatingPoint,
  alike: Alone["alike"],
): Outcome {
  // Pulses make the lower levels of a group that its wires would light fully.
  const pulsed = design.plan.topology === "switched" && asked.topology === "two-feed"
  const brightest = asked.feeds[0]!.level
  const duty = pulsed ? Math.max(...live.map((f) => asked.feeds[f]!.level)) / brightest : 1
  const led = new Map<string, number>()
  let heat = 0
  let regulator: number | undefined
  let transistor: number | undefined
  let coil: number | undefined
  for (const part of body.parts) {
    const times = alike.get(part.ref) ?? 1
    if (part.kind === "led") {
      led.set(part.ref, (duty * point.current(part.ref)) / times)
      continue
    }
    const watt = duty * heatOf(part, point)
    heat += watt
    if (part.kind === "adjustable-regulator")
      regulator = at.celsius + modelOf(part.stock, "adjustable-regulator").thermalResistance * watt
    if (part.kind === "relay") coil = pullShare(part, point, lamp)
    if (part.kind === "transistor")
      transistor = Math.max(
        transistor ?? Number.NEGATIVE_INFINITY,
        at.celsius + (modelOf(part.stock, "npn").thermalResistance * watt) / times,
      )
  }
  return {
    live,
    converged: point.converged,
    led,
    heat,
    ...(regulator === undefined ? {} : { regulator }),
    ...(transistor === undefined ? {} : { transistor }),
    ...(coil === undefined ? {} : { coil }),
  }
}

/** The coil's voltage as a multiple of what a winding needs that was live for long at the usual supply. */
function pullShare(part: Part, point: OperatingPoint, { vehicle }: Lamp): number {
  const model = relayModel(part.stock)
  const [a, b] = model.pins.coil
  const volt = point.voltage(part.pins[a]!) - point.voltage(part.pins[b]!)
  const warm = coilTemperature(model, model.coil, vehicle.supply.usual, vehicle.ambient.highest)
  return volt / pullInVolt(model, warm)
}
