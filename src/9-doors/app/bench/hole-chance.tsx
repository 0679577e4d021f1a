// One LED in its hole, far enlarged: where its middle comes to stand, and the chance that it enters. And the notch that
// the wires leave through.

import type { Figure } from "../../../0-ground/figure.ts"
import { show, showNumber } from "../../../0-ground/text/show.ts"

interface Props {
  /** `fit.<board>.<group>.leds-enter`. */
  readonly figure: Figure
  /** The same with the errors that all LEDs share. */
  readonly together: Figure | undefined
  readonly flange: number | undefined
  readonly colour: string
  readonly led: string | undefined
}

const size = 116

export function HoleChance({ figure, together, flange, colour, led }: Props) {
  const of = (end: string) => figure.inputs?.find((f) => f.id.endsWith(end))?.value
  const [hole, body, spread, play, count] = [
    of(".hole"),
    of(".diameter"),
    of(".spread"),
    of(".play"),
    of(".count"),
  ]
  const errors = ["fit.face-hole-error", "fit.board-hole-error", "fit.lead-bend"].map((id) => of(id) ?? 0)
  if (hole === undefined || body === undefined || count === undefined) return null
  const sigma = Math.hypot(...errors)
  const each = (figure.value / 100) ** (1 / count)
  const k = size / 2 / (((flange ?? hole) / 2) * 1.12)
  // As far as the middle may stand from the hole's middle and the body still enters.
  const free = (hole - body) / 2 + (play ?? 0)
  const near = (size / 2 - 18) / Math.max(free, 3 * sigma)
  return (
    <section className="hole-chance" aria-label="LEDs in their holes">
      <h3>{led ?? "One LED"} in its hole</h3>
      <div className="hole-row">
        <svg
          width={2 * size}
          height={size}
          viewBox={`${-size / 2} ${-size / 2} ${2 * size} ${size}`}
          role="img"
          aria-label={`Hole ${showNumber(hole)} mm, body ${showNumber(body)} mm; it enters with its middle within ${showNumber(free)} mm`}
        >
          {flange !== undefined && <circle className="flange-ring" r={(k * flange) / 2} />}
          <circle className="hole-wall" r={(k * hole) / 2} />
          <circle className="hole-body" data-colour={colour} r={(k * body) / 2} />
          {spread !== undefined && <circle className="body-most" r={(k * (body + spread)) / 2} />}
          <circle className="free-ring" r={k * free} />
          <g transform={`translate(${size} 0)`}>
            <circle className="free-area" r={near * free} />
            {[3, 2, 1].map((n) => (
              <circle key={n} className="error-ring" r={near * n * sigma} />
            ))}
            <path className="cross" d="M-4 0h8M0 -4v8" />
            <text y={size / 2 - 3} textAnchor="middle">
              middle, {Math.round(near / k)} times larger
            </text>
          </g>
        </svg>
        <dl className="depth-facts">
          <dt>Each enters</dt>
          <dd>{chance(100 * each)}</dd>
          <dt>All {count} enter</dt>
          <dd>{chance(figure.value)}</dd>
          {together && (
            <>
              <dt>With the board's own shift and turn</dt>
              <dd>{chance(together.value)}</dd>
            </>
          )}
          <dt>Hole, body</dt>
          <dd>
            {showNumber(hole)} mm, {showNumber(body)} ± {showNumber(spread ?? 0)} mm
          </dd>
          <dt>Middles apart, one deviation</dt>
          <dd>{show(sigma, "mm", 2)} each way</dd>
        </dl>
      </div>
      <p className="view-words">
        Light disc: where the middle may stand and the LED still enters. Rings: one, two and three deviations
        of hand work.
      </p>
    </section>
  )
}

/** Digits enough to tell 99.99 from 100. */
const chance = (p: number) => `${p > 99.9 ? p.toFixed(p > 99.99 ? 4 : 3) : showNumber(p, 4)} %`

export function NotchPicture({
  bundle,
  notch,
}: {
  readonly bundle: number
  readonly notch: number | undefined
}) {
  const widest = Math.max(bundle, notch ?? 0)
  const k = 46 / widest
  return (
    <section className="notch" aria-label="Wires through the housing">
      <h3>Wires through the housing</h3>
      <div className="hole-row">
        <svg width={60} height={60} viewBox="-30 -30 60 60" aria-hidden="true">
          {notch !== undefined && <circle className="hole-wall" r={(k * notch) / 2} />}
          <circle className="bundle" r={(k * bundle) / 2} />
        </svg>
        <p className="view-words">
          Bundle {show(bundle, "mm")} across.{" "}
          {notch === undefined
            ? "The description names no notch; make it wider than this."
            : `Notch ${show(notch, "mm")}: ${notch >= bundle ? `${show(notch - bundle, "mm")} to spare` : `${show(bundle - notch, "mm")} too narrow`}.`}
        </p>
      </div>
    </section>
  )
}
