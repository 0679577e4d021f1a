// What the router is asked: a plain geometric problem in the board frame, nets as numbers.

import type { Point } from "../0-ground/geometry/point.ts"
import type { Mm } from "../0-ground/units/brand.ts"

/** A land as a stadium: the segment a–b swept by a disc of radius r. A disc has a = b. */
export interface Stadium {
  readonly ax: Mm
  readonly ay: Mm
  readonly bx: Mm
  readonly by: Mm
  readonly r: Mm
}

export interface RouteLand extends Stadium {
  /** −1: connected to nothing, in everybody's way. */
  readonly net: number
  readonly x: Mm
  readonly y: Mm
  readonly hole: Mm
}

/** A land whose track may start anywhere on a set of grid points; for parts with many equal places to start. */
export interface RouteTerminal {
  readonly net: number
  readonly points: readonly Point[]
}

export interface RouteTask {
  readonly outline: readonly Point[]
  readonly lands: readonly RouteLand[]
  /** Lands that are not copper of their own but allowed starting points. */
  readonly terminals?: readonly RouteTerminal[]
  /** Pairs of lands that a wire link joins. */
  readonly joined?: readonly (readonly [number, number])[]
  /** Where no copper may be: centre and radius. */
  readonly keepOuts: readonly { readonly x: Mm; readonly y: Mm; readonly r: Mm }[]
  /** Where no wire link may pass or land: stadiums and polygons on the component side. */
  readonly linkBarriers: readonly Stadium[]
  readonly linkBarrierAreas: readonly (readonly Point[])[]
  /** Half the least track width of each net. */
  readonly halfWidth: readonly Mm[]
  readonly clearance: Mm
  /** From any copper to the outline. */
  readonly edge: Mm
  readonly linkLand: { readonly radius: Mm; readonly hole: Mm }
}

/** Distance between grid points: a tenth of the usual pin pitch, so that the middle of a pin gap is on the grid. */
export const gridStep = 0.254

/** Drawn tracks keep this much more than the clearance, and sketches count with it, mm. */
export const drawnApart = 0.006

/**
 * Least and greatest length of a wire link, mm: pitch 2.54 mm is bendable; beyond 40 mm it sags and shakes (common
 * practice). Bent links are sold in steps of the pitch.
 */
export const linkLength = { least: 2.54, greatest: 40, step: 2.54 }
/** Room kept between two bare wire links, centre to centre, mm (0.6 mm wire; common practice). */
export const linkSpacing = 1.5
/** From a bare link to the rim of another part's hole, mm: its lead must not touch where it comes out. */
export const linkToHole = 0.8
/** From a bare link to the outline, mm. */
export const linkToEdge = 1

export interface NetRoute {
  /** Copper polylines in millimetres, land centres included. */
  readonly paths: readonly (readonly Point[])[]
  readonly links: readonly { readonly from: Point; readonly to: Point }[]
  readonly complete: boolean
}

export interface Routed {
  readonly nets: readonly NetRoute[]
  readonly unrouted: readonly number[]
  readonly links: number
  /** Copper length, mm. */
  readonly length: Mm
  /** Grid points looked at; the measure of work. */
  readonly effort: number
}
