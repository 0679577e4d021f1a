// Writes one group into the circuit: feed diodes, LEDs, and what sets their current. Direct and two-feed groups end on
// earth, switched groups on the channels' low-side nets.

import { packageType } from "../1-stock/packages.ts"
import { modelOf, partType } from "../1-stock/parts.ts"
import type { Lamp, LedPlace } from "../2-lamp/artefact.ts"
import type { Home, Sink } from "./artefact.ts"
import type { GroupPlan } from "./choose-topology.ts"
import type { CircuitDraft } from "./circuit-draft.ts"
import { loopOhm } from "./feed-wires.ts"
import {
  feedDiode,
  type GroupDesign,
  limitOf,
  passTransistor,
  type RailDesign,
  railRegulator,
  smallTransistor,
} from "./group-design.ts"
import { diodeCurrent, flashingShare } from "./limits.ts"
import { pinnedFor } from "./pinned.ts"
import { divide, type StringPlan } from "./plan-strings.ts"
import { ratingFor, sizeFor } from "./rate-resistor.ts"
import { bleedFor } from "./read-wires.ts"
import { rearRelay, relayModel } from "./relay-coil.ts"
import { type Path, stringCurrent } from "./string-current.ts"

export interface WrittenGroup extends GroupDesign {
  /** Net after the feed diodes, for each feed, string by string. */
  readonly feedNets: readonly (readonly string[])[]
  /** Refs of the resistors that set the strings' currents, by feed. */
  readonly resistors: readonly (readonly string[])[]
  /** Refs of the sinks, string by string. */
  readonly sinks: readonly Sink[]
  readonly made?: MadeRail
  readonly pinned: ReturnType<typeof pinnedFor>
}

/** The regulator of a rail with its nets and the refs of what sets it. */
export interface MadeRail {
  readonly regulator: string
  readonly net: string
  readonly upper: string
  readonly lower: string
  /** What a transistor lays beside `lower` while the brighter wire is dead. */
  readonly beside?: {
    readonly resistor: string
    readonly transistor: string
    readonly inverter: string
    readonly others: readonly string[]
  }
  /** What a relay's contact bridges while the brighter wire is dead; its coil's net. */
  readonly bridged?: { readonly resistor: string; readonly relay: string; readonly coil: string }
}

export interface Nets {
  readonly earth: string
  /** Wire name → net. */
  readonly wire: ReadonlyMap<string, string>
}

