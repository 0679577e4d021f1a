// Boards as made: outline, placed parts, tracks, links. All in the board frame: seen from the copper side,
// millimetres, every coordinate ≥ 0; the frame's origin is also the cutter programs' origin.

import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import type { BoardPoint, BoardPose } from "../0-ground/geometry/point.ts"
import type { Mm } from "../0-ground/units/brand.ts"

export interface Land {
  readonly ref: string
  readonly pin: string
  /** Absent: the land is not connected to anything. */
  readonly net?: string
  readonly x: Mm
  readonly y: Mm
  readonly shape: "round" | "oval"
  /** Stadium w × h, turned by `rotation` degrees counter-clockwise as seen from the copper side. */
  readonly w: Mm
  readonly h: Mm
  readonly rotation: number
  readonly hole: Mm
}

export interface PlacedPart {
  readonly ref: string
  readonly kind: string
  readonly package: string
  readonly value: string
  readonly x: Mm
  readonly y: Mm
  /** Degrees counter-clockwise as seen from the copper side, after the package was mirrored. */
  readonly rotation: number
  /** Body outline as seen from the copper side. */
  readonly body: readonly BoardPoint[]
  readonly height: Mm
  readonly pins: Readonly<Record<string, string>>
}

export interface Track {
  readonly net: string
  readonly width: Mm
  readonly points: readonly BoardPoint[]
}

/** A wire link on the component side: straight, soldered into its own two lands. */
export interface Link {
  /** `W1`. Its lands stand in `lands` as pins 1 and 2 of this ref. */
  readonly ref: string
  readonly net: string
  readonly from: BoardPoint
  readonly to: BoardPoint
  readonly length: Mm
}

export interface ScrewHole {
  readonly x: Mm
  readonly y: Mm
  readonly diameter: Mm
  /** Copper and parts stay this far from the centre (screw head or spacer radius plus clearance). */
  readonly keepOut: Mm
}

/** Milled through the board between the middles of its two round ends. */
export interface Slot {
  readonly from: BoardPoint
  readonly to: BoardPoint
  readonly width: Mm
}

/** Engraved in single strokes, its middle at (x, y), turned counter-clockwise, degrees. */
export interface BoardText {
  readonly says: string
  readonly x: Mm
  readonly y: Mm
  readonly height: Mm
  readonly turn: number
}

export interface Board {
  readonly name: string
  /** Where the board lies behind its face; boards without a face have a pose of their own. */
  readonly pose: BoardPose
  readonly face?: string
  /** Counter-clockwise. */
  readonly outline: readonly BoardPoint[]
  readonly size: { readonly w: Mm; readonly h: Mm }
  readonly screws: readonly ScrewHole[]
  /** What the description asks to be cut besides; absent where it asks for nothing. */
  readonly slots?: readonly Slot[]
  /** Rings in which no copper but tracks and lands is to stay. */
  readonly clear?: readonly (readonly BoardPoint[])[]
  readonly text?: readonly BoardText[]
  readonly parts: readonly PlacedPart[]
  readonly lands: readonly Land[]
  readonly tracks: readonly Track[]
  readonly links: readonly Link[]
  /** Links that cannot be saved with the parts where they stand; 0 where none can be shown to be needed. */
  readonly linksLowerBound: number
  /** Why: a straight line that more nets must cross than there is room for tracks. */
  readonly linksNeeded?: {
    readonly nets: number
    readonly room: number
    readonly from: BoardPoint
    readonly to: BoardPoint
  }
  /** Nets that could not be completed; not empty is a red finding. */
  readonly unrouted: readonly string[]
  /** Narrowest gap kept between copper of different nets, and what was asked. */
  readonly clearance: Mm
  /** Where that gap is. */
  readonly clearanceAt?: BoardPoint
  readonly trackWidth: Mm
}

/** A wire between two boards, or from the vehicle to a board. */
export interface HarnessWire {
  readonly name: string
  readonly net: string
  /** As the description has it for a vehicle wire; between boards a code of IEC 60757, the same for all of one net. */
  readonly colour?: string
  readonly from: { readonly board: string; readonly ref: string } | { readonly vehicle: string }
  readonly to: { readonly board: string; readonly ref: string }
}

/** How the freedoms of the circuit were used. */
export interface PinChoice {
  /** Signal name → controller port pin. */
  readonly controller: Readonly<Record<string, string>>
  /** Part ref → for each section, which circuit section's nets it now carries. */
  readonly sections: Readonly<Record<string, readonly number[]>>
  /** String name → LED refs from the supply end to the earth end. */
  readonly strings: Readonly<Record<string, readonly string[]>>
}

export interface Boards {
  readonly boards: readonly Board[]
  readonly harness: readonly HarnessWire[]
  readonly pinChoice: PinChoice
  readonly figures: readonly Figure[]
  readonly findings: readonly Finding[]
}
