// The harness: which wire goes from where to where, with what the vehicle's wires are fused for.

import { useEffect, useRef } from "react"
import { show } from "../../../0-ground/text/show.ts"
import type { HarnessWire } from "../../../5-board/artefact.ts"
import { pick } from "../picking.ts"
import { usePage } from "../store.ts"
import { plain } from "../words.ts"

export function WiringView() {
  const design = usePage((s) => s.design)
  const look = usePage((s) => s.look)
  const list = useRef<HTMLDivElement>(null)
  // biome-ignore lint/correctness/useExhaustiveDependencies: another pick marks other wires
  useEffect(() => {
    list.current?.querySelector("tr.marked")?.scrollIntoView({ block: "nearest" })
  }, [look])
  if (!design) return null
  const { lamp, boards, circuit } = design
  const vehicle = boards.harness.filter((w) => "vehicle" in w.from || "vehicle" in w.to)
  const between = boards.harness.filter((w) => !vehicle.includes(w))
  const wireOf = (w: HarnessWire) => {
    const end = "vehicle" in w.from ? w.from.vehicle : "vehicle" in w.to ? w.to.vehicle : undefined
    return lamp.vehicle.wires.find((v) => v.name === end || v.name === w.name)
  }
  const strongest = (wire: string) => {
    const solved = circuit.corners.flatMap((c) => c.wireCurrent[wire] ?? [])
    return solved.length === 0 ? "–" : show(Math.max(...solved.map(Math.abs)), "A")
  }
  const marked = (w: HarnessWire, wire?: string) =>
    look?.harness?.includes(w.name) || (wire !== undefined && (look?.wires ?? [look?.wire]).includes(wire))
      ? "marked"
      : undefined
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls can be reached by key
    <div className="view view-scroll" tabIndex={0} ref={list}>
      <p className="view-words">
        Disconnect the battery before any of this. Every supply wire carries its own fuse.
      </p>
      <table className="bench-table">
        <caption>From the vehicle</caption>
        <thead>
          <tr>
            <th scope="col">Wire</th>
            <th scope="col">Colour</th>
            <th scope="col" className="number">
              Size
            </th>
            <th scope="col" className="number">
              Fuse
            </th>
            <th scope="col" className="number">
              Greatest current
            </th>
            <th scope="col">Ends on</th>
          </tr>
        </thead>
        <tbody>
          {vehicle.map((w) => {
            const wire = wireOf(w)
            return (
              <tr key={w.name} data-wire={w.name} className={marked(w, wire?.name)}>
                <th scope="row">
                  <PickWire name={w.name} says={wire?.name ?? w.name} />
                </th>
                <td>{wire?.colour ?? "–"}</td>
                <td className="number">{wire?.size === undefined ? "–" : show(wire.size, "mm²")}</td>
                <td className="number">{wire?.fuse === undefined ? "–" : show(wire.fuse, "A")}</td>
                <td className="number">{wire ? strongest(wire.name) : "–"}</td>
                <td>{end("vehicle" in w.from ? w.to : w.from)}</td>
              </tr>
            )
          })}
        </tbody>
      </table>
      {between.length > 0 && (
        <table className="bench-table">
          <caption>Between the boards</caption>
          <thead>
            <tr>
              <th scope="col">Wire</th>
              <th scope="col">Net</th>
              <th scope="col">From</th>
              <th scope="col">To</th>
            </tr>
          </thead>
          <tbody>
            {between.map((w) => (
              <tr key={`${w.name} ${end(w.from)} ${end(w.to)}`} data-wire={w.name} className={marked(w)}>
                <th scope="row">
                  <PickWire name={w.name} says={w.name} />
                </th>
                <td>{w.net}</td>
                <td>{end(w.from)}</td>
                <td>{end(w.to)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </div>
  )
}

function PickWire({ name, says }: { readonly name: string; readonly says: string }) {
  return (
    <button type="button" className="pick-name" onClick={() => pick({ kind: "wire", name })}>
      {says}
    </button>
  )
}

const end = (e: HarnessWire["from"]): string =>
  "vehicle" in e ? `${e.vehicle} wire of the vehicle` : `${plain(e.board)}, pad ${e.ref}`
