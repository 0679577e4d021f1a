// Several of the words that are known: the wires a line waits for, what a group is seen as, what a board carries.

import { plain } from "../words.ts"
import type { Field } from "./fields.ts"

interface Props {
  readonly field: Field
  readonly described: string
  readonly change: (value: string) => void
}

export function Ticks({ field, described, change }: Props) {
  const now = (field.written ?? "").split(/,\s*/).filter((w) => w !== "")
  const known = [...field.options, ...now.filter((w) => !field.options.includes(w))]
  return (
    // biome-ignore lint/a11y/useSemanticElements: the row's own label names the group; a fieldset would name it twice
    <div className="field-ticks" role="group" aria-label={field.label} aria-describedby={described}>
      {known.map((word) => (
        <label key={word}>
          <input
            type="checkbox"
            checked={now.includes(word)}
            onChange={(e) =>
              change((e.target.checked ? [...now, word] : now.filter((w) => w !== word)).join(", "))
            }
          />
          <span>{plain(word)}</span>
        </label>
      ))}
    </div>
  )
}
