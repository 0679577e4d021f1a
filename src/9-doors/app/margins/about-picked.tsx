// Above the margins: those that speak of what is picked on the bench.

import { useMemo } from "react"
import type { Finding } from "../../../0-ground/finding.ts"
import { page, usePage } from "../store.ts"
import { capital, leftWords, quantity, severityWord } from "../words.ts"
import { concerning } from "./concerns.ts"

const shown = 5

export function AboutPicked({ findings }: { readonly findings: readonly Finding[] | undefined }) {
  const look = usePage((s) => s.look)
  const mine = useMemo(
    () => (look?.thing && findings ? concerning(findings, look) : undefined),
    [look, findings],
  )
  if (!mine || !look?.thing) return null
  return (
    <section className="about-picked" aria-label={`Margins of ${look.thing.name}`}>
      <h3>
        Of {look.thing.name} <span className="soft">{mine.length}</span>
      </h3>
      {mine.length === 0 && <p className="soft margins-none">No check speaks of it by itself.</p>}
      <ol>
        {mine.slice(0, shown).map((f) => (
          <li key={`${f.code} ${f.where.text} ${f.title}`} data-severity={f.severity} data-about={f.code}>
            <button type="button" onClick={() => page.getState().select(f)}>
              <span className="margin-row">
                <span className="margin-title">{capital(f.title)}</span>
                {f.measured && <span className="margin-value">{quantity(f.measured)}</span>}
              </span>
              <span className="margin-row soft">
                <span>{f.where.text}</span>
                <span>
                  {severityWord[f.severity]}
                  {leftWords(f) === "" ? "" : `, ${leftWords(f)}`}
                </span>
              </span>
            </button>
          </li>
        ))}
      </ol>
      {mine.length > shown && (
        <p className="soft about-more">
          The {shown} nearest of {mine.length}, thinnest first.
        </p>
      )}
    </section>
  )
}
