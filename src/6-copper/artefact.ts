// Grooves that separate the nets, and the cutter programs that make them.

import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import type { BoardPoint } from "../0-ground/geometry/point.ts"
import type { QuarterTurn } from "../0-ground/geometry/quarter-turn.ts"
import type { Mm, Second } from "../0-ground/units/brand.ts"

export interface Groove {
  /** Centre line of the cut; first and last point equal when it closes. */
  readonly points: readonly BoardPoint[]
}

export interface BoardCopper {
  readonly board: string
  /** Width removed at the copper surface. */
  readonly grooveWidth: Mm
  readonly depth: Mm
  readonly grooves: readonly Groove[]
  /** What stays, for drawing: one polygon ring per piece, with its net where it has one. */
  readonly islands: readonly {
    readonly net?: string
    readonly ring: readonly BoardPoint[]
    /** Where other pieces lie within this one. */
    readonly holes?: readonly (readonly BoardPoint[])[]
  }[]
}

export interface Copper {
  readonly boards: readonly BoardCopper[]
}

export interface CutterProgram {
  readonly board: string
  /** `crescent-1-engrave.ngc`. */
  readonly file: string
  /** `clear`: an end mill takes the copper off a chosen area. */
  readonly purpose: "engrave" | "clear" | "drill" | "outline"
  /** For the header and the build sheet: `engraver 0.2 mm 30°`, `drill 0.8 mm`. */
  readonly tool: string
  readonly toolDiameter: Mm
  /** Whole program text, LF line ends, RS-274 words only. */
  readonly text: string
  readonly cutLength: Mm
  readonly travel: Mm
  readonly plunges: number
  readonly time: Second
}

/** A program beside those that make the boards. */
export interface ExtraProgram {
  /** `coupon`: test grooves on scrap; `probe`: measures the sheet; `one-file`: a board's programs with tool stops. */
  readonly kind: "coupon" | "probe" | "one-file"
  /** A board's name or a shared sheet's; absent for what serves all boards. */
  readonly board?: string
  readonly file: string
  readonly text: string
  /** Seconds, the changing of tools left out. */
  readonly time: Second
  /** Coupon: the grooves in the order they are cut, with what a loupe should show, mm. */
  readonly grooves?: readonly {
    readonly depth: Mm
    readonly width: Mm
    /** Where the surface lies this much lower or higher: the described flatness. */
    readonly narrow: Mm
    readonly wide: Mm
  }[]
  /** Probe: places measured. */
  readonly places?: number
}

/** Where a board lies on a sheet: its coordinates turned counter-clockwise about their origin, then moved by x and y. */
export interface BoardPlace {
  readonly board: string
  readonly turn: QuarterTurn
  readonly x: Mm
  readonly y: Mm
}

/** Several boards cut in one clamping, one run for each tool. */
export interface SheetPlan {
  /** `sheet-1`; no board is called that. */
  readonly name: string
  /** Along X and along Y. */
  readonly size: { readonly w: Mm; readonly h: Mm }
  /** In the order in which the boards are cut out. */
  readonly places: readonly BoardPlace[]
  /** Their `board` is the sheet's name. */
  readonly programs: readonly CutterProgram[]
}

export interface CutPlan {
  readonly programs: readonly CutterProgram[]
  /** Where the description asks for shared sheets. */
  readonly sheets?: readonly SheetPlan[]
  readonly extras?: readonly ExtraProgram[]
  readonly figures: readonly Figure[]
  readonly findings: readonly Finding[]
}
