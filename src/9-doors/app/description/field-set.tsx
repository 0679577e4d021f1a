// The fields of one line: values with their units and steppers, choices, words and lists. Each changes its own
// place in the text and nothing else.

import { useEffect, useId, useRef, useState } from "react"
import { type Doc, type Edited, removeKey, setList, setValue } from "../../../0-ground/text/edit-text.ts"
import { page } from "../store.ts"
import { DriveChoice, driveChoice, FittedResistor } from "./drive-choice.tsx"
import { ElementChoice, useElements } from "./element-choice.tsx"
import { EntrySet } from "./entry-set.tsx"
import { type Field, fieldsAt } from "./fields.ts"
import { FormChoice } from "./form-choice.tsx"
import { LedChoice } from "./led-choice.tsx"
import { PickOnDrawing } from "./pick-on-drawing.tsx"
import { PointRows } from "./point-rows.tsx"
import { showInText } from "./show-in-text.ts"
import { stepped } from "./step-value.ts"
import { Ticks } from "./ticks.tsx"
import { faultAt, useFaults } from "./use-faults.ts"

/** A value half typed is taken up after this many milliseconds without a key. */
const rest = 700

export function FieldSet({ doc, path }: { readonly doc: Doc; readonly path: string }) {
  return (
    <div className="field-set">
      {fieldsAt(doc, path).map((field) => (
        <Row key={`${field.path} ${field.kind === "form"}`} doc={doc} field={field} />
      ))}
    </div>
  )
}

function Row({ doc, field }: { readonly doc: Doc; readonly field: Field }) {
  const id = useId()
  const fault = faultAt(useFaults(), field.path)
  const [refused, setRefused] = useState("")
  const elements = useElements(field.path)
  const change = (value: string) => setRefused(apply(field, value))
  if (/^groups\.[^.]+\.led$/.test(field.path)) return <LedChoice field={field} id={id} change={change} />
  const held = driveChoice(field.path)
  if (field.kind === "entries" || field.kind === "points")
    return (
      <div className="field-entries" data-field={field.path}>
        <p className="entries-label">{field.label}</p>
        {field.kind === "points" ? (
          <PointRows doc={doc} field={field} />
        ) : (
          <EntrySet doc={doc} field={field} fields={(path) => <FieldSet doc={doc} path={path} />} />
        )}
        {field.about !== "" && <p className="soft">{field.about}</p>}
      </div>
    )
  const told = refused || (fault ? `${fault.title} ${fault.advice}` : "")
  const props = { field, id, change, described: `${id}-about ${told === "" ? "" : `${id}-fault`}` }
  return (
    <div
      className="field"
      data-field={field.path}
      data-severity={told === "" ? undefined : (fault?.severity ?? "red")}
    >
      {field.kind === "ticks" ? (
        <span className="field-label">{field.label}</span>
      ) : held && field.kind === "choice" ? null : (
        <label htmlFor={id}>{field.label}</label>
      )}
      {held && field.kind === "choice" ? (
        <DriveChoice {...props} />
      ) : field.kind === "choice" ? (
        <Choice {...props} />
      ) : field.kind === "form" ? (
        <FormChoice {...props} tell={setRefused} />
      ) : field.kind === "ticks" ? (
        <Ticks {...props} />
      ) : field.kind === "elsewhere" ? (
        <button id={id} type="button" className="inline" onClick={() => showInText(field.path)}>
          {field.written === undefined ? "written out in the text" : field.written}
        </button>
      ) : elements && field.kind === "text" ? (
        <ElementChoice {...props} elements={elements} />
      ) : (
        <Words {...props} />
      )}
      {/^groups\.[^.]+\.holes$/.test(field.path) && <PickOnDrawing doc={doc} path={field.path} />}
      {held && /resistor$/.test(held.what) && <FittedResistor path={field.path} />}
      {told !== "" && (
        <p id={`${id}-fault`} className="field-fault" role="status">
          {told}
        </p>
      )}
      {field.about !== "" && (
        <p id={`${id}-about`} className="field-about soft">
          {field.about}
        </p>
      )}
    </div>
  )
}

