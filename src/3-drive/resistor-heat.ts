// The figure of a resistor's heat at the corner where it is greatest.

import type { Figure } from "../0-ground/figure.ts"
import { type Figures, limitFigures, solvedAs } from "./drive-figures.ts"
import type { Extreme, MadeCircuit } from "./made-circuit.ts"

/** `share` is the part of the time the resistor is live; `from` is what its voltage and current depend on most. */
export function resistorHeat(
  id: string,
  made: MadeCircuit,
  figures: Figures,
  { ref, point, corner }: Extreme,
  share: number,
  from: readonly (Figure | undefined)[],
): Figure {
  const { pins } = made.part.get(ref)!
  const volt = point.voltage(pins["1"]!) - point.voltage(pins["2"]!)
  const amps = point.current(ref)
  const sign = Math.sign(volt) || 1
  return figures.result(
    id,
    `heat in ${ref}`,
    Math.max(0, volt * amps) * share * 1000,
    "mW",
    share < 1 ? "voltage across it × current × share of the time it is live" : "voltage across it × current",
    [
      solvedAs(`${id}.voltage`, `voltage across ${ref}`, volt * sign, "V", from, corner),
      solvedAs(`${id}.current`, `current of ${ref}`, amps * sign * 1000, "mA", from, corner),
      ...(share < 1 ? [limitFigures.flashingShare] : []),
    ],
    corner,
  )
}
