// Entries of a list or of a mapping with names of the builder's own: each with its fields, one more, one less.

import { type ReactNode, useId, useState } from "react"
import { addEntry, addItem, removeEntry } from "../../../0-ground/text/edit-entries.ts"
import { type Doc, type Edited, namesAt, removeKey } from "../../../0-ground/text/edit-text.ts"
import { page } from "../store.ts"
import type { Field } from "./fields.ts"

interface Props {
  readonly doc: Doc
  readonly field: Field
  /** The fields of one entry. */
  readonly fields: (path: string) => ReactNode
}

export function EntrySet({ doc, field, fields }: Props) {
  const id = useId()
  const [name, setName] = useState("")
  const [refused, setRefused] = useState("")
  const { path, label, entries } = field
  if (!entries) return null
  const there = namesAt(doc, path)
  const make = (change: (text: string) => Edited) => {
    const { draft, edit } = page.getState()
    const next = change(draft)
    if ("refused" in next) return setRefused(next.refused)
    setRefused("")
    edit(next.text, label)
  }
  const add = () => {
    if (!entries.named) return make((text) => addItem(text, path, entries.written))
    const key = name.trim()
    if (key === "") return setRefused("It needs a name.")
    const spelt = /^[\w-]+$/.test(key) ? key : JSON.stringify(key)
    if (there.includes(key)) return setRefused(`${key} is there already.`)
    make((text) => addEntry(text, path, spelt, entries.written))
    setName("")
  }
  return (
    <div className="entries">
      {there.map((key, i) => {
        const own = `${path}.${key.includes(".") ? `"${key}"` : key}`
        const words = entries.named ? key : `${label} ${i + 1}`
        return (
          <div key={own} className="entry">
            <p className="entry-head">
              <span>{words}</span>
              <button
                type="button"
                className="inline"
                aria-label={`Take out ${words}`}
                onClick={() =>
                  make((text) => (entries.named ? removeKey(text, own) : removeEntry(text, own)))
                }
              >
                Take out
              </button>
            </p>
            {fields(own)}
          </div>
        )
      })}
      <p className="entry-add">
        {entries.named && (
          <>
            <label htmlFor={id} className="unseen">
              Name of one more: {label}
            </label>
            <input
              id={id}
              className="entry-name"
              value={name}
              placeholder={entries.named}
              onChange={(e) => setName(e.target.value)}
            />
          </>
        )}
        <button type="button" className="quiet" onClick={add}>
          Add: {entries.one}
        </button>
      </p>
      {refused !== "" && (
        <p className="field-fault" role="alert">
          {refused}
        </p>
      )}
    </div>
  )
}
