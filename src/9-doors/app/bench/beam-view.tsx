// The light of each function in all directions: bands of candela, the directions the rules name with what is left
// there, and the lamp as an eye sees it from 25 m.

import { memo, useEffect, useLayoutEffect, useMemo, useRef, useState } from "react"
import { showNumber } from "../../../0-ground/text/show.ts"
import type { Lamp } from "../../../2-lamp/artefact.ts"
import type { Beam, IntensityGrid } from "../../../7-proof/artefact.ts"
import { lightColour, paints } from "../light.ts"
import { page, usePage } from "../store.ts"
import { percent, plain } from "../words.ts"
import {
  type BeamCorner,
  type BeamPoint,
  bands,
  candela,
  corners,
  direction,
  gridOf,
  paintBeam,
  pointsOf,
  shades,
} from "./beam-map.ts"
import { SeenPictures } from "./seen-picture.tsx"
import { Stage, type Viewport } from "./stage.tsx"

export function BeamView() {
  const design = usePage((s) => s.design)
  const look = usePage((s) => s.look)
  const finding = usePage((s) => s.selected)
  const [chosen, setChosen] = useState(0)
  const [corner, setCorner] = useState<BeamCorner>("least")
  const [point, setPoint] = useState<{ readonly h: number; readonly v: number }>()
  const [under, setUnder] = useState("")
  const beams = design?.proof.beams ?? none
  const wanted = beams.findIndex((b) =>
    finding ? named(b) === finding.where.text : (look?.groups ?? []).includes(b.group),
  )
  const mine = look?.groups?.includes(beams[chosen]?.group ?? "") ?? false
  // biome-ignore lint/correctness/useExhaustiveDependencies: another pick brings its own beam, the chooser any other
  useEffect(() => {
    if (wanted >= 0 && (finding || !mine)) setChosen(wanted)
  }, [look, finding])
  const beam = beams[Math.min(chosen, beams.length - 1)]
  const grid = beam && gridOf(beam, corner)
  const points = useMemo(() => (beam && grid ? pointsOf(beam, grid) : []), [beam, grid])
  const peak = useMemo(() => (beam ? Math.max(1e-9, ...beam.usual.flat()) : 1), [beam])
  const content = useMemo(() => (beam ? contentOf(beam) : undefined), [beam])
  if (!design || !beam || !grid || !content) return null
  const leds =
    beam.group && (look?.leds ?? []).filter((l) => groupOf(design.lamp, beam)?.leds.some((g) => g.ref === l))
  const led = leds ? leds[0] : undefined
  const aim = led === undefined ? undefined : aimOf(design.lamp, led)
  const say = (h: number, v: number) => `${direction(h, v)}: ${showNumber(candela(beam, grid, h, v))} cd`
  return (
    <div className="view beam-view">
      <div className="view-head">
        <label className="corner-choice">
          <span>Beam of</span>
          <select value={chosen} onChange={(e) => setChosen(Number(e.target.value))}>
            {beams.map((b, i) => (
              <option key={named(b)} value={i}>
                {plain(b.group)} as {plain(b.function)}
              </option>
            ))}
          </select>
        </label>
        <label className="corner-choice">
          <span>with</span>
          <select value={corner} onChange={(e) => setCorner(e.target.value as BeamCorner)}>
            {Object.entries(corners).map(([key, words]) => (
              <option key={key} value={key}>
                {words}
                {key === "weatherLeast" && `: ${beam.weather.leastAt}`}
                {key === "weatherMost" && `: ${beam.weather.mostAt}`}
              </option>
            ))}
          </select>
        </label>
        <p className="view-words">Computed, not measured; {showNumber(beam.flux)} lm.</p>
      </div>
      <div className="beam-body">
        <Stage
          label={`Beam of ${plain(beam.group)} as ${plain(beam.function)}, degrees aside and up. Plus and minus zoom, zero shows all directions the rule names, Shift with arrows moves, comma and full stop pick LEDs.`}
          content={content}
          contentKey={named(beam)}
          whole="Whole beam"
          unit="°"
          gesture="drawn"
          pad={beamPad}
          picked={point ? { x: point.h, y: -point.v } : aim && { x: aim.right, y: -aim.up }}
          snaps={{
            points: points.map((p) => ({ x: p.h, y: -p.v, says: direction(p.h, p.v) })),
            edges: [],
          }}
          aside={
            <p className="read-out" role="status">
              {under ||
                (point
                  ? say(point.h, point.v)
                  : led !== undefined
                    ? ledWords(design.lamp, beam, led)
                    : `Axis ${showNumber(candela(beam, grid, 0, 0))} cd, most ${showNumber(Math.max(...grid.flat()))} cd`)}
            </p>
          }
        >
          {(view) => (
            <BeamPicture
              beam={beam}
              grid={grid}
              peak={peak}
              lamp={design.lamp}
              points={points}
              view={view}
              point={point}
              setPoint={setPoint}
              say={(h, v) => setUnder(h === undefined || v === undefined ? "" : say(h, v))}
              led={led}
              aim={aim}
            />
          )}
        </Stage>
        <aside className="beam-aside">
          <Legend peak={peak} rgb={paints[lightColour(groupOf(design.lamp, beam)?.led ?? "")].lit} />
          <Points beam={beam} points={points} corner={corner} point={point} setPoint={setPoint} />
          <SeenPictures lamp={design.lamp} beam={beam} picked={look?.leds ?? []} />
        </aside>
      </div>
    </div>
  )
}

