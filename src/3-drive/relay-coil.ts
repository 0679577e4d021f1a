// The coil of a relay warms itself: its winding's temperature at a voltage, and the voltage at which it then surely
// pulls in. A pull-in voltage is told at 20 °C and rises with the winding's resistance, as the pull needs a current.

import { modelOf } from "../1-stock/parts.ts"

export const rearRelay = "relay-12v"

export type RelayModel = ReturnType<typeof modelOf<"relay">>

export const relayModel = (stock: string): RelayModel => modelOf(stock, "relay")

/** Resistance of a winding at a temperature as a multiple of that at 20 °C. */
export const windingAt = ({ coilPerKelvin }: RelayModel, celsius: number): number =>
  1 + coilPerKelvin * (celsius - 20)

/** Volt at which a part whose winding stands at `celsius` surely pulls in. */
export const pullInVolt = (model: RelayModel, celsius: number): number =>
  model.pullIn * windingAt(model, celsius)

/**
 * Temperature of a winding that has been live for long at `volt` in air at `celsius`, °C: the heat falls as its
 * resistance rises, so there is one. `ohm`: of this part at 20 °C.
 */
export function coilTemperature(model: RelayModel, ohm: number, volt: number, celsius: number): number {
  let t = celsius
  for (let k = 0; k < 40; k++)
    t = celsius + (model.thermalResistance * volt * volt) / (ohm * windingAt(model, t))
  return t
}
