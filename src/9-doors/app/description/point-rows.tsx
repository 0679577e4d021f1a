// Points of an outline, a row of holes or a line, one row for each: x and y with their units, one more, one less.

import { useState } from "react"
import { addItem, removeEntry } from "../../../0-ground/text/edit-entries.ts"
import {
  type Doc,
  type Edited,
  namesAt,
  nodeAt,
  setValue,
  writtenAt,
} from "../../../0-ground/text/edit-text.ts"
import { page } from "../store.ts"
import type { Field } from "./fields.ts"
import { pointsOf } from "./forms.ts"
import { stepped } from "./step-value.ts"

export function PointRows({ doc, field }: { readonly doc: Doc; readonly field: Field }) {
  const [refused, setRefused] = useState("")
  const { path, label } = field
  const make = (words: string, change: (text: string) => Edited) => {
    const { draft, edit } = page.getState()
    const next = change(draft)
    if ("refused" in next) return setRefused(next.refused)
    setRefused("")
    edit(next.text, words, words)
  }
  const rows = namesAt(doc, path)
  return (
    <div className="points">
      {rows.map((i) => (
        <p key={i} className="point-row">
          <span className="soft">{Number(i) + 1}</span>
          {(["x", "y"] as const).map((axis, k) => (
            <Coordinate
              key={axis}
              name={`${label}, point ${Number(i) + 1}, ${axis}`}
              written={writtenAt(doc, `${path}.${i}.${k}`) ?? ""}
              change={(v) => make(`point ${Number(i) + 1}`, (text) => setValue(text, `${path}.${i}.${k}`, v))}
            />
          ))}
          <button
            type="button"
            className="inline"
            aria-label={`Take out point ${Number(i) + 1}`}
            onClick={() => make("a point", (text) => removeEntry(text, `${path}.${i}`))}
          >
            Take out
          </button>
        </p>
      ))}
      <button
        type="button"
        className="quiet"
        onClick={() => make("a point", (text) => addItem(text, path, nextPoint(doc, path)))}
      >
        Add: a point
      </button>
      {refused !== "" && (
        <p className="field-fault" role="alert">
          {refused}
        </p>
      )}
    </div>
  )
}

/** In a closed outline half way back to the first point; else as far on as the last two lie apart. */
function nextPoint(doc: Doc, path: string): string {
  const points = pointsOf(nodeAt(doc, path)?.toJS(doc))
  const [first, last, before] = [points[0], points.at(-1), points.at(-2)]
  if (!first || !last) return "[10 mm, 10 mm]"
  const closed = /\.(outline|clear\.\d+)\.points$/.test(path)
  const on = before ?? [last[0] - 10, last[1]]
  const at = ([0, 1] as const).map((k) => (closed ? (first[k] + last[k]) / 2 : 2 * last[k] - on[k]))
  return `[${at.map((v) => `${Math.round(v * 100) / 100} mm`).join(", ")}]`
}

interface CoordinateProps {
  readonly name: string
  readonly written: string
  readonly change: (value: string) => void
}

function Coordinate({ name, written, change }: CoordinateProps) {
  const [typed, setTyped] = useState<string>()
  const settle = () => {
    setTyped(undefined)
    const value = typed?.trim()
    if (value !== undefined && value !== "" && value !== written) change(value)
  }
  return (
    <input
      type="text"
      aria-label={name}
      value={typed ?? written}
      spellCheck={false}
      autoComplete="off"
      onChange={(e) => setTyped(e.target.value)}
      onBlur={settle}
      onKeyDown={(e) => {
        const next = stepped(typed ?? written, e.key === "ArrowUp" ? 1 : -1)
        if (e.key === "Enter") settle()
        else if (e.key === "Escape") setTyped(undefined)
        else if ((e.key === "ArrowUp" || e.key === "ArrowDown") && next !== undefined) {
          setTyped(undefined)
          change(next)
        } else return
        e.preventDefault()
      }}
    />
  )
}
