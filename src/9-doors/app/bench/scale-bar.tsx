// A bar of a round length, 60 to 150 pixels long, so that sizes on the bench can be judged.

import { showNumber } from "../../../0-ground/text/show.ts"

export function ScaleBar({ scale, unit = "mm" }: { readonly scale: number; readonly unit?: string }) {
  const length = roundLength(60 / scale)
  const px = length * scale
  return (
    <div className="scale-bar">
      <svg width={px + 2} height={9} aria-hidden="true">
        <path d={`M1 1 V8 M1 4.5 H${px + 1} M${px + 1} 1 V8`} />
      </svg>
      <span>
        {showNumber(length)}
        {unit === "°" ? "" : " "}
        {unit}
      </span>
    </div>
  )
}

/** The least of 1, 2, 5 × a power of ten that is not below `least`. */
export function roundLength(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least))
  const step = [1, 2, 5, 10].find((n) => n * power >= least * (1 - 1e-9)) ?? 10
  return step * power
}
