// Controller pins shared out: inputs first, then one channel for each LED of a sweep and one for any other group.
// Where pins run short, neighbours of a sweep share a channel, two by two, then three by three.

import { modelOf } from "../1-stock/parts.ts"
import type { Wire } from "../2-lamp/artefact.ts"
import { type ControllerName, controllerStock, smallSuffices } from "./choose-controller.ts"
import type { GroupPlan } from "./choose-topology.ts"
import { sectionCurrent } from "./limits.ts"
import { divide } from "./plan-strings.ts"

export interface ChannelShare {
  /** Group name → LEDs on each of its channels, in order. */
  readonly pieces: ReadonlyMap<string, readonly number[]>
  readonly inputs: readonly Wire[]
  readonly channels: number
  /** LEDs of a sweep on one channel, 1 unless pins ran short. */
  readonly together: number
  readonly pins: number
  readonly fits: boolean
  /** Stock key of the controller. */
  readonly controller: string
}

export function shareChannels(
  switched: readonly GroupPlan[],
  currentOf: (plan: GroupPlan) => number,
  held?: ControllerName,
): ChannelShare {
  const small = shareOn(controllerStock.ATtiny84A, 1, switched, currentOf)
  if (held === "ATtiny84A" || (held === undefined && small.fits && smallSuffices(switched, small.pieces)))
    return small.fits ? small : shared(controllerStock.ATtiny84A, switched, currentOf)
  return shared(controllerStock.ATmega328P, switched, currentOf)
}

/** With as few LEDs of a sweep on a channel as the pins allow. */
function shared(
  controller: string,
  switched: readonly GroupPlan[],
  currentOf: (plan: GroupPlan) => number,
): ChannelShare {
  const longest = Math.max(1, ...switched.map((p) => p.group.leds.length))
  let share = shareOn(controller, 1, switched, currentOf)
  for (let together = 2; !share.fits && together <= longest; together++)
    share = shareOn(controller, together, switched, currentOf)
  return share
}

function shareOn(
  controller: string,
  together: number,
  switched: readonly GroupPlan[],
  currentOf: (plan: GroupPlan) => number,
): ChannelShare {
  const pins = modelOf(controller, "controller").ioPins.length
  const inputs = [...new Set(switched.flatMap((p) => p.feeds.flatMap((f) => f.wires)))]
  const pieces = new Map(
    switched.map((plan) => {
      const count = plan.group.leds.length
      // A group on one section: as many sections as its current needs, were every LED on its own.
      const sections = Math.max(1, Math.ceil((count * currentOf(plan)) / sectionCurrent.value))
      const most = plan.sweeps ? together : Math.ceil(count / sections)
      const step = plan.sweeps ? stepOf(plan) : 1
      if (step === 1) return [plan.group.name, divide(count, Math.max(1, most))] as const
      // LEDs of one step light together: they share an output as far as its current allows.
      const fits = Math.max(1, Math.floor(sectionCurrent.value / currentOf(plan)))
      const piece = step * together <= fits ? step * together : (divisorUpTo(step, fits) ?? 1)
      return [plan.group.name, chunks(count, piece)] as const
    }),
  )
  const channels = [...pieces.values()].reduce((n, p) => n + p.length, 0)
  return { pieces, inputs, channels, together, pins, fits: channels + inputs.length <= pins, controller }
}

/** LEDs that begin together in every sweep of the group. */
const stepOf = ({ lines }: GroupPlan): number =>
  lines.reduce((all, { sweep }) => (sweep ? common(all, sweep.step ?? 1) : all), 0) || 1

const common = (a: number, b: number): number => (b === 0 ? a : common(b, a % b))

/** Greatest divisor of `n` that is at most `most`, so that no output belongs to two steps. */
const divisorUpTo = (n: number, most: number): number | undefined =>
  Array.from({ length: n }, (_, i) => n - i).find((d) => n % d === 0 && d <= most)

/** Pieces of `size` from the first LED on; the last may be shorter. */
const chunks = (count: number, size: number): number[] =>
  Array.from({ length: Math.ceil(count / size) }, (_, i) => Math.min(size, count - i * size))
