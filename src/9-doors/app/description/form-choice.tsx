// Which of several forms a thing is written in. Changing it takes along what the form before said; undo brings the
// form before back.

import { nodeAt, readDoc, removeKey, setForm } from "../../../0-ground/text/edit-text.ts"
import { ownersOf, picking } from "../pick/picking.ts"
import { page } from "../store.ts"
import type { Field } from "./fields.ts"
import type { Surroundings } from "./forms.ts"

interface Props {
  readonly field: Field
  readonly id: string
  readonly described: string
  readonly tell: (refused: string) => void
}

export function FormChoice({ field, id, described, tell }: Props) {
  const { options, written, required } = field
  const known = written === undefined || options.includes(written) ? options : [written, ...options]
  return (
    <select
      id={id}
      aria-describedby={described}
      value={written ?? ""}
      onChange={(e) => tell(changeForm(field, e.target.value))}
    >
      {(!required || written === undefined) && <option value="">not given</option>}
      {known.map((o) => (
        <option key={o}>{o}</option>
      ))}
    </select>
  )
}

/** Empty when changed; else why not. */
function changeForm({ path, label, forms }: Field, name: string): string {
  const { draft, edit } = page.getState()
  const doc = readDoc(draft)
  if (!doc) return "The text has a fault; mend it in the text first."
  const form = forms?.find((f) => f.name === name)
  const edited = form
    ? setForm(draft, path, form.begins(nodeAt(doc, path)?.toJS(doc), surroundings(path)))
    : removeKey(draft, path)
  if ("refused" in edited) return edited.refused
  edit(edited.text, label, path)
  return ""
}

function surroundings(path: string): Surroundings {
  const { draft, drawings } = page.getState()
  const doc = readDoc(draft)
  const group = /^groups\.([^.]+)\./.exec(path)?.[1]
  const faces = picking.getState().faces
  const holes = !doc
    ? []
    : faces.flatMap((f) => [...ownersOf(doc, f)].filter(([, g]) => g === group).map(([id]) => id))
  return { holes, drawing: Object.keys(drawings).find((f) => /\.svg$/i.test(f)) ?? "drawing.svg" }
}
