// Under a group: what may be held by hand of how it is driven.

import type { Doc } from "../../../0-ground/text/edit-text.ts"
import { writtenAt } from "../../../0-ground/text/edit-text.ts"
import { usePage } from "../store.ts"
import { fittedIn } from "./drive-choice.tsx"
import { FieldSet } from "./field-set.tsx"

export function DriveChoices({ doc, group }: { readonly doc: Doc; readonly group: string }) {
  const two = usePage((s) => fittedIn((s.early ?? s.design)?.circuit, group).length > 1)
  const path = (name: string) => `pins."drive.${group}.${name}"`
  const names = ["way", "in-series", "resistor", "second-resistor", "resistor-part"].filter(
    (name) => name !== "second-resistor" || two || writtenAt(doc, path(name)) !== undefined,
  )
  return (
    <div className="drive-choices">
      {names.map((name) => (
        <FieldSet key={name} doc={doc} path={path(name)} />
      ))}
    </div>
  )
}
