// How face, LEDs, board, spacers and cover lie on each other: a section at true proportion, the chance that the LEDs
// enter their holes, the notch for the wires, and every margin of the fit.

import { useMemo, useState } from "react"
import type { Figure } from "../../../0-ground/figure.ts"
import type { Finding } from "../../../0-ground/finding.ts"
import { show, showNumber } from "../../../0-ground/text/show.ts"
import { lightColour } from "../light.ts"
import { findFigure } from "../margins/why.tsx"
import { pick } from "../picking.ts"
import { page, usePage } from "../store.ts"
import { capital, leftWords, limitShort, plain, quantity, severityWord } from "../words.ts"
import { BoardChooser } from "./board-chooser.tsx"
import { DimensionLine } from "./dimensions.tsx"
import { type Section, sectionOf } from "./fit-section.ts"
import { HoleChance, NotchPicture } from "./hole-chance.tsx"
import type { Snaps } from "./snap.ts"
import { Stage, type Viewport } from "./stage.tsx"

export function FitView() {
  const design = usePage((s) => s.design)
  const name = usePage((s) => s.board)
  const look = usePage((s) => s.look)
  const [under, setUnder] = useState("")
  const board = design?.boards.boards.find((b) => b.name === name)
  const groups = useMemo(
    () =>
      design?.lamp.groups.filter((g) => g.leds.some((l) => board?.parts.some((p) => p.ref === l.ref))) ?? [],
    [design, board],
  )
  const group = groups.find((g) => look?.groups?.includes(g.name)) ?? groups[0]
  const section = useMemo(
    () => design && board && sectionOf(design.lamp, board, group?.name),
    [design, board, group],
  )
  if (!design || !board || !section) return null
  const face = design.lamp.faces.find((f) => f.name === board.face)
  const content = contentOf(section)
  const led = section.leds.find((l) => look?.leds.includes(l.ref))
  const figures = fitFigures(design.figures, board.name)
  return (
    <div className="view fit-view">
      <div className="view-head">
        <BoardChooser />
        <p className="view-words">
          {group
            ? `Section along the ${section.leds.length} LEDs of ${plain(group.name)}, unrolled; light goes up.`
            : "Section through the tallest part; what lies above the board is up."}{" "}
          {face ? `${capital(face.metal)} ${face.thickness} mm.` : ""}
        </p>
      </div>
      <div className="beam-body">
        <Stage
          label={`Section through ${plain(board.name)}. Plus and minus zoom, zero shows all of it, Shift with arrows moves, comma and full stop pick LEDs, Shift M measures.`}
          content={content}
          contentKey={`${board.name} ${group?.name} fit`}
          focus={nearLed(section, content, led ?? section.leds[0])}
          whole="Whole section"
          gesture="drawn"
          pad={fitPad}
          picked={led && { x: led.s, y: 0 }}
          snaps={snapsOf(section)}
          aside={<p className="read-out">{under || stackWords(section)}</p>}
        >
          {(view) => (
            // biome-ignore lint/a11y/useKeyWithClickEvents: comma and full stop pick LEDs by key
            <svg
              className="fit-picture"
              width={view.width}
              height={view.height}
              role="img"
              aria-label={`Section: ${stackWords(section)}`}
              onPointerOver={(e) =>
                setUnder((e.target as Element).closest("[data-says]")?.getAttribute("data-says") ?? "")
              }
              onPointerLeave={() => setUnder("")}
              onClick={(e) => {
                const hit = (e.target as Element).closest<SVGElement>("[data-fit-led],[data-fit-part]")
                const { fitLed, fitPart } = hit?.dataset ?? {}
                if (fitLed) pick({ kind: "led", name: fitLed })
                else if (fitPart) pick({ kind: "part", name: fitPart })
              }}
            >
              <g transform={`translate(${view.left} ${view.top}) scale(${view.scale})`}>
                <SectionDrawing
                  section={section}
                  colour={lightColour(group?.led ?? "")}
                  metal={face?.metal ?? ""}
                  base={design.lamp.copperClad.base}
                  head={figures.head?.value}
                  solder={figures.solder?.value ?? 0}
                  deepest={figures.deepest?.value}
                  leds={look?.leds ?? none}
                  parts={look?.parts ?? none}
                />
              </g>
              <StackDimensions section={section} view={view} />
            </svg>
          )}
        </Stage>
        <aside className="beam-aside">
          {group && figures.enter(group.name) && (
            <HoleChance
              figure={figures.enter(group.name)!}
              together={figures.together(group.name)}
              flange={section.body?.flange}
              colour={lightColour(group.led)}
              led={led?.ref}
            />
          )}
          {figures.bundle && (
            <NotchPicture
              bundle={figures.bundle.value}
              notch={design.lamp.boards.find((b) => b.name === board.name)?.notch}
            />
          )}
          <FitFindings findings={design.findings} board={board.name} />
        </aside>
      </div>
    </div>
  )
}

