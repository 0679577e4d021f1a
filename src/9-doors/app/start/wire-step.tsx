// Which wires of the vehicle reach the lamp.

import { useState } from "react"
import { addEntry, removeEntry } from "../../../0-ground/text/edit-entries.ts"
import { type Doc, listAt, namesAt, writtenAt } from "../../../0-ground/text/edit-text.ts"
import { makeChange } from "./make-change.ts"
import { usualWires } from "./usual.ts"

export function WireStep({ doc }: { readonly doc: Doc }) {
  const [refused, setRefused] = useState("")
  const there = namesAt(doc, "vehicle.wires")
  const own = there.filter((w) => !usualWires.some((u) => u.name === w))
  const watched = (w: string) =>
    namesAt(doc, "programme").some((i) => (listAt(doc, `programme.${i}.when`) ?? []).includes(w))
  const toggle = (name: string, written: string, on: boolean) => {
    if (!on && watched(name))
      return setRefused(`A line of the light programme asks for ${name}; take that out first.`)
    setRefused(
      makeChange(`wire ${name}`, (text) =>
        on ? addEntry(text, "vehicle.wires", name, written) : removeEntry(text, `vehicle.wires.${name}`),
      ),
    )
  }
  return (
    <fieldset className="walk-choices">
      <legend className="soft">
        Each with its usual bulb, fuse and size; every value can be changed under Description.
      </legend>
      {usualWires.map(({ name, about, written }) => (
        <label key={name}>
          <input
            type="checkbox"
            checked={there.includes(name)}
            onChange={(e) => toggle(name, written, e.target.checked)}
          />
          <span>
            {name} <span className="soft">{about}</span>
          </span>
        </label>
      ))}
      {own.map((name) => (
        <label key={name}>
          <input type="checkbox" checked onChange={() => toggle(name, "", false)} />
          <span>
            {name} <span className="soft">{writtenAt(doc, `vehicle.wires.${name}.role`)}</span>
          </span>
        </label>
      ))}
      {refused !== "" && (
        <p className="field-fault" role="alert">
          {refused}
        </p>
      )}
    </fieldset>
  )
}
