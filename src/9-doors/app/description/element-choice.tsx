// Which element of which drawing: those that the drawings in the page have.

import { useMemo } from "react"
import { usePage } from "../store.ts"
import { type NamedElement, namedElements } from "./drawing-ids.ts"
import type { Field } from "./fields.ts"

interface Props {
  readonly field: Field
  readonly id: string
  readonly described: string
  readonly change: (value: string) => void
  readonly elements: readonly NamedElement[]
}

/** Undefined where the field names no element, or no drawing has one. */
export function useElements(path: string): readonly NamedElement[] | undefined {
  const drawings = usePage((s) => s.drawings)
  const found = useMemo(() => namedElements(path, drawings), [path, drawings])
  return found && found.length > 0 ? found : undefined
}

export function ElementChoice({ field, id, described, change, elements }: Props) {
  const { written, required } = field
  const known = elements.some((e) => e.reference === written)
  const files = [...new Set(elements.map((e) => fileOf(e.reference)))]
  return (
    <select
      id={id}
      aria-describedby={described}
      value={written ?? ""}
      onChange={(e) => change(e.target.value)}
    >
      {(!required || written === undefined) && <option value="">not given</option>}
      {written !== undefined && !known && <option value={written}>{written}, not found here</option>}
      {files.map((file) => (
        <optgroup key={file} label={file}>
          {elements
            .filter((e) => fileOf(e.reference) === file)
            .map(({ reference, kind }) => (
              <option key={reference} value={reference}>
                {reference.slice(file.length + 1)}, {kind}
              </option>
            ))}
        </optgroup>
      ))}
    </select>
  )
}

const fileOf = (reference: string) => reference.slice(0, reference.indexOf("#"))
