// One board before anything has a place: its frame, its parts with the nets on their lands, and the freedoms that
// may exchange nets between lands. Nets are numbers here; the names stand in `nets`.

import type { BoardPoint, BoardPose, Point } from "../0-ground/geometry/point.ts"
import type { Ampere, Mm } from "../0-ground/units/brand.ts"
import type { PackageType } from "../1-stock/artefact.ts"
import type { BoardRequest } from "../2-lamp/artefact.ts"
import type { Board, ScrewHole } from "./artefact.ts"
import type { SketchPlan } from "./sketch-route.ts"

export interface ProblemPart {
  readonly ref: string
  readonly kind: string
  readonly value: string
  readonly package: PackageType
  /** Net of each land of the package, in its order; −1: open. As the circuit has it, before any exchange. */
  readonly nets: readonly number[]
  /** Circuit pin name of each land. */
  readonly pins: readonly string[]
  /** Stands here whatever happens (behind its hole, or pinned). */
  readonly at?: BoardPoint
  /** Turns it may take, degrees. */
  readonly rotations: readonly number[]
  readonly wirePad: boolean
}

export interface ProblemNet {
  readonly name: string
  readonly current: Ampere
  /** How dear its length is against others. */
  readonly weight: number
}

/** Slots of lands whose contents may be exchanged: controller pins, equal sections, LEDs of one string. */
export interface Freedom {
  readonly kind: "controller" | "sections" | "string"
  readonly name: string
  /** Lands of each slot as [part, land] pairs. */
  readonly slots: readonly (readonly (readonly [part: number, land: number])[])[]
  readonly slotNames: readonly string[]
  /** Nets of each content, taken in turn for the lands of a slot; content i starts in slot i. −1: nothing there. */
  readonly contents: readonly (readonly number[])[]
  readonly contentNames: readonly string[]
  /** Net of a slot that holds nothing but has several lands to join; −1 for none. */
  readonly emptyNet: readonly number[]
  /** [content][slot]: may it stand there? */
  readonly allowed: readonly (readonly boolean[])[]
}

export interface BoardProblem {
  readonly name: string
  readonly request: BoardRequest
  readonly outline: readonly BoardPoint[]
  readonly pose: BoardPose
  /** Screws, then discs over the slots; the first `ownScrews` are screws. */
  readonly screws: readonly ScrewHole[]
  readonly ownScrews: number
  /** Asked to be cut besides, carried through to the board. */
  readonly cuts: Pick<Board, "slots" | "clear" | "text">
  readonly parts: readonly ProblemPart[]
  readonly nets: readonly ProblemNet[]
  readonly freedoms: readonly Freedom[]
  /** Pairs of lands that want to be near whatever the nets say (a capacitor and the pin it serves). */
  readonly springs: readonly {
    readonly a: readonly [number, number]
    readonly b: readonly [number, number]
    readonly weight: number
  }[]
  /** Where the wires leave, when the description says so. */
  readonly wiresAt?: BoardPoint
  /** Least copper to outline. */
  readonly edge: Mm
  readonly seed: number
}

/** Where everything came to stand. */
export interface Placement {
  readonly parts: readonly { readonly x: Mm; readonly y: Mm; readonly rotation: number }[]
  /** [freedom][slot]: which content stands in it. */
  readonly contents: readonly (readonly number[])[]
  /** mm² that overlap or stand outside; 0 when legal. */
  readonly illegal: number
  readonly cost: number
  /** Connections for which the sketch found no way; absent before it was asked. */
  readonly open?: number
  /** The ways it found. */
  readonly sketch?: SketchPlan
}

/** Connections of one net with the lines they take, mm; lands by their place among the net's own. */
export type NetPlan = readonly {
  readonly from: number
  readonly to: number
  readonly line: readonly Point[]
}[]

/** Net of every land of every part under a choice of contents. */
export function landNets(problem: BoardProblem, contents: readonly (readonly number[])[]): number[][] {
  const nets = problem.parts.map((p) => [...p.nets])
  for (const [f, freedom] of problem.freedoms.entries())
    for (const [s, slot] of freedom.slots.entries()) {
      const content = freedom.contents[contents[f]![s]!]!
      for (const [k, [part, land]] of slot.entries()) {
        const net = content[k % content.length]!
        nets[part]![land] = net < 0 ? freedom.emptyNet[s]! : net
      }
    }
  return nets
}
