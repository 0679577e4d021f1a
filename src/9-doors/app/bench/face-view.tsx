// The lamp from the road, lit by what the firmware does at the play head.

import { memo, useEffect, useLayoutEffect, useMemo, useRef, useState } from "react"
import type { Lamp } from "../../../2-lamp/artefact.ts"
import { pick } from "../picking.ts"
import { play } from "../play.ts"
import { usePage } from "../store.ts"
import { DimensionLine, Dimensions, dimensionPad } from "./dimensions.tsx"
import { FacePainter } from "./face-painter.ts"
import { fits, plotFor } from "./face-still.ts"
import { type BenchLayout, type LaidLed, layOutFaces } from "./lay-out-faces.ts"
import type { Snaps } from "./snap.ts"
import { Stage, type Viewport } from "./stage.tsx"

export function FaceView() {
  const lamp = usePage((s) => s.lamp)
  const look = usePage((s) => s.look)
  const [roomLight, setRoomLight] = useState(55)
  const layout = useLayout(lamp)
  const snaps = useMemo(() => layout && snapsOf(layout), [layout])
  if (!lamp || !layout || !snaps) return null
  const led = look?.thing && layout.leds.find((l) => l.ref === look.leds[0])
  const point = look?.thing ? led : look?.facePoint && onBench(look.facePoint, layout)
  return (
    <Stage
      label={`${lamp.name} seen from the road. Plus and minus zoom, zero shows the whole lamp, Shift with arrows moves, comma and full stop pick LEDs, Shift M measures.`}
      content={layout.box}
      contentKey={lamp.name}
      focus={point && !look?.thing ? { ...point, key: `${point.x} ${point.y}` } : undefined}
      picked={point}
      whole="Whole lamp"
      gesture="parts"
      pad={dimensionPad}
      snaps={snaps}
      aside={<RoomLight value={roomLight} set={setRoomLight} />}
    >
      {(view) => (
        <FacePicture
          lamp={lamp}
          layout={layout}
          view={view}
          roomLight={roomLight / 100}
          ringed={look?.leds ?? none}
          mates={look?.mates ?? none}
          point={look?.thing ? undefined : point}
        />
      )}
    </Stage>
  )
}

/** The same layout while faces and LEDs stay as they are: what was painted of it still holds. */
function useLayout(lamp: Lamp | undefined): BenchLayout | undefined {
  const last = useRef<{ readonly key: string; readonly layout: BenchLayout } | undefined>(undefined)
  return useMemo(() => {
    if (!lamp) return undefined
    const layout = layOutFaces(lamp)
    const key = JSON.stringify(layout)
    if (last.current?.key !== key) last.current = { key, layout }
    return last.current.layout
  }, [lamp])
}

const none: readonly string[] = []

interface PictureProps {
  readonly lamp: Lamp
  readonly layout: BenchLayout
  readonly view: Viewport
  readonly roomLight: number
  readonly ringed: readonly string[]
  readonly mates: readonly string[]
  readonly point: { readonly x: number; readonly y: number } | undefined
}

function FacePicture({ lamp, layout, view, roomLight, ringed, mates, point }: PictureProps) {
  const canvas = useRef<HTMLCanvasElement>(null)
  const painter = useRef<FacePainter>(undefined)
  const spots = useRef<SVGGElement>(null)
  const ratio = Math.min(2, globalThis.devicePixelRatio || 1)
  const { width, height, scale, left, top } = view

  useLayoutEffect(() => {
    if (!canvas.current) return
    painter.current ??= new FacePainter(canvas.current)
    const own = painter.current
    const at: Viewport = { width, height, scale, left, top }
    const plot = plotFor(layout, at, ratio, roomLight)
    const same = own.plot?.layout === layout && own.plot.roomLight === roomLight
    if (!same) own.paint(plot)
    own.place(at, ratio)
    if (spots.current) tellLevels(spots.current, own.word)
    if (own.plot && fits(own.plot, at, ratio)) return
    return own.prepare(plot, () => own.place(at, ratio))
  }, [layout, width, height, scale, left, top, ratio, roomLight])

  useEffect(() => {
    const own = painter.current
    return own && play.subscribe(() => tell(spots.current, own))
  }, [])

  const chosen = ringed.length === 1 ? layout.leds.find((l) => l.ref === ringed[0]) : undefined
  const onClick = (event: React.MouseEvent) => {
    const box = event.currentTarget.getBoundingClientRect()
    const at = { x: (event.clientX - box.left - left) / scale, y: (event.clientY - box.top - top) / scale }
    const hit = nearestLed(layout.leds, at, 16 / scale)
    if (hit) pick({ kind: "led", name: hit.ref })
  }
  return (
    <>
      <canvas ref={canvas} className="face-canvas" />
      {/* biome-ignore lint/a11y/useKeyWithClickEvents: comma and full stop pick LEDs by key */}
      <svg
        className="face-spots"
        width={width}
        height={height}
        role="img"
        aria-label={faceWords(lamp)}
        onClick={onClick}
      >
        <g transform={`translate(${left} ${top}) scale(${scale})`}>
          <Spots leds={layout.leds} ringed={ringed} mates={mates} place={spots} />
          {point && <circle className="place-ring" cx={point.x} cy={point.y} r={Math.max(4, 14 / scale)} />}
        </g>
        <Dimensions box={layout.box} view={view} />
        {chosen && <LedDimensions led={chosen} leds={layout.leds} view={view} />}
      </svg>
    </>
  )
}

