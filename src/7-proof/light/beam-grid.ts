// Luminous intensity over a grid of directions, at every solved corner: for each LED its light there, its aim and its
// beam. LEDs of one aim share a grid, so a corner costs one multiplication for each direction and aim.

import { fluxOf } from "../../0-ground/photometry/intensity-table.ts"
import { unGrid, unGridFunctions } from "../../1-stock/lighting-rules.ts"
import { usPointShare } from "../../1-stock/us-photometry.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit, CornerState } from "../../3-drive/artefact.ts"
import type { Beam, IntensityGrid } from "../artefact.ts"
import { cornersOf, type FunctionLight, type LedShare } from "./function-light.ts"
import { axisRuleFor, usTableFor } from "./rules-for.ts"

const steps = (from: number, to: number, step: number) =>
  Array.from({ length: Math.round((to - from) / step) }, (_, i) => from + i * step)

/** Closer where the rules have their test points. */
export const horizontalAngles: readonly number[] = [
  ...steps(-90, -30, 5),
  ...steps(-30, 30, 2.5),
  ...steps(30, 95, 5),
]
export const verticalAngles: readonly number[] = [
  ...steps(-45, -15, 5),
  ...steps(-15, 15, 2.5),
  ...steps(15, 50, 5),
]

const directions = horizontalAngles.flatMap((h) => verticalAngles.map((v) => ({ h, v })))

export function beamOf(lamp: Lamp, circuit: Circuit, l: FunctionLight): Beam {
  const shares = l.kinds.map((k) => Float64Array.from(directions, ({ h, v }) => k.share(h, v)))
  const at = (lights: readonly LedShare[]) => lightsOf(l, lights)
  const over = (parts: CornerState["parts"], end: "least" | "most") => {
    let best: Float64Array | undefined
    let where = ""
    let axis = end === "least" ? Number.POSITIVE_INFINITY : -1
    for (const corner of cornersOf(lamp, circuit, l.line, parts)) {
      const weights = at(l.ledLight(corner, end, worstAir(lamp, corner, end)))
      const here = mixed(shares, weights)
      const sum = weights.reduce((s, w) => s + w, 0)
      if (end === "least" ? sum < axis : sum > axis) {
        axis = sum
        where = corner.corner
      }
      if (!best) best = here
      else
        for (let i = 0; i < here.length; i++)
          if (end === "least" ? here[i]! < best[i]! : here[i]! > best[i]!) best[i] = here[i]!
    }
    return { grid: rows(best ?? new Float64Array(directions.length)), where }
  }
  const grid = (end: "least" | "usual" | "most") => rows(mixed(shares, at(l.perLed[end])))
  const usual = grid("usual")
  const coldest = over("weakest", "least")
  const hottest = over("strongest", "most")
  const light = new Map(l.perLed.usual.map((x) => [x.ref, x.light]))
  const ahead = new Map(l.kinds.flatMap((k) => k.refs.map((ref) => [ref, k.share(0, 0)] as const)))
  const area = l.group.leds.reduce((s, x) => s + (Math.PI * x.hole.diameter ** 2) / 4, 0)
  const { corners } = l
  return {
    group: l.group.name,
    function: l.function,
    horizontal: horizontalAngles,
    vertical: verticalAngles,
    least: grid("least"),
    usual,
    most: grid("most"),
    weather: {
      least: coldest.grid,
      most: hottest.grid,
      leastAt: coldest.where,
      mostAt: hottest.where,
    },
    flux: fluxOf({ type: "A", horizontal: horizontalAngles, vertical: verticalAngles, candela: usual }),
    luminance: area > 0 ? l.usual.value / (area * 1e-6) : 0,
    watts:
      corners.usual.supply * Object.values(corners.usual.wireCurrent).reduce((s, i) => s + Math.max(0, i), 0),
    asked: askedOf(lamp, l),
    lit: l.group.leds.map(({ ref, hole }) => ({
      x: hole.x,
      y: hole.y,
      diameter: hole.diameter,
      light: short((light.get(ref) ?? 0) * (ahead.get(ref) ?? 0)),
    })),
  }
}

/**
 * Weakest parts are solved in the cold, where LEDs take least current, but give least light in the heat: both together
 * bound the light from below; the other way round from above.
 */
export const worstAir = (lamp: Lamp, corner: CornerState, end: "least" | "most"): number =>
  end === "least"
    ? Math.max(corner.temperature, lamp.vehicle.ambient.highest)
    : Math.min(corner.temperature, lamp.vehicle.ambient.lowest)

/** Candela of the LEDs of each kind together. */
function lightsOf(l: FunctionLight, lights: readonly LedShare[]): number[] {
  const kind = new Map(l.kinds.flatMap((k, i) => k.refs.map((ref) => [ref, i] as const)))
  const sums = l.kinds.map(() => 0)
  for (const { ref, light } of lights) sums[kind.get(ref)!]! += light
  return sums
}

function mixed(shares: readonly Float64Array[], weights: readonly number[]): Float64Array {
  const out = new Float64Array(directions.length)
  for (const [k, share] of shares.entries()) {
    const weight = weights[k]!
    for (let i = 0; i < out.length; i++) out[i]! += weight * share[i]!
  }
  return out
}

const rows = (flat: Float64Array): IntensityGrid =>
  horizontalAngles.map((_, i) =>
    Array.from(flat.subarray(i * verticalAngles.length, (i + 1) * verticalAngles.length), short),
  )

/** Four digits; less than a millionth of a candela is none. */
const short = (n: number) => (n < 1e-6 ? 0 : Number(n.toPrecision(4)))

/** Least light that the lamp's rule book asks in its test directions. */
function askedOf(lamp: Lamp, l: FunctionLight): Beam["asked"] {
  if (lamp.vehicle.rules === "us-motorcycle")
    return (usTableFor(l, 1)?.points ?? []).map(({ h, v, low }) => ({
      h,
      v,
      least: usPointShare.value * low,
    }))
  const rule = unGridFunctions.some((f) => f === l.function) ? axisRuleFor(lamp, l) : undefined
  return rule ? unGrid.map(({ h, v, share }) => ({ h, v, least: share * rule.low })) : []
}
