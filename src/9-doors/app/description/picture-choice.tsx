// Things to choose from by their pictures; the words beside each say what it is.

import type { ReactNode } from "react"

export interface Pictured {
  /** Empty: nothing is written, the tool chooses. */
  readonly value: string
  readonly words: string
  readonly more?: string
  readonly picture?: ReactNode
}

interface Props {
  readonly id: string
  readonly legend: string
  readonly written: string | undefined
  readonly options: readonly Pictured[]
  readonly change: (value: string) => void
  /** Two beside each other where pictures are small. */
  readonly wide?: boolean
}

export function PictureChoice({ id, legend, written = "", options, change, wide = false }: Props) {
  return (
    <fieldset className="picture-choice" data-wide={wide || undefined}>
      <legend>{legend}</legend>
      {options.map(({ value, words, more, picture }) => (
        <label key={value}>
          <input type="radio" name={id} checked={value === written} onChange={() => change(value)} />
          {picture}
          <span>
            {words}
            {more !== undefined && <span className="soft"> {more}</span>}
          </span>
        </label>
      ))}
      {written !== "" && options.every((o) => o.value !== written) && (
        <p className="soft">{written} is not among these.</p>
      )}
    </fieldset>
  )
}
