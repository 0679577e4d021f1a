// One wire, face, group, line of the programme or board less; one that others need says who needs it.

import { useState } from "react"
import { removeEntry } from "../../../0-ground/text/edit-entries.ts"
import { type Doc, listAt, namesAt, writtenAt } from "../../../0-ground/text/edit-text.ts"
import { type EditStep, makeChange } from "../start/make-change.ts"
import { takeOutGroup } from "../start/take-out-group.ts"
import { plain } from "../words.ts"

/** Whether the line at `path` is one of several that the builder may take out. */
export const canTakeOut = (path: string) =>
  /^(vehicle\.wires|faces|groups|boards)\.[^.]+$|^programme\.\d+$/.test(path)

export function TakeOut({
  doc,
  path,
  name,
  close,
}: {
  readonly doc: Doc
  readonly path: string
  readonly name: string
  readonly close: () => void
}) {
  const [refused, setRefused] = useState("")
  const take = () => {
    const needed = neededBy(doc, path)
    if (needed !== undefined) return setRefused(needed)
    const key = path.split(".").at(-1) ?? ""
    const step: EditStep = (text) => removeEntry(text, path)
    const why = path.startsWith("groups.") ? takeOutGroup(doc, key) : makeChange(name, step)
    if (why === "") close()
    else setRefused(why)
  }
  return (
    <>
      <button type="button" className="inline" aria-label={`Take out ${name}`} onClick={take}>
        Take out
      </button>
      {refused !== "" && (
        <p className="field-fault" role="alert">
          {refused}
        </p>
      )}
    </>
  )
}

/** Who needs what stands at `path`, in words; undefined when nobody does. */
function neededBy(doc: Doc, path: string): string | undefined {
  const key = path.split(".").at(-1) ?? ""
  const lines = namesAt(doc, "programme").filter((i) =>
    (listAt(doc, `programme.${i}.when`) ?? []).includes(key),
  )
  if (path.startsWith("vehicle.wires.") && lines.length > 0)
    return `A line of the light programme waits for ${key}; take that out first.`
  const groups = namesAt(doc, "groups").filter((g) => writtenAt(doc, `groups.${g}.face`) === key)
  if (path.startsWith("faces.") && groups.length > 0)
    return `${groups.map(plain).join(" and ")} ${groups.length === 1 ? "shines" : "shine"} through ${plain(key)}; take that out first.`
  const boards = namesAt(doc, "boards").filter((b) => writtenAt(doc, `boards.${b}.behind`) === key)
  if (path.startsWith("faces.") && boards.length > 0)
    return `Board ${boards.map(plain).join(" and ")} lies behind ${plain(key)}; take that out first.`
  return undefined
}