/** `first`: number of the group's first channel, for a group the controller switches. */
export function writeGroup(
  draft: CircuitDraft,
  lamp: Lamp,
  nets: Nets,
  design: GroupDesign,
  first?: number,
): WrittenGroup {
  const { plan, led, strings, pieces } = design
  const { group } = plan
  const home: Home = { kind: "group", group: group.name }
  const pinned = pinnedFor(lamp, group.name)
  const path = { led, diode: feedDiode, wireOhm: loopOhm(lamp, plan.feeds[0]!.wires) }
  // Feeds: a diode for each wire, on the board of the LEDs, or beside the controller for switched groups.
  const feedHome: Home = plan.topology === "switched" ? { kind: "supply" } : home
  const context: Context = { draft, lamp, nets, design, home, feedHome, path }
  const feedNets = writeFeeds(context)
  if (plan.topology !== "switched") writeBleeds(draft, lamp, nets, plan, home)
  const made = design.rail && writeRail(context, feedNets[0]![0]!, design.rail)

  const resistors: string[][] = feedNets.map(() => [])
  const sinks: Sink[] = []
  const leds = strings.strings.flat()
  let piece = 0
  let inPiece = 0
  let low = first === undefined ? nets.earth : openChannel(draft, group.name, leds.slice(0, pieces[0]), first)
  let at = 0
  strings.strings.forEach((members, s) => {
    const name = `${group.name}-string-${s + 1}`
    const sunk = design.way === "current-sinks"
    const supply = made ? [made.net] : feedNets.map((f) => f[s]!)
    const top = sunk ? supply[0]! : draft.net(`${name}-a`, "led")
    const inner = members.slice(1).map((_, i) => draft.net(`${name}-${"bcdefghijklmn"[i] ?? `x${i}`}`, "led"))
    const bottom = sunk ? draft.net(`${name}-sink`, "led") : low
    const stringNets = [top, ...inner, bottom]
    const own = sunk ? [] : writeResistors(context, name, members.length, supply, top, first !== undefined)
    members.forEach((place, i) => {
      draft.add({
        kind: "led",
        stock: led.key,
        package: led.package,
        ref: place.ref,
        value: led.label,
        pins: { A: stringNets[i]!, K: stringNets[i + 1]! },
        purpose: `LED ${place.ref} of ${group.name}`,
        home,
        behindHole: place.hole.id,
      })
    })
    if (sunk) {
      const sink = writeSink(context, name, members.length, {
        feed: supply[0]!,
        collector: bottom,
        foot: low,
      })
      sinks.push(sink)
      own.push(sink.sense)
    }
    own.forEach((ref, f) => {
      resistors[f]!.push(ref)
    })
    draft.strings.push({
      name,
      group: group.name,
      leds: members.map((m) => m.ref),
      nets: stringNets,
      resistors: own,
      ...(sunk ? { sink: sinks[sinks.length - 1]! } : {}),
      ...(first === undefined ? {} : { channel: first + piece }),
    })
    inPiece += members.length
    at += members.length
    if (first !== undefined && inPiece === pieces[piece] && piece + 1 < pieces.length) {
      piece++
      inPiece = 0
      low = openChannel(draft, group.name, leds.slice(at, at + pieces[piece]!), first + piece)
    }
  })
  return { ...design, feedNets, resistors, sinks, ...(made ? { made } : {}), pinned }
}

interface Context {
  readonly draft: CircuitDraft
  readonly lamp: Lamp
  readonly nets: Nets
  readonly design: GroupDesign
  readonly home: Home
  readonly feedHome: Home
  readonly path: Omit<Path, "strings" | "onSection">
}

/** Nets after the feed diodes: one for each feed and string; a sink or a rail hangs on one that every wire feeds. */
function writeFeeds(context: Context): string[][] {
  const { draft, lamp, nets, design, feedHome, path } = context
  const { plan, strings, ohms } = design
  const { group } = plan
  const joined = design.rail !== undefined || design.way === "current-sinks"
  const feeds = joined ? [{ level: 1, wires: plan.feeds.flatMap((f) => f.wires) }] : plan.feeds
  return feeds.map((feed, f) => {
    const level = feeds.length === 1 ? "" : f === 0 ? "-full" : `-low${f > 1 ? f : ""}`
    const bunches =
      design.rail !== undefined
        ? [{ count: strings.strings.length, tail: "" }]
        : design.way === "current-sinks"
          ? evenBunches(strings, strings.full)
          : bunchStrings(lamp, plan, strings, f, ohms, path)
    const byLength = new Set(bunches.map((x) => x.tail)).size > 1
    return bunches.flatMap((bunch) => {
      const net = draft.net(`${group.name}-feed${level}${byLength ? bunch.tail : ""}`, "led")
      const whom = bunches.length === 1 ? group.name : `${bunch.count} strings of ${group.name}`
      for (const wire of feed.wires) {
        draft.diode(
          feedDiode,
          nets.wire.get(wire.name)!,
          net,
          `lets ${wire.name} feed ${whom}, keeps other wires and a reversed battery out`,
          feedHome,
        )
      }
      return Array.from({ length: bunch.count }, () => net)
    })
  })
}