interface SpotsProps {
  readonly leds: readonly LaidLed[]
  readonly ringed: readonly string[]
  readonly mates: readonly string[]
  readonly place: React.RefObject<SVGGElement | null>
}

/** One circle for each LED: what is picked, and what tests and screen readers ask. */
const Spots = memo(function Spots({ leds, ringed, mates, place }: SpotsProps) {
  const rings = new Set(ringed)
  const beside = new Set(mates)
  return (
    <g ref={place}>
      {leds.map((l) => (
        <circle
          key={l.ref}
          data-led={l.ref}
          cx={l.x}
          cy={l.y}
          r={l.diameter / 2}
          className={`led-spot${rings.has(l.ref) ? " ringed" : beside.has(l.ref) ? " mate" : ""}`}
        >
          <title>{l.ref}</title>
        </circle>
      ))}
    </g>
  )
})

/** Hole and distance to the nearest neighbour of one LED. */
function LedDimensions({
  led,
  leds,
  view,
}: {
  readonly led: LaidLed
  readonly leds: readonly LaidLed[]
  readonly view: Viewport
}) {
  const near = nearestLed(
    leds.filter((l) => l.ref !== led.ref),
    led,
    Number.POSITIVE_INFINITY,
  )
  const up = led.y - led.diameter / 2 - 16 / view.scale
  return (
    <g className="led-dimensions">
      <g className="dimension">
        <text
          x={view.left + led.x * view.scale}
          y={view.top + up * view.scale}
          textAnchor="middle"
          className="strong"
        >
          {led.ref}, hole {round(led.diameter)} mm
        </text>
      </g>
      {near && Math.hypot(near.x - led.x, near.y - led.y) * view.scale > 50 && (
        <DimensionLine
          from={led}
          to={near}
          view={view}
          says={`${round(Math.hypot(near.x - led.x, near.y - led.y))} mm`}
        />
      )}
    </g>
  )
}

const round = (mm: number) => Math.round(mm * 100) / 100

/** Within its own rim, or within `reach` of its middle where it is drawn small. */
function nearestLed(
  leds: readonly LaidLed[],
  at: { readonly x: number; readonly y: number },
  reach: number,
): LaidLed | undefined {
  let best: LaidLed | undefined
  let least = Number.POSITIVE_INFINITY
  for (const led of leds) {
    const d = Math.hypot(led.x - at.x, led.y - at.y)
    if (d < least && d <= Math.max(reach, led.diameter / 2)) [best, least] = [led, d]
  }
  return best
}

function snapsOf(layout: BenchLayout): Snaps {
  const placed = layout.faces.map(({ face, dx, dy }) => ({
    face,
    on: (p: { readonly x: number; readonly y: number }) => ({ x: p.x + dx, y: -(p.y + dy) }),
  }))
  return {
    points: [
      ...layout.leds.map(({ x, y, ref }) => ({ x, y, says: `the hole of ${ref}` })),
      ...placed.flatMap(({ face, on }) => [
        ...face.screwHoles.map((h) => ({ ...on(h), says: `screw ${h.id} of ${face.name}` })),
        ...corners(face.outline).map((p) => ({ ...on(p), says: `a corner of ${face.name}` })),
      ]),
    ],
    edges: placed.flatMap(({ face, on }) =>
      [face.outline, ...face.windows].map((ring) => ({
        line: ring.map(on),
        closed: true,
        says: `the edge of ${face.name}`,
      })),
    ),
  }
}

/** Where an outline turns by more than 20°: a flattened arc turns by less. */
function corners<P extends { readonly x: number; readonly y: number }>(ring: readonly P[]): P[] {
  return ring.filter((p, i) => {
    const a = ring[(i + ring.length - 1) % ring.length]!
    const b = ring[(i + 1) % ring.length]!
    const turn = Math.atan2(b.y - p.y, b.x - p.x) - Math.atan2(p.y - a.y, p.x - a.x)
    return Math.abs(Math.atan2(Math.sin(turn), Math.cos(turn))) > (20 * Math.PI) / 180
  })
}

/** Paints the light and writes each LED's level on its circle. */
function tell(spots: SVGGElement | null, painter: FacePainter) {
  const before = painter.word
  painter.light()
  if (spots && painter.word !== before) tellLevels(spots, painter.word)
}

function tellLevels(spots: SVGGElement, word: string) {
  for (const [i, circle] of [...spots.children].entries()) {
    const level = String(word.charCodeAt(i) || 0)
    if (circle.getAttribute("data-level") !== level) circle.setAttribute("data-level", level)
  }
}

function RoomLight({ value, set }: { readonly value: number; set(value: number): void }) {
  return (
    <label className="room-light">
      Room light
      <input
        type="range"
        min={0}
        max={100}
        step={5}
        value={value}
        onChange={(e) => set(Number(e.currentTarget.value))}
      />
    </label>
  )
}

const faceWords = (lamp: Lamp) =>
  `${lamp.name}: ${lamp.groups.map((g) => `${g.leds.length} LEDs ${g.led} in ${g.name}`).join(", ")}`

/** A face point of an unnamed face lies where the faces share a drawing. */
const onBench = (p: { x: number; y: number }, layout: BenchLayout) =>
  layout.sideBySide ? undefined : { x: p.x, y: -p.y }
