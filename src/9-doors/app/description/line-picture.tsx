// What a line of the description is about, drawn to scale from the lamp as read: a wire in its colours with its fuse,
// a face, the engraver in its groove, drills side by side, the board's layers. The fields beside it carry the numbers.

import type { Lamp } from "../../../2-lamp/artefact.ts"
import { grooveWidth } from "../groove-width.ts"
import { usePicking } from "../pick/picking.ts"
import { usePage } from "../store.ts"

export function LinePicture({ path }: { readonly path: string }) {
  const lamp = usePage((s) => s.lamp)
  const made = usePage((s) => s.design?.boards.boards)
  const faces = usePicking((s) => s.faces)
  const [room = "", name = "", third = ""] = path.split(".")
  if (room === "faces") {
    const face = faces.find((f) => f.name === name)
    return face ? <Face {...face} /> : null
  }
  if (!lamp) return null
  if (room === "boards") {
    const own = lamp.boards.find((b) => b.name === name)?.outline
    const outline = own ?? made?.find((b) => b.name === name)?.outline
    return outline ? <Board outline={outline} /> : null
  }
  if (path === "copper-clad") return <Layers {...lamp.copperClad} />
  if (path === "cutter.engraver") return <Engraver {...lamp.cutter} copper={lamp.copperClad.copper} />
  if (path === "cutter.drills") return <Drills sizes={lamp.cutter.drills} flat={false} />
  if (path === "cutter.router") return <Drills sizes={[lamp.cutter.router.diameter]} flat />
  if (path === "cutter.mills") return <Drills sizes={lamp.cutter.mills?.map((m) => m.diameter) ?? []} flat />
  const wire = name === "wires" ? lamp.vehicle.wires.find((w) => w.name === third) : undefined
  return wire ? <Wire {...wire} /> : null
}

interface Point {
  readonly x: number
  readonly y: number
}

const ring = (points: readonly Point[]) => `M${points.map((p) => `${p.x} ${-p.y}`).join("L")}Z`

function boxOf(points: readonly Point[], around: number) {
  const [xs, ys] = [points.map((p) => p.x), points.map((p) => -p.y)]
  const [x, y] = [Math.min(...xs), Math.min(...ys)]
  const [w, h] = [Math.max(...xs) - x, Math.max(...ys) - y]
  const pad = around * Math.max(w, h)
  return `${x - pad} ${y - pad} ${w + 2 * pad} ${h + 2 * pad}`
}

function Face({ outline, windows, ledHoles, screwHoles }: Lamp["faces"][number]) {
  return (
    <svg className="line-picture" viewBox={boxOf(outline, 0.02)} aria-hidden="true">
      <path className="picture-metal" fillRule="evenodd" d={[outline, ...windows].map(ring).join("")} />
      {[...ledHoles, ...screwHoles].map((h) => (
        <circle key={`${h.x} ${h.y}`} className="picture-hole" cx={h.x} cy={-h.y} r={h.diameter / 2} />
      ))}
    </svg>
  )
}

function Board({ outline }: { readonly outline: readonly Point[] }) {
  if (outline.length < 3) return null
  return (
    <svg className="line-picture" viewBox={boxOf(outline, 0.02)} aria-hidden="true">
      <path className="picture-copper" d={ring(outline)} />
    </svg>
  )
}

