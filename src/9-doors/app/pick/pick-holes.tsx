// A face on the bench with its LED holes to be picked: pressed one by one, or a box drawn round many.

import { useMemo, useRef, useState } from "react"
import { Button } from "react-aria-components"
import { readDoc } from "../../../0-ground/text/edit-text.ts"
import type { Face } from "../../../2-lamp/artefact.ts"
import { makeChange } from "../start/make-change.ts"
import { usePage } from "../store.ts"
import { plain } from "../words.ts"
import { giveHoles, ownersOf, stopPicking, usePicking } from "./picking.ts"

interface Box {
  readonly x0: number
  readonly y0: number
  readonly x1: number
  readonly y1: number
}

export function PickHoles() {
  const group = usePicking((s) => s.group)
  const face = usePicking((s) => s.faces.find((f) => f.name === s.group?.face))
  if (!group) return null
  return (
    <section className="pick" aria-label={`Holes of ${plain(group.name)}`}>
      <div className="pick-head">
        <h2>Pick the holes of {plain(group.name)}</h2>
        <p>Press a hole to give it to the group or take it back; draw a box to give all inside it.</p>
      </div>
      {face ? (
        <Plate face={face} group={group} />
      ) : (
        <p className="view-words">This face cannot be read yet.</p>
      )}
    </section>
  )
}

