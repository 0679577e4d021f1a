// A place on the bench that can be brought closer and moved: wheel, drag, pinch and keys, with a scale bar.
// Content is in millimetres with y down; a viewport turns them into pixels.

import { type ReactNode, useCallback, useEffect, useLayoutEffect, useRef, useState } from "react"
import { Button } from "react-aria-components"
import type { Box } from "../../../0-ground/geometry/polygon.ts"
import { ScaleBar } from "./scale-bar.tsx"

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
  readonly focus?: { readonly x: number; readonly y: number; readonly key: string } | undefined
  readonly whole: string
  /** Share of the stage kept free around the content. */
  readonly room?: number
  readonly children: (viewport: Viewport) => ReactNode
  readonly aside?: ReactNode
}

const most = 60

export function Stage({
  label,
  content,
  contentKey,
  focus,
  whole,
  room = 0.07,
  children,
  aside,
}: StageProps) {
  const frame = useRef<HTMLDivElement>(null)
  const [size, setSize] = useState({ width: 0, height: 0 })
  const [moved, setMoved] = useState<{ scale: number; left: number; top: number } | undefined>()

  useLayoutEffect(() => {
    const element = frame.current
    if (!element) return
    const measure = () => setSize({ width: element.clientWidth, height: element.clientHeight })
    measure()
    const watch = new ResizeObserver(measure)
    watch.observe(element)
    return () => watch.disconnect()
  }, [])

  const focusKey = focus?.key
  // biome-ignore lint/correctness/useExhaustiveDependencies: other content, or another place in it, starts unmoved
  useEffect(() => setMoved(undefined), [contentKey, focusKey])

  const home = focus ? around(focus, content, size, room) : wholeIn(content, size, room)
  const at = { ...(moved ?? home), ...size }
  const now = useRef(at)
  now.current = at

  const zoom = useCallback(
    (factor: number, x?: number, y?: number) => {
      const { scale, left, top, width, height } = now.current
      const px = x ?? width / 2
      const py = y ?? height / 2
      const least = wholeIn(content, { width, height }, room).scale * 0.5
      const next = Math.max(least, Math.min(most, scale * factor))
      const k = next / scale
      setMoved({ scale: next, left: px - (px - left) * k, top: py - (py - top) * k })
    },
    [content, room],
  )
  const showWhole = () => setMoved(focus ? wholeIn(content, size, room) : undefined)
  const pan = useCallback((dx: number, dy: number) => {
    const { scale, left, top } = now.current
    setMoved({ scale, left: left + dx, top: top + dy })
  }, [])

  useWheel(frame, zoom)
  const drag = useDrag(pan, zoom)

  const onKeyDown = (event: React.KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return
    const far = 40
    const { key, shiftKey } = event
    if (key === "+" || key === "=") zoom(1.25)
    else if (key === "-") zoom(0.8)
    else if (key === "0") showWhole()
    else if (shiftKey && key === "ArrowLeft") pan(far, 0)
    else if (shiftKey && key === "ArrowRight") pan(-far, 0)
    else if (shiftKey && key === "ArrowUp") pan(0, far)
    else if (shiftKey && key === "ArrowDown") pan(0, -far)
    else return
    event.preventDefault()
  }

  return (
    <div className="stage">
      <section
        ref={frame}
        className="stage-frame"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: plus, minus, zero and Shift with arrows work here
        tabIndex={0}
        aria-label={label}
        {...drag}
        onKeyDown={onKeyDown}
      >
        {at.width > 0 && at.height > 0 && children(at)}
      </section>
      <div className="stage-foot">
        {at.width > 0 && <ScaleBar scale={at.scale} />}
        <div className="stage-aside">{aside}</div>
        <fieldset className="stage-zoom">
          <legend className="unseen">Distance to the bench</legend>
          <Button onPress={() => zoom(1.5)}>Closer</Button>
          <Button onPress={() => zoom(1 / 1.5)}>Farther</Button>
          <Button onPress={showWhole} isDisabled={moved === undefined && focus === undefined}>
            {whole}
          </Button>
        </fieldset>
      </div>
    </div>
  )
}

function wholeIn(box: Box, size: { width: number; height: number }, room: number) {
  const w = Math.max(1, box.maxX - box.minX)
  const h = Math.max(1, box.maxY - box.minY)
  const scale = Math.max(
    0.05,
    Math.min((size.width * (1 - 2 * room)) / w, (size.height * (1 - 2 * room)) / h),
  )
  return {
    scale,
    left: size.width / 2 - ((box.minX + box.maxX) / 2) * scale,
    top: size.height / 2 - ((box.minY + box.maxY) / 2) * scale,
  }
}

/** A place in the middle, near enough to judge it and far enough to know where on the lamp it is. */
function around(
  place: { x: number; y: number },
  box: Box,
  size: { width: number; height: number },
  room: number,
) {
  const scale = Math.min(most, wholeIn(box, size, room).scale * 2.6)
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

/** One pointer moves, two pinch. */
function useDrag(
  pan: (dx: number, dy: number) => void,
  zoom: (factor: number, x: number, y: number) => void,
) {
  const pointers = useRef(new Map<number, { x: number; y: number }>())
  const forget = (event: React.PointerEvent) => pointers.current.delete(event.pointerId)
  return {
    onPointerDown(event: React.PointerEvent<HTMLElement>) {
      if (event.button !== 0) return
      pointers.current.set(event.pointerId, { x: event.clientX, y: event.clientY })
    },
    onPointerMove(event: React.PointerEvent<HTMLElement>) {
      const before = pointers.current.get(event.pointerId)
      if (!before) return
      const here = { x: event.clientX, y: event.clientY }
      const other = [...pointers.current].find(([id]) => id !== event.pointerId)?.[1]
      pointers.current.set(event.pointerId, here)
      if (Math.hypot(here.x - before.x, here.y - before.y) > 1)
        event.currentTarget.setPointerCapture(event.pointerId)
      if (!other) return pan(here.x - before.x, here.y - before.y)
      const was = Math.hypot(before.x - other.x, before.y - other.y)
      const is = Math.hypot(here.x - other.x, here.y - other.y)
      const box = event.currentTarget.getBoundingClientRect()
      if (was > 0) zoom(is / was, (here.x + other.x) / 2 - box.left, (here.y + other.y) / 2 - box.top)
    },
    onPointerUp: forget,
    onPointerCancel: forget,
    onPointerLeave: (event: React.PointerEvent<HTMLElement>) => {
      if (!event.currentTarget.hasPointerCapture(event.pointerId)) forget(event)
    },
  }
}
