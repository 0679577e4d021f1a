// Cutter programs in the order they are run, with what each takes.

import { showNumber } from "../../../0-ground/text/show.ts"
import type { CutterProgram } from "../../../6-copper/artefact.ts"
import { duration } from "../words.ts"

/** On a low screen the list starts folded, so that the board keeps its room. */
const roomy = globalThis.matchMedia?.("(min-height: 800px)").matches ?? true

export function Programs({ programs }: { readonly programs: readonly CutterProgram[] }) {
  const total = programs.reduce((s, p) => s + p.time, 0)
  return (
    <details className="programs" open={roomy}>
      <summary className="programs-head">
        {programs.length} programs, {duration(total)} on the machine, tool changes aside.{" "}
        <span>Eye protection on before the spindle starts.</span>
      </summary>
      <table>
        <caption className="unseen">Cutter programs in the order they are run</caption>
        <thead>
          <tr>
            <th scope="col">Program</th>
            <th scope="col">Tool</th>
            <th scope="col" className="number">
              Cut
            </th>
            <th scope="col" className="number">
              Travel
            </th>
            <th scope="col" className="number">
              Plunges
            </th>
            <th scope="col" className="number">
              Time
            </th>
          </tr>
        </thead>
        <tbody>
          {programs.map((p) => (
            <tr key={p.file}>
              <th scope="row">{p.file}</th>
              <td>{p.tool}</td>
              <td className="number">{p.cutLength > 0 ? length(p.cutLength) : "–"}</td>
              <td className="number">{length(p.travel)}</td>
              <td className="number">{p.plunges}</td>
              <td className="number">{duration(p.time)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  )
}

const length = (mm: number) => (mm >= 1000 ? `${showNumber(mm / 1000)} m` : `${showNumber(mm)} mm`)
