// One more wire, face, group, line of the programme or board. A new one begins as the usual thing of its kind and
// opens at once.

import { useId, useState } from "react"
import { addEntry, addItem } from "../../../0-ground/text/edit-entries.ts"
import { type Doc, listAt, namesAt, writtenAt } from "../../../0-ground/text/edit-text.ts"
import { makeChange } from "../start/make-change.ts"
import { asName, usualWires } from "../start/usual.ts"
import { plain } from "../words.ts"

type Kind = "wire" | "face" | "group" | "board"

const kinds: Readonly<Record<Kind, { at: string; begins: (doc: Doc, name: string) => string | undefined }>> =
  {
    wire: {
      at: "vehicle.wires",
      begins: (_, name) =>
        usualWires.find((u) => u.name === name)?.written ??
        "{ role: steady, fuse: 5 A, size: 0.75 mm², length: 2 m }",
    },
    face: {
      at: "faces",
      begins: () =>
        "{ outline: { rectangle: 60 × 24 mm }, holes: { along: line, from: [12 mm, 12 mm], to: [48 mm, 12 mm], count: 4 }, metal: aluminium, thickness: 2 mm, hole: 5.2 mm }",
    },
    group: {
      at: "groups",
      begins: (doc) => {
        const faces = namesAt(doc, "faces")
        const used = namesAt(doc, "groups").map((g) => writtenAt(doc, `groups.${g}.face`))
        const face = faces.find((f) => !used.includes(f)) ?? faces[0]
        return face === undefined ? undefined : `{ face: ${face}, led: red-5mm, functions: [rear-position] }`
      },
    },
    board: {
      at: "boards",
      begins: (doc) => {
        const carried = namesAt(doc, "boards").flatMap((b) => listAt(doc, `boards.${b}.carries`) ?? [])
        const group = namesAt(doc, "groups").find((g) => !carried.includes(g))
        const face = group === undefined ? undefined : writtenAt(doc, `groups.${group}.face`)
        if (group !== undefined && face !== undefined)
          return `{ carries: [${group}], behind: ${face}, inset: 3 mm, height: 11 mm }`
        return carried.includes("controller")
          ? "{ carries: [], outline: 60 × 40 mm, height: 11 mm }"
          : "{ carries: [controller, drivers, supply], outline: 100 × 72 mm, screws: { diameter: 3.2 mm, corners: 4 mm }, height: 22 mm }"
      },
    },
  }

interface AddProps {
  readonly doc: Doc
  readonly kind: Kind
  readonly open: (path: string) => void
}

export function AddNamed({ doc, kind, open }: AddProps) {
  const id = useId()
  const [words, setWords] = useState("")
  const [refused, setRefused] = useState("")
  const { at, begins } = kinds[kind]
  const add = () => {
    const name = asName(words)
    if (name === "") return setRefused(`A ${kind} needs a name.`)
    if (namesAt(doc, at).includes(name)) return setRefused(`${plain(name)} is there already.`)
    const written = begins(doc, name)
    if (written === undefined) return setRefused("A group shines through a face; add one first.")
    const why = makeChange(`a ${kind}`, (text) => addEntry(text, at, name, written))
    setRefused(why)
    if (why !== "") return
    setWords("")
    open(`${at}.${name}`)
  }
  return (
    <form
      className="more-lines"
      onSubmit={(e) => {
        e.preventDefault()
        add()
      }}
    >
      <label htmlFor={id} className="unseen">
        Name of one more {kind}
      </label>
      <input
        id={id}
        value={words}
        placeholder={`one more ${kind}`}
        autoComplete="off"
        onChange={(e) => setWords(e.target.value)}
      />
      <button type="submit" className="inline">
        Add {kind}
      </button>
      {refused !== "" && (
        <p className="field-fault" role="alert">
          {refused}
        </p>
      )}
    </form>
  )
}

export function AddProgramme({ doc, open }: { readonly doc: Doc; readonly open: (path: string) => void }) {
  const [refused, setRefused] = useState("")
  const add = () => {
    const lines = namesAt(doc, "programme")
    const wires = namesAt(doc, "vehicle.wires").filter((w) =>
      /^(steady|flashing)$/.test(writtenAt(doc, `vehicle.wires.${w}.role`) ?? ""),
    )
    const groups = namesAt(doc, "groups")
    const free = wires.flatMap((w) => groups.map((g) => [w, g] as const)).find(([w, g]) => !told(doc, w, g))
    if (!free)
      return setRefused(
        wires.length === 0 || groups.length === 0
          ? "A line lights a group while a wire is live; it needs one of each."
          : "Every wire lights every group already.",
      )
    const [when, light] = free
    const why = makeChange("a line of the programme", (text) =>
      addItem(text, "programme", `{ when: ${when}, light: ${light}, level: 100 % }`),
    )
    setRefused(why)
    if (why === "") open(`programme.${lines.length}`)
  }
  return (
    <p className="more-lines">
      <button type="button" className="inline" onClick={add}>
        Add line
      </button>
      {refused !== "" && (
        <span className="field-fault" role="alert">
          {refused}
        </span>
      )}
    </p>
  )
}

const told = (doc: Doc, wire: string, group: string) =>
  namesAt(doc, "programme").some(
    (i) =>
      writtenAt(doc, `programme.${i}.light`) === group &&
      (listAt(doc, `programme.${i}.when`) ?? []).includes(wire),
  )
