// The lamp the page opens with: the Tern's rear lamp, text and drawing bundled.

import text from "../../../examples/tern/tern.yaml?raw"
import face from "../../../examples/tern/tern-face.svg?raw"

export interface LampSource {
  /** Name the description is saved under. */
  readonly file: string
  readonly text: string
  /** Drawing files by the name the description calls them. */
  readonly drawings: Readonly<Record<string, string>>
  /** Which lamp of this visit it is: two of them may be called by the same file name. */
  readonly lamp?: number | undefined
}

export const demo: LampSource = { file: "tern.yaml", text, drawings: { "tern-face.svg": face } }
