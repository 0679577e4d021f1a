// Why a margin is what it is: what was measured, the derivation down to its sources, and what to do.

import { useMemo, useState } from "react"
import type { Figure } from "../../../0-ground/figure.ts"
import type { Finding } from "../../../0-ground/finding.ts"
import { applyRemedy, type Remedy } from "../../../0-ground/remedy.ts"
import { show } from "../../../0-ground/text/show.ts"
import { page, usePage } from "../store.ts"
import { limitLong, quantity, sourceWords } from "../words.ts"

export function Why({ finding: f }: { readonly finding: Finding }) {
  const figures = usePage((s) => (s.early ?? s.design)?.figures)
  const figure = useMemo(
    () => (f.figure === undefined ? undefined : findFigure(figures ?? [], f.figure)),
    [figures, f.figure],
  )
  const { line, column, file } = f.where
  return (
    <div className="why">
      {f.measured && (
        <p>
          {quantity(f.measured)}
          {f.limit && <> where {limitLong(f.limit)} is asked</>}
          {f.corner && <>; worst case: {f.corner}</>}.
        </p>
      )}
      {!f.measured && f.corner && <p>Worst case: {f.corner}.</p>}
      {f.advice !== "" && <p className="why-advice">{f.advice}</p>}
      {f.remedies && <Remedies remedies={f.remedies} />}
      {figure && (
        <ul className="figure-tree" aria-label="How this number came about">
          <FigureNode figure={figure} depth={0} />
        </ul>
      )}
      {f.source && <p className="soft">Limit: {sourceWords(f.source)}</p>}
      {line !== undefined && file === undefined && (
        <button type="button" className="inline" onClick={() => page.getState().showLine(line, column ?? 1)}>
          Line {line} of the text
        </button>
      )}
      <p className="soft why-code">{f.code}</p>
    </div>
  )
}

/** Changes that would clear it; each can be made in the description with one press, and undone like typing. */
function Remedies({ remedies }: { readonly remedies: readonly Remedy[] }) {
  const [refused, setRefused] = useState("")
  const apply = (remedy: Remedy) => {
    const { draft, edit } = page.getState()
    const next = applyRemedy(draft, remedy)
    if ("refused" in next) return setRefused(next.refused)
    setRefused("")
    edit(next.text, remedy.says)
  }
  return (
    <>
      <ul className="remedies" aria-label="Changes that would clear it">
        {remedies.map((r) => (
          <li key={r.says}>
            {r.says}{" "}
            {r.gives && <span className="soft">Gives about {show(r.gives.value, r.gives.unit)}. </span>}
            <button type="button" className="inline" onClick={() => apply(r)} aria-label={`Apply: ${r.says}`}>
              Apply
            </button>
          </li>
        ))}
      </ul>
      {refused !== "" && <p role="alert">{refused}</p>}
    </>
  )
}

function FigureNode({ figure, depth }: { readonly figure: Figure; readonly depth: number }) {
  const [open, setOpen] = useState(depth === 0)
  const inputs = figure.inputs ?? []
  const hasMore = inputs.length > 0 || figure.formula !== undefined || figure.source !== undefined
  return (
    <li>
      <button
        type="button"
        className="figure-head"
        aria-expanded={hasMore ? open : undefined}
        disabled={!hasMore}
        onClick={() => setOpen(!open)}
      >
        <span>{figure.name}</span> <strong>{show(figure.value, figure.unit)}</strong>
      </button>
      {open && (
        <div className="figure-body">
          {figure.formula !== undefined && <p className="formula">= {figure.formula}</p>}
          {figure.corner !== undefined && <p className="soft">{figure.corner}</p>}
          {figure.source && <p className="soft">{sourceWords(figure.source)}</p>}
          {inputs.length > 0 && (
            <ul>
              {inputs.map((input) => (
                <FigureNode key={input.id} figure={input} depth={depth + 1} />
              ))}
            </ul>
          )}
        </div>
      )}
    </li>
  )
}

/** Searches top figures first, then what they were worked out from. */
export function findFigure(figures: readonly Figure[], id: string): Figure | undefined {
  const seen = new Set<Figure>()
  let level: readonly Figure[] = figures
  while (level.length > 0) {
    const next: Figure[] = []
    for (const f of level) {
      if (f.id === id) return f
      if (seen.has(f)) continue
      seen.add(f)
      next.push(...(f.inputs ?? []))
    }
    level = next
  }
  return undefined
}