const none: readonly string[] = []
const fitPad = { x: 72, top: 18, bottom: 26 }

function fitFigures(figures: readonly Figure[], board: string) {
  const at = (id: string) => findFigure(figures, `fit.${board}.${id}`)
  return {
    enter: (group: string) => at(`${group}.leds-enter`),
    together: (group: string) => at(`${group}.enter-together`),
    head: at("screw-head.head"),
    solder: findFigure(figures, "fit.solder-height"),
    deepest: at("stack-depth"),
    bundle: at("wire-bundle"),
  }
}

/** z of the layers: the face's front is 0. */
const layers = (s: Section) => {
  const back = s.thickness
  const component = back + s.height
  return {
    back,
    component,
    copper: component + s.sheet,
    cover: s.cover === undefined ? undefined : back + s.cover,
  }
}

function contentOf(s: Section) {
  const { copper, cover } = layers(s)
  const dome = s.body ? s.body.tall - s.body.flangeThickness - s.thickness : 0
  return { minX: 0, maxX: s.length, minY: -Math.max(1, dome) - 1, maxY: (cover ?? copper + 3) + 1.5 }
}

const stackWords = (s: Section) =>
  [
    s.thickness > 0 && `face ${show(s.thickness, "mm")}`,
    `room ${show(s.height, "mm")}`,
    `board ${show(s.sheet, "mm")}`,
    s.body && `LEDs stand out ${show(s.body.tall - s.body.flangeThickness - s.thickness, "mm")}`,
    s.cover !== undefined && `cover ${show(s.cover, "mm")} behind the face`,
  ]
    .filter((w) => typeof w === "string")
    .join(", ")

/** A few LEDs to either side of one: a whole row is long and thin. */
function nearLed(
  s: Section,
  content: ReturnType<typeof contentOf>,
  led: Section["leds"][number] | undefined,
) {
  if (!led || s.length < 90) return undefined
  const half = 26
  const x = Math.max(half, Math.min(s.length - half, led.s))
  return { x, y: 0, key: led.ref, box: { ...content, minX: x - half, maxX: x + half } }
}

interface DrawingProps {
  readonly section: Section
  readonly colour: string
  readonly metal: string
  readonly base: string
  readonly head: number | undefined
  readonly solder: number
  readonly deepest: number | undefined
  readonly leds: readonly string[]
  readonly parts: readonly string[]
}

