// The lamp as described: checked, defaults filled, units in SI and millimetres, names resolved, places kept.

import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import type { FacePoint } from "../0-ground/geometry/point.ts"
import type { IntensityTable } from "../0-ground/photometry/intensity-table.ts"
import type {
  Ampere,
  Celsius,
  Hertz,
  Mm,
  MmPerMinute,
  Ohm,
  Second,
  Volt,
  Watt,
} from "../0-ground/units/brand.ts"

export type WireRole = "steady" | "flashing" | "supply" | "earth"

export interface Wire {
  readonly name: string
  readonly role: WireRole
  /** Flashing wires only. */
  readonly flasher?: "thermal" | "load-sensing" | "electronic"
  /** Flashes per second. */
  readonly rate?: Hertz
  /** Share of a period with the wire live, 0…1. */
  readonly onShare?: number
  /** Wattage of the bulb this lamp stands in for. */
  readonly replaces?: Watt
  /** Load resistor outside the lamp, from this wire to earth. */
  readonly ballast?: Ohm
  /** A tell-tale bulb between this flashing wire and another. */
  readonly tellTale?: { readonly to: string; readonly bulb: Watt }
  readonly fuse?: Ampere
  /** mm² */
  readonly size?: number
  /** One way, in metres. */
  readonly length?: number
  /** Insulation colour in the harness, free text. */
  readonly colour?: string
  /** How long it must be live, or dead, before the controller believes it; absent: as `SEMANTICS.md` says. */
  readonly liveAfter?: Second
  readonly deadAfter?: Second
}

export interface Hole {
  /** The drawing's id or `hole-N` by order. */
  readonly id: string
  readonly x: Mm
  readonly y: Mm
  readonly diameter: Mm
}

export interface Face {
  readonly name: string
  readonly metal: string
  readonly thickness: Mm
  /** Nominal LED hole. */
  readonly hole: Mm
  /** What the LED holes are drilled to, where the description says it apart from the drawing; they carry it already. */
  readonly drill?: Mm
  /** True where the holes come from a drawing, so that `hole` only finds them. */
  readonly drawn?: boolean
  /** Outer edge, counter-clockwise, flattened to 0.02 mm. */
  readonly outline: readonly FacePoint[]
  /** Further closed paths inside the outline: windows and cut-outs. */
  readonly windows: readonly (readonly FacePoint[])[]
  /** x of the vehicle's centre line, where sweeps run outward from; absent when no group needs it. */
  readonly centreLine?: Mm
  readonly ledHoles: readonly Hole[]
  readonly screwHoles: readonly Hole[]
}

export type LightFunction =
  | "rear-position"
  | "stop"
  | "direction-indicator"
  | "front-position"
  | "marker"
  | "reversing"
  | "plate"

export interface LedPlace {
  /** Unique over the lamp, in the group's order: `tail-stop-1`. */
  readonly ref: string
  readonly hole: Hole
  /** Absent: along the lamp's axis. */
  readonly aim?: Aim
}

/** Where an LED looks, degrees, as seen by whoever faces the lamp. */
export interface Aim {
  readonly right: number
  readonly up: number
}

/** What the LEDs' packet promises, where it differs from the stock's. */
export interface Bin {
  /** Candela on the axis at the test current. */
  readonly light?: { readonly low: number; readonly high: number }
  /** Dominant wavelength, nm. */
  readonly wavelength?: { readonly low: number; readonly high: number }
  /** Full angle between the half-intensity directions, degrees. */
  readonly beam?: number
  /** White LEDs: correlated colour temperature, K. */
  readonly temperature?: { readonly low: number; readonly high: number }
}

/** A registration plate as it lies to the group's LEDs that light it, seen by whoever reads it. */
export interface PlatePlace {
  readonly size: { readonly w: Mm; readonly h: Mm }
  /** From the middle of the LEDs to the middle of the plate. */
  readonly below: Mm
  readonly right: Mm
  /** Of the plate's surface behind the LEDs, square to the plate. */
  readonly behind: Mm
  /** Degrees by which the lamp's face looks down from the plate's own direction. */
  readonly tilt: number
}

