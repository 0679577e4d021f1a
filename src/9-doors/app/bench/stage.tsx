// A place on the bench that can be brought closer, moved and measured on: wheel, drag, pinch and keys, with a scale bar.
// Content is in millimetres with y down; a viewport turns them into pixels.

import { type ReactNode, useCallback, useEffect, useLayoutEffect, useRef, useState } from "react"
import { Button, ToggleButton } from "react-aria-components"
import { type StoreApi, useStore } from "zustand"
import type { Point } from "../../../0-ground/geometry/point.ts"
import type { Box } from "../../../0-ground/geometry/polygon.ts"
import { type Placing, useCarried } from "./carried.ts"
import { MeasureLine, type Measuring, measureWords, pointSet } from "./measure.tsx"
import { ScaleBar } from "./scale-bar.tsx"
import { nextSnap, type Snaps, snapTo } from "./snap.ts"
import { usePointers } from "./use-pointers.ts"

export interface Viewport {
  /** Pixels for a millimetre. */
  readonly scale: number
  readonly left: number
  readonly top: number
  readonly width: number
  readonly height: number
}

export interface StageProps {
  readonly label: string
  readonly content: Box
  /** A new key starts from the whole content again. */
  readonly contentKey: string
  /** A place to bring into view when it changes. */
  readonly focus?: Focus | undefined
  /** Where what is picked lies; the stage goes there when asked. */
  readonly picked?: Point | undefined
  readonly whole: string
  /** Pixels kept free around the content: dimension lines stand there. */
  readonly pad?: Pad
  /** What a measuring point catches at. */
  readonly snaps?: Snaps
  /** What the stage's lengths are counted in. */
  readonly unit?: "mm" | "°"
  /**
   * What a gesture does to the picture: `carried` as it was drawn and drawn anew at the gesture's end, `parts` likewise
   * where only what is near the view is drawn, `drawn` anew at every step because it keeps things at the view's edges.
   */
  readonly gesture?: "carried" | "parts" | "drawn"
  readonly children: (viewport: Viewport) => ReactNode
  readonly aside?: ReactNode
}

interface Focus extends Point {
  readonly key: string
  /** What must be seen around it; absent: a part of the content. */
  readonly box?: Box
}

interface Pad {
  readonly x: number
  readonly top: number
  readonly bottom: number
}

const most = 60
const slim: Pad = { x: 24, top: 16, bottom: 16 }
const noSnaps: Snaps = { points: [], edges: [] }

