// One of a few words, side by side: radio buttons as the browser has them, drawn as words.

import { useId } from "react"

interface Props<T extends string | number> {
  readonly label: string
  readonly options: readonly (readonly [value: T, words: string])[]
  readonly value: T | undefined
  readonly choose: (value: T) => void
  readonly isDisabled?: boolean
}

export function Choice<T extends string | number>({
  label,
  options,
  value,
  choose,
  isDisabled = false,
}: Props<T>) {
  const name = useId()
  return (
    <div role="radiogroup" aria-label={label} className="choice">
      {options.map(([of, words]) => (
        <label
          key={of}
          className="choice-item"
          data-selected={of === value || undefined}
          data-disabled={isDisabled || undefined}
        >
          <input
            type="radio"
            className="unseen"
            name={name}
            checked={of === value}
            disabled={isDisabled}
            onChange={() => choose(of)}
          />
          {words}
        </label>
      ))}
    </div>
  )
}