export interface Group {
  readonly name: string
  readonly face: string
  /** Key into the stock of LEDs. */
  readonly led: string
  readonly functions: readonly LightFunction[]
  /** `path`: along a drawn line or points; `listed`: hole by hole, by hand. */
  readonly order:
    | "outward"
    | "inward"
    | "left-to-right"
    | "right-to-left"
    | "top-to-bottom"
    | "bottom-to-top"
    | "drawn"
    | "path"
    | "listed"
  /** In sweep order. */
  readonly leds: readonly LedPlace[]
  /** Wanted current at full level and usual supply; absent: chosen by the drive room. */
  readonly current?: Ampere
  readonly bin?: Bin
  /** Measured shape of one LED's light and the file it was read from. */
  readonly beam?: { readonly file: string; readonly table: IntensityTable }
  /** Share of the light that a lens or window lets through; absent: all. */
  readonly lens?: number
  /** End of the vehicle it shines from, where the description says it. */
  readonly place?: "front" | "rear"
  /** Front indicators: from the lit surface to that of the nearest dipped beam. */
  readonly dippedBeam?: Mm
  readonly plate?: PlatePlace
}

export interface ProgrammeLine {
  /** Names of wires that must all be live. */
  readonly when: readonly string[]
  readonly light: string
  /** 0…1 of full current. */
  readonly level: number
  readonly sweep?: Sweep
  readonly rise: Second
  readonly fall: Second
  /** What a line with a flashing wire leaves to the group's other lines between its flashes; absent: dark. */
  readonly betweenFlashes?: "dark" | "other-lines"
}

/** Lights the LEDs one after the other in the group's order. */
export interface Sweep {
  /**
   * From the first LED to the last. Where a share of the on-time is asked: that share of the shortest on-time of the
   * line's wires as described, at most `atMost`; rise and starts are meant for it.
   */
  readonly within: Second
  /** Share of the flash's on-time, 0…1; absent: `within` is absolute. */
  readonly share?: number
  /** Never longer than this, where a share is asked. */
  readonly atMost?: Second
  /** LEDs that begin together; absent: 1. */
  readonly step?: number
  /** The first flash of an operation: a short sweep (absent), or everything together. */
  readonly firstFlash?: "shortened" | "together"
}

/** Times by which flashers are judged, where the description sets them; `SEMANTICS.md` sections 2 and 4 to 6. */
export interface FlashLimits {
  readonly shortestOn?: Second
  readonly steadyAfter?: Second
  readonly contactGap?: Second
  readonly newOperationAfter?: Second
  readonly unstableFor?: Second
  readonly fiveFlashesWithin?: Second
  readonly heldBackFor?: Second
}

export interface BoardRequest {
  readonly name: string
  /** Group names and the words controller, drivers, supply. */
  readonly carries: readonly string[]
  readonly behind?: string
  /** Own outline (plain rectangle or drawing), in face-like coordinates: x right, y up as seen from the component side. */
  readonly outline?: readonly FacePoint[]
  readonly screws: readonly Hole[]
  /** How far the board's edge stays inside the face's edge (boards behind a face without an outline of their own). */
  readonly inset: Mm
  /** Room between the board's component side and what is above it. */
  readonly height: Mm
  /** Room from the back of what is above it to the cover or metal behind it. */
  readonly depth?: Mm
  /** Notch or hole of the housing that its wires leave through. */
  readonly notch?: Mm
  /** Plastic screws or insulating washers; absent: bare metal heads. */
  readonly screwHeads?: "insulated"
  readonly roomFor: "everything" | "leds-only"
  /** Where the wires leave, in the same coordinates as the outline (or the face); absent: nearest edge. */
  readonly wiresAt?: FacePoint
  /** "none": no slots for a cable tie where the wires leave. */
  readonly relief?: "none"
  /** What else is cut, in the same coordinates. */
  readonly notches?: readonly { readonly at: FacePoint; readonly width: Mm; readonly depth: Mm }[]
  readonly slots?: readonly { readonly from: FacePoint; readonly to: FacePoint; readonly width: Mm }[]
  /** Closed rings. */
  readonly clear?: readonly (readonly FacePoint[])[]
  /** `at` is its middle; `turn` in degrees counter-clockwise as read on the copper side. */
  readonly text?: readonly {
    readonly says: string
    readonly at: FacePoint
    readonly height: Mm
    readonly turn: number
  }[]
}

