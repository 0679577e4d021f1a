// LEDs that light together: a name, an LED, and the holes picked on the face.

import { useId, useState } from "react"
import { Button } from "react-aria-components"
import { type Doc, namesAt, writtenAt } from "../../../0-ground/text/edit-text.ts"
import { FieldSet } from "../description/field-set.tsx"
import { LedPicture } from "../description/part-picture.tsx"
import { ownersOf, startPicking, usePicking } from "../pick/picking.ts"
import { plain } from "../words.ts"
import { takeOutGroup } from "./take-out-group.ts"
import { asName, functions, ledsFor, usualFunction } from "./usual.ts"

export function GroupStep({ doc }: { readonly doc: Doc }) {
  const faces = usePicking((s) => s.faces)
  const picked = usePicking((s) => s.group)
  const groups = namesAt(doc, "groups")
  const [refused, setRefused] = useState("")
  if (faces.length === 0) return <p>The holes are picked on a face; bring one first.</p>
  return (
    <>
      {groups.map((g) => {
        const face = faces.find((f) => f.name === writtenAt(doc, `groups.${g}.face`))
        const count = face && [...ownersOf(doc, face).values()].filter((o) => o === g).length
        return (
          <p key={g} className="walk-have">
            <LedPicture led={writtenAt(doc, `groups.${g}.led`) ?? ""} />
            <strong>{plain(g)}</strong> {count === undefined ? "" : `${count} LEDs`}{" "}
            {face && (
              <button
                type="button"
                className="inline"
                aria-pressed={picked?.name === g}
                aria-label={`Pick holes of ${plain(g)}`}
                onClick={() => startPicking(g, face.name)}
              >
                Pick holes
              </button>
            )}{" "}
            <button
              type="button"
              className="inline"
              aria-label={`Take out the group ${plain(g)}`}
              onClick={() => setRefused(takeOutGroup(doc, g))}
            >
              Take out
            </button>
          </p>
        )
      })}
      <NewGroup doc={doc} />
      {namesAt(doc, "boards")
        .filter((b) => writtenAt(doc, `boards.${b}.behind`) !== undefined)
        .map((b) => (
          <div key={b} className="walk-part">
            <h3>Room behind {plain(writtenAt(doc, `boards.${b}.behind`) ?? b)}</h3>
            <FieldSet doc={doc} path={`boards.${b}.depth`} />
          </div>
        ))}
      {refused !== "" && (
        <p className="field-fault" role="alert">
          {refused}
        </p>
      )}
    </>
  )
}

function NewGroup({ doc }: { readonly doc: Doc }) {
  const id = useId()
  const faces = usePicking((s) => s.faces)
  const [words, setWords] = useState("")
  const [faceName, setFace] = useState("")
  const face = faces.find((f) => f.name === faceName) ?? faces.find((f) => freeOf(doc, f) > 0) ?? faces[0]
  const choices = ledsFor(face?.hole ?? 5)
  const [led, setLed] = useState("")
  const chosen = choices.find((l) => l.key === led) ?? choices[0]
  const [seenAs, setSeenAs] = useState("")
  if (!face || !chosen) return null
  const taken = namesAt(doc, "groups")
  let name = asName(words) || asName(`${face.name}-${chosen.colour}`)
  while (taken.includes(name)) name += "-2"
  const what = seenAs || usualFunction(chosen.colour)
  return (
    <fieldset className="walk-part" aria-label="New group">
      <h3>New group</h3>
      <div className="walk-field">
        <label htmlFor={`${id}-name`}>name</label>
        <input
          id={`${id}-name`}
          value={words}
          placeholder={name}
          onChange={(e) => setWords(e.target.value)}
        />
      </div>
      {faces.length > 1 && (
        <div className="walk-field">
          <label htmlFor={`${id}-face`}>face</label>
          <select id={`${id}-face`} value={face.name} onChange={(e) => setFace(e.target.value)}>
            {faces.map((f) => (
              <option key={f.name} value={f.name}>
                {plain(f.name)}, {freeOf(doc, f)} free holes
              </option>
            ))}
          </select>
        </div>
      )}
      <fieldset className="walk-leds">
        <legend>LED</legend>
        {choices.map((l) => (
          <label key={l.key}>
            <input
              type="radio"
              name={`${id}-led`}
              checked={l.key === chosen.key}
              onChange={() => setLed(l.key)}
            />
            <LedPicture led={l.key} />
            <span>{l.key.replace(/-(\d+)mm$/, " $1 mm")}</span>
          </label>
        ))}
      </fieldset>
      <div className="walk-field">
        <label htmlFor={`${id}-as`}>seen as</label>
        <select id={`${id}-as`} value={what} onChange={(e) => setSeenAs(e.target.value)}>
          {Object.entries(functions).map(([key, says]) => (
            <option key={key} value={key}>
              {says}
            </option>
          ))}
        </select>
      </div>
      <Button
        className="quiet"
        onPress={() => {
          startPicking(name, face.name, { led: chosen.key, functions: [what] })
          setWords("")
        }}
      >
        Pick the holes of {plain(name)}
      </Button>
    </fieldset>
  )

  function freeOf(d: Doc, f: (typeof faces)[number]) {
    return f.ledHoles.length - ownersOf(d, f).size
  }
}