const none: readonly Beam[] = []
const beamPad = { x: 34, top: 10, bottom: 24 }
const named = (b: Beam) => `${b.group} as ${b.function}`
const groupOf = (lamp: Lamp, beam: Beam) => lamp.groups.find((g) => g.name === beam.group)
const placeOf = (lamp: Lamp, ref: string) => lamp.groups.flatMap((g) => g.leds).find((l) => l.ref === ref)
const aimOf = (lamp: Lamp, ref: string) => placeOf(lamp, ref)?.aim ?? { right: 0, up: 0 }

/** What one LED gives to the beam. */
function ledWords(lamp: Lamp, beam: Beam, ref: string): string {
  const hole = placeOf(lamp, ref)?.hole
  const lit = beam.lit.find((l) => hole && Math.hypot(l.x - hole.x, l.y - hole.y) < 1e-6)
  if (!lit) return `${ref} is dark in this function`
  const whole = beam.lit.reduce((sum, l) => sum + l.light, 0)
  const aim = aimOf(lamp, ref)
  return `${ref} looks along ${direction(aim.right, aim.up)}: ${showNumber(lit.light)} cd on the axis, ${percent(lit.light / whole)} of all`
}

/** All the directions asked with a margin round them, and at least 20° × 12°. */
function contentOf(beam: Beam) {
  const reach = (all: readonly number[], least: number, most: number) =>
    Math.min(most, Math.max(least, ...all.map(Math.abs)) + 6)
  const h = reach(
    beam.asked.map((p) => p.h),
    20,
    90,
  )
  const v = reach(
    beam.asked.map((p) => p.v),
    12,
    45,
  )
  return { minX: -h, maxX: h, minY: -v, maxY: v }
}

interface PictureProps {
  readonly beam: Beam
  readonly grid: IntensityGrid
  readonly peak: number
  readonly lamp: Lamp
  readonly points: readonly BeamPoint[]
  readonly view: Viewport
  readonly point: { readonly h: number; readonly v: number } | undefined
  setPoint(point: { readonly h: number; readonly v: number }): void
  say(h: number | undefined, v?: number): void
  readonly led: string | undefined
  readonly aim: { readonly right: number; readonly up: number } | undefined
}

const BeamPicture = memo(function BeamPicture(props: PictureProps) {
  const { beam, grid, peak, lamp, points, view, point, setPoint, say, led, aim } = props
  const canvas = useRef<HTMLCanvasElement>(null)
  const { width, height, scale, left, top } = view
  const rgb = paints[lightColour(groupOf(lamp, beam)?.led ?? "")].lit
  useLayoutEffect(() => {
    if (canvas.current) paintBeam(canvas.current, beam, grid, peak, rgb, { width, height, scale, left, top })
  }, [beam, grid, peak, rgb, width, height, scale, left, top])
  const x = (h: number) => left + h * scale
  const y = (v: number) => top - v * scale
  const every = scale > 14 ? 5 : scale > 3.5 ? 10 : 30
  const roomy = scale >= 7
  return (
    <>
      <canvas ref={canvas} className="face-canvas" style={{ width, height }} />
      <svg
        className="beam-picture"
        width={width}
        height={height}
        role="img"
        aria-label={`${named(beam)}: ${points.length} directions asked by the rule, thinnest ${points[0] ? `${direction(points[0].h, points[0].v)}, ${percent(points[0].margin)} left` : "none"}`}
        onPointerMove={(e) => {
          const box = e.currentTarget.getBoundingClientRect()
          say((e.clientX - box.left - left) / scale, -(e.clientY - box.top - top) / scale)
        }}
        onPointerLeave={() => say(undefined)}
      >
        <g className="beam-lines">
          {lines(-90, 90, every).map((h) => (
            <path key={h} className={h === 0 ? "axis" : undefined} d={`M${x(h)} ${y(45)}V${y(-45)}`} />
          ))}
          {lines(-45, 45, every).map((v) => (
            <path key={v} className={v === 0 ? "axis" : undefined} d={`M${x(-90)} ${y(v)}H${x(90)}`} />
          ))}
          {lines(-90, 90, every)
            .filter((h) => x(h) > 24 && x(h) < width - 24)
            .map((h) => (
              <text key={h} x={x(h)} y={Math.max(13, y(45) - 6)} textAnchor="middle">
                {h === 0 ? "0°" : `${Math.abs(h)}° ${h < 0 ? "L" : "R"}`}
              </text>
            ))}
          {lines(-45, 45, every)
            .filter((v) => y(v) > 28 && y(v) < height - 8)
            .map((v) => (
              <text key={v} x={Math.max(4, x(-90) - 30)} y={y(v) + 4}>
                {v === 0 ? "" : `${Math.abs(v)}° ${v < 0 ? "D" : "U"}`}
              </text>
            ))}
        </g>
        {points.map((p) => (
          // biome-ignore lint/a11y/noStaticElementInteractions: the table beside holds a button for each direction
          <g
            key={`${p.h} ${p.v}`}
            className="beam-point"
            data-beam-point={`${p.h} ${p.v}`}
            data-state={stateOf(p)}
            data-picked={(p.h === point?.h && p.v === point.v) || undefined}
            transform={`translate(${x(p.h)} ${y(p.v)})`}
            onClick={() => setPoint(p)}
          >
            <circle r={roomy ? 4 : 3.2} />
            {roomy && (
              <text y={-8} textAnchor="middle">
                {p.margin < 0 ? "✕ " : ""}
                {showNumber(p.there)}
              </text>
            )}
            {roomy && (
              <text y={17} textAnchor="middle" className="asked">
                ≥ {showNumber(p.asked)}
              </text>
            )}
          </g>
        ))}
        {aim && led !== undefined && (
          <g data-beam-led={led} transform={`translate(${x(aim.right)} ${y(aim.up)})`}>
            <circle className="place-ring" r={13} />
          </g>
        )}
      </svg>
    </>
  )
})