export interface CopperClad {
  readonly base: "FR1" | "FR4"
  readonly thickness: Mm
  readonly copper: Mm
  readonly sheet: { readonly w: Mm; readonly h: Mm }
  /** Bow of the loose sheet as a share of its length. */
  readonly flatness?: number
}

export interface Cutter {
  readonly engraver: {
    readonly tip: Mm /** Full included angle, degrees. */
    readonly angle: number
    readonly depth: Mm
    readonly feed: MmPerMinute
    readonly plunge: MmPerMinute
    readonly spindle: number
    /** Full reading of the gauge at the tip. */
    readonly runOut?: Mm
    /** Length of the point that is worn off. */
    readonly wear?: Mm
  }
  /** End mills for clearing, widest first. */
  readonly mills?: readonly {
    readonly diameter: Mm
    readonly feed: MmPerMinute
    readonly plunge: MmPerMinute
  }[]
  readonly drills: readonly Mm[]
  readonly drillFeed: MmPerMinute
  readonly router: { readonly diameter: Mm; readonly feed: MmPerMinute; readonly stepDown: Mm }
  readonly machine: {
    readonly rapid: MmPerMinute
    readonly acceleration: number
    readonly flatness: Mm
    readonly clearHeight: Mm
    readonly greatestFeed?: MmPerMinute
    /** Revolutions a minute. */
    readonly spindle?: { readonly lowest: number; readonly highest: number }
    readonly resolution?: Mm
    readonly backlash?: Mm
  }
}

/** One lamp as it was built; nothing is designed from it. */
export interface BuiltRecord {
  readonly revision: string
  /** Year-month-day, as the builder wrote it. */
  readonly date: string
  readonly by?: string
  /** The filled-in bring-up.csv; `text` is absent when the file was not there. */
  readonly readings?: { readonly file: string; readonly text?: string }
  readonly photos: readonly string[]
  readonly changes: readonly string[]
}

/** What is kept free where several boards share a sheet. */
export interface SharedSheet {
  /** Along every edge of the sheet, for the clamps. */
  readonly clampingEdge: Mm
  /** Between the router's cuts round two boards. */
  readonly boardGap: Mm
}

/** How boards are cut; what is absent takes its default (see the schema). */
export interface Cutting {
  readonly separate: "between" | "around"
  /** Share by which a second pass overlaps the first. */
  readonly secondPass?: number
  /** Middle of a groove all round, this far inside the edge. */
  readonly edgeGroove?: Mm
  /** Lands in wide copper hang on spokes. */
  readonly thermalRelief?: "spokes"
  readonly direction: "climb" | "conventional"
  readonly leadIn: Mm
  readonly files: "one-per-tool" | "one"
  /** Boards are also cut together from as few sheets as it takes; absent: each by its own programs only. */
  readonly shared?: SharedSheet
  /** Greatest distance between probed places. */
  readonly probes: Mm
}

export interface Place {
  readonly line: number
  readonly column: number
}

export interface Lamp {
  readonly name: string
  readonly vehicle: {
    readonly kind: string
    readonly rules: "un-l" | "us-motorcycle" | "un-car"
    readonly supply: {
      readonly lowest: Volt
      readonly usual: Volt
      readonly highest: Volt
      readonly surge: "clamped" | "unclamped"
    }
    readonly ambient: { readonly lowest: Celsius; readonly highest: Celsius }
    readonly wires: readonly Wire[]
  }
  readonly faces: readonly Face[]
  readonly groups: readonly Group[]
  readonly programme: readonly ProgrammeLine[]
  readonly flashing?: FlashLimits
  readonly boards: readonly BoardRequest[]
  readonly copperClad: CopperClad
  readonly cutter: Cutter
  readonly cutting?: Cutting
  /** Choices held by hand, by path; checked as hard as our own. */
  readonly pins: Readonly<Record<string, string | number>>
  /** Newest last; absent where nothing was recorded. */
  readonly built?: readonly BuiltRecord[]
  /** Where each path (`groups.tail-stop.led`) stands in the text. */
  readonly places: Readonly<Record<string, Place>>
  /** Seeds every search; 1 unless the description says otherwise. */
  readonly seed: number
}

export interface ReadLamp {
  /** Absent when the description could not be read; `findings` then has at least one red. */
  readonly lamp: Lamp | undefined
  readonly findings: readonly Finding[]
  readonly figures: readonly Figure[]
}