/** The engraver's tip at its depth in the copper, and the groove it leaves. */
function Engraver({ engraver, copper }: Lamp["cutter"] & { readonly copper: number }) {
  const wide = grooveWidth(engraver)
  const { tip, depth, angle } = engraver
  const half = Math.max(4 * wide, 1) / 2
  // The tool stands free of the copper by as much as it cuts, so that both are seen.
  const up = half * 0.55
  const shank = tip / 2 + up * Math.tan((angle * Math.PI) / 360)
  const base = Math.max(2.2 * depth, copper + depth)
  const under = copper < depth ? copper : depth
  const at = (y: number) => tip / 2 + (depth - y) * Math.tan((angle * Math.PI) / 360)
  return (
    <svg className="line-picture" viewBox={`${-half} ${-up} ${2 * half} ${up + base}`} aria-hidden="true">
      <rect className="picture-base" x={-half} width={2 * half} height={base} />
      <path className="picture-copper" d={`M${-half} 0H${-at(0)}L${-at(under)} ${under}H${-half}Z`} />
      <path className="picture-copper" d={`M${half} 0H${at(0)}L${at(under)} ${under}H${half}Z`} />
      {under < copper && (
        <rect className="picture-copper" x={-half} y={under} width={2 * half} height={copper - under} />
      )}
      <path className="picture-groove" d={`M${-at(0)} 0L${-tip / 2} ${depth}H${tip / 2}L${at(0)} 0Z`} />
      <path
        className="picture-tool"
        d={`M${-tip / 2} ${depth}L${-shank} ${depth - up}V${-up}H${shank}V${depth - up}L${tip / 2} ${depth}Z`}
      />
    </svg>
  )
}

/** Side by side as wide as they are to each other; `flat`: end mills. */
function Drills({ sizes, flat }: { readonly sizes: readonly number[]; readonly flat: boolean }) {
  if (sizes.length === 0) return null
  const gap = 1.4
  const long = 9
  let x = 0
  const places = sizes.map((d) => {
    const here = x
    x += Math.max(d, 0.6) + gap
    return { d, x: here }
  })
  return (
    <svg
      className="line-picture"
      viewBox={`-0.5 -0.5 ${Math.max(x - gap + 1, 12)} ${long + 1.5}`}
      preserveAspectRatio="xMinYMid meet"
      aria-hidden="true"
    >
      {places.map(({ d, x }) => (
        <path
          key={`${x}`}
          className="picture-tool"
          d={`M${x} 0H${x + d}V${long}${flat ? "" : `L${x + d / 2} ${long + d * 0.3}`}L${x} ${long}Z`}
        />
      ))}
    </svg>
  )
}

/** A strip of the sheet from its edge; the copper thicker than it is, or nobody would see it. */
function Layers({ thickness }: Lamp["copperClad"]) {
  return (
    <svg
      className="line-picture"
      viewBox={`0 -0.4 24 ${thickness + 0.6}`}
      preserveAspectRatio="none"
      aria-hidden="true"
    >
      <rect className="picture-base" width={24} height={thickness} />
      <rect className="picture-copper" y={-0.25} width={24} height={0.25} />
    </svg>
  )
}

/** Insulation in its colours, bare copper at the end as thick as the conductor, its fuse before it. */
function Wire({ colour, size, fuse }: Lamp["vehicle"]["wires"][number]) {
  const [body = "", stripe] = (colour ?? "")
    .split(/[/-]| with /)
    .map((c) => insulation[c.trim().toLowerCase()])
  const bare = 2 * Math.sqrt((size ?? 0.75) / Math.PI)
  const thick = bare + 0.8
  return (
    <svg className="line-picture line-wire" viewBox="0 -3 60 6" aria-hidden="true">
      <rect className="picture-copper" x={48} y={-bare / 2} width={8} height={bare} />
      <rect
        className="picture-insulation"
        y={-thick / 2}
        width={50}
        height={thick}
        rx={0.4}
        {...(body === "" ? {} : { style: { fill: body } })}
      />
      {stripe && <rect y={-thick / 8} width={50} height={thick / 4} style={{ fill: stripe }} />}
      {fuse !== undefined && (
        <g>
          <rect className="picture-fuse" x={9} y={-1.7} width={9} height={3.4} rx={0.6} />
          <path className="picture-fuse-wire" d="M9 0Q11.3 -1.2 13.5 0T18 0" />
        </g>
      )}
    </svg>
  )
}

/** Colours of insulation by their usual names. */
const insulation: Readonly<Record<string, string>> = {
  black: "#26282a",
  white: "#efeee8",
  grey: "#8b9092",
  gray: "#8b9092",
  red: "#b3261c",
  green: "#2f7a44",
  blue: "#2b5fa5",
  brown: "#6b4226",
  yellow: "#e2bd2a",
  orange: "#d9771f",
  violet: "#6b4a94",
  purple: "#6b4a94",
  pink: "#d98aa4",
}
