// Where a finding is seen best: which view, which board, and which places to mark there.

import type { Finding } from "../../0-ground/finding.ts"
import type { LampDesign } from "../../design-lamp.ts"
import type { Thing } from "./look-at-thing.ts"

export const views = ["face", "drive", "board", "cut", "beam", "fit", "wiring"] as const
export type View = (typeof views)[number]

export interface Look {
  /** Absent: the view stays as it is (a finding about the description). */
  readonly view: View | undefined
  readonly board: string | undefined
  /** In the frame of the board named above. */
  readonly boardPoint: { readonly x: number; readonly y: number } | undefined
  readonly facePoint: { readonly x: number; readonly y: number } | undefined
  /** LED references to ring. */
  readonly leds: readonly string[]
  readonly parts: readonly string[]
  readonly nets: readonly string[]
  readonly wire: string | undefined
  /** What was picked on the bench; absent where a finding is looked at. */
  readonly thing?: Thing
  /** LEDs in series with those above. */
  readonly mates?: readonly string[]
  readonly strings?: readonly string[]
  readonly groups?: readonly string[]
  /** Every vehicle wire that has to do with it; `wire` is the first. */
  readonly wires?: readonly string[]
  /** Names of harness wires. */
  readonly harness?: readonly string[]
  readonly says?: string
}

const groovesAreMeant = /cut|copper|groove|short|open|gap|engrav|drill|outline|narrow|isolat|island/

const inTheBeam = /distribution|intensity|visibility|colour|weather/

/** Views are only named when there is something of that kind in the design. */
export function lookAt(finding: Finding, design: LampDesign): Look {
  const { where, code } = finding
  const lamp = design.lamp
  const boards = design.boards.boards
  const group = lamp.groups.find((g) => g.name === where.group)
  const allLeds = new Set(lamp.groups.flatMap((g) => g.leds.map((l) => l.ref)))
  const parts = where.part === undefined ? [] : where.part.split(/,\s*/)
  const onBoard = boards.find((b) => b.name === where.board)
  const ofPart = onBoard ?? boards.find((b) => b.parts.some((p) => parts.includes(p.ref)))
  const leds = parts.filter((p) => allLeds.has(p))
  if (leds.length === 0 && group) leds.push(...group.leds.map((l) => l.ref))
  const point = where.x !== undefined && where.y !== undefined ? { x: where.x, y: where.y } : undefined
  const onFace = point !== undefined && (where.frame === "face" || (where.frame === undefined && !onBoard))
  const room = code.slice(0, code.indexOf("."))
  const rest = code.slice(code.indexOf(".") + 1)

  let view: View | undefined
  if (onFace) view = "face"
  else if (room === "drive") view = "drive"
  else if (room === "fit") view = "fit"
  else if (room === "light" && inTheBeam.test(rest)) view = "beam"
  else if (room === "lamp" && !onBoard) view = group ? "face" : undefined
  else if (room === "board" || room === "cut") view = room
  else if (onBoard) view = groovesAreMeant.test(rest) ? "cut" : "board"
  else if (/harness|fuse|wire/.test(rest) && where.wire !== undefined) view = "wiring"
  else if (room === "behaviour" || group || where.wire !== undefined) view = "face"
  else if (ofPart) view = "board"

  return {
    view,
    board: (onBoard ?? ofPart)?.name,
    boardPoint: onFace ? undefined : point,
    facePoint: onFace ? point : undefined,
    leds,
    parts,
    nets: where.net === undefined ? [] : where.net.split(/,\s*/),
    wire: where.wire,
  }
}
