// What a part of the stock looks like, in millimetres: bodies, leads and pitch from its package, bands from its value.
// Every picture has the same scale inside, so that parts beside each other compare. What a package does not say
// (how thick a lead is, where a body of leads ends) is common practice, no source.

import type { PackageType, PartType } from "../../../1-stock/artefact.ts"
import { colourBands } from "../../../1-stock/colour-bands.ts"
import { packageType } from "../../../1-stock/packages.ts"
import { parts } from "../../../1-stock/parts.ts"

export interface Shape {
  /** An SVG path, y down. */
  readonly d: string
  readonly as: "lead" | "metal" | "chip" | "film" | "carbon" | "glass" | "mark" | "hole" | "band"
  /** Of a band: its colour by name. */
  readonly colour?: string
}

export interface Outline {
  readonly box: { readonly x: number; readonly y: number; readonly w: number; readonly h: number }
  readonly shapes: readonly Shape[]
}

/** Undefined for what is not in the stock. `ohm`: of a resistor, where it is known. */
export function outlineOf(stock: string, ohm?: number): Outline | undefined {
  const part = parts.find(stock)
  if (!part) return undefined
  const kind = packageType(part.package)
  if (kind.name.startsWith("dip-")) return dualInLine(kind)
  if (kind.name.startsWith("to-92")) return signalTransistor(kind)
  if (kind.name.startsWith("to-220")) return tabbed(kind)
  if (kind.lands.length === 2 && kind.body.shape === "rectangle" && apart(kind) > kind.body.w)
    return axial(part, kind, ohm)
  return standing(kind)
}

const rect = (x: number, y: number, w: number, h: number) => `M${n(x)} ${n(y)}h${n(w)}v${n(h)}h${n(-w)}Z`
const disc = (x: number, y: number, r: number) =>
  `M${n(x - r)} ${n(y)}a${n(r)} ${n(r)} 0 1 0 ${n(2 * r)} 0a${n(r)} ${n(r)} 0 1 0 ${n(-2 * r)} 0Z`
const n = (v: number) => String(Math.round(v * 1000) / 1000)
const apart = ({ lands: [a, b] }: PackageType) => Math.abs((b?.x ?? 0) - (a?.x ?? 0))

/** Leads are drawn on beyond where they bend down, mm. */
const beyond = 1.6

/** Resistors and diodes, lying, from the side. */
function axial({ model }: PartType, kind: PackageType, ohm: number | undefined): Outline {
  const { w, h } = kind.body
  const reach = apart(kind) / 2 + beyond
  const lead: Shape = { d: rect(-reach, -0.3, 2 * reach, 0.6), as: "lead" }
  const box = { x: -reach, y: -h / 2, w: 2 * reach, h }
  if (model.kind !== "resistor") {
    const glass = kind.name === "do-35"
    return {
      box,
      shapes: [
        lead,
        { d: rect(-w / 2, -h / 2, w, h), as: glass ? "glass" : "chip" },
        // The ring is at the cathode.
        { d: rect(w * 0.28, -h / 2, w * 0.09, h), as: "mark" },
      ],
    }
  }
  const waist = 0.84 * h
  const cap = 0.2 * w
  const body = `M${n(-w / 2)} ${n(-h / 2)}h${n(cap)}L${n(-w / 2 + cap + 0.3)} ${n(-waist / 2)}h${n(w - 2 * cap - 0.6)}L${n(w / 2 - cap)} ${n(-h / 2)}h${n(cap)}v${n(h)}h${n(-cap)}L${n(w / 2 - cap - 0.3)} ${n(waist / 2)}h${n(0.6 + 2 * cap - w)}L${n(cap - w / 2)} ${n(h / 2)}h${n(-cap)}Z`
  const bands = ohm === undefined ? [] : (colourBands(ohm, model.tolerance) ?? [])
  // The first stands on one cap, the last apart from the others on the other.
  const places = bands.length === 5 ? [0.1, 0.29, 0.43, 0.57, 0.9] : [0.1, 0.31, 0.48, 0.9]
  return {
    box,
    shapes: [
      lead,
      { d: body, as: model.tolerance > 0.02 ? "carbon" : "film" },
      ...bands.map((colour, i): Shape => {
        const at = places[i] ?? 0.9
        const high = at < 0.2 || at > 0.8 ? h : waist
        return { d: rect((at - 0.5) * w - 0.035 * w, -high / 2, 0.07 * w, high), as: "band", colour }
      }),
    ],
  }
}

