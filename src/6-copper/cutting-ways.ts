// How boards are cut where the description says nothing else, and what the machine makes of the speeds asked for.

import type { MmPerMinute } from "../0-ground/units/brand.ts"
import type { Cutter, Cutting, Lamp } from "../2-lamp/artefact.ts"

const usual: Cutting = {
  separate: "between",
  direction: "conventional",
  leadIn: 1,
  files: "one-per-tool",
  probes: 12,
}

export const cuttingWays = ({ cutting }: Pick<Lamp, "cutting">): Cutting => cutting ?? usual

/** The feed the machine can follow. */
export const feedOf = ({ machine }: Pick<Cutter, "machine">, asked: MmPerMinute): MmPerMinute =>
  Math.min(asked, machine.greatestFeed ?? asked)

/** The spindle speed the machine can be set to, nearest to what is asked, per minute. */
export const spindleOf = ({ engraver, machine }: Pick<Cutter, "engraver" | "machine">): number =>
  machine.spindle
    ? Math.max(machine.spindle.lowest, Math.min(machine.spindle.highest, engraver.spindle))
    : engraver.spindle
