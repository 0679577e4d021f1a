// Writes one group into the circuit: feed diodes, LEDs, resistors. Direct and two-feed groups end on earth,
// switched groups on the channels' low-side nets.

import type { LedType } from "../1-stock/artefact.ts"
import type { Lamp, LedPlace } from "../2-lamp/artefact.ts"
import type { Home } from "./artefact.ts"
import { chainLeds } from "./chain-leds.ts"
import type { GroupPlan } from "./choose-topology.ts"
import type { CircuitDraft } from "./circuit-draft.ts"
import { loopOhm } from "./feed-wires.ts"
import { diodeCurrent, flashingShare } from "./limits.ts"
import { pinnedFor } from "./pinned.ts"
import { planStrings, type StringPlan } from "./plan-strings.ts"
import { ratingFor, sizeFor } from "./rate-resistor.ts"
import { bleedFor } from "./read-wires.ts"
import { chooseSecondOhms } from "./second-level.ts"
import { type Path, stringCurrent } from "./string-current.ts"

const feedDiode = "diode-1n4007"

export interface WrittenGroup {
  readonly plan: GroupPlan
  readonly led: LedType
  readonly strings: StringPlan
  /** Resistor of a string of that many LEDs, for each feed (brightest first). */
  readonly ohms: ReadonlyMap<number, readonly number[]>
  /** Net after the feed diodes, for each feed, string by string. */
  readonly feedNets: readonly (readonly string[])[]
  /** Refs of the resistors, by feed. */
  readonly resistors: readonly (readonly string[])[]
  readonly pinned: ReturnType<typeof pinnedFor>
}

export interface Nets {
  readonly earth: string
  /** Wire name → net. */
  readonly wire: ReadonlyMap<string, string>
}

/**
 * `channels`: for switched groups, how many LEDs each channel takes and the number of its first channel.
 * `chosen`: LEDs in series of the candidate that was taken.
 */
export function writeGroup(
  draft: CircuitDraft,
  lamp: Lamp,
  nets: Nets,
  plan: GroupPlan,
  led: LedType,
  channels?: { readonly pieces: readonly number[]; readonly first: number },
  chosen?: number,
): WrittenGroup {
  const { group } = plan
  const home: Home = { kind: "group", group: group.name }
  const pinned = pinnedFor(lamp, group.name)
  const full = group.current ?? led.testCurrent
  const brightest = plan.feeds[0]!
  const path = { led, diode: feedDiode, wireOhm: loopOhm(lamp, brightest.wires) }
  const inSeries = pinned.inSeries ?? chosen
  const leds = plan.sweeps ? group.leds : chainLeds(group.leds)
  const strings = planStrings({
    lamp,
    leds,
    path,
    switched: channels !== undefined,
    pieces: channels?.pieces ?? [leds.length],
    current: full * (plan.topology === "switched" ? 1 : brightest.level),
    together:
      plan.topology === "two-feed" ? plan.feeds.reduce((sum, f) => sum + f.level, 0) / brightest.level : 1,
    ...(inSeries === undefined ? {} : { pinnedInSeries: inSeries }),
    ...(pinned.ohm === undefined ? {} : { pinnedOhm: pinned.ohm }),
  })
  const ohms = chooseSecondOhms({
    lamp,
    plan,
    strings,
    path,
    ...(pinned.secondOhm ? { pinned: pinned.secondOhm } : {}),
  })

  // Feeds: a diode for each wire, on the board of the LEDs, or beside the controller for switched groups.
  const feedHome: Home = plan.topology === "switched" ? { kind: "supply" } : home
  const feedNets = plan.feeds.map((feed, f): readonly string[] => {
    const level = plan.feeds.length === 1 ? "" : f === 0 ? "-full" : `-low${f > 1 ? f : ""}`
    const bunches = bunchStrings(lamp, plan, strings, f, ohms, path)
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

  if (plan.topology !== "switched") writeBleeds(draft, lamp, nets, plan, home)

  const resistors: string[][] = plan.feeds.map(() => [])
  const pieces = channels?.pieces ?? [leds.length]
  let piece = 0
  let inPiece = 0
  let low = channels ? openChannel(draft, group.name, leds.slice(0, pieces[0]), channels.first) : nets.earth
  let at = 0
  strings.strings.forEach((members, s) => {
    const name = `${group.name}-string-${s + 1}`
    const top = draft.net(`${name}-a`, "led")
    const inner = members.slice(1).map((_, i) => draft.net(`${name}-${"bcdefghijklmn"[i] ?? `x${i}`}`, "led"))
    const stringNets = [top, ...inner, low]
    const own = plan.feeds.map((feed, f) => {
      const ohm = ohms.get(members.length)![f]!
      const stock =
        pinned.resistorPart ??
        ratingFor({
          lamp,
          plan,
          strings,
          path,
          feed: f,
          ohm,
          inSeries: members.length,
          onSection: channels ? 1 : 0,
        })
      const ref = draft.resistor(
        ohm,
        feedNets[f]![s]!,
        top,
        `sets the current of ${name}${plan.feeds.length > 1 ? ` at ${Math.round(feed.level * 100)} %` : ""}`,
        home,
        stock,
      )
      resistors[f]!.push(ref)
      return ref
    })
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
    draft.strings.push({
      name,
      group: group.name,
      leds: members.map((m) => m.ref),
      nets: stringNets,
      resistors: own,
      ...(channels ? { channel: channels.first + piece } : {}),
    })
    inPiece += members.length
    at += members.length
    if (channels && inPiece === pieces[piece] && piece + 1 < pieces.length) {
      piece++
      inPiece = 0
      low = openChannel(draft, group.name, leds.slice(at, at + pieces[piece]!), channels.first + piece)
    }
  })
  return { plan, led, strings, ohms, feedNets, resistors, pinned }
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