export function Stage({
  label,
  content,
  contentKey,
  focus,
  picked,
  whole,
  pad = slim,
  snaps = noSnaps,
  unit = "mm",
  gesture = "carried",
  children,
  aside,
}: StageProps) {
  const frame = useRef<HTMLDivElement>(null)
  const [size, setSize] = useState({ width: 0, height: 0 })
  const [moved, setMoved] = useState<Placing | undefined>()
  const [measuring, setMeasuring] = useState<Measuring | undefined>()

  useLayoutEffect(() => {
    const element = frame.current
    if (!element) return
    const measure = () => setSize({ width: element.clientWidth, height: element.clientHeight })
    measure()
    const watch = new ResizeObserver(measure)
    watch.observe(element)
    return () => watch.disconnect()
  }, [])

  const home = focus ? around(focus, content, size, pad) : wholeIn(content, size, pad)
  const at = { ...(moved ?? home), ...size }
  const { layer, seen, carry, settle, drop } = useCarried(
    at,
    gesture === "parts" ? content : undefined,
    setMoved,
  )
  const place = useCallback(
    (to: Placing | undefined) => {
      drop()
      setMoved(to)
      // The next step may come before this one is drawn.
      if (to) seen.setState(to)
    },
    [drop, seen],
  )
  const move = gesture === "drawn" ? place : carry

  const focusKey = focus?.key
  // biome-ignore lint/correctness/useExhaustiveDependencies: other content, or another place in it, starts unmoved
  useEffect(() => place(undefined), [contentKey, focusKey])
  // biome-ignore lint/correctness/useExhaustiveDependencies: a measure belongs to what was measured
  useEffect(() => setMeasuring((m) => m && {}), [contentKey])

  const zoom = useCallback(
    (factor: number, x?: number, y?: number) => {
      const { scale, left, top, width, height } = seen.getState()
      const px = x ?? width / 2
      const py = y ?? height / 2
      const least = wholeIn(content, { width, height }, pad).scale * 0.5
      const next = Math.max(least, Math.min(most, scale * factor))
      const k = next / scale
      move({ scale: next, left: px - (px - left) * k, top: py - (py - top) * k })
    },
    [content, pad, seen, move],
  )
  const showWhole = () => place(focus ? wholeIn(content, size, pad) : undefined)
  const goal = picked ?? (focus?.box ? undefined : focus)
  const showPicked = () => {
    if (focus) place(undefined)
    else if (picked) place(around(picked, content, size, pad))
  }
  const pan = useCallback(
    (dx: number, dy: number) => {
      const { scale, left, top } = seen.getState()
      move({ scale, left: left + dx, top: top + dy })
    },
    [seen, move],
  )

  useWheel(frame, zoom)
  const caught = (x: number, y: number) => {
    const { scale, left, top } = seen.getState()
    return snapTo({ x: (x - left) / scale, y: (y - top) / scale }, snaps, 14 / scale)
  }
  const pointers = usePointers({
    pan,
    zoom,
    rest: settle,
    hover: (x, y) => measuring && setMeasuring((m) => m && { ...m, at: caught(x, y) }),
  })
  const onClickCapture = (event: React.MouseEvent<HTMLElement>) => {
    if (!measuring) return
    const box = event.currentTarget.getBoundingClientRect()
    const at = caught(event.clientX - box.left, event.clientY - box.top)
    setMeasuring((m) => m && pointSet(m, at))
    // While measuring nothing is picked.
    event.stopPropagation()
  }

  const onKeyDown = (event: React.KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return
    const far = 40
    const { key, shiftKey } = event
    const arrow = arrows[key]
    if (key === "+" || key === "=") zoom(1.25)
    else if (key === "-") zoom(0.8)
    else if (key === "0") showWhole()
    else if (key === "M") setMeasuring(measuring ? undefined : {})
    else if (arrow && shiftKey) pan(-far * arrow[0], -far * arrow[1])
    else if (measuring && arrow) setMeasuring({ ...measuring, at: stepTo(measuring, arrow) })
    else if (measuring && key === "Enter")
      setMeasuring(pointSet(measuring, measuring.at ?? stepTo(measuring, [0, 0])))
    else if (measuring && key === "Escape") setMeasuring(measuring.from ? {} : undefined)
    else if (key === "Enter" && goal && !(event.target as Element).closest("button")) showPicked()
    else return
    event.preventDefault()
  }
  /** From hole to hole; a tenth of the picture where there is none. */
  const stepTo = ({ at: from, to }: Measuring, [dx, dy]: readonly [number, number]) => {
    const { scale, left, top, width, height } = seen.getState()
    const here =
      from ?? to ?? snapTo({ x: (width / 2 - left) / scale, y: (height / 2 - top) / scale }, snaps, 1e4)
    const far = Math.min(width, height) / 10 / scale
    return nextSnap(here, dx, dy, snaps) ?? { x: here.x + dx * far, y: here.y + dy * far, says: "" }
  }

  return (
    <div className="stage">
      <section
        ref={frame}
        className="stage-frame"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: plus, minus, zero and Shift with arrows work here
        tabIndex={0}
        aria-label={label}
        data-measuring={measuring !== undefined || undefined}
        {...pointers}
        onClickCapture={onClickCapture}
        onKeyDown={onKeyDown}
      >
        <div ref={layer} className="stage-carried">
          {at.width > 0 && at.height > 0 && children(at)}
        </div>
        {measuring && at.width > 0 && <Measured measuring={measuring} seen={seen} unit={unit} />}
        {measuring && (
          <p className="read-out measure-words" role="status">
            {measureWords(measuring, unit)}
          </p>
        )}
      </section>
      <div className="stage-foot">
        {at.width > 0 && <Scale seen={seen} unit={unit} />}
        <div className="stage-aside">{aside}</div>
        <fieldset className="stage-zoom">
          <legend className="unseen">Distance to the bench</legend>
          <ToggleButton
            isSelected={measuring !== undefined}
            onChange={(on) => {
              setMeasuring(on ? {} : undefined)
              if (on) frame.current?.focus({ preventScroll: true })
            }}
          >
            Measure
          </ToggleButton>
          <Button onPress={() => zoom(1.5)}>Closer</Button>
          <Button onPress={() => zoom(1 / 1.5)}>Farther</Button>
          {goal && <Button onPress={showPicked}>Selection</Button>}
          <Button onPress={showWhole} isDisabled={moved === undefined && focus === undefined}>
            {whole}
          </Button>
        </fieldset>
      </div>
    </div>
  )
}

interface Following {
  /** Where the content is seen at this moment, also in a gesture. */
  readonly seen: StoreApi<Viewport>
  readonly unit: "mm" | "°"
}

function Scale({ seen, unit }: Following) {
  return <ScaleBar scale={useStore(seen, (view) => view.scale)} unit={unit} />
}

function Measured({ seen, unit, measuring }: Following & { readonly measuring: Measuring }) {
  return <MeasureLine measuring={measuring} view={useStore(seen)} unit={unit} />
}

const arrows: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
}

function wholeIn(box: Box, size: { width: number; height: number }, pad: Pad) {
  const w = Math.max(1, box.maxX - box.minX)
  const h = Math.max(1, box.maxY - box.minY)
  const free = {
    w: Math.max(size.width * 0.4, size.width - 2 * pad.x),
    h: size.height - pad.top - pad.bottom,
  }
  const scale = Math.max(0.05, Math.min(free.w / w, Math.max(size.height * 0.4, free.h) / h))
  return {
    scale,
    left: size.width / 2 - ((box.minX + box.maxX) / 2) * scale,
    top: (size.height + pad.top - pad.bottom) / 2 - ((box.minY + box.maxY) / 2) * scale,
  }
}

/** A place in the middle, near enough to judge it and far enough to know where on the lamp it is. */
function around(
  place: Point & { readonly box?: Box },
  box: Box,
  size: { width: number; height: number },
  pad: Pad,
) {
  if (place.box) return wholeIn(place.box, size, pad)
  const scale = Math.min(most, wholeIn(box, size, pad).scale * 2.6)
  return { scale, left: size.width / 2 - place.x * scale, top: size.height / 2 - place.y * scale }
}

/** The wheel must be heard actively, or the page would scroll as well. */
function useWheel(
  frame: React.RefObject<HTMLDivElement | null>,
  zoom: (factor: number, x: number, y: number) => void,
) {
  useEffect(() => {
    const element = frame.current
    if (!element) return
    const onWheel = (event: WheelEvent) => {
      event.preventDefault()
      const box = element.getBoundingClientRect()
      const lines = event.deltaMode === 1 ? 20 : 1
      zoom(Math.exp(-event.deltaY * lines * 0.0016), event.clientX - box.left, event.clientY - box.top)
    }
    element.addEventListener("wheel", onWheel, { passive: false })
    return () => element.removeEventListener("wheel", onWheel)
  }, [frame, zoom])
}