/** The resistors at the supply end of one string, one for each feed. */
function writeResistors(
  context: Context,
  name: string,
  length: number,
  supply: readonly string[],
  top: string,
  switched: boolean,
): string[] {
  const { draft, lamp, design, home, path } = context
  const { plan, strings } = design
  const pinned = pinnedFor(lamp, plan.group.name)
  return supply.map((from, f) => {
    const ohm = design.ohms.get(length)![f]!
    const level = plan.feeds[f]!.level
    const stock =
      pinned.resistorPart ??
      (design.rail
        ? sizeFor(limitOf({ lamp, plan, led: design.led }) ** 2 * ohm, lamp.vehicle.ambient.highest)
        : ratingFor({
            lamp,
            plan,
            strings,
            path,
            feed: f,
            ohm,
            inSeries: length,
            onSection: switched ? 1 : 0,
          }))
    return draft.resistor(
      ohm,
      from,
      top,
      `sets the current of ${name}${supply.length > 1 ? ` at ${Math.round(level * 100)} %` : ""}`,
      home,
      stock,
    )
  })
}

/** Two transistors: the second takes base current away from the first as soon as the sense resistor turns it on. */
function writeSink(
  { draft, lamp, design, home }: Context,
  name: string,
  length: number,
  at: { readonly feed: string; readonly collector: string; readonly foot: string },
): Sink {
  const base = draft.net(`${name}-base`, "signal")
  const sense = draft.net(`${name}-sense`, "led")
  const { highest } = lamp.vehicle.ambient
  const ohm = design.ohms.get(length)![0]!
  const transistor = (pins: Readonly<Record<string, string>>, purpose: string) =>
    draft.add({ kind: "transistor", stock: smallTransistor, value: "BC547", pins, purpose, home })
  const pass = draft.add({
    kind: "transistor",
    stock: passTransistor,
    value: "2N5551",
    pins: { C: at.collector, B: base, E: sense },
    purpose: `carries the current of ${name}`,
    home,
  })
  const hold = transistor(
    { C: base, B: sense, E: at.foot },
    `holds the current of ${name}: takes base current away from ${pass} when it rises`,
  )
  const { high } = modelOf(smallTransistor, "npn").baseEmitter
  const pinned = pinnedFor(lamp, design.plan.group.name).resistorPart
  return {
    pass,
    hold,
    sense: draft.resistor(
      ohm,
      sense,
      at.foot,
      `sets the current of ${name}: base–emitter voltage of ${hold} ÷ this resistor`,
      home,
      pinned ?? sizeFor((high + 0.1) ** 2 / ohm, highest),
    ),
    bias: draft.resistor(
      design.bias!,
      at.feed,
      base,
      `gives the sink of ${name} its base current`,
      home,
      sizeFor(lamp.vehicle.supply.highest ** 2 / design.bias!, highest),
    ),
    foot: at.foot,
  }
}

