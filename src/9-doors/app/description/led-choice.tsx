// The LEDs of the stock as pictures to choose from.

import type { Field } from "./fields.ts"
import { LedPicture } from "./part-picture.tsx"
import { PictureChoice } from "./picture-choice.tsx"

interface Props {
  readonly field: Field
  readonly id: string
  readonly change: (value: string) => void
}

export function LedChoice({ field, id, change }: Props) {
  const options = field.options.map((key) => ({
    value: key,
    words: key.replace(/-(\d+)mm$/, " $1 mm"),
    picture: <LedPicture led={key} />,
  }))
  return (
    <PictureChoice id={id} legend={field.label} written={field.written} options={options} change={change} />
  )
}