function Legend({ peak, rgb }: { readonly peak: number; readonly rgb: readonly [number, number, number] }) {
  return (
    <ul className="beam-legend" aria-label="Candela at which each band begins">
      {shades(rgb).map((c, k) => (
        <li key={c.join()}>
          <svg width={14} height={12} aria-hidden="true">
            <rect width={14} height={12} fill={`rgb(${c.join()})`} />
          </svg>
          {k === 0 ? "0 cd" : showNumber(bands[k - 1]! * peak, 2)}
        </li>
      ))}
    </ul>
  )
}

interface PointsProps {
  readonly beam: Beam
  readonly points: readonly BeamPoint[]
  readonly corner: BeamCorner
  readonly point: { readonly h: number; readonly v: number } | undefined
  setPoint(point: { readonly h: number; readonly v: number }): void
}

function Points({ beam, points, corner, point, setPoint }: PointsProps) {
  const finding = usePage((s) =>
    s.design?.findings.find((f) => f.code === "light.distribution" && f.where.text === named(beam)),
  )
  if (points.length === 0)
    return <p className="view-words">No rule for this function is known here: nothing is asked.</p>
  return (
    <section aria-label="Directions the rule names">
      <h3>Asked by the rule</h3>
      <p className="view-words">
        {corner === "least"
          ? "As it is judged: weakest parts at the usual supply."
          : "Judged with the weakest parts; this is another corner."}{" "}
        {finding && (
          <button type="button" className="inline" onClick={() => page.getState().select(finding)}>
            Why
          </button>
        )}
      </p>
      <table className="bench-table beam-points">
        <caption className="unseen">Directions, thinnest first</caption>
        <thead>
          <tr>
            <th scope="col">Direction</th>
            <th scope="col" className="number">
              There
            </th>
            <th scope="col" className="number">
              Asked
            </th>
            <th scope="col" className="number">
              Left
            </th>
          </tr>
        </thead>
        <tbody>
          {points.map((p) => (
            <tr
              key={`${p.h} ${p.v}`}
              className={p.h === point?.h && p.v === point.v ? "marked" : undefined}
              data-state={stateOf(p)}
            >
              <th scope="row">
                <button type="button" className="pick-name" onClick={() => setPoint(p)}>
                  {direction(p.h, p.v)}
                </button>
              </th>
              <td className="number strong">{showNumber(p.there)} cd</td>
              <td className="number">≥ {showNumber(p.asked)}</td>
              <td className="number">
                {p.margin < 0 ? `missed by ${percent(-p.margin)}` : percent(p.margin)}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="view-words">A hand-built lamp is not type-approved; local law and a test house decide.</p>
    </section>
  )
}

const stateOf = (p: BeamPoint) => (p.margin < 0 ? "missed" : p.margin < 0.1 ? "thin" : "kept")

function lines(from: number, to: number, every: number): number[] {
  const out: number[] = []
  for (let a = Math.ceil(from / every) * every; a <= to; a += every) out.push(a)
  return out
}
