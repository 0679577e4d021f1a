// One string as a drawing: feeds, resistors, LEDs and where it ends, in the trade's own symbols.

import type { Circuit, LedString } from "../../../3-drive/artefact.ts"
import { lightColour } from "../light.ts"
import { shortRef } from "../words.ts"

interface Props {
  readonly string: LedString
  readonly circuit: Circuit
  readonly stock: string
  /** Current as a share of what the LED takes. */
  readonly share: number
  /** References of what is looked at. */
  readonly marked: readonly string[]
}

interface Resistor {
  readonly ref: string
  readonly value: string
  /** The net at its far end. */
  readonly net: string
}

const pitch = 46
const rise = 25

export function StringDrawing({ string, circuit, stock, share, marked }: Props) {
  const first = string.nets[0] ?? ""
  const last = string.nets[string.nets.length - 1] ?? ""
  const resistors = string.resistors.flatMap((ref) => {
    const part = circuit.parts.find((p) => p.ref === ref)
    if (!part) return []
    const nets = Object.values(part.pins)
    const before = nets.includes(first)
    const net = nets.find((n) => n !== (before ? first : last)) ?? ""
    return [{ ref, value: part.value, net, before }]
  })
  const feeds = resistors.filter((r) => r.before)
  const drains = resistors.filter((r) => !r.before)
  const rows = Math.max(1, feeds.length, drains.length)
  const height = rows * rise + 12
  const middle = (rows * rise) / 2 + 5
  const headEnd = 206
  const startLeds = feeds.length > 0 ? headEnd : 118
  const endLeds = startLeds + string.leds.length * pitch
  const endName = string.channel === undefined ? last : `${last}, output ${string.channel}`
  const tail = drains.length > 0 ? 206 : 24 + endName.length * 5.6
  const width = endLeds + tail
  return (
    <svg
      className="string-drawing"
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={inWords(string, feeds, drains, first, last)}
    >
      {feeds.length === 0 && <Plain name={first} x={0} to={startLeds} y={middle} anchor="start" />}
      {feeds.map((r, i) => (
        <Branch
          key={r.ref}
          resistor={r}
          y={lane(i, feeds.length, middle)}
          join={middle}
          side="before"
          marked={marked.includes(r.ref)}
          x={headEnd}
        />
      ))}
      {string.leds.map((ref, i) => (
        <Led
          key={ref}
          ref_={ref}
          x={startLeds + i * pitch}
          y={middle}
          colour={lightColour(stock)}
          share={share}
          marked={marked.includes(ref)}
        />
      ))}
      {drains.length === 0 && <Plain name={endName} x={endLeds} to={width} y={middle} anchor="end" />}
      {drains.map((r, i) => (
        <Branch
          key={r.ref}
          resistor={r}
          y={lane(i, drains.length, middle)}
          join={middle}
          side="after"
          marked={marked.includes(r.ref)}
          x={endLeds}
        />
      ))}
    </svg>
  )
}

const lane = (i: number, n: number, middle: number) => middle + (i - (n - 1) / 2) * rise

function Plain({
  name,
  x,
  to,
  y,
  anchor,
}: {
  readonly name: string
  readonly x: number
  readonly to: number
  readonly y: number
  readonly anchor: "start" | "end"
}) {
  const text = anchor === "start" ? x : to
  return (
    <>
      <path className="wire" d={`M${x} ${y}H${to}`} />
      <text x={text} y={y - 6} textAnchor={anchor}>
        {name}
      </text>
    </>
  )
}

/** Net name, wire, resistor, and the bend to the string's own line. */
function Branch({
  resistor,
  y,
  join,
  side,
  marked,
  x,
}: {
  readonly resistor: Resistor
  readonly marked: boolean
  readonly y: number
  readonly join: number
  readonly side: "before" | "after"
  readonly x: number
}) {
  const before = side === "before"
  const [outer, bodyX, inner] = before ? [0, x - 74, x - 10] : [x + 206, x + 22, x + 10]
  return (
    <g className={marked ? "marked" : undefined} data-pick-part={resistor.ref}>
      <path className="wire" d={`M${outer} ${y}H${inner}V${join}H${x}`} />
      <rect className="resistor" x={bodyX} y={y - 7} width={52} height={14} rx={1} />
      <text className="inside" x={bodyX + 26} y={y + 4} textAnchor="middle">
        {resistor.value}
      </text>
      <text x={outer} y={y - 4} textAnchor={before ? "start" : "end"}>
        {resistor.net}
      </text>
    </g>
  )
}

/** Triangle and bar with two arrows of light; filled by how much current it carries. */
function Led({
  ref_,
  x,
  y,
  colour,
  share,
  marked,
}: {
  readonly ref_: string
  readonly x: number
  readonly y: number
  readonly colour: string
  readonly share: number
  readonly marked: boolean
}) {
  const m = x + pitch / 2
  return (
    <g className={marked ? "led-symbol marked" : "led-symbol"} data-colour={colour} data-pick-led={ref_}>
      <rect className="hit" x={x} y={y - 14} width={pitch} height={34} />
      <path className="wire" d={`M${x} ${y}H${x + pitch}`} />
      <path
        className="triangle"
        d={`M${m - 6} ${y - 7}L${m + 6} ${y}L${m - 6} ${y + 7}Z`}
        style={{ fillOpacity: Math.min(1, Math.sqrt(Math.max(0, share))) }}
      />
      <path className="bar-line" d={`M${m + 6} ${y - 7}V${y + 7}`} />
      <text className="small" x={m} y={y + 17} textAnchor="middle">
        {shortRef(ref_)}
      </text>
    </g>
  )
}

function inWords(
  s: LedString,
  feeds: readonly Resistor[],
  drains: readonly Resistor[],
  first: string,
  last: string,
): string {
  const part = (r: Resistor) => `${r.ref} ${r.value} (${r.net})`
  const head = feeds.length > 0 ? feeds.map(part).join(" and ") : first
  const tail = drains.length > 0 ? drains.map(part).join(" and ") : last
  return `${s.name}: ${head}, then LEDs ${s.leds.join(", ")}, to ${tail}`
}
