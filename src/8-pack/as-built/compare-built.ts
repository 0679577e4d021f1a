// The lamp as built against the solved circuit: which readings leave their limits, and what would explain them.

import type { BuiltRecord } from "../../2-lamp/artefact.ts"
import type { PackInput } from "../artefact.ts"
import { findFaults } from "../bring-up/find-fault.ts"
import { type BringUpPlan, type BringUpReading, solveFaults } from "../bring-up/plan-bring-up.ts"
import { readReadings } from "../bring-up/read-readings.ts"

export interface BuiltLamp {
  readonly record: Omit<BuiltRecord, "readings">
  /** Absent: no readings were recorded, or their file is not there. */
  readonly readings?: {
    readonly file: string
    /** Why the file cannot be compared, for example because the plan has changed since. */
    readonly fault?: { readonly line: number; readonly reason: string }
    readonly taken: number
    /** How many the plan asks for. */
    readonly asked: number
    readonly outside: readonly (Pick<
      BringUpReading,
      "id" | "board" | "probe" | "unit" | "expected" | "low"
    > & {
      /** null: only the low limit counts. */
      readonly high: number | null
      readonly how: BringUpReading["how"]
      readonly measured: number
    })[]
    /** Likeliest single faults, best first; empty when every reading keeps its limits. */
    readonly suspects: readonly string[]
  }
}

/** Every record of `lamp.built` against the plan. Faults are solved only when a reading is outside its limits. */
export function compareBuilt(design: PackInput, plan: BringUpPlan): BuiltLamp[] {
  let solved: ReturnType<typeof solveFaults> | undefined
  return (design.lamp.built ?? []).map(({ readings, ...record }) => {
    if (readings?.text === undefined) return { record }
    const { file, text } = readings
    const read = readReadings(text, plan)
    const asked = plan.readings.length
    if ("fault" in read)
      return { record, readings: { file, fault: read.fault, taken: 0, asked, outside: [], suspects: [] } }
    const { values } = read
    const outside = plan.readings.flatMap(({ id, board, how, probe, unit, expected, low, high }) => {
      const measured = values.get(id)
      if (measured === undefined || (measured >= low && measured <= high)) return []
      return [
        { id, board, how, probe, unit, expected, low, high: Number.isFinite(high) ? high : null, measured },
      ]
    })
    if (outside.length > 0) solved ??= solveFaults(design)
    const suspects = solved && outside.length > 0 ? findFaults(solved, values).suspects : []
    return {
      record,
      readings: {
        file,
        taken: values.size,
        asked,
        outside,
        suspects: suspects.slice(0, 3).map((s) => s.faults.join(", or ")),
      },
    }
  })
}
