// One board's cut with everything about it that figures and findings read.

import type { Point } from "../0-ground/geometry/point.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { Board, Slot } from "../5-board/artefact.ts"
import type { EdgeGroove } from "./around-pieces.ts"
import type { BoardCopper, CutterProgram } from "./artefact.ts"
import type { PlacedText } from "./board-text.ts"
import type { ClearedAreas } from "./clear-areas.ts"
import type { CopperAreas } from "./copper-areas.ts"
import type { CopperShapes } from "./copper-shapes.ts"
import type { CopperWidth } from "./copper-width.ts"
import type { DrillPlan } from "./drill-plan.ts"
import type { Separation } from "./groove-separation.ts"
import type { InsideCorner, OutlinePath } from "./outline-path.ts"
import type { SecondPasses } from "./second-pass.ts"
import type { RelievedLand } from "./thermal-relief.ts"

export interface BoardCut {
  readonly board: Board
  readonly copper: BoardCopper
  readonly programs: readonly CutterProgram[]
  readonly shapes: CopperShapes
  readonly nearestCopper: CopperAreas["nearestCopper"]
  readonly separation: Separation
  /** Undefined on a board without tracks. */
  readonly copperWidth: CopperWidth | undefined
  /** Length of grooves that would go once round every piece. */
  readonly outlined: Mm
  readonly holes: DrillPlan
  readonly path: OutlinePath | undefined
  readonly corner: InsideCorner
  /** Greatest coordinates of the router's middle. */
  readonly way: { readonly x: Mm; readonly y: Mm }
  /** Greatest coordinates the router's edge touches. */
  readonly reach: { readonly x: Mm; readonly y: Mm }
  readonly sheetTurned: boolean
  readonly travel: Mm
  readonly bound: Mm
  /** The strokes that part the nets, before anything was added beside them. */
  readonly first: readonly (readonly Point[])[]
  readonly second: SecondPasses | undefined
  readonly edge: EdgeGroove | undefined
  /** Lands on spokes; undefined where the description asks for none. */
  readonly relieved: readonly RelievedLand[] | undefined
  readonly texts: readonly PlacedText[]
  readonly cleared: ClearedAreas | undefined
  /** Slots the router does not fit into. */
  readonly narrowSlots: readonly Slot[]
}
