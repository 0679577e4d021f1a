// The description as text: numbered lines, findings beside the line they speak of, and Recompute.

import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "react"
import { Button } from "react-aria-components"
import type { Finding } from "../../../0-ground/finding.ts"
import { compute } from "../engine.ts"
import { isMade, page, usePage } from "../store.ts"
import { capital, severityWord } from "../words.ts"
import { CompletionList, useCompletion } from "./complete-list.tsx"
import { TextFiles } from "./text-files.tsx"
import { useFaults } from "./use-faults.ts"

export function TextForm() {
  const draft = usePage((s) => s.draft)
  const goTo = usePage((s) => s.goTo)
  const fresh = usePage((s) => isMade(s))
  const located = useLocated()
  const area = useRef<HTMLTextAreaElement>(null)
  const [{ left, top: scroll }, setScroll] = useState({ left: 0, top: 0 })
  const caret = useRef<number>(undefined)
  const words = useCompletion((text, at) => {
    caret.current = at
    page.getState().edit(text)
  })
  // The caret goes behind the word that was put in, once the text holds it.
  useLayoutEffect(() => {
    if (caret.current === undefined || area.current?.value !== draft) return
    area.current.setSelectionRange(caret.current, caret.current)
    caret.current = undefined
  }, [draft])
  const lines = draft.split("\n")

  useEffect(() => {
    const element = area.current
    if (!goTo || !element) return
    const text = element.value.split("\n")
    const start = text.slice(0, goTo.line - 1).reduce((n, l) => n + l.length + 1, 0)
    const line = text[goTo.line - 1] ?? ""
    element.focus()
    const column = Math.min(goTo.column - 1, line.length)
    const word = /^[^\s:,{}[\]]+/.exec(line.slice(column))?.[0].length ?? 1
    element.setSelectionRange(start + column, Math.min(start + line.length, start + column + word))
    const height = lineHeight(element)
    element.scrollTop = Math.max(0, (goTo.line - 1) * height - element.clientHeight / 3)
  }, [goTo])

  return (
    <div className="text-form">
      <TextFiles />
      <div className="text-field">
        <div className="text-numbers" aria-hidden="true">
          <div style={{ transform: `translateY(${-scroll}px)` }}>
            {lines.map((_, i) => {
              const worst = located.get(i + 1)?.[0]
              return (
                // biome-ignore lint/suspicious/noArrayIndexKey: a line is its number
                <span key={i} data-severity={worst?.severity}>
                  {i + 1}
                </span>
              )
            })}
          </div>
        </div>
        <textarea
          ref={area}
          aria-label="Description of the lamp as text"
          aria-describedby="text-findings"
          value={draft}
          spellCheck={false}
          autoCapitalize="off"
          autoComplete="off"
          wrap="off"
          onScroll={(e) => setScroll({ left: e.currentTarget.scrollLeft, top: e.currentTarget.scrollTop })}
          aria-autocomplete="list"
          aria-controls={words.at ? "words-here" : undefined}
          aria-activedescendant={words.at ? `word-${words.chosen}` : undefined}
          onChange={(e) => {
            page.getState().edit(e.target.value)
            words.showSoon(e.target)
          }}
          onBlur={words.close}
          onClick={words.close}
          onKeyDown={(e) => {
            if (words.onKey(e)) return
            if (/^(Arrow(Left|Right)|Home|End|Page)/.test(e.key)) words.close()
            if (e.key !== "Enter" || !(e.ctrlKey || e.metaKey)) return
            e.preventDefault()
            void compute()
          }}
        />
        {words.at && (
          <CompletionList
            at={words.at}
            chosen={words.chosen}
            scroll={{ left, top: scroll }}
            height={area.current?.clientHeight ?? 200}
            take={(i) => area.current && words.take(area.current, i)}
          />
        )}
      </div>
      <TextFindings located={located} />
      <div className="text-actions">
        <Button className="action" onPress={() => void compute()}>
          Recompute
        </Button>
        <span className="soft">
          {fresh ? "The bench shows this text." : "Changes are worked out as you type."}
        </span>
      </div>
    </div>
  )
}

function TextFindings({ located }: { readonly located: ReadonlyMap<number, readonly Finding[]> }) {
  const unread = usePage((s) => s.unread)
  const lost = unread.filter((f) => f.where.line === undefined && f.severity !== "green")
  const placed = [...located.keys()].sort((a, b) => a - b).flatMap((l) => located.get(l) ?? [])
  // What stops the lamp stands before what is only a caution.
  const list = [...lost, ...placed].sort(
    (a, b) => Number(b.severity === "red") - Number(a.severity === "red"),
  )
  return (
    <div id="text-findings" className="text-findings" aria-live="polite">
      {unread.length > 0 && (
        <p className="text-unread">
          This text could not be read; the bench still shows the last one that could.
        </p>
      )}
      <ul>
        {list.map((f, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: findings have no name of their own
          <li key={i} data-severity={f.severity} data-code={f.code}>
            <p>
              {f.where.line !== undefined && (
                <button
                  type="button"
                  className="inline"
                  onClick={() => page.getState().showLine(f.where.line ?? 1, f.where.column ?? 1)}
                >
                  line {f.where.line}, column {f.where.column ?? 1}
                </button>
              )}{" "}
              <span className="severity-word">{severityWord[f.severity]}:</span> {capital(f.title)}
            </p>
            <p className="soft">{f.advice}</p>
          </li>
        ))}
      </ul>
    </div>
  )
}

/** Faults by line. */
function useLocated(): ReadonlyMap<number, readonly Finding[]> {
  const faults = useFaults()
  return useMemo(() => {
    const map = new Map<number, Finding[]>()
    for (const f of faults) {
      if (f.where.line === undefined || f.where.file !== undefined) continue
      map.set(f.where.line, [...(map.get(f.where.line) ?? []), f])
    }
    return map
  }, [faults])
}

const lineHeight = (element: HTMLElement) => Number.parseFloat(getComputedStyle(element).lineHeight) || 18
