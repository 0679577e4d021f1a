// The lamp's score: what the vehicle's wires do, what every LED does, and one play head through all.

import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "react"
import { play, usePlay } from "../play.ts"
import { usePage } from "../store.ts"
import { plain } from "../words.ts"
import { measuredTimes } from "./measured-times.ts"
import { type Inks, paintScore } from "./paint-score.ts"
import { type Hint, hintAt, PickedRibbons, rangeWords } from "./ribbon-hint.tsx"
import { layOutRows, type Rows } from "./rows.ts"
import { ScoreControls } from "./score-controls.tsx"
import { type Span, shortest, within } from "./span.ts"
import { TimeZoom } from "./time-zoom.tsx"
import { VehicleControls } from "./vehicle-controls.tsx"

export function Score() {
  const lamp = usePage((s) => s.played?.made.lamp)
  const look = usePage((s) => s.look)
  const trace = usePlay((s) => s.trace)
  const length = usePlay((s) => s.length)
  const [span, setSpan] = useState<Span>({ from: 0, to: 0 })
  const frame = useRef<HTMLDivElement>(null)
  const size = useSize(frame)

  useEffect(() => setSpan({ from: 0, to: length }), [length])
  usePageTurn(span, setSpan)

  const rows = useMemo(
    () => (lamp && trace && size.height > 0 ? layOutRows(lamp, trace, size.height) : undefined),
    [lamp, trace, size.height],
  )
  return (
    <section className="area-score" aria-label="Score">
      <ScoreControls />
      <VehicleControls />
      <div className="score-frame">
        <div className="score-scroll">
          <div className="score-labels" style={{ height: rows?.height }}>
            {rows && length > 0 && <TimeZoom span={span} setSpan={setSpan} />}
            {rows && <Labels rows={rows} wires={look?.wires ?? [look?.wire ?? ""]} leds={look?.leds ?? []} />}
          </div>
          <div className="score-field" ref={frame}>
            {rows && trace && size.width > 0 && span.to > span.from && (
              <Field rows={rows} span={span} setSpan={setSpan} width={size.width} />
            )}
          </div>
        </div>
        {length === 0 && (
          <p className="soft score-none">The score is written when the lamp has been played on the bench.</p>
        )}
      </div>
    </section>
  )
}

function Labels({
  rows,
  wires,
  leds,
}: {
  readonly rows: Rows
  readonly wires: readonly string[]
  readonly leds: readonly string[]
}) {
  const circuit = usePage((s) => s.played?.made.circuit)
  return (
    <>
      {rows.wires.map((w) => (
        <span
          key={w.name}
          style={{ top: w.y, height: rows.wireHeight }}
          data-marked={wires.includes(w.name) || undefined}
        >
          {w.name} wire
        </span>
      ))}
      {rows.groups.map((g) => (
        <span
          key={g.name}
          className="group-label"
          style={{ top: g.y, height: g.rowHeight * g.leds.length }}
          data-marked={g.leds.some((l) => leds.includes(l.ref)) || undefined}
        >
          {plain(g.name)}
          <small>
            1 to {g.leds.length}
            {g.rowHeight * g.leds.length >= 46 && (
              <>
                <br />
                {rangeWords(g.leds, circuit)}
              </>
            )}
          </small>
        </span>
      ))}
    </>
  )
}

const none: readonly string[] = []

interface FieldProps {
  readonly rows: Rows
  readonly span: Span
  readonly setSpan: (span: Span) => void
  readonly width: number
}

function Field({ rows, span, setSpan, width }: FieldProps) {
  const trace = usePlay((s) => s.trace)
  const length = usePlay((s) => s.length)
  const canvas = useRef<HTMLCanvasElement>(null)
  const field = useRef<HTMLDivElement>(null)
  const scheme = useScheme()
  const lamp = usePage((s) => s.played?.made.lamp)
  const circuit = usePage((s) => s.played?.made.circuit)
  const picked = usePage((s) => s.look?.leds)
  const [hint, setHint] = useState<Hint>()
  const events = useMemo(() => (lamp && trace ? measuredTimes(lamp, trace) : []), [lamp, trace])

  // biome-ignore lint/correctness/useExhaustiveDependencies: another colour scheme means other inks
  useLayoutEffect(() => {
    if (canvas.current && trace)
      paintScore(canvas.current, rows, trace, span, width, inksOf(canvas.current), events)
  }, [events, rows, trace, span, width, scheme])

  useTimeWheel(field, span, setSpan, length)
  const timeAt = (event: React.PointerEvent) => {
    const box = field.current?.getBoundingClientRect()
    const share = box ? (event.clientX - box.left) / box.width : 0
    return span.from + Math.max(0, Math.min(1, share)) * (span.to - span.from)
  }
  return (
    <div
      ref={field}
      className="score-canvas"
      style={{ height: rows.height }}
      onPointerDown={(e) => {
        if (e.button !== 0) return
        e.currentTarget.setPointerCapture(e.pointerId)
        play.getState().seek(timeAt(e))
      }}
      onPointerMove={(e) => {
        if (e.currentTarget.hasPointerCapture(e.pointerId)) play.getState().seek(timeAt(e))
        const box = e.currentTarget.getBoundingClientRect()
        if (trace && circuit && e.pointerType === "mouse")
          setHint(hintAt(rows, trace, circuit, e.clientX - box.left, e.clientY - box.top, timeAt(e)))
      }}
      onPointerLeave={() => setHint(undefined)}
    >
      <canvas ref={canvas} style={{ width, height: rows.height }} />
      <PickedRibbons rows={rows} leds={picked ?? none} />
      <PlayHead span={span} width={width} height={rows.height} />
      {hint && (
        <div
          className="score-hint"
          style={{
            top: Math.max(0, hint.y - 26),
            left: hint.x > width / 2 ? undefined : hint.x + 10,
            right: hint.x > width / 2 ? width - hint.x + 10 : undefined,
          }}
        >
          {hint.says}
        </div>
      )}
    </div>
  )
}

