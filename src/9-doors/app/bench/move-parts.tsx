// Parts moved by hand on the board: dragged, or with the arrow keys, turned with R; where one is put it is held in the
// description, and the board is laid out around it.

import { useEffect, useState } from "react"
import { Button, ToggleButton } from "react-aria-components"
import type { Board, PlacedPart } from "../../../5-board/artefact.ts"
import type { Look } from "../look-at.ts"
import { pick } from "../picking.ts"
import { makeChange } from "../start/make-change.ts"
import { usePage } from "../store.ts"
import { type BoardFrame, pathOf } from "./board-frame.ts"
import { freePlace, grid, holdPlace, isHeld, onGrid, type Place } from "./hold-place.ts"
import type { Viewport } from "./stage.tsx"

interface Moving {
  readonly ref: string
  readonly place: Place
  /** Where the pointer took hold, client pixels; absent when moved by keys. */
  readonly from?: { readonly x: number; readonly y: number }
}

export interface PartMover {
  readonly on: boolean
  readonly moving: Moving | undefined
  readonly words: string
  setOn(on: boolean): void
  down(event: React.PointerEvent<SVGElement>): void
  move(event: React.PointerEvent<SVGElement>, view: Viewport): void
  up(event: React.PointerEvent<SVGElement>): void
  key(event: React.KeyboardEvent): void
  release(ref: string): void
}

/** LEDs stand behind their holes and cannot be moved. */
const movable = (board: Board | undefined, ref: string | undefined): PlacedPart | undefined =>
  board?.parts.find((p) => p.ref === ref && p.kind !== "led")

export function useMoveParts(
  board: Board | undefined,
  frame: BoardFrame | undefined,
  look: Look | undefined,
): PartMover {
  const [on, setOn] = useState(false)
  const [moving, setMoving] = useState<Moving>()
  const [words, setWords] = useState("")
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new board takes the place of the one moved on
  useEffect(() => setMoving(undefined), [board])
  const mirrored = frame?.side === "component" ? -1 : 1

  const commit = ({ ref, place }: Moving) => {
    if (!board) return
    const part = movable(board, ref)
    const put = onGrid(place)
    setMoving(undefined)
    if (!part) return
    if (put.x === part.x && put.y === part.y && put.rotation === part.rotation)
      return pick({ kind: "part", name: ref })
    const refused = makeChange(`moving ${ref}`, (text) => holdPlace(text, board.name, ref, put))
    setWords(
      refused === "" ? `${ref} is held at ${put.x}, ${put.y} mm; the board is laid out again.` : refused,
    )
    if (refused === "") setMoving({ ref, place: put })
  }
  return {
    on,
    moving,
    words,
    setOn(next) {
      setOn(next)
      setMoving(undefined)
      setWords("")
    },
    down(event) {
      if (!on || event.button !== 0) return
      const hit = (event.target as Element).closest<SVGElement>("[data-part],[data-land],[data-hole]")
      const land = hit?.dataset.land ?? hit?.dataset.hole
      const part = movable(board, hit?.dataset.part ?? land?.slice(0, land.lastIndexOf(".")))
      if (!part) return
      // The stage stays where it is.
      event.stopPropagation()
      event.currentTarget.setPointerCapture(event.pointerId)
      setWords("")
      setMoving({ ref: part.ref, place: part, from: { x: event.clientX, y: event.clientY } })
    },
    move(event, view) {
      const part = movable(board, moving?.ref)
      if (!part || !moving?.from || !event.currentTarget.hasPointerCapture(event.pointerId)) return
      event.stopPropagation()
      const dx = ((event.clientX - moving.from.x) / view.scale) * mirrored
      const dy = -(event.clientY - moving.from.y) / view.scale
      setMoving({
        ...moving,
        place: onGrid({ x: part.x + dx, y: part.y + dy, rotation: moving.place.rotation }),
      })
    },
    up(event) {
      if (!moving?.from || !event.currentTarget.hasPointerCapture(event.pointerId)) return
      event.stopPropagation()
      commit(moving)
    },
    key(event) {
      if (!on || event.ctrlKey || event.metaKey || event.altKey || event.shiftKey) return
      if (!(event.target as Element).closest(".stage-frame")) return
      const part = movable(board, moving?.ref ?? look?.thing?.name)
      const arrow = arrows[event.key]
      const turned = event.key.toLowerCase() === "r"
      if (!part) return
      const at = moving?.ref === part.ref ? moving.place : part
      if (arrow || turned) setWords("")
      if (arrow)
        setMoving({
          ref: part.ref,
          place: { ...at, x: at.x + 2 * grid * arrow[0] * mirrored, y: at.y + 2 * grid * arrow[1] },
        })
      else if (turned)
        setMoving({ ...moving, ref: part.ref, place: { ...at, rotation: (at.rotation + 90) % 360 } })
      else if (event.key === "Enter" && moving) commit(moving)
      else if (event.key === "Escape" && moving) setMoving(undefined)
      else return
      event.preventDefault()
      event.stopPropagation()
    },
    release(ref) {
      if (!board) return
      const refused = makeChange(`letting ${ref} find its own place`, (text) =>
        freePlace(text, board.name, ref),
      )
      setWords(refused === "" ? `${ref} finds its own place again.` : refused)
    },
  }
}

const arrows: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
}

/** The part where it is taken to. */
export function MovingPart({
  board,
  frame,
  mover: { moving },
}: {
  readonly board: Board
  readonly frame: BoardFrame
  readonly mover: PartMover
}) {
  const part = movable(board, moving?.ref)
  if (!part || !moving) return null
  const [from, to] = [frame.at(part), frame.at(moving.place)]
  const turn = (moving.place.rotation - part.rotation) * (frame.side === "copper" ? -1 : 1)
  return (
    <path
      className="moving-part"
      data-moving={part.ref}
      d={pathOf(part.body, frame, true)}
      transform={`translate(${to.x - from.x} ${to.y - from.y}) rotate(${turn} ${from.x} ${from.y})`}
    />
  )
}

/** Switch, what is going on, and the way to let a held part go. */
export function MoveControls({
  board,
  look,
  mover,
}: {
  readonly board: Board
  readonly look: Look | undefined
  readonly mover: PartMover
}) {
  const lamp = usePage((s) => s.design?.lamp)
  const ref = look?.thing?.kind === "part" ? look.thing.name : undefined
  const held = lamp && ref !== undefined && isHeld(lamp, board.name, ref)
  const { moving } = mover
  return (
    <>
      <ToggleButton className="head-toggle" isSelected={mover.on} onChange={mover.setOn}>
        Move parts
      </ToggleButton>
      {held && (
        <Button className="inline release-part" onPress={() => mover.release(ref)}>
          Let {ref} find its own place
        </Button>
      )}
      {mover.on && (
        <p className="view-words move-words" role="status">
          {moving && mover.words === ""
            ? `${moving.ref} to ${round(moving.place.x)}, ${round(moving.place.y)} mm, ${moving.place.rotation}°. Enter puts it there, R turns it, Escape leaves it.`
            : mover.words ||
              "Drag a part, or pick one and use arrows: it is held where you put it. LEDs stand behind their holes."}
        </p>
      )}
    </>
  )
}

const round = (mm: number) => Math.round(mm * 100) / 100