function Plate({ face, group }: { readonly face: Face; readonly group: { name: string; face: string } }) {
  const draft = usePage((s) => s.draft)
  const owners = useMemo(() => {
    const doc = readDoc(draft)
    return doc ? ownersOf(doc, face) : new Map<string, string>()
  }, [draft, face])
  const [refused, setRefused] = useState("")
  const [box, setBox] = useState<Box>()
  const [at, setAt] = useState(0)
  const drawing = useRef<SVGSVGElement>(null)
  const holes = face.ledHoles
  const mine = holes.filter((h) => owners.get(h.id) === group.name)
  const free = holes.filter((h) => !owners.has(h.id))
  const give = (ids: readonly string[], on: boolean) =>
    ids.length > 0 &&
    setRefused(makeChange(`holes of ${group.name}`, (text) => giveHoles(text, face, group, ids, on)))

  const xs = face.outline.map((p) => p.x)
  const ys = face.outline.map((p) => -p.y)
  const [left, top] = [Math.min(...xs), Math.min(...ys)]
  const [w, h] = [Math.max(...xs) - left, Math.max(...ys) - top]
  const room = Math.max(4, 0.05 * Math.max(w, h))
  const ring = (points: readonly { x: number; y: number }[]) =>
    `M${points.map((p) => `${p.x} ${-p.y}`).join("L")}Z`

  const placeOf = (event: React.PointerEvent) => {
    const matrix = drawing.current?.getScreenCTM()?.inverse()
    const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix)
    return { x: p.x, y: p.y }
  }
  const boxed = (b: Box) =>
    holes.filter(
      (o) =>
        o.x >= Math.min(b.x0, b.x1) &&
        o.x <= Math.max(b.x0, b.x1) &&
        -o.y >= Math.min(b.y0, b.y1) &&
        -o.y <= Math.max(b.y0, b.y1),
    )
  const endBox = () => {
    if (box && Math.hypot(box.x1 - box.x0, box.y1 - box.y0) > 2)
      give(
        boxed(box).map((o) => o.id),
        true,
      )
    setBox(undefined)
  }
  const walk = (event: React.KeyboardEvent, i: number) => {
    const to = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key]
    const here = holes[i]
    if (event.key === " " || event.key === "Enter") {
      if (here) give([here.id], owners.get(here.id) !== group.name)
    } else if (to && here) {
      const next = nearest(holes, i, to[0] ?? 0, to[1] ?? 0)
      setAt(next)
      drawing.current?.querySelectorAll<SVGElement>("[role=checkbox]")[next]?.focus()
    } else return
    event.preventDefault()
    event.stopPropagation()
  }
  return (
    <>
      {/* biome-ignore lint/a11y/useSemanticElements: a drawing is no fieldset */}
      <svg
        ref={drawing}
        className="pick-drawing"
        viewBox={`${left - room} ${top - room} ${w + 2 * room} ${h + 2 * room}`}
        role="group"
        aria-label={`${plain(face.name)}, ${holes.length} LED holes, ${mine.length} in ${plain(group.name)}`}
        onPointerDown={(e) => {
          if (e.button !== 0 || (e.target as Element).closest("[role=checkbox]")) return
          const p = placeOf(e)
          e.currentTarget.setPointerCapture(e.pointerId)
          setBox({ x0: p.x, y0: p.y, x1: p.x, y1: p.y })
        }}
        onPointerMove={(e) => {
          if (!box) return
          const p = placeOf(e)
          setBox({ ...box, x1: p.x, y1: p.y })
        }}
        onPointerUp={endBox}
        onPointerCancel={() => setBox(undefined)}
      >
        <path
          className="pick-plate"
          d={[face.outline, ...face.windows].map(ring).join("")}
          fillRule="evenodd"
        />
        {face.screwHoles.map((s) => (
          <circle key={s.id} className="pick-screw" cx={s.x} cy={-s.y} r={s.diameter / 2} />
        ))}
        {holes.map((o, i) => {
          const owner = owners.get(o.id)
          const state = owner === group.name ? "mine" : owner === undefined ? "free" : "other"
          const words = owner === undefined ? "free" : `in ${plain(owner)}`
          return (
            // biome-ignore lint/a11y/useSemanticElements: a hole in a drawing is no input element
            <g
              key={o.id}
              role="checkbox"
              aria-checked={state === "mine"}
              aria-label={`Hole ${o.id}, ${words}`}
              tabIndex={i === Math.min(at, holes.length - 1) ? 0 : -1}
              data-hole={o.id}
              data-state={state}
              className="pick-hole"
              onFocus={() => setAt(i)}
              onClick={() => give([o.id], state !== "mine")}
              onKeyDown={(e) => walk(e, i)}
            >
              <circle className="pick-reach" cx={o.x} cy={-o.y} r={Math.max(o.diameter, 4)} />
              <circle className="pick-ring" cx={o.x} cy={-o.y} r={o.diameter / 2} />
              <title>{`${o.id}, ${words}`}</title>
            </g>
          )
        })}
        {box && (
          <rect
            className="pick-box"
            x={Math.min(box.x0, box.x1)}
            y={Math.min(box.y0, box.y1)}
            width={Math.abs(box.x1 - box.x0)}
            height={Math.abs(box.y1 - box.y0)}
          />
        )}
      </svg>
      <div className="pick-foot">
        <p role="status" className="pick-count">
          {mine.length} of {holes.length} holes in {plain(group.name)}
          {free.length > 0 ? `, ${free.length} free` : ""}.
          {refused !== "" && <span className="pick-refused"> {refused}</span>}
        </p>
        <Button
          isDisabled={free.length === 0}
          onPress={() =>
            give(
              free.map((o) => o.id),
              true,
            )
          }
        >
          Take all free holes
        </Button>
        <Button className="pick-done" onPress={stopPicking}>
          Done
        </Button>
      </div>
    </>
  )
}

/** The next hole that way: near, and not much to the side. */
function nearest(holes: Face["ledHoles"], from: number, dx: number, dy: number): number {
  const here = holes[from]
  let best = from
  let least = Number.POSITIVE_INFINITY
  if (!here) return from
  holes.forEach((o, i) => {
    const along = (o.x - here.x) * dx + (o.y - here.y) * dy
    const aside = Math.abs((o.x - here.x) * dy - (o.y - here.y) * dx)
    if (i === from || along <= 0.01) return
    if (along + 3 * aside < least) {
      least = along + 3 * aside
      best = i
    }
  })
  return best
}
