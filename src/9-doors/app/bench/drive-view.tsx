// How each group is driven: its strings drawn from supply to earth, with solved currents at a chosen corner.

import { useEffect, useRef, useState } from "react"
import { show } from "../../../0-ground/text/show.ts"
import { leds } from "../../../1-stock/leds.ts"
import type { Circuit, CornerState, GroupDrive } from "../../../3-drive/artefact.ts"
import { pick } from "../picking.ts"
import { usePage } from "../store.ts"
import { capital, plain, sentence } from "../words.ts"
import { StringDrawing } from "./string-drawing.tsx"

export function DriveView() {
  // Known long before the boards are.
  const design = usePage((s) => s.early ?? s.design)
  const look = usePage((s) => s.look)
  const [chosen, setChosen] = useState<string>()
  const list = useRef<HTMLDivElement>(null)
  // biome-ignore lint/correctness/useExhaustiveDependencies: another margin marks other strings
  useEffect(() => {
    list.current?.querySelector("tr.marked")?.scrollIntoView({ block: "nearest" })
  }, [look])
  if (!design) return null
  const { circuit, lamp } = design
  const corner = circuit.corners.find((c) => c.corner === chosen) ?? usualCorner(circuit)
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: every string's name is a button; this hears the drawings
    // biome-ignore lint/a11y/useKeyWithClickEvents: comma and full stop pick strings by key
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls can be reached by key
    <div className="view view-scroll" tabIndex={0} ref={list} onClick={pickInDrawing}>
      <div className="view-head">
        <label className="corner-choice">
          <span>Currents at</span>
          <select value={corner?.corner ?? ""} onChange={(e) => setChosen(e.target.value)}>
            {byLive(circuit.corners).map(([live, corners]) => (
              <optgroup key={live} label={`${live} live`}>
                {corners.map((c) => (
                  <option key={c.corner} value={c.corner}>
                    {c.corner}
                  </option>
                ))}
              </optgroup>
            ))}
          </select>
        </label>
        <p className="view-words">
          Solved, not estimated: every string at {circuit.corners.length} corners of supply, temperature and
          parts.
        </p>
      </div>
      {circuit.drives.map((drive) => (
        <GroupPanel
          key={drive.group}
          drive={drive}
          circuit={circuit}
          corner={corner}
          stock={lamp.groups.find((g) => g.name === drive.group)?.led ?? ""}
          marked={[...(look?.leds ?? []), ...(look?.parts ?? [])]}
          strings={look?.strings ?? none}
        />
      ))}
    </div>
  )
}

const none: readonly string[] = []

/** An LED or a resistor of a drawn string. */
function pickInDrawing(event: React.MouseEvent) {
  const hit = (event.target as Element).closest<SVGElement>("[data-pick-led],[data-pick-part]")
  const { pickLed, pickPart } = hit?.dataset ?? {}
  if (pickLed) pick({ kind: "led", name: pickLed })
  else if (pickPart) pick({ kind: "part", name: pickPart })
}

interface GroupProps {
  readonly drive: GroupDrive
  readonly circuit: Circuit
  readonly corner: CornerState | undefined
  readonly stock: string
  readonly marked: readonly string[]
  readonly strings: readonly string[]
}

