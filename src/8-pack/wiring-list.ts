// Wires to the vehicle and between boards, and the wire links to cut.

import { show } from "../0-ground/text/show.ts"
import type { PackInput } from "./artefact.ts"
import { csv } from "./csv.ts"

export interface WireLine {
  readonly name: string
  readonly from: string
  readonly to: string
  readonly net: string
  readonly colour: string
  /** mm², as text with its unit. */
  readonly size: string
  /** Insulated terminal for the vehicle's end; solder and sleeve between boards. */
  readonly crimp: string
  readonly length: string
  readonly fuse: string
  readonly current: string
}

/** Between boards: the smallest size that is still easy to strip and solder; common practice, no source. */
const boardWire = "0.25 mm²"

export function wireLines({ lamp, circuit, boards }: PackInput): WireLine[] {
  const currentOf = (net: string) => circuit.nets.find((n) => n.name === net)?.current ?? 0
  return boards.harness.map((h) => {
    const vehicle = "vehicle" in h.from ? h.from.vehicle : undefined
    const wire = lamp.vehicle.wires.find(
      (w) => w.name === vehicle || (w.role === "earth" && vehicle === circuit.earth),
    )
    return {
      name: h.name,
      from:
        "vehicle" in h.from ? `vehicle wire ${h.from.vehicle}` : `board ${h.from.board}, pad ${h.from.ref}`,
      to: `board ${h.to.board}, pad ${h.to.ref}`,
      net: h.net,
      colour: wire?.colour ?? h.colour ?? "",
      size: vehicle === undefined ? boardWire : wire?.size === undefined ? "" : `${wire.size} mm²`,
      crimp: vehicle === undefined ? "soldered" : crimpFor(wire?.size),
      length: wire?.length === undefined ? "measure in place" : `${wire.length} m`,
      fuse: wire?.fuse === undefined ? "" : show(wire.fuse, "A"),
      current: show(currentOf(h.net), "A"),
    }
  })
}

/**
 * Insulated crimp terminals by conductor size: red 0.5 to 1.5 mm², blue to 2.5 mm², yellow 4 to 6 mm²
 * (common practice, no source). Colour and range both stand there, so that neither is needed alone.
 */
export function crimpFor(size: number | undefined): string {
  if (size === undefined) return ""
  if (size < 0.5) return "solder and sleeve: too thin for insulated terminals"
  if (size <= 1.5) return "red, 0.5–1.5 mm²"
  if (size <= 2.5) return "blue, 1.5–2.5 mm²"
  if (size >= 4 && size <= 6) return "yellow, 4–6 mm²"
  return "a terminal made for this size"
}

export function wiringCsv(design: PackInput): string {
  return csv(
    ["wire", "from", "to", "net", "colour", "size", "crimp", "length", "fuse", "greatest current"],
    wireLines(design).map((w) => [
      w.name,
      w.from,
      w.to,
      w.net,
      w.colour,
      w.size,
      w.crimp,
      w.length,
      w.fuse,
      w.current,
    ]),
  )
}

export interface LinkLine {
  readonly board: string
  readonly ref: string
  readonly net: string
  /** Between the hole centres, mm. */
  readonly length: number
  /** Bare wire to cut: the span, through the board at both ends, and a little to bend. */
  readonly cut: number
}

/** Left over at each end to bend and clip; common practice, no source. */
const tail = 3

export function linkLines({ lamp, boards }: PackInput): LinkLine[] {
  return boards.boards.flatMap((b) =>
    b.links.map((l) => ({
      board: b.name,
      ref: l.ref,
      net: l.net,
      length: l.length,
      cut: Math.ceil(l.length + 2 * (lamp.copperClad.thickness + tail)),
    })),
  )
}

export function linksCsv(design: PackInput): string {
  return csv(
    ["board", "link", "net", "span mm", "cut to mm", "wire"],
    linkLines(design).map((l) => [
      l.board,
      l.ref,
      l.net,
      Math.round(l.length * 100) / 100,
      l.cut,
      "0.6 mm tinned copper",
    ]),
  )
}
