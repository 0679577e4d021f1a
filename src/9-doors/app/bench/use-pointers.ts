// Pointers on a stage: one moves it, two pinch it, and with Space held it follows the pointer alone. A touch that hardly
// moves is a tap, and its click goes to what lies under it.

import { useRef } from "react"
import { space } from "../space-key.ts"

/** Pixels a pointer may tremble before it moves the stage. */
const tremble = { mouse: 3, touch: 9 }

interface Moves {
  pan(dx: number, dy: number): void
  zoom(factor: number, x: number, y: number): void
  /** A pointer came down or let go: no move of another pointer goes on. */
  rest(): void
  /** The pointer went over the stage without moving it. */
  hover(x: number, y: number): void
}

export function usePointers({ pan, zoom, rest, hover }: Moves) {
  const pointers = useRef(new Map<number, { x: number; y: number; moving: boolean }>())
  const last = useRef<{ x: number; y: number } | undefined>(undefined)
  const forget = (event: React.PointerEvent<HTMLElement>) => {
    pointers.current.delete(event.pointerId)
    if (pointers.current.size > 0) return
    delete event.currentTarget.dataset.grabbed
    rest()
  }
  return {
    onPointerDown(event: React.PointerEvent<HTMLElement>) {
      // The middle button moves as well.
      if (event.button === 2) return
      if (pointers.current.size === 0) rest()
      pointers.current.set(event.pointerId, { x: event.clientX, y: event.clientY, moving: false })
    },
    onPointerMove(event: React.PointerEvent<HTMLElement>) {
      const here = { x: event.clientX, y: event.clientY }
      const before = pointers.current.get(event.pointerId)
      const box = event.currentTarget.getBoundingClientRect()
      if (!before) {
        if (space.held && last.current) {
          space.used = true
          pan(here.x - last.current.x, here.y - last.current.y)
        }
        last.current = here
        return hover(here.x - box.left, here.y - box.top)
      }
      last.current = here
      const slack = event.pointerType === "touch" ? tremble.touch : tremble.mouse
      const other = [...pointers.current].find(([id]) => id !== event.pointerId)?.[1]
      if (!before.moving && !other && Math.hypot(here.x - before.x, here.y - before.y) <= slack) return
      pointers.current.set(event.pointerId, { ...here, moving: true })
      event.currentTarget.setPointerCapture(event.pointerId)
      event.currentTarget.dataset.grabbed = ""
      if (!other) return pan(here.x - before.x, here.y - before.y)
      const was = Math.hypot(before.x - other.x, before.y - other.y)
      const is = Math.hypot(here.x - other.x, here.y - other.y)
      // Half of the move is this finger's: the middle between both goes with it.
      pan((here.x - before.x) / 2, (here.y - before.y) / 2)
      if (was > 0) zoom(is / was, (here.x + other.x) / 2 - box.left, (here.y + other.y) / 2 - box.top)
    },
    onPointerUp: forget,
    onPointerCancel: forget,
    onPointerLeave: (event: React.PointerEvent<HTMLElement>) => {
      if (!event.currentTarget.hasPointerCapture(event.pointerId)) forget(event)
      last.current = undefined
    },
  }
}
