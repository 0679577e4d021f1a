// The metal face: from a drawing, whose edges and circles are shown to choose from, or a plain plate with a row of holes.

import { useId, useState } from "react"
import { Button, FileTrigger } from "react-aria-components"
import { addEntry, removeEntry } from "../../../0-ground/text/edit-entries.ts"
import { type Doc, namesAt, writtenAt } from "../../../0-ground/text/edit-text.ts"
import { takeFiles } from "../drop-files.ts"
import { usePicking } from "../pick/picking.ts"
import { page, usePage } from "../store.ts"
import { plain } from "../words.ts"
import { makeChange } from "./make-change.ts"
import { type Seen, useSeenDrawings, usualHole } from "./seen-drawings.ts"
import { asName } from "./usual.ts"

export function FaceStep({ doc }: { readonly doc: Doc }) {
  const seen = useSeenDrawings()
  const faces = usePicking((s) => s.faces)
  const there = namesAt(doc, "faces")
  const [refused, setRefused] = useState("")
  return (
    <>
      {there.map((name) => {
        const face = faces.find((f) => f.name === name)
        return (
          <p key={name} className="walk-have">
            <strong>{plain(name)}</strong>{" "}
            {face
              ? `${face.ledHoles.length} LED holes, ${face.screwHoles.length} other holes`
              : "not read yet"}{" "}
            <button
              type="button"
              className="inline"
              aria-label={`Take out the face ${plain(name)}`}
              onClick={() => {
                const used = namesAt(doc, "groups").some((g) => writtenAt(doc, `groups.${g}.face`) === name)
                setRefused(
                  used
                    ? `A group shines through ${plain(name)}; take the group out first.`
                    : makeChange(`face ${name}`, (text) => removeEntry(text, `faces.${name}`)),
                )
              }}
            >
              Take out
            </button>
          </p>
        )
      })}
      <p className="soft">
        Drop an SVG drawing of the face anywhere on this page, or choose it. It is drawn in millimetres as
        seen from the road: one closed edge, a circle for each hole.
      </p>
      <FileTrigger acceptedFileTypes={[".svg"]} onSelect={(list) => void takeFiles([...(list ?? [])])}>
        <Button className="quiet">Choose a drawing</Button>
      </FileTrigger>
      {seen.map((s) => (
        <Found
          key={s.file}
          seen={s}
          taken={there.map((f) => writtenAt(doc, `faces.${f}.drawing`) ?? "")}
          names={there}
        />
      ))}
      <Plate names={there} />
      {refused !== "" && (
        <p className="field-fault" role="alert">
          {refused}
        </p>
      )}
    </>
  )
}

interface FoundProps {
  readonly seen: Seen
  readonly taken: readonly string[]
  readonly names: readonly string[]
}

function Found({ seen, taken, names }: FoundProps) {
  const drawings = usePage((s) => s.drawings)
  if (drawings[seen.file] === undefined) return null
  const left = seen.parts.filter((p) => !taken.includes(`${seen.file}#${p.id}`))
  return (
    <div className="walk-found">
      <h3>{seen.file}</h3>
      {seen.says.map((s) => (
        <p key={s} className={seen.parts.length === 0 ? "field-fault" : "soft"}>
          {s}
        </p>
      ))}
      {seen.parts.length > 0 && left.length === 0 && <p className="soft">Every face in it is used.</p>}
      {left.map((part) => (
        <FoundPart key={part.id} seen={seen} part={part} names={names} />
      ))}
    </div>
  )
}

interface PartProps {
  readonly seen: Seen
  readonly part: Seen["parts"][number]
  readonly names: readonly string[]
}

function FoundPart({ seen, part, names }: PartProps) {
  const id = useId()
  const [hole, setHole] = useState(String(usualHole(part.circles)))
  const [refused, setRefused] = useState("")
  const name = seen.file
  let face = asName(part.id) || "face"
  while (names.includes(face)) face += "-2"
  const use = () => {
    const { file, draft, drawings, change } = page.getState()
    const written = `{ drawing: "${name}#${part.id}", metal: stainless, thickness: 2 mm, hole: ${hole} mm }`
    const next = addEntry(draft, "faces", face, written)
    if ("refused" in next) return setRefused(next.refused)
    // The drawing goes along as looked at: an id may have been given to its top element.
    change({ file, text: next.text, drawings: { ...drawings, [name]: seen.text } }, `face ${face}`)
  }
  return (
    <div className="walk-part">
      <p>
        <strong>{part.id}</strong>, {part.width.toFixed(0)} × {part.height.toFixed(0)} mm
      </p>
      {part.circles.length > 0 ? (
        <div className="walk-field">
          <label htmlFor={id}>LED holes are the circles of</label>
          <select id={id} value={hole} onChange={(e) => setHole(e.target.value)}>
            {part.circles.map((c) => (
              <option key={c.diameter} value={c.diameter}>
                {c.diameter} mm ({c.count})
              </option>
            ))}
          </select>
        </div>
      ) : (
        <p className="field-fault">It has no circles, so no LED would shine through it.</p>
      )}
      <Button className="quiet" onPress={use} isDisabled={part.circles.length === 0}>
        Use {part.id} as a face
      </Button>
      {refused !== "" && (
        <p className="field-fault" role="alert">
          {refused}
        </p>
      )}
    </div>
  )
}

/** A face without a drawing: a plate with one row of holes. */
function Plate({ names }: { readonly names: readonly string[] }) {
  const id = useId()
  const [width, setWidth] = useState(120)
  const [height, setHeight] = useState(40)
  const [count, setCount] = useState(6)
  const [refused, setRefused] = useState("")
  let name = "plate"
  while (names.includes(name)) name += "-2"
  const sound = width >= 20 && width <= 600 && height >= 20 && height <= 400 && count >= 1 && count <= 60
  const edge = 12
  const add = () =>
    setRefused(
      makeChange(`face ${name}`, (text) =>
        addEntry(
          text,
          "faces",
          name,
          `{ outline: { rectangle: ${width} × ${height} mm, corner: 4 mm }, holes: { along: line, from: [${edge} mm, ${height / 2} mm], to: [${width - edge} mm, ${height / 2} mm], count: ${count} }, metal: aluminium, thickness: 2 mm, hole: 5.2 mm }`,
        ),
      ),
    )
  const number = (label: string, value: number, set: (v: number) => void, key: string) => (
    <div className="walk-field">
      <label htmlFor={`${id}-${key}`}>{label}</label>
      <input id={`${id}-${key}`} type="number" value={value} onChange={(e) => set(Number(e.target.value))} />
    </div>
  )
  return (
    <details className="walk-plate">
      <summary>Without a drawing: a plate with a row of holes</summary>
      {number("width, mm", width, setWidth, "w")}
      {number("height, mm", height, setHeight, "h")}
      {number("holes of 5.2 mm", count, setCount, "n")}
      <Button className="quiet" onPress={add} isDisabled={!sound}>
        Add this plate
      </Button>
      {!sound && <p className="soft">20 to 600 mm wide, 20 to 400 mm high, 1 to 60 holes.</p>}
      {refused !== "" && (
        <p className="field-fault" role="alert">
          {refused}
        </p>
      )}
    </details>
  )
}