/** The regulator with the resistors round its set pin; of a two-level group also what switches them. */
function writeRail(
  { draft, lamp, nets, design, feedHome: home }: Context,
  feed: string,
  rail: RailDesign,
): MadeRail {
  const { plan } = design
  const { group } = plan
  const { earth } = nets
  const { pins } = modelOf(railRegulator, "adjustable-regulator")
  const net = draft.net(`${group.name}-rail`, "led")
  const set = draft.net(`${group.name}-set`, "signal")
  const standing = packageType(partType(railRegulator).package).body.height <= roomFor(lamp, group.name, home)
  const regulator = draft.add({
    kind: "adjustable-regulator",
    stock: railRegulator,
    value: "LM317T",
    pins: { [pins.input]: feed, [pins.output]: net, [pins.set]: set },
    purpose: `makes the LED rail of ${group.name}; its tab carries the rail, keep it off the metal`,
    home,
    ...(standing ? {} : { package: "to-220-flat" }),
  })
  draft.capacitor(
    "capacitor-22u-63v",
    "22 µF 63 V",
    22e-6,
    feed,
    earth,
    `keeps short pulses on the supply from ${regulator}, and it stable`,
    home,
  )
  const upper = draft.resistor(
    rail.upper,
    net,
    set,
    `sets the rail of ${group.name} and draws the least load of ${regulator}`,
    home,
  )
  const tap = rail.bridged === undefined ? earth : draft.net(`${group.name}-tap`, "signal")
  const lower = draft.resistor(
    rail.lower,
    set,
    tap,
    `sets the rail of ${group.name}${rail.beside !== undefined ? " at full level" : rail.bridged !== undefined ? " at its lower level" : ""}`,
    home,
  )
  const made = { regulator, net, upper, lower }
  if (rail.bridged !== undefined)
    return { ...made, bridged: writeRelay(draft, nets, plan, tap, rail.bridged, home) }
  if (rail.beside === undefined) return made
  const [bright, dim] = plan.feeds
  const besideNet = draft.net(`${group.name}-beside`, "signal")
  const dimBase = draft.net(`${group.name}-dim`, "signal")
  const brightBase = draft.net(`${group.name}-bright`, "signal")
  const percent = Math.round((100 * dim!.level) / bright!.level)
  const names = bright!.wires.map((w) => w.name).join(" or ")
  const resistor = draft.resistor(
    rail.beside,
    set,
    besideNet,
    `lowers the rail of ${group.name} to ${percent} % of the current`,
    home,
  )
  const transistor = (c: string, b: string, purpose: string) =>
    draft.add({
      kind: "transistor",
      stock: smallTransistor,
      value: "BC547",
      pins: { C: c, B: b, E: earth },
      purpose,
      home,
    })
  const main = transistor(besideNet, dimBase, `lays ${resistor} beside ${lower} while ${names} is dead`)
  const inverter = transistor(dimBase, brightBase, `lets go of ${resistor} while ${names} is live`)
  const others = [
    draft.resistor(switching.hold, feed, dimBase, `turns ${main} on`, home),
    ...bright!.wires.map((w) =>
      draft.resistor(
        switching.from,
        nets.wire.get(w.name)!,
        brightBase,
        `turns ${inverter} on from ${w.name}`,
        home,
      ),
    ),
    draft.resistor(
      switching.rest,
      dimBase,
      earth,
      `keeps ${main} within its reverse rating with the battery reversed`,
      home,
    ),
    draft.resistor(
      switching.off,
      brightBase,
      earth,
      `keeps ${inverter} off against leakage and a reversed battery`,
      home,
    ),
  ]
  return { ...made, beside: { resistor, transistor: main, inverter, others } }
}

/**
 * A relay whose coil hangs on the brighter wire and whose contact, closed at rest, bridges a part of the set resistor:
 * a contact that fails to make leaves the group bright. The coil's current dies through a diode and a suppressor in
 * row: against a diode alone that is quicker, and a reversed battery finds no way through.
 */
function writeRelay(
  draft: CircuitDraft,
  nets: Nets,
  plan: GroupPlan,
  tap: string,
  ohm: number,
  home: Home,
): NonNullable<MadeRail["bridged"]> {
  const { group, feeds } = plan
  const { wires, level } = feeds[0]!
  const { earth } = nets
  const { pins } = relayModel(rearRelay)
  const alone = wires.length === 1
  const coil = alone ? nets.wire.get(wires[0]!.name)! : draft.net(`${group.name}-coil`, "signal")
  const names = wires.map((w) => w.name).join(" or ")
  if (!alone)
    for (const w of wires)
      draft.diode(
        feedDiode,
        nets.wire.get(w.name)!,
        coil,
        `lets ${w.name} pull the relay of ${group.name} in, keeps the other wires out`,
        home,
      )
  const resistor = draft.resistor(
    ohm,
    tap,
    earth,
    `raises the rail of ${group.name} to ${Math.round(100 * level)} % while the relay is pulled in`,
    home,
  )
  const relay = draft.add({
    kind: "relay",
    stock: rearRelay,
    value: "12 V, 260 Ω",
    pins: { [pins.coil[0]]: coil, [pins.coil[1]]: earth, [pins.common]: earth, [pins.rest]: tap },
    purpose: `bridges ${resistor} while ${names} is dead; its outline is from memory, lay yours on the printed drawing first`,
    home,
  })
  const back = draft.net(`${group.name}-coil-back`, "signal")
  draft.diode(feedDiode, earth, back, `free-wheels the coil of ${relay} when ${names} goes dead`, home)
  draft.add({
    kind: "clamp",
    stock: coilClamp,
    value: coilClamp.slice(6).toUpperCase(),
    pins: { A: coil, K: back },
    purpose: `lets the current of ${relay} die quickly, and keeps a reversed battery from the diode in its row`,
    home,
  })
  return { resistor, relay, coil }
}

