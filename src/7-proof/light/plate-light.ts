// Light that a group throws on a registration plate: from every LED's own place, aim and beam to every place of the
// plate, by inverse squares. Frame: x right and y up as seen by whoever reads the plate, z out of the plate.

import type { PlatePlace } from "../../2-lamp/artefact.ts"
import type { FunctionLight, LedShare } from "./function-light.ts"

const rad = Math.PI / 180
/** Test patches are 25 mm across, so the outermost middle lies half of that inside the edge. */
const inset = 12.5
const step = 10

export interface PlateSpot {
  /** From the plate's middle, mm. */
  readonly x: number
  readonly y: number
  readonly lux: number
}

export interface PlateLight {
  /** Rows of spots, lowest first. */
  readonly rows: readonly (readonly PlateSpot[])[]
  /** Greatest angle between the light of an LED and the plate's normal, degrees. */
  readonly steepest: number
}

export function plateLight(l: FunctionLight, lights: readonly LedShare[], plate: PlatePlace): PlateLight {
  const sources = sourcesOf(l, lights, plate)
  let steepest = 0
  const rows = along(plate.size.h).map((y) =>
    along(plate.size.w).map((x): PlateSpot => {
      let lux = 0
      for (const s of sources) {
        const [dx, dy, dz] = [plate.right + x - s.x, -plate.below + y - s.y, -plate.behind - s.z]
        const r = Math.hypot(dx, dy, dz)
        const cosine = -dz / r
        if (cosine <= 0) continue
        const towards = s.towards(dx / r, dy / r, dz / r)
        if (towards <= 0) continue
        lux += (towards * cosine) / (r / 1000) ** 2
        steepest = Math.max(steepest, Math.acos(cosine) / rad)
      }
      return { x, y, lux }
    }),
  )
  return { rows, steepest }
}

/** Greatest intensity to the rear: level and five degrees up and down, up to 45° aside. */
export function rearward(l: FunctionLight, lights: readonly LedShare[], plate: PlatePlace): number {
  const sources = sourcesOf(l, lights, plate)
  let most = 0
  for (let h = -45; h <= 45; h += 5)
    for (let v = -5; v <= 5; v += 5) {
      const [x, y, z] = [
        Math.sin(h * rad) * Math.cos(v * rad),
        Math.sin(v * rad),
        Math.cos(h * rad) * Math.cos(v * rad),
      ]
      most = Math.max(
        most,
        sources.reduce((sum, s) => sum + s.towards(x, y, z), 0),
      )
    }
  return most
}

function sourcesOf(l: FunctionLight, lights: readonly LedShare[], plate: PlatePlace) {
  const { leds } = l.group
  const n = Math.max(1, leds.length)
  const [mx, my] = [leds.reduce((s, p) => s + p.hole.x, 0) / n, leds.reduce((s, p) => s + p.hole.y, 0) / n]
  const [sin, cos] = [Math.sin(plate.tilt * rad), Math.cos(plate.tilt * rad)]
  const own = new Map(lights.map((x) => [x.ref, x.light]))
  const kind = new Map(l.kinds.flatMap((k) => k.refs.map((ref) => [ref, k] as const)))
  return leds.map(({ ref, hole }) => ({
    x: hole.x - mx,
    y: (hole.y - my) * cos,
    z: (hole.y - my) * sin,
    /** Candela in a direction of the plate's frame; nothing behind the face. */
    towards: (x: number, y: number, z: number) => {
      const up = y * cos + z * sin
      const ahead = z * cos - y * sin
      return ahead <= 0
        ? 0
        : (own.get(ref) ?? 0) *
            kind.get(ref)!.share(Math.atan2(x, ahead) / rad, Math.asin(Math.max(-1, Math.min(1, up))) / rad)
    },
  }))
}

function along(length: number): number[] {
  const span = Math.max(0, length - 2 * inset)
  const n = Math.max(1, Math.ceil(span / step))
  return span === 0 ? [0] : Array.from({ length: n + 1 }, (_, i) => -span / 2 + (span * i) / n)
}
