// Behaviour and pins → the bytes the runtime reads: the table and the safe map, each closed by its CRC.

import type { Behaviour, BehaviourRule, FlasherTiming } from "./artefact.ts"
import { crc16 } from "./crc16.ts"
import {
  channelActiveHigh,
  floorCode,
  inputFlashing,
  inputInverted,
  ruleFirstTogether,
  ruleSteep,
  ruleSweep,
  tableHeader,
  tableVersion,
} from "./table-layout.ts"

/** Pin codes (port << 4 | bit) of the inputs and channels, in the behaviour's order. */
export interface PackedPins {
  readonly inputs: readonly number[]
  readonly channels: readonly number[]
}

/** Bytes of the table, CRC included. */
export function packTable(behaviour: Behaviour, timing: FlasherTiming, pins: PackedPins): Uint8Array {
  const order = channelOrder(pins)
  const { inputs, channels, rules } = behaviour
  const body = [
    ...inputs.flatMap((input, i) => [
      pins.inputs[i]!,
      (input.flashing ? inputFlashing : 0) | (input.inverted ? inputInverted : 0),
      input.assertMs,
      input.releaseMs,
    ]),
    ...order.flatMap((c) => [
      pins.channels[c]!,
      channels[c]!.activeHigh ? channelActiveHigh : 0,
      ...word(rulesOf(behaviour, channels[c]!.index)),
    ]),
    ...rules.flatMap((rule) => packRule(rule, timing)),
    ...rules.flatMap((rule) => order.flatMap((c) => packTarget(rule, channels[c]!.index))),
  ]
  const header = [
    ...[0x4c, 0x54, tableVersion, inputs.length, channels.length, rules.length],
    ...word(tableHeader + body.length + 2),
    ...[floorCode, timing.trusted],
    ...word(timing.shortestOnMs),
    ...word(timing.steadyAfterMs),
    ...word(timing.contactGapMs),
    ...word(timing.operationGapMs),
    ...word(timing.unstableForMs),
    ...word(timing.riseWindowMs),
    ...word(timing.flashGapMs),
  ]
  return closed([...header, ...body])
}

/** Bytes of the safe map, CRC included: which inputs alone light which channel. */
export function packSafeMap(behaviour: Behaviour, pins: PackedPins): Uint8Array {
  const { inputs, channels } = behaviour
  return closed([
    ...[0x4c, 0x53, inputs.length, channels.length],
    ...inputs.flatMap((input, i) => [pins.inputs[i]!, input.inverted ? inputInverted : 0]),
    ...channelOrder(pins).flatMap((c) => [
      pins.channels[c]!,
      channels[c]!.activeHigh ? channelActiveHigh : 0,
      safeInputs(behaviour, channels[c]!.index),
    ]),
  ])
}

/** The runtime wants the channels port by port. */
export const channelOrder = (pins: PackedPins): readonly number[] =>
  pins.channels.map((_, c) => c).sort((a, b) => pins.channels[a]! - pins.channels[b]!)

export const rulesOf = (behaviour: Behaviour, channel: number): number =>
  bits(behaviour.rules.flatMap((r, i) => (r.targets.some((t) => t.channel === channel) ? [i] : [])))

/** Single-wire lines light their channel; where there are none, any wire of the others does. */
export function safeInputs(behaviour: Behaviour, channel: number): number {
  const lines = behaviour.rules.filter((r) => r.targets.some((t) => t.channel === channel && t.level > 0))
  const single = lines.filter((r) => r.live.length === 1)
  return bits((single.length > 0 ? single : lines).flatMap((r) => r.live))
}

function packRule(rule: BehaviourRule, timing: FlasherTiming): number[] {
  const rise = rule.targets[0]?.riseMs ?? 0
  const fall = rule.targets[0]?.fallMs ?? 0
  const within = rule.sweepWithinMs
  const nominal = rule.sweepNominalMs ?? within
  // Share of the sweep → share of the rise, 8.8: 256 · sweep / rise; 0 = at once. Where that is too much, 12.4.
  const steep = isSteep(rule)
  const gain = nominal === undefined || rise <= 1 ? 0 : Math.ceil(((steep ? 16 : 256) * nominal) / rise)
  const flags =
    (within === undefined ? 0 : ruleSweep) |
    (rule.firstTogether ? ruleFirstTogether : 0) |
    (steep ? ruleSteep : 0)
  return [
    ...[bits(rule.live), bits(rule.flashing ?? []), flags],
    within === undefined ? 0 : (rule.sweepShare ?? timing.sweepShare),
    ...word(within ?? 0),
    ...word(gain),
    ...word(slope(rise)),
    ...word(slope(fall)),
  ]
}

/** A rise shorter than 1/255 of its sweep: its share needs more places. */
export function isSteep({ sweepWithinMs, sweepNominalMs, targets }: BehaviourRule): boolean {
  const rise = targets[0]?.riseMs ?? 0
  const nominal = sweepNominalMs ?? sweepWithinMs
  return nominal !== undefined && rise > 1 && Math.ceil((256 * nominal) / rise) > 65535
}

export function packTarget(rule: BehaviourRule, channel: number): number[] {
  const target = rule.targets.find((t) => t.channel === channel)
  return target ? [target.level, Math.min(255, Math.floor(256 * target.startShare))] : [0, 0]
}

/** Part of 65536 that a change moves on in a tick; 0 = at once. Up to a second never late, beyond to the nearest. */
function slope(ms: number): number {
  if (ms <= 1) return 0
  return ms <= 1000 ? Math.ceil(65536 / ms) : Math.round(65536 / ms)
}

const bits = (indices: readonly number[]): number => indices.reduce((all, i) => all | (1 << i), 0)
const word = (n: number): [number, number] => [n & 0xff, (n >> 8) & 0xff]

function closed(bytes: readonly number[]): Uint8Array {
  const bad = bytes.findIndex((b) => !(Number.isInteger(b) && b >= 0 && b <= 255))
  if (bad >= 0) throw new Error(`table byte ${bad}: got ${bytes[bad]}, expected 0…255`)
  return Uint8Array.from([...bytes, ...word(crc16(Uint8Array.from(bytes)))])
}