/** A slider for keys and screen readers, a line for the eye. */
function PlayHead({
  span,
  width,
  height,
}: {
  readonly span: Span
  readonly width: number
  readonly height: number
}) {
  const line = useRef<HTMLDivElement>(null)
  const slider = useRef<HTMLInputElement>(null)
  const length = usePlay((s) => s.length)
  useLayoutEffect(() => {
    const place = (time: number) => {
      const x = ((time - span.from) / (span.to - span.from)) * width
      if (line.current) {
        line.current.style.transform = `translateX(${x.toFixed(2)}px)`
        line.current.style.visibility = x < -1 || x > width + 1 ? "hidden" : "visible"
        line.current.dataset.time = time.toFixed(4)
      }
      if (slider.current) {
        slider.current.value = String(time)
        slider.current.setAttribute("aria-valuetext", `${time.toFixed(2)} seconds`)
      }
    }
    place(play.getState().time)
    return play.subscribe((s) => place(s.time))
  }, [span, width])
  return (
    <>
      <input
        ref={slider}
        className="play-slider"
        type="range"
        aria-label="Play head"
        min={0}
        max={length}
        step={0.01}
        defaultValue={0}
        onInput={(e) => play.getState().seek(Number(e.currentTarget.value))}
      />
      <div ref={line} className="play-head" style={{ height }} />
    </>
  )
}

/** While playing, a narrower span follows the head page by page. */
function usePageTurn(span: Span, setSpan: (span: Span) => void) {
  useEffect(
    () =>
      play.subscribe(({ time, length, playing }) => {
        const wide = span.to - span.from
        // The head may move before the span of a first run has been set.
        if (!playing || wide <= 0 || wide >= length || (time >= span.from && time <= span.to)) return
        const from = Math.max(0, Math.min(length - wide, time))
        setSpan({ from, to: from + wide })
      }),
    [span, setSpan],
  )
}

function useTimeWheel(
  field: React.RefObject<HTMLDivElement | null>,
  span: Span,
  setSpan: (span: Span) => void,
  length: number,
) {
  useEffect(() => {
    const element = field.current
    if (!element) return
    const onWheel = (event: WheelEvent) => {
      const wide = span.to - span.from
      const sideways = event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY)
      event.preventDefault()
      const box = element.getBoundingClientRect()
      const at = (event.clientX - box.left) / box.width
      if (sideways)
        setSpan(within(span.from + ((event.deltaX || event.deltaY) / box.width) * wide, wide, length))
      else {
        const next = Math.max(
          Math.min(length, shortest),
          Math.min(length, wide * Math.exp(event.deltaY * 0.0016)),
        )
        setSpan(within(span.from + at * (wide - next), next, length))
      }
    }
    element.addEventListener("wheel", onWheel, { passive: false })
    return () => element.removeEventListener("wheel", onWheel)
  }, [field, span, setSpan, length])
}

function useSize(frame: React.RefObject<HTMLElement | null>) {
  const [size, setSize] = useState({ width: 0, height: 0 })
  useLayoutEffect(() => {
    const element = frame.current
    if (!element) return
    const measure = () => setSize({ width: element.clientWidth, height: element.clientHeight })
    measure()
    const watch = new ResizeObserver(measure)
    watch.observe(element)
    return () => watch.disconnect()
  }, [frame])
  return size
}

/** Counts changes between light and dark. */
function useScheme(): number {
  const [count, setCount] = useState(0)
  useEffect(() => {
    const query = matchMedia("(prefers-color-scheme: dark)")
    const change = () => setCount((n) => n + 1)
    query.addEventListener("change", change)
    return () => query.removeEventListener("change", change)
  }, [])
  return count
}

function inksOf(element: Element): Inks {
  const style = getComputedStyle(element)
  const get = (name: string) => style.getPropertyValue(name).trim()
  return {
    ink: get("--ink"),
    soft: get("--ink-soft"),
    hair: get("--hair"),
    red: get("--red-light"),
    amber: get("--amber"),
    white: get("--white-light"),
    font: style.fontFamily,
  }
}
