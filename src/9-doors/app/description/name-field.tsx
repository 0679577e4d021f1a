// The name of a wire, face, group or board, changed wherever the description calls it.

import { useId, useState } from "react"
import type { Doc } from "../../../0-ground/text/edit-text.ts"
import { makeChange } from "../start/make-change.ts"
import { asName } from "../start/usual.ts"
import { renaming } from "./rename.ts"

interface Props {
  readonly doc: Doc
  readonly path: string
  readonly moved: (path: string) => void
}

export function NameField({ doc, path, moved }: Props) {
  const id = useId()
  const cut = path.lastIndexOf(".")
  const name = path.slice(cut + 1)
  const [typed, setTyped] = useState<string>()
  const [refused, setRefused] = useState("")
  const settle = () => {
    setTyped(undefined)
    const to =
      typed === undefined ? name : /^[A-Za-z][\w-]*$/.test(typed.trim()) ? typed.trim() : asName(typed)
    if (to === name) return
    if (to === "") return setRefused("A name needs a letter.")
    const why = makeChange(`the name ${name}`, ...renaming(doc, path, to))
    setRefused(why)
    if (why === "") moved(`${path.slice(0, cut)}.${to}`)
  }
  return (
    <div className="field" data-severity={refused === "" ? undefined : "red"}>
      <label htmlFor={id}>name</label>
      <input
        id={id}
        type="text"
        value={typed ?? name}
        spellCheck={false}
        autoComplete="off"
        onChange={(e) => setTyped(e.target.value)}
        onBlur={settle}
        onKeyDown={(e) => {
          if (e.key === "Enter") settle()
          else if (e.key === "Escape") setTyped(undefined)
          else return
          e.preventDefault()
        }}
      />
      {refused !== "" && (
        <p className="field-fault" role="alert">
          {refused}
        </p>
      )}
    </div>
  )
}
