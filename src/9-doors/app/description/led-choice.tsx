// The LEDs of the stock as pictures to choose from; one that the face's holes do not fit says so by standing apart.

import { leds } from "../../../1-stock/leds.ts"
import type { Field } from "./fields.ts"
import { LedPicture } from "./part-picture.tsx"

interface Props {
  readonly field: Field
  readonly id: string
  readonly change: (value: string) => void
}

export function LedChoice({ field, id, change }: Props) {
  const { written, options } = field
  return (
    <fieldset className="led-choice">
      <legend>{field.label}</legend>
      {options.map((key) => (
        <label key={key}>
          <input type="radio" name={id} checked={key === written} onChange={() => change(key)} />
          <LedPicture led={key} />
          <span>{key.replace(/-(\d+)mm$/, " $1 mm")}</span>
        </label>
      ))}
      {written !== undefined && !leds.find(written) && <p className="soft">{written} is not in the stock.</p>}
    </fieldset>
  )
}
