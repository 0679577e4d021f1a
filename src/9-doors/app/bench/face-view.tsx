// The lamp from the road, lit by what the firmware does at the play head.

import { memo, useEffect, useLayoutEffect, useMemo, useRef, useState } from "react"
import type { Lamp } from "../../../2-lamp/artefact.ts"
import { pick } from "../picking.ts"
import { type Play, play, sampleAt } from "../play.ts"
import { usePage } from "../store.ts"
import { DimensionLine, Dimensions, dimensionPad } from "./dimensions.tsx"
import { drawStill, fits, paintStill, type Still } from "./face-still.ts"
import { litRegion, paintGlow } from "./glow.ts"
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
/** The bench has come to rest when it has not moved for this long, ms. */
const rest = 140

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
  const still = useRef<{ of: Still; layout: BenchLayout; roomLight: number } | undefined>(undefined)
  const now = useRef<Shown | undefined>(undefined)
  const spots = useRef<SVGGElement>(null)
  const ratio = Math.min(2, globalThis.devicePixelRatio || 1)
  const { width, height, scale, left, top } = view

  useLayoutEffect(() => {
    const picture = canvas.current
    if (!picture) return
    const at: Viewport = { width, height, scale, left, top }
    const [w, h] = [Math.round(width * ratio), Math.round(height * ratio)]
    if (picture.width !== w || picture.height !== h) Object.assign(picture, { width: w, height: h })
    const anew = () => {
      if (now.current) now.current.lit = undefined
      const own = still.current?.of.canvas ?? document.createElement("canvas")
      still.current = { of: paintStill(own, layout, at, ratio, roomLight), layout, roomLight }
    }
    now.current = { layout, at, lit: undefined }
    const show = () => {
      if (still.current && now.current) paintNow(picture, still.current.of, now.current, ratio, spots.current)
    }
    const had = still.current
    if (had?.layout !== layout || had.roomLight !== roomLight) anew()
    // While it plays the next tick paints it, before anything is shown: once for light and place together. At rest it
    // is painted here and not one frame later, so that moving the lamp never shows an empty bench.
    if (!play.getState().playing) show()
    if (still.current && fits(still.current.of, layout, at, ratio)) return
    const later = setTimeout(() => {
      anew()
      show()
    }, rest)
    return () => clearTimeout(later)
  }, [layout, width, height, scale, left, top, ratio, roomLight])

  useEffect(
    () =>
      play.subscribe(() => {
        if (canvas.current && still.current && now.current)
          paintNow(canvas.current, still.current.of, now.current, ratio, spots.current)
      }),
    [ratio],
  )

  const chosen = ringed.length === 1 ? layout.leds.find((l) => l.ref === ringed[0]) : undefined
  const onClick = (event: React.MouseEvent) => {
    const box = event.currentTarget.getBoundingClientRect()
    const at = { x: (event.clientX - box.left - left) / scale, y: (event.clientY - box.top - top) / scale }
    const hit = nearestLed(layout.leds, at, 16 / scale)
    if (hit) pick({ kind: "led", name: hit.ref })
  }
  return (
    <>
      <canvas ref={canvas} className="face-canvas" style={{ width, height }} />
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

/** Every LED's level in one word, to be compared. */
function lightAt(layout: BenchLayout, { trace }: Play, sample: number): string {
  let word = ""
  for (const { ref } of layout.leds) word += String.fromCharCode(trace?.leds[ref]?.[sample] ?? 0)
  return word
}

/** What the canvas shows: `lit` is the light it was painted with, undefined while it has to be painted anew. */
interface Shown {
  readonly layout: BenchLayout
  readonly at: Viewport
  lit: string | undefined
}

/** Paints the light at the play head; most of the time nothing changes from one sample to the next. */
function paintNow(
  picture: HTMLCanvasElement,
  still: Still,
  now: Shown,
  ratio: number,
  spots: SVGGElement | null,
) {
  const { layout, at } = now
  const state = play.getState()
  const sample = state.trace ? sampleAt(state.trace, state.time) : 0
  const lit = lightAt(layout, state, sample)
  const ctx = lit === now.lit ? undefined : picture.getContext("2d")
  if (!ctx) return
  const before = now.lit
  now.lit = lit
  const levels = layout.leds.map((_, i) => lit.charCodeAt(i))
  // Only where light changed since it was last painted; what other LEDs add there is added again.
  const changed = layout.leds.filter((_, i) => before?.charCodeAt(i) !== levels[i])
  const whole = { minX: 0, minY: 0, maxX: picture.width, maxY: picture.height }
  const region = before === undefined ? whole : litRegion(changed, at, ratio, whole)
  ctx.save()
  ctx.setTransform(1, 0, 0, 1, 0, 0)
  ctx.beginPath()
  ctx.rect(region.minX, region.minY, region.maxX - region.minX, region.maxY - region.minY)
  ctx.clip()
  ctx.clearRect(region.minX, region.minY, region.maxX - region.minX, region.maxY - region.minY)
  drawStill(ctx, still, at, ratio)
  paintGlow(ctx, layout.leds, levels, at, ratio, region)
  ctx.restore()
  const circles = spots?.children
  layout.leds.forEach((_, i) => {
    const level = String(levels[i])
    const circle = circles?.[i]
    if (circle && circle.getAttribute("data-level") !== level) circle.setAttribute("data-level", level)
  })
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
