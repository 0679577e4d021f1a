// Which wires of the vehicle reach the lamp.

import { useId, useState } from "react"
import { addEntry, removeEntry } from "../../../0-ground/text/edit-entries.ts"
import { type Doc, listAt, namesAt, setValue, writtenAt } from "../../../0-ground/text/edit-text.ts"
import { makeChange } from "./make-change.ts"
import { usualWires } from "./usual.ts"

const flashers: Readonly<Record<string, string>> = {
  electronic: "electronic, for any load",
  "load-sensing": "electronic, watches its load",
  thermal: "thermal, clicks by heat",
}

export function WireStep({ doc }: { readonly doc: Doc }) {
  const [refused, setRefused] = useState("")
  const there = namesAt(doc, "vehicle.wires")
  const id = useId()
  const flashing = there.filter((w) => writtenAt(doc, `vehicle.wires.${w}.role`) === "flashing")
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
      {flashing.length > 0 && (
        <div className="walk-field">
          <label htmlFor={id}>flasher in the vehicle</label>
          <select
            id={id}
            value={writtenAt(doc, `vehicle.wires.${flashing[0]}.flasher`) ?? ""}
            onChange={(e) =>
              setRefused(
                makeChange(
                  "flasher",
                  ...flashing.map(
                    (w) => (text: string) => setValue(text, `vehicle.wires.${w}.flasher`, e.target.value),
                  ),
                ),
              )
            }
          >
            {Object.entries(flashers).map(([key, says]) => (
              <option key={key} value={key}>
                {says}
              </option>
            ))}
          </select>
        </div>
      )}
      {refused !== "" && (
        <p className="field-fault" role="alert">
          {refused}
        </p>
      )}
    </fieldset>
  )
}