/** In row with a coil's free-wheel diode: above the battery either way round. */
export const coilClamp = "clamp-p6ke30a"

/** Base resistors of the pair that switches a rail, ohm. */
export const switching = { hold: 10e3, from: 22e3, off: 10e3, rest: 22e3 } as const

/** Height over the board that carries these parts; infinite where no board does. */
export function roomFor(lamp: Lamp, group: string, home: Home): number {
  const by = (word: string) => lamp.boards.find((b) => b.carries.includes(word))
  const own = home.kind === "group" ? by(group) : by(home.kind)
  const other = () => by("drivers") ?? by("supply") ?? by("controller")
  const board = own?.roomFor === "leds-only" ? other() : (own ?? other())
  return board?.height ?? Number.POSITIVE_INFINITY
}

/** Consecutive strings of known current that share a feed diode. */
function evenBunches(
  strings: StringPlan,
  current: number,
): { readonly count: number; readonly tail: string }[] {
  const most = Math.max(1, Math.floor(diodeCurrent.value / (1.3 * current)))
  return divide(strings.strings.length, most).map((count) => ({ count, tail: "" }))
}

/**
 * Consecutive strings that share a feed diode: as many as half of its rating carries at the strongest corner. The
 * brighter feeds of a two-feed group are also split by string length: else the shorter strings, which need less
 * voltage, would draw current out of the longer ones through the resistors of the dark feed.
 */
function bunchStrings(
  lamp: Lamp,
  plan: GroupPlan,
  strings: StringPlan,
  f: number,
  ohms: ReadonlyMap<number, readonly number[]>,
  path: Omit<Path, "strings" | "onSection">,
): { readonly count: number; readonly tail: string }[] {
  const { supply, ambient } = lamp.vehicle
  const hot = { supply: supply.highest, end: "low", celsius: ambient.highest } as const
  const onSection = plan.topology === "switched" ? 1 : 0
  const split = f < plan.feeds.length - 1
  const bunches: { count: number; tail: string; current: number }[] = []
  for (const members of strings.strings) {
    const tail = split ? `-${members.length}` : ""
    const ohm = ohms.get(members.length)![f]! * 0.99
    const current = stringCurrent({ ...path, strings: 1, onSection }, members.length, ohm, hot)
    const last = bunches[bunches.length - 1]
    if (last && last.tail === tail && last.current + current <= diodeCurrent.value) {
      last.count++
      last.current += current
    } else bunches.push({ count: 1, tail, current })
  }
  return bunches
}

function openChannel(draft: CircuitDraft, group: string, leds: readonly LedPlace[], index: number): string {
  const net = draft.net(`channel-${index}`, "led")
  draft.channels.push({ index, group, leds: leds.map((l) => l.ref), activeHigh: true, net })
  return net
}

/** A bleed across each flashing wire that no input network bleeds, so that a leaking flasher does not make LEDs glow. */
function writeBleeds(draft: CircuitDraft, lamp: Lamp, nets: Nets, plan: GroupPlan, home: Home): void {
  for (const wire of plan.feeds.flatMap((f) => f.wires)) {
    const ohm = bleedFor(wire)
    const net = nets.wire.get(wire.name)!
    if (ohm === undefined || draft.bled.has(net)) continue
    draft.bled.add(net)
    const { supply, ambient } = lamp.vehicle
    const power = (supply.highest ** 2 / (0.99 * ohm)) * flashingShare.value
    draft.resistor(
      ohm,
      net,
      nets.earth,
      `drains what leaks through the flasher on ${wire.name}`,
      home,
      sizeFor(power, ambient.highest),
    )
  }
}