function SectionDrawing(props: DrawingProps) {
  const { section: s, colour, metal, base, head, solder, deepest, leds, parts } = props
  const { back, component, copper, cover } = layers(s)
  return (
    <g className="section" data-metal={metal} data-base={base}>
      <defs>
        <pattern
          id="cut-metal"
          width={1.1}
          height={1.1}
          patternUnits="userSpaceOnUse"
          patternTransform="rotate(45)"
        >
          <rect width={1.1} height={1.1} className="metal-ground" />
          <path d="M0 0V1.1" className="metal-hatch" />
        </pattern>
        <linearGradient id="lens-body" x1="0" x2="1" y1="0" y2="0">
          <stop offset="0" className="lens-dark" data-colour={colour} />
          <stop offset="0.45" className="lens-light" data-colour={colour} />
          <stop offset="1" className="lens-dark" data-colour={colour} />
        </linearGradient>
      </defs>
      {s.screws.map((screw) => (
        <Spacer key={`${screw.s} ${screw.beside}`} screw={screw} section={s} head={head} />
      ))}
      {s.blocks.map((b) => (
        <g
          key={`${b.ref} ${b.from}`}
          className={parts.includes(b.ref) ? "block marked" : "block"}
          data-fit-part={b.ref}
          data-says={`${b.ref}, ${show(b.height, "mm")} tall, ${show(s.height - b.height, "mm")} to what is above`}
        >
          <rect
            className="block-body"
            x={b.from}
            y={component - b.height}
            width={b.to - b.from}
            height={b.height}
          />
          <text x={(b.from + b.to) / 2} y={component - b.height / 2 + 0.6} textAnchor="middle">
            {b.ref}
          </text>
        </g>
      ))}
      {s.metal.map(([from, to]) => (
        <rect
          key={from}
          className="metal"
          x={from}
          y={0}
          width={to - from}
          height={s.thickness}
          data-says={`face, ${metal} ${show(s.thickness, "mm")}`}
        />
      ))}
      {s.metal.length === 0 && (
        <path className="above" d={`M0 ${back}H${s.length}`} data-says="what is above the board" />
      )}
      {s.board.map(([from, to]) => (
        <g key={from} data-says={`board ${show(s.sheet, "mm")}, ${base}; copper on the far side`}>
          <rect className="laminate" x={from} y={component} width={to - from} height={s.sheet} />
          <path className="foil" d={`M${from} ${copper}H${to}`} strokeWidth={Math.max(0.12, s.copper)} />
        </g>
      ))}
      {s.body &&
        s.leds.map((l) => {
          const { diameter, flange, flangeThickness, tall } = s.body!
          const seat = back + flangeThickness
          const top = seat - tall
          const r = diameter / 2
          return (
            <g
              key={l.ref}
              className={leds.includes(l.ref) ? "fit-led marked" : "fit-led"}
              data-fit-led={l.ref}
              data-says={`${l.ref} in a ${show(l.hole, "mm")} hole: ${show((l.hole - diameter) / 2, "mm")} of air all round`}
            >
              {l.leads.map((x) => (
                <path key={x} className="lead" d={`M${x} ${seat}V${copper + 1}`} />
              ))}
              {l.leads.map((x) => (
                <path
                  key={`solder ${x}`}
                  className="solder"
                  d={`M${x - 0.9} ${copper}Q${x - 0.25} ${copper + 0.2} ${x - 0.2} ${copper + solder * 0.66}H${x + 0.2}Q${x + 0.25} ${copper + 0.2} ${x + 0.9} ${copper}Z`}
                />
              ))}
              <path
                className="lens"
                d={`M${l.s - r} ${back}V${top + r}A${r} ${r} 0 0 1 ${l.s + r} ${top + r}V${back}Z`}
              />
              <rect
                className="lens flange"
                x={l.s - flange / 2}
                y={back}
                width={flange}
                height={flangeThickness}
              />
            </g>
          )
        })}
      {cover !== undefined && (
        <rect
          className="metal cover"
          x={0}
          y={cover}
          width={s.length}
          height={1}
          data-says={`cover, ${show(s.cover!, "mm")} behind the face`}
        />
      )}
      {deepest !== undefined && (
        <path
          className="deepest"
          d={`M0 ${back + deepest}H${s.length}`}
          data-says={`tips of the leads reach ${show(deepest, "mm")} behind the face at most, tolerances added up`}
        />
      )}
    </g>
  )
}

/** A spacer tube and its screw; broken lines where they stand beside the section. */
function Spacer({
  screw,
  section: s,
  head,
}: {
  readonly screw: Section["screws"][number]
  readonly section: Section
  readonly head: number | undefined
}) {
  const { back, component, copper } = layers(s)
  const wide = head ?? screw.diameter * 1.75
  const at = screw.beside < screw.diameter / 2 ? "spacer" : "spacer beside"
  return (
    <g
      className={at}
      data-says={`spacer ${show(s.height, "mm")} for the ${show(screw.diameter, "mm")} screw hole${screw.beside < screw.diameter / 2 ? "" : `, ${show(screw.beside, "mm")} beside this section`}${head === undefined ? "" : `; head ${show(head, "mm")} across`}`}
    >
      <rect x={screw.s - wide / 2} y={back} width={wide} height={s.height} />
      <rect x={screw.s - wide / 2} y={copper} width={wide} height={1.2} className="head" />
      <path d={`M${screw.s} ${Math.min(0, back) - 1}V${component + s.sheet + 2}`} />
    </g>
  )
}

