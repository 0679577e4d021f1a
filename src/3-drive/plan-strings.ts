// LEDs into strings, and their resistors. In series: as many as still light at the lowest supply. Strings are made
// as equal as the count allows (22 by threes: six threes and two twos), and every string has its own resistor so
// that all carry the same current.

import { above, nearest, next } from "../1-stock/e-series.ts"
import type { Lamp, LedPlace } from "../2-lamp/artefact.ts"
import { leastResistance, leastShare, ledShare, surgeShare, surgeVolt } from "./limits.ts"
import { ohmFor, type Path, stringCurrent } from "./string-current.ts"

export interface StringPlan {
  readonly inSeries: number
  /** LEDs of each string, in the group's order. */
  readonly strings: readonly (readonly LedPlace[])[]
  /** Resistor for a string of that many LEDs, for the full current. */
  readonly ohmOf: ReadonlyMap<number, number>
  /** Wanted current at usual supply, and what was reached with usual parts. */
  readonly wanted: number
  readonly full: number
  /** Set where the wanted current could not be had: which limit came first. */
  readonly heldBack?: string
}

/** Current the LED may carry at that ambient temperature for ever. */
export function deratedLedCurrent(path: Path, celsius: number): number {
  const { led } = path
  const byHeat = (led.maximumJunction - celsius) / (led.thermalResistance * led.forwardVoltage.usual)
  return Math.max(0, Math.min(led.maximumCurrent, byHeat))
}

/** `count` as equally as possible into parts of at most `most`: longer ones first. */
export function divide(count: number, most: number): number[] {
  const parts = Math.ceil(count / most)
  const short = Math.floor(count / parts)
  const long = count - short * parts
  return Array.from({ length: parts }, (_, i) => (i < long ? short + 1 : short))
}

export interface Wish {
  readonly lamp: Lamp
  readonly leds: readonly LedPlace[]
  readonly path: Omit<Path, "strings" | "onSection">
  readonly switched: boolean
  /** Lengths of the pieces (one channel each) that strings may not cross. */
  readonly pieces: readonly number[]
  readonly current: number
  /** Current with every feed live against current with the brightest alone, at most. */
  readonly together: number
  readonly pinnedInSeries?: number
  readonly pinnedOhm?: number
}

export function planStrings(wish: Wish): StringPlan {
  const longest = Math.max(...wish.pieces)
  const try_ = (most: number) => {
    const lengths = wish.pieces.flatMap((n) => divide(n, most))
    const perPiece = Math.max(...wish.pieces.map((n) => divide(n, most).length))
    const path: Path = {
      ...wish.path,
      strings: lengths.length,
      onSection: wish.switched ? perPiece : 0,
    }
    const chosen = chooseOhm(wish, path, most)
    const { supply, ambient } = wish.lamp.vehicle
    const weakest = stringCurrent(path, most, chosen.ohm, {
      supply: supply.lowest,
      end: "high",
      celsius: ambient.lowest,
    })
    return { lengths, path, most, chosen, weakest }
  }
  let plan = try_(1)
  if (wish.pinnedInSeries !== undefined) {
    plan = try_(Math.max(1, Math.min(longest, Math.round(wish.pinnedInSeries))))
  } else {
    for (let most = Math.min(longest, 12); most > 1; most--) {
      const at = try_(most)
      // Strings that only share shorter pieces are no different from the shorter plan.
      // A quarter more than the limit: the whole circuit takes a little more than one string by itself.
      if (at.weakest >= 1.25 * leastShare.value * at.chosen.full && at.chosen.full > 0.5 * plan.chosen.full) {
        plan = at
        break
      }
    }
  }
  const ohmOf = new Map<number, number>()
  for (const n of new Set(plan.lengths)) {
    ohmOf.set(n, n === plan.most ? plan.chosen.ohm : chooseOhm(wish, plan.path, n, plan.chosen.full).ohm)
  }
  let next = 0
  const strings = plan.lengths.map((n) => {
    next += n
    return wish.leds.slice(next - n, next)
  })
  return {
    inSeries: Math.max(...plan.lengths),
    strings,
    ohmOf,
    wanted: wish.current,
    full: plan.chosen.full,
    ...(plan.chosen.heldBack ? { heldBack: plan.chosen.heldBack } : {}),
  }
}

/** The E24 value nearest to the wanted current at usual supply, raised until the strongest corner and the surge are kept. */
function chooseOhm(wish: Wish, path: Path, inSeries: number, current = wish.current) {
  const { supply, ambient } = wish.lamp.vehicle
  const usual = { supply: supply.usual, end: "usual", celsius: 25 } as const
  const hot = { supply: supply.highest, end: "low", celsius: ambient.highest } as const
  const surge = { ...hot, supply: surgeVolt.value }
  // Where the supply does not even reach the LEDs a resistor is still needed to keep the bright end safe.
  const ideal = ohmFor(path, inSeries, current, usual)
  let ohm = wish.pinnedOhm ?? (ideal > 1 ? nearest(ideal, "E24") : above(1, "E24"))
  let heldBack: string | undefined
  if (wish.pinnedOhm === undefined) {
    const most = (ledShare.value * deratedLedCurrent(path, ambient.highest)) / wish.together
    const peak = path.led.peakCurrent * Math.min(surgeShare.value, 1 / wish.together)
    for (let k = 0; k < 240; k++) {
      const least = ohm * leastResistance
      const tooMuch = stringCurrent(path, inSeries, least, hot) > most
      const surging = supply.surge === "clamped" && stringCurrent(path, inSeries, least, surge) > peak
      if (!tooMuch && !surging) break
      heldBack = tooMuch
        ? `the strongest corner may take ${Math.round(ledShare.value * 100)} % of the hot LED's rating`
        : "the surge may take the LED's pulse rating"
      ohm = next(ohm, "E24")
    }
  }
  return { ohm, full: stringCurrent(path, inSeries, ohm, usual), heldBack }
}
