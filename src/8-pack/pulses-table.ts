// Every part in every pulse that may come over the vehicle's wires, as a table for a spreadsheet.

import type { Circuit } from "../3-drive/artefact.ts"
import { csv } from "./csv.ts"

/** Header alone for a circuit whose pulses were not run. */
export const pulsesCsv = ({ circuit }: { readonly circuit: Circuit }): string =>
  csv(
    ["event", "what", "part", "highest V", "lowest V", "greatest A", "energy J"],
    (circuit.pulses ?? []).map((p) => [p.event, p.what, p.part, p.highest, p.lowest, p.current, p.energy]),
  )
