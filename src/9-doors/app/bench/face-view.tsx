// The lamp from the road, lit by what the firmware does at the play head.

import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "react"
import { Label, Slider, SliderThumb, SliderTrack } from "react-aria-components"
import type { Lamp } from "../../../2-lamp/artefact.ts"
import { type Play, play, sampleAt } from "../play.ts"
import { usePage } from "../store.ts"
import { paintGlow, paintLenses } from "./glow.ts"
import { type BenchLayout, layOutFaces } from "./lay-out-faces.ts"
import { paintMetal } from "./metal.ts"
import { Stage, type Viewport } from "./stage.tsx"

export function FaceView() {
  const lamp = usePage((s) => s.lamp)
  const look = usePage((s) => s.look)
  const [roomLight, setRoomLight] = useState(55)
  const layout = useMemo(() => (lamp ? layOutFaces(lamp) : undefined), [lamp])
  if (!lamp || !layout) return null
  const point = look?.facePoint && onBench(look.facePoint, layout)
  return (
    <Stage
      label={`${lamp.name} seen from the road. Plus and minus zoom, zero shows the whole lamp, Shift with arrows moves.`}
      content={layout.box}
      contentKey={lamp.name}
      focus={point && { ...point, key: `${point.x} ${point.y}` }}
      whole="Whole lamp"
      room={0.045}
      aside={<RoomLight value={roomLight} set={setRoomLight} />}
    >
      {(view) => (
        <FacePicture
          lamp={lamp}
          layout={layout}
          view={view}
          roomLight={roomLight / 100}
          ringed={look?.leds ?? []}
          point={point}
        />
      )}
    </Stage>
  )
}

interface PictureProps {
  readonly lamp: Lamp
  readonly layout: BenchLayout
  readonly view: Viewport
  readonly roomLight: number
  readonly ringed: readonly string[]
  readonly point: { readonly x: number; readonly y: number } | undefined
}

function FacePicture({ lamp, layout, view, roomLight, ringed, point }: PictureProps) {
  const canvas = useRef<HTMLCanvasElement>(null)
  const still = useRef<HTMLCanvasElement | undefined>(undefined)
  const spots = useRef<SVGGElement>(null)
  const ratio = Math.min(2, globalThis.devicePixelRatio || 1)
  const { width, height, scale, left, top } = view

  useLayoutEffect(() => {
    const picture = canvas.current
    if (!picture) return
    still.current ??= document.createElement("canvas")
    for (const c of [picture, still.current]) {
      c.width = Math.round(width * ratio)
      c.height = Math.round(height * ratio)
    }
    const at: Viewport = { width, height, scale, left, top }
    const ground = still.current.getContext("2d")
    if (ground) {
      paintMetal(ground, layout.faces, at, ratio, roomLight)
      paintLenses(ground, layout.leds, at, ratio, roomLight)
    }
    // Painted here and not one frame later, so that moving the lamp never shows an empty bench.
    paint(picture, still.current, layout, at, ratio, play.getState(), spots.current)
  }, [layout, width, height, scale, left, top, ratio, roomLight])

  useEffect(() => {
    let shown = -1
    const at: Viewport = { width, height, scale, left, top }
    return play.subscribe((state) => {
      const sample = state.trace ? sampleAt(state.trace, state.time) : 0
      if (sample === shown || !canvas.current || !still.current) return
      shown = sample
      paint(canvas.current, still.current, layout, at, ratio, state, spots.current)
    })
  }, [layout, width, height, scale, left, top, ratio])

  const rings = new Set(ringed)
  return (
    <>
      <canvas ref={canvas} className="face-canvas" style={{ width, height }} />
      <svg className="face-spots" width={width} height={height} role="img" aria-label={faceWords(lamp)}>
        <g ref={spots} transform={`translate(${left} ${top}) scale(${scale})`}>
          {layout.leds.map((l) => (
            <circle
              key={l.ref}
              data-led={l.ref}
              cx={l.x}
              cy={l.y}
              r={l.diameter / 2}
              className={rings.has(l.ref) ? "led-spot ringed" : "led-spot"}
            >
              <title>{l.ref}</title>
            </circle>
          ))}
          {point && <circle className="place-ring" cx={point.x} cy={point.y} r={Math.max(4, 14 / scale)} />}
        </g>
        <Width layout={layout} view={view} />
      </svg>
    </>
  )
}

function paint(
  picture: HTMLCanvasElement,
  still: HTMLCanvasElement,
  layout: BenchLayout,
  view: Viewport,
  ratio: number,
  { trace, time }: Play,
  spots: SVGGElement | null,
) {
  const ctx = picture.getContext("2d")
  if (!ctx) return
  const sample = trace ? sampleAt(trace, time) : 0
  const levels = layout.leds.map((l) => trace?.leds[l.ref]?.[sample] ?? 0)
  ctx.setTransform(1, 0, 0, 1, 0, 0)
  ctx.clearRect(0, 0, picture.width, picture.height)
  ctx.drawImage(still, 0, 0)
  paintGlow(ctx, layout.leds, levels, view, ratio)
  const circles = spots?.children
  layout.leds.forEach((_, i) => {
    const level = String(Math.round(levels[i] ?? 0))
    const circle = circles?.[i]
    if (circle && circle.getAttribute("data-level") !== level) circle.setAttribute("data-level", level)
  })
}

/** The lamp's width below it, as on a drawing. */
function Width({ layout: { box }, view }: { readonly layout: BenchLayout; readonly view: Viewport }) {
  const x0 = view.left + box.minX * view.scale
  const x1 = view.left + box.maxX * view.scale
  const y = view.top + box.maxY * view.scale + 26
  return (
    <g className="dimension">
      <path d={`M${x0} ${y - 5} v10 M${x0} ${y} H${x1} M${x1} ${y - 5} v10`} />
      <text x={(x0 + x1) / 2} y={y + 18} textAnchor="middle">
        {Math.round((box.maxX - box.minX) * 10) / 10} mm
      </text>
    </g>
  )
}

function RoomLight({ value, set }: { readonly value: number; set(value: number): void }) {
  return (
    <Slider className="room-light" value={value} onChange={set} minValue={0} maxValue={100} step={5}>
      <Label>Room light</Label>
      <SliderTrack className="slider-track">
        <SliderThumb className="slider-thumb" />
      </SliderTrack>
    </Slider>
  )
}

const faceWords = (lamp: Lamp) =>
  `${lamp.name}: ${lamp.groups.map((g) => `${g.leds.length} LEDs ${g.led} in ${g.name}`).join(", ")}`

/** A face point of an unnamed face lies where the faces share a drawing. */
const onBench = (p: { x: number; y: number }, layout: BenchLayout) =>
  layout.sideBySide ? undefined : { x: p.x, y: -p.y }
