// Slots the board asks for, looked for in what the router does right through the board.

import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board, Slot } from "../../5-board/artefact.ts"
import type { CutterProgram } from "../../6-copper/artefact.ts"
import { proof } from "../proof-findings.ts"
import { nothingTold, type Told } from "../told.ts"
import { spot } from "./board-place.ts"
import type { ProgramReading, ToolMove } from "./read-cut-program.ts"

/** Looked at this far inside and outside a slot's side, and this often along it, mm. */
const aside = 0.1
const along = 0.25

export function judgeSlots(
  lamp: Lamp,
  board: Board,
  readings: ReadonlyMap<CutterProgram, ProgramReading>,
): Told {
  const told = nothingTold()
  const slots = board.slots ?? []
  if (slots.length === 0) return told
  const through = [...readings]
    .filter(([p]) => p.purpose === "outline")
    .flatMap(([p, r]) =>
      r.moves
        .filter((m) => m.kind === "feed" && Math.max(m.z0, m.z1) <= -lamp.copperClad.thickness + 1e-6)
        .map((m) => ({ m, radius: p.toolDiameter / 2 })),
    )
  const cut = (x: number, y: number) => through.some(({ m, radius }) => reach(m, x, y) <= radius)
  for (const [i, slot] of slots.entries()) {
    const fault = faultOf(slot, cut)
    if (!fault) continue
    told.findings.push(
      proof.state("slot", {
        severity: "red",
        title: `slot ${i + 1} of ${board.name} ${fault.what}`,
        where: { ...spot(board, fault.x, fault.y), path: `boards.${board.name}.slots.${i}` },
      }),
    )
  }
  if (told.findings.length === 0)
    told.findings.push(
      proof.state("slot", {
        severity: "green",
        title: `${board.name}: ${slots.length === 1 ? "its slot is" : `all ${slots.length} slots are`} cut through in full width and no wider`,
        where: { text: board.name, board: board.name },
        measured: { value: 0, unit: "" },
        limit: { value: 0, unit: "", kind: "exactly" },
        margin: 0,
        advice: "Nothing to do.",
      }),
    )
  return told
}

/** The kerf's rim decides: what a loop cuts loose inside it falls out. */
function faultOf(
  { from, to, width }: Slot,
  cut: (x: number, y: number) => boolean,
): { what: string; x: number; y: number } | undefined {
  const length = Math.hypot(to.x - from.x, to.y - from.y)
  const [ux, uy] = length === 0 ? [1, 0] : [(to.x - from.x) / length, (to.y - from.y) / length]
  const steps = Math.max(1, Math.ceil(length / along))
  for (let k = 0; k <= steps; k++) {
    for (const side of [1, -1]) {
      for (const [off, wanted, what] of [
        [width / 2 - aside, true, "is not cut through in full width"],
        [width / 2 + aside, false, "is cut wider than asked"],
      ] as const) {
        const x = from.x + (ux * length * k) / steps - side * uy * off
        const y = from.y + (uy * length * k) / steps + side * ux * off
        if (cut(x, y) !== wanted) return { what, x, y }
      }
    }
  }
  return undefined
}

function reach(m: ToolMove, x: number, y: number): number {
  const dx = m.x1 - m.x0
  const dy = m.y1 - m.y0
  const l2 = dx * dx + dy * dy
  const t = l2 === 0 ? 0 : Math.max(0, Math.min(1, ((x - m.x0) * dx + (y - m.y0) * dy) / l2))
  return Math.hypot(x - m.x0 - t * dx, y - m.y0 - t * dy)
}