function GroupPanel({ drive, circuit, corner, stock, marked, strings: picked }: GroupProps) {
  const strings = circuit.strings.filter((s) => s.group === drive.group)
  const most = leds.find(stock)?.maximumCurrent
  return (
    <section className="drive-group">
      <h3>
        {sentence(drive.group)} <span>{topologyWords[drive.topology]}</span>
      </h3>
      <p className="view-words">
        {capital(drive.why)}
        {most !== undefined && ` Each LED bears ${show(most, "A")} at most.`}
      </p>
      <table className="bench-table strings">
        <caption className="unseen">Strings of {plain(drive.group)}</caption>
        <thead>
          <tr>
            <th scope="col">String</th>
            <th scope="col">From supply to earth</th>
            <th scope="col" className="number">
              Here
            </th>
            <th scope="col" className="number">
              Over all corners
            </th>
          </tr>
        </thead>
        <tbody>
          {strings.map((s) => {
            const led = s.leds[0] ?? ""
            const here = corner?.ledCurrent[led] ?? 0
            const [low, high] = range(circuit, led)
            return (
              <tr
                key={s.name}
                data-string={s.name}
                className={
                  picked.includes(s.name) ||
                  s.leds.some((l) => marked.includes(l)) ||
                  s.resistors.some((r) => marked.includes(r))
                    ? "marked"
                    : undefined
                }
              >
                <th scope="row">
                  <button
                    type="button"
                    className="pick-name"
                    onClick={() => pick({ kind: "string", name: s.name })}
                  >
                    {plain(s.name)}
                  </button>
                </th>
                <td>
                  <StringDrawing
                    string={s}
                    circuit={circuit}
                    stock={stock}
                    share={most ? here / most : 0}
                    marked={marked}
                  />
                </td>
                <td className="number strong">{show(here, "A")}</td>
                <td className="number">
                  {show(low, "A")} to {show(high, "A")}
                </td>
              </tr>
            )
          })}
        </tbody>
      </table>
      <Ways circuit={circuit} group={drive.group} />
    </section>
  )
}

/** Every way to drive the group that was compared, and why each but one lost. */
function Ways({ circuit, group }: { readonly circuit: Circuit; readonly group: string }) {
  const mine = (circuit.candidates ?? []).filter((c) => c.group === group)
  if (mine.length < 2) return null
  return (
    <details className="drive-ways">
      <summary>{mine.length} ways compared</summary>
      <table className="bench-table">
        <caption className="unseen">Ways to drive {plain(group)}</caption>
        <thead>
          <tr>
            <th scope="col">Way</th>
            <th scope="col" className="number">
              Points lost
            </th>
            <th scope="col" className="number">
              Parts
            </th>
            <th scope="col" className="number">
              Heat
            </th>
            <th scope="col">Why</th>
          </tr>
        </thead>
        <tbody>
          {[...mine.filter((c) => c.taken), ...mine.filter((c) => !c.taken)].map((c) => (
            <tr key={c.label} className={c.taken ? "strong" : undefined}>
              <th scope="row">{capital(c.label)}</th>
              <td className="number">{show(c.score, "")}</td>
              <td className="number">{c.parts}</td>
              <td className="number">{show(c.heat, "W")}</td>
              <td>{capital(c.taken ? `taken: ${c.why}` : c.why)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  )
}

const topologyWords: Record<GroupDrive["topology"], string> = {
  direct: "straight from its wire",
  "two-feed": "two feeds, no controller",
  switched: "switched by the controller",
}

/** Corners in the circuit's order, gathered by which wires are live. */
function byLive(corners: readonly CornerState[]): readonly (readonly [string, readonly CornerState[]])[] {
  const groups = new Map<string, CornerState[]>()
  for (const c of corners) {
    const live = c.live.length === 0 ? "no wire" : c.live.join(", ")
    groups.set(live, [...(groups.get(live) ?? []), c])
  }
  return [...groups]
}

/** The corner a builder meets first: usual parts, usual supply, most wires live. */
function usualCorner(circuit: Circuit): CornerState | undefined {
  const usual = circuit.corners.filter((c) => c.parts === "usual")
  const pool = usual.length > 0 ? usual : circuit.corners
  const lit = (c: CornerState) => Object.values(c.ledCurrent).reduce((s, i) => s + i, 0)
  return [...pool].sort((a, b) => lit(b) - lit(a))[0]
}

/** Least and greatest current of an LED over the corners where it is lit at all. */
function range(circuit: Circuit, led: string): readonly [number, number] {
  const lit = circuit.corners.map((c) => c.ledCurrent[led] ?? 0).filter((i) => i > 1e-5)
  return lit.length === 0 ? [0, 0] : [Math.min(...lit), Math.max(...lit)]
}