interface ControlProps {
  readonly field: Field
  readonly id: string
  readonly described: string
  readonly change: (value: string) => void
}

function Choice({ field, id, described, change }: ControlProps) {
  const { options, written, usual, required } = field
  const known = written === undefined || options.includes(written) ? options : [written, ...options]
  return (
    <select
      id={id}
      aria-describedby={described}
      value={written ?? ""}
      onChange={(e) => change(e.target.value)}
    >
      {(!required || written === undefined) && (
        <option value="">{usual === "" ? "not given" : `not given: ${usual}`}</option>
      )}
      {known.map((o) => (
        <option key={o} value={o}>
          {o}
        </option>
      ))}
    </select>
  )
}

function Words({ field, id, described, change }: ControlProps) {
  const { written = "", usual, kind, label } = field
  const [typed, setTyped] = useState<string>()
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined)
  const pending = useRef<string>(undefined)
  const shown = typed ?? written
  const settle = (value: string | undefined) => {
    clearTimeout(timer.current)
    pending.current = undefined
    if (value !== undefined && value !== written) change(value)
  }
  // A line that closes while a value is half typed takes it along.
  const last = useRef(settle)
  last.current = settle
  useEffect(() => () => last.current(pending.current), [])
  const step = (direction: 1 | -1) => {
    const next = stepped(shown === "" ? usual : shown, direction)
    if (next === undefined) return
    setTyped(undefined)
    clearTimeout(timer.current)
    pending.current = undefined
    change(next)
  }
  const canStep = kind === "quantity" && stepped(shown === "" ? usual : shown, 1) !== undefined
  return (
    <span className="field-control">
      <input
        id={id}
        type="text"
        value={shown}
        placeholder={usual === "" ? "not given" : usual}
        aria-describedby={described}
        spellCheck={false}
        autoComplete="off"
        onChange={(e) => {
          const value = e.target.value
          setTyped(value)
          pending.current = value
          clearTimeout(timer.current)
          timer.current = setTimeout(() => last.current(value), value.trim() === "" ? 4 * rest : rest)
        }}
        onBlur={() => {
          settle(typed)
          setTyped(undefined)
        }}
        onKeyDown={(e) => {
          if (e.key === "Enter") {
            settle(typed)
            setTyped(undefined)
          } else if (e.key === "Escape" && typed !== undefined) {
            clearTimeout(timer.current)
            pending.current = undefined
            setTyped(undefined)
          } else if (kind === "quantity" && (e.key === "ArrowUp" || e.key === "ArrowDown"))
            step(e.key === "ArrowUp" ? 1 : -1)
          else return
          e.preventDefault()
        }}
      />
      {canStep && (
        <span className="field-steps">
          <button type="button" aria-label={`${label}: less`} onClick={() => step(-1)}>
            −
          </button>
          <button type="button" aria-label={`${label}: more`} onClick={() => step(1)}>
            +
          </button>
        </span>
      )}
    </span>
  )
}

/** Changes the text; says why where that cannot be done. */
function apply(field: Field, value: string): string {
  const { draft, edit } = page.getState()
  const edited = changeOf(draft, field, value.trim())
  if ("refused" in edited) return edited.refused
  edit(edited.text, field.label, field.path)
  return ""
}

function changeOf(text: string, field: Field, value: string): Edited {
  if (value === "") {
    return field.required
      ? { refused: "This is needed; the text keeps the value before." }
      : field.written === undefined
        ? { text }
        : removeKey(text, field.path)
  }
  if (field.kind !== "list" && field.kind !== "ticks") return setValue(text, field.path, value)
  const items = value
    .split(/,\s*/)
    .map((i) => i.trim())
    .filter((i) => i !== "")
  return setList(text, field.path, items)
}