function StackDimensions({ section: s, view }: { readonly section: Section; readonly view: Viewport }) {
  const { back, component, copper, cover } = layers(s)
  // Beside the section, or at the stage's edge where it runs on beyond.
  const x = Math.min(s.length + 10 / view.scale, (view.width - 62 - view.left) / view.scale)
  const left = Math.max(-10 / view.scale, (66 - view.left) / view.scale)
  const out = s.body ? s.body.tall - s.body.flangeThickness - s.thickness : 0
  const rows = [
    s.thickness > 0 && { from: 0, to: back, says: show(s.thickness, "mm"), x },
    { from: back, to: component, says: show(s.height, "mm"), x },
    { from: component, to: copper, says: show(s.sheet, "mm"), x },
    out > 0 && { from: -out, to: 0, says: show(Math.round(out * 100) / 100, "mm"), x: left },
    cover !== undefined && { from: back, to: cover, says: `${showNumber(s.cover!)} mm`, x: left },
  ]
  const edge = view.left + s.length * view.scale
  return (
    <>
      {edge > view.width - 72 && (
        <rect className="gutter" x={view.width - 76} y={0} width={76} height={view.height} />
      )}
      {view.left < 60 && <rect className="gutter" x={0} y={0} width={76} height={view.height} />}
      {rows.map(
        (r) =>
          r && (
            <DimensionLine
              key={`${r.from} ${r.to} ${r.x}`}
              from={{ x: r.x, y: r.from }}
              to={{ x: r.x, y: r.to }}
              view={view}
              says={r.says}
              before={r.x === left}
            />
          ),
      )}
    </>
  )
}

function snapsOf(s: Section): Snaps {
  const { back, component, copper, cover } = layers(s)
  const r = s.body
  const level = (y: number, says: string) => ({
    line: [
      { x: 0, y },
      { x: s.length, y },
    ],
    closed: false,
    says,
  })
  return {
    points: [
      ...s.leds.flatMap((l) => [
        ...(r
          ? [
              { x: l.s, y: back + r.flangeThickness - r.tall, says: `top of ${l.ref}` },
              { x: l.s - r.flange / 2, y: back, says: `flange of ${l.ref}` },
              { x: l.s + r.flange / 2, y: back, says: `flange of ${l.ref}` },
            ]
          : []),
        ...l.leads.map((x) => ({ x, y: copper, says: `a lead of ${l.ref}` })),
      ]),
      ...s.metal.flatMap((span) =>
        span.flatMap((x) => [0, back].map((y) => ({ x, y, says: "an edge of the metal" }))),
      ),
      ...s.blocks.flatMap((b) =>
        [b.from, b.to].map((x) => ({ x, y: component - b.height, says: `the top of ${b.ref}` })),
      ),
      ...s.board.flatMap((span) => span.map((x) => ({ x, y: component, says: "the board's edge" }))),
    ],
    edges: [
      level(0, "the face's front"),
      level(back, "the face's back"),
      level(component, "the component side"),
      level(copper, "the copper side"),
      ...(cover === undefined ? [] : [level(cover, "the cover")]),
    ],
  }
}

function FitFindings({ findings, board }: { readonly findings: readonly Finding[]; readonly board: string }) {
  const selected = usePage((s) => s.selected)
  const mine = findings.filter((f) => f.code.startsWith("fit.") && f.where.board === board)
  if (mine.length === 0) return null
  return (
    <section aria-label="Margins of the fit">
      <h3>Fit of {plain(board)}</h3>
      <ol className="fit-findings">
        {mine.map((f) => (
          <li key={`${f.code} ${f.where.text} ${f.title}`} data-severity={f.severity}>
            <button
              type="button"
              aria-pressed={f === selected}
              onClick={() => page.getState().select(f === selected ? undefined : f)}
            >
              <span>{capital(f.title)}</span>
              <span className="fit-value">
                {f.measured ? quantity(f.measured) : severityWord[f.severity]}
                {f.limit && <small> {limitShort(f.limit)}</small>}
              </span>
              <small>
                {severityWord[f.severity]}
                {leftWords(f) === "" ? "" : `, ${leftWords(f)}`}
              </small>
            </button>
          </li>
        ))}
      </ol>
    </section>
  )
}