/** A chip from above, its notch to the left: pin 1 is then the lower one beside it. */
function dualInLine({ lands, body }: PackageType): Outline {
  const [long, wide] = [body.h, body.w]
  const pin1 = lands.find((l) => l.pin === "1")
  const reach = Math.max(...lands.map((l) => Math.abs(l.x))) + 0.2
  const shoulder = 1.3
  return {
    box: { x: -long / 2, y: -reach, w: long, h: 2 * reach },
    shapes: [
      ...lands.map(({ x, y }): Shape => {
        // From the component side, y up, to a chip that lies on its side.
        const up = x > 0
        return {
          d: rect(-y - shoulder / 2, up ? -reach : wide / 2, shoulder, reach - wide / 2),
          as: "lead",
        }
      }),
      { d: rect(-long / 2, -wide / 2, long, wide), as: "chip" },
      { d: `M${n(-long / 2)} -0.9a0.9 0.9 0 0 1 0 1.8Z`, as: "mark" },
      ...(pin1 ? [{ d: disc(-pin1.y + 0.2, wide / 2 - 1, 0.45), as: "mark" } as const] : []),
    ],
  }
}

/** A small transistor as it stands, its flat towards the viewer. */
function signalTransistor({ lands, body }: PackageType): Outline {
  const w = body.w
  const top = -body.height
  const bottom = top + 0.96 * w
  const xs = lands.map((l) => l.x)
  return {
    box: { x: Math.min(...xs) - 0.4, y: top, w: Math.max(...xs) - Math.min(...xs) + 0.8, h: beyond - top },
    shapes: [
      // The leads leave the body at half the pitch they are spread to.
      ...xs.map(
        (x): Shape => ({
          d: `M${n(x / 2 - 0.23)} ${n(bottom)}L${n(x - 0.23)} -1V${beyond}h0.46V-1L${n(x / 2 + 0.23)} ${n(bottom)}Z`,
          as: "lead",
        }),
      ),
      {
        d: `M${n(-w / 2)} ${n(bottom)}V${n(top + 0.5)}q0 -0.5 0.5 -0.5H${n(w / 2 - 0.5)}q0.5 0 0.5 0.5V${n(bottom)}Z`,
        as: "chip",
      },
    ],
  }
}

/** A regulator as it stands: tab with its hole, face, three leads. The flat one is the same part bent over. */
function tabbed({ lands, body }: PackageType): Outline {
  const w = body.w
  // TO-220: 19.5 mm standing, of which 4 are leads, 9.2 the face; hole of 3.7 mm in the tab's middle (from memory).
  const top = -19.5
  const [face, bottom] = [-13.2, -4]
  return {
    box: { x: -w / 2, y: top, w, h: beyond + 1 - top },
    shapes: [
      ...lands.map(
        ({ x }): Shape => ({
          d: `M${n(x - 0.65)} ${bottom}h1.3v1.6l-0.25 0.4V${beyond + 1}h-0.8V${bottom + 2}l-0.25 -0.4Z`,
          as: "lead",
        }),
      ),
      { d: rect(-w / 2, top, w, face - top + 0.2), as: "metal" },
      { d: disc(0, (top + face) / 2, 1.85), as: "hole" },
      { d: rect(-w / 2 + 0.1, face, w - 0.2, bottom - face), as: "chip" },
    ],
  }
}

/** Whatever stands on its leads, from the side: relays, capacitors, networks. */
function standing({ lands, body }: PackageType): Outline {
  const { w, height } = body
  const xs = [...new Set(lands.map((l) => l.x))]
  const thick = w > 15 ? 0.9 : 0.5
  return {
    box: { x: -w / 2, y: -height, w, h: height + 3 },
    shapes: [
      ...xs.map((x): Shape => ({ d: rect(x - thick / 2, -0.1, thick, 3.1), as: "lead" })),
      { d: rect(-w / 2, -height, w, height), as: "chip" },
    ],
  }
}
