// The depth window beside the board: right depths over the height error of the surface, a depth to try, and what fails
// first beyond either end.

import { Label, Slider, SliderOutput, SliderThumb, SliderTrack } from "react-aria-components"
import { showNumber } from "../../../0-ground/text/show.ts"
import type { DepthWindow } from "../../../7-proof/artefact.ts"
import { plain } from "../words.ts"

interface Props {
  readonly board: string
  readonly window: DepthWindow
  readonly depth: number
  setDepth(depth: number): void
  readonly words: string
}

const [wide, high] = [252, 142]
const frame = { left: 34, right: 8, top: 12, bottom: 30 }

export function DepthPanel({ board, window: w, depth, setDepth, words }: Props) {
  const most = reach(w)
  const state = judged(w, depth)
  return (
    <aside className="depth-panel" aria-label={`Depth window of ${plain(board)}`}>
      <h3>Depth window</h3>
      <DepthPlot w={w} depth={depth} most={most} />
      <Slider
        className="depth-slider"
        value={depth}
        onChange={setDepth}
        minValue={0}
        maxValue={Math.round(most * 1000) / 1000}
        step={0.005}
        formatOptions={{ maximumFractionDigits: 3 }}
      >
        <Label>Cut at, mm</Label>
        <SliderOutput />
        <SliderTrack className="slider-track">
          <SliderThumb className="slider-thumb" />
        </SliderTrack>
      </Slider>
      <p className="depth-state" data-state={state.kind} role="status">
        {state.says} {words}
      </p>
      <dl className="depth-facts">
        <dt>Right on a flat sheet</dt>
        <dd>
          {mm(w.least)} to {mm(w.most)}
        </dd>
        <dt>Right within ±{mm(w.error)}</dt>
        <dd>
          {mm(w.least + w.error)} to {mm(w.most - w.error)}
        </dd>
        <dt>Best</dt>
        <dd>
          {mm(w.best)}, surface may be off by ±{mm(w.flatness)}
        </dd>
        <dt>Too shallow, first</dt>
        <dd>{w.shallowFails.what}</dd>
        <dt>Too deep, first</dt>
        <dd>{w.openEnded ? "nothing within the search" : w.deepFails.what}</dd>
      </dl>
      {depth !== w.set && (
        <p className="view-words">
          Only drawn: the programs cut at {mm(w.set)}, as the description says.{" "}
          <button type="button" className="inline" onClick={() => setDepth(w.set)}>
            Back to {mm(w.set)}
          </button>
        </p>
      )}
    </aside>
  )
}

function DepthPlot({
  w,
  depth,
  most,
}: {
  readonly w: DepthWindow
  readonly depth: number
  readonly most: number
}) {
  const peak = (w.most - w.least) / 2
  const tall = Math.max(0.005, Math.min(peak * 1.08, Math.max(w.error, w.flatness) * 2.2))
  const x = (d: number) =>
    frame.left + (Math.min(most, Math.max(0, d)) / most) * (wide - frame.left - frame.right)
  const y = (e: number) => high - frame.bottom - (e / tall) * (high - frame.top - frame.bottom)
  const up = Math.min(tall, peak)
  const region = [
    [w.least, 0],
    [w.least + up, up],
    [w.most - up, up],
    [w.most, 0],
  ] as const
  const says = `Right depths ${mm(w.least)} to ${mm(w.most)} on a flat sheet, narrowing by the height error on both sides; programs cut at ${mm(w.set)}.`
  const steps = ticks(most, 4)
  return (
    <svg
      className="depth-plot"
      viewBox={`0 0 ${wide} ${high}`}
      width={wide}
      height={high}
      role="img"
      aria-label={says}
    >
      <polygon className="region" points={region.map(([d, e]) => `${x(d)},${y(e)}`).join(" ")} />
      <path className="axis" d={`M${frame.left} ${frame.top - 6}V${y(0)}H${wide - frame.right}`} />
      {steps.map((d) => (
        <g key={d}>
          <path className="axis" d={`M${x(d)} ${y(0)}v4`} />
          <text x={x(d)} y={y(0) + 15} textAnchor="middle">
            {showNumber(d)}
          </text>
        </g>
      ))}
      {ticks(tall, 3).map((e) => (
        <text key={e} x={frame.left - 5} y={y(e) + 4} textAnchor="end">
          {showNumber(e)}
        </text>
      ))}
      <text x={wide - frame.right} y={high - 2} textAnchor="end">
        set depth, mm
      </text>
      <text x={2} y={8}>
        surface off by ±, mm
      </text>
      <path className="counted" d={`M${frame.left} ${y(w.error)}H${wide - frame.right}`} />
      <path className="set" d={`M${x(w.set)} ${y(0)}V${frame.top}`} />
      <circle className="set" cx={x(w.set)} cy={y(Math.min(tall, w.error))} r={3.5} />
      {depth !== w.set && <path className="tried" d={`M${x(depth)} ${y(0)}V${frame.top}`} />}
    </svg>
  )
}

/** Deeper than four times what matters nothing more is learnt from the picture. */
const reach = (w: DepthWindow) => Math.max(w.set * 1.5, Math.min(w.most * 1.12, Math.max(w.set, w.best) * 4))

function judged(w: DepthWindow, depth: number) {
  if (depth - w.least < 0) return { kind: "red", says: "Too shallow even on a flat sheet." }
  if (depth > w.most) return { kind: "red", says: "Too deep even on a flat sheet." }
  if (depth - w.least < w.error)
    return { kind: "amber", says: `Too shallow where the surface lies ${mm(w.error)} low.` }
  if (w.most - depth < w.error)
    return { kind: "amber", says: `Too deep where the surface lies ${mm(w.error)} high.` }
  return { kind: "green", says: "Right all over the sheet." }
}

function ticks(most: number, about: number): number[] {
  const rough = most / about
  const ten = 10 ** Math.floor(Math.log10(rough))
  const step = [1, 2, 5, 10].map((n) => n * ten).find((s) => s >= rough) ?? 10 * ten
  const out: number[] = []
  for (let k = 0; k * step <= most + 1e-9; k++) out.push(Number((k * step).toPrecision(6)))
  return out
}

const mm = (n: number) => `${showNumber(Math.round(n * 1000) / 1000)} mm`
