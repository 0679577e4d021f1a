// What an opened line of the description shows: a picture of the thing, its name, its fields, and the ways out.

import type { Doc } from "../../../0-ground/text/edit-text.ts"
import { DriveChoices } from "./drive-choices.tsx"
import { FieldSet } from "./field-set.tsx"
import { LinePicture } from "./line-picture.tsx"
import { NameField } from "./name-field.tsx"
import { showInText } from "./show-in-text.ts"
import { canTakeOut, TakeOut } from "./take-out.tsx"

interface Props {
  readonly doc: Doc
  readonly path: string
  readonly name: string
  readonly close: () => void
  /** It stands under another name now. */
  readonly moved: (path: string) => void
}

export function OpenLine({ doc, path, name, close, moved }: Props) {
  return (
    <>
      <LinePicture path={path} />
      {canTakeOut(path) && !path.startsWith("programme.") && (
        <NameField doc={doc} path={path} moved={moved} />
      )}
      <FieldSet doc={doc} path={path} />
      {path.startsWith("groups.") && <DriveChoices doc={doc} group={path.slice("groups.".length)} />}
      <p className="line-ends">
        <button type="button" className="inline" onClick={() => showInText(path)}>
          Show in the text
        </button>
        {canTakeOut(path) && <TakeOut doc={doc} path={path} name={name} close={close} />}
      </p>
    </>
  )
}
