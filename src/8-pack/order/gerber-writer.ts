// The Gerber layer format as its public specification has it: extended commands between % signs, millimetres with six
// decimals, apertures from D10 on, regions as closed contours, clear areas by polarity, X2 attributes. LF line ends.

import type { Point } from "../../0-ground/geometry/point.ts"

export type Aperture =
  | { readonly kind: "circle"; readonly diameter: number }
  | { readonly kind: "obround"; readonly w: number; readonly h: number }

export interface GerberAsk {
  /** `Copper,L1,Top`, `Soldermask,Top`, `Profile,NP`. */
  readonly fileFunction: string
  readonly polarity?: "Positive" | "Negative"
  readonly comments: readonly string[]
}

/** What an aperture is for (X2), and the net and pin its flashes belong to. */
export interface Attributes {
  readonly use?: "ComponentPad" | "Conductor" | "Profile" | "WasherPad"
  readonly net?: string
  readonly pin?: { readonly ref: string; readonly pin: string }
}

export function gerberWriter(ask: GerberAsk) {
  const apertures = new Map<string, number>()
  const definitions: string[] = []
  const body: string[] = []
  let current = 0
  let attributes = ""

  const number = (aperture: Aperture, use: string): number => {
    const shape =
      aperture.kind === "circle"
        ? `C,${size(aperture.diameter)}`
        : `O,${size(aperture.w)}X${size(aperture.h)}`
    const key = `${use} ${shape}`
    const known = apertures.get(key)
    if (known !== undefined) return known
    const n = 10 + apertures.size
    apertures.set(key, n)
    definitions.push(
      ...(use === "" ? [] : [`%TA.AperFunction,${use}*%`]),
      `%ADD${n}${shape}*%`,
      ...(use === "" ? [] : ["%TD*%"]),
    )
    return n
  }
  const select = (aperture: Aperture, more: Attributes) => {
    const n = number(aperture, more.use ?? "")
    belong(more)
    if (n !== current) body.push(`D${n}*`)
    current = n
  }
  const belong = ({ net, pin }: Attributes) => {
    const wanted = [
      ...(pin ? [`%TO.P,${field(pin.ref)},${field(pin.pin)}*%`] : []),
      ...(net === undefined ? [] : [`%TO.N,${field(net)}*%`]),
    ].join("\n")
    if (wanted === attributes) return
    if (attributes !== "") body.push("%TD*%")
    if (wanted !== "") body.push(wanted)
    attributes = wanted
  }

  return {
    flash(at: Point, aperture: Aperture, more: Attributes = {}) {
      select(aperture, more)
      body.push(`${place(at)}D03*`)
    },
    /** A stroke with round ends. */
    stroke(points: readonly Point[], width: number, more: Attributes = {}) {
      select({ kind: "circle", diameter: width }, more)
      points.forEach((p, k) => {
        body.push(`${place(p)}${k === 0 ? "D02" : "D01"}*`)
      })
    },
    /** A closed contour without a repeated last point; fewer than three points are nothing. */
    region(ring: readonly Point[], more: Attributes = {}) {
      const points = distinct(ring)
      if (points.length < 3) return
      belong(more)
      body.push("G36*", `${points[0]}D02*`)
      for (const p of points.slice(1)) body.push(`${p}D01*`)
      body.push(`${points[0]}D01*`, "G37*")
    },
    /** What follows adds copper, or takes away what is there. */
    polarity(dark: boolean) {
      body.push(dark ? "%LPD*%" : "%LPC*%")
    },
    finish(): string {
      if (attributes !== "") body.push("%TD*%")
      return `${[
        ...ask.comments.map((c) => `G04 ${comment(c)}*`),
        `%TF.GenerationSoftware,Lampwright,Lampwright*%`,
        `%TF.FileFunction,${ask.fileFunction}*%`,
        `%TF.FilePolarity,${ask.polarity ?? "Positive"}*%`,
        "%TF.Part,Single*%",
        "%FSLAX46Y46*%",
        "%MOMM*%",
        ...definitions,
        "%LPD*%",
        "G01*",
        ...body,
        "M02*",
      ].join("\n")}\n`
    },
  }
}

export type GerberWriter = ReturnType<typeof gerberWriter>

const nanometres = (v: number): number => Math.round(v * 1e6) || 0
const place = (p: Point): string => `X${nanometres(p.x)}Y${nanometres(p.y)}`
const size = (v: number): string => v.toFixed(6)
/** Attribute values may not hold the characters that end them. */
const field = (text: string): string => text.replace(/[*%,\\\r\n]/g, "_")
const comment = (text: string): string => text.replace(/[*%\r\n]/g, " ").replace(/[^\x20-\x7e]/g, "?")

/** Places as written, neighbours that fall together once. */
function distinct(ring: readonly Point[]): string[] {
  const all = ring.map(place)
  return all.filter((p, k) => p !== all[(k + all.length - 1) % all.length])
}
