// While a gesture lasts the picture drawn before it is carried: moved and scaled as one layer, which asks no drawing of
// the page. It is drawn anew, sharp, once the gesture has ended or rested.

import { type RefObject, useCallback, useEffect, useLayoutEffect, useRef, useState } from "react"
import { flushSync } from "react-dom"
import { createStore, type StoreApi } from "zustand"
import type { Box } from "../../../0-ground/geometry/polygon.ts"
import type { Viewport } from "./stage.tsx"

/** Pixels for a millimetre, and where the content's origin lies. */
export interface Placing {
  readonly scale: number
  readonly left: number
  readonly top: number
}

/** A gesture rests when it has not moved for this long, ms. */
const rest = 140
/** A picture is stretched or shrunk no further than this before it is drawn anew. */
const stretch = 4
/** Share of the view that a picture which is not drawn whole reaches beyond each of its edges. */
export const beyond = 0.3

export interface Carried {
  /** Goes on the element that holds the picture. */
  readonly layer: RefObject<HTMLDivElement | null>
  /** Where the content is seen at this moment; `drawn` until it is carried. */
  readonly seen: StoreApi<Viewport>
  carry(to: Placing): void
  /** Draws what is carried, at once. */
  settle(): void
  /** Forgets the gesture: something else says where the content goes. */
  drop(): void
}

/** `draw` is asked to draw the picture at another place. `parts`: the content, where only what is near the view is drawn. */
export function useCarried(drawn: Viewport, parts: Box | undefined, draw: (to: Placing) => void): Carried {
  const layer = useRef<HTMLDivElement>(null)
  const at = useRef(drawn)
  at.current = drawn
  const to = useRef<Placing>(undefined)
  const resting = useRef<ReturnType<typeof setTimeout>>(undefined)
  const [seen] = useState(() => createStore<Viewport>(() => drawn))

  const show = useCallback(() => {
    const now = { ...at.current, ...to.current }
    if (layer.current) layer.current.style.transform = to.current ? transform(at.current, now) : ""
    seen.setState(now, true)
  }, [seen])
  const { width, height, scale, left, top } = drawn
  // biome-ignore lint/correctness/useExhaustiveDependencies: what is drawn elsewhere is carried from there
  useLayoutEffect(show, [width, height, scale, left, top])
  useEffect(() => () => clearTimeout(resting.current), [])

  const drop = useCallback(() => {
    clearTimeout(resting.current)
    if (!to.current) return
    to.current = undefined
    show()
  }, [show])
  const settle = useCallback(() => {
    clearTimeout(resting.current)
    const { current: place } = to
    if (!place) return
    flushSync(() => draw(place))
    to.current = undefined
    show()
  }, [draw, show])
  const carry = useCallback(
    (place: Placing) => {
      to.current = place
      show()
      if (!holds(at.current, { ...at.current, ...place }, parts)) return settle()
      clearTimeout(resting.current)
      resting.current = setTimeout(settle, rest)
    },
    [parts, show, settle],
  )
  return { layer, seen, carry, settle, drop }
}

function transform(drawn: Placing, now: Placing): string {
  const k = now.scale / drawn.scale
  return `translate(${now.left - drawn.left * k}px, ${now.top - drawn.top * k}px) scale(${k})`
}

/**
 * True while a picture drawn for one view serves another: not too coarse, and with enough of `parts` beyond the view that
 * there is time to draw the next.
 */
export function holds(drawn: Viewport, now: Viewport, parts: Box | undefined): boolean {
  const k = now.scale / drawn.scale
  if (k > stretch || k < 1 / stretch) return false
  if (!parts) return true
  const [there, seen] = [seenBox(drawn, beyond / 2), seenBox(now, 0)]
  const inside = (a: Box, b: Box) =>
    a.minX >= b.minX && a.minY >= b.minY && a.maxX <= b.maxX && a.maxY <= b.maxY
  const wanted = {
    minX: Math.max(seen.minX, parts.minX),
    minY: Math.max(seen.minY, parts.minY),
    maxX: Math.min(seen.maxX, parts.maxX),
    maxY: Math.min(seen.maxY, parts.maxY),
  }
  const nothing = wanted.maxX <= wanted.minX || wanted.maxY <= wanted.minY
  return nothing || inside(wanted, there)
}

/** Content millimetres in view, and `more` of the view's sides beyond each edge. */
export function seenBox({ left, top, width, height, scale }: Viewport, more: number): Box {
  return {
    minX: (-left - more * width) / scale,
    maxX: (-left + (1 + more) * width) / scale,
    minY: (-top - more * height) / scale,
    maxY: (-top + (1 + more) * height) / scale,
  }
}
