// Every claim that was judged, thinnest first; the selected one unfolds why.

import { memo, useEffect, useMemo, useRef, useState } from "react"
import { type Finding, type Severity, thinness } from "../../../0-ground/finding.ts"
import { later } from "../later.tsx"
import { page, usePage } from "../store.ts"
import { capital, leftWords, limitShort, quantity, severityWord } from "../words.ts"
import { AboutPicked } from "./about-picked.tsx"
import { Cautions } from "./cautions.tsx"
import { nameOf } from "./settle.ts"

const Why = later(async () => (await import("./why.tsx")).Why)

const headings: Record<Severity, string> = {
  red: "To fix before you cut",
  amber: "Cautions",
  green: "Kept",
}

export function Margins() {
  const early = usePage((s) => s.early)
  const unread = usePage((s) => s.unread)
  const known = usePage((s) => (s.early ?? s.design)?.findings)
  const findings = unread.length > 0 ? unread : known
  const list = useRef<HTMLDivElement>(null)
  const selected = usePage((s) => s.selected)
  const [find, setFind] = useState("")
  const [room, setRoom] = useState("")
  const rooms = useMemo(() => [...new Set((findings ?? []).map(roomOf))], [findings])
  const groups = useMemo(() => {
    const words = find.toLowerCase().split(/\s+/).filter(Boolean)
    const found = (findings ?? []).filter(
      (f) =>
        words.every((w) => told(f).includes(w)) &&
        (room === "" || !rooms.includes(room) || roomOf(f) === room),
    )
    return (["red", "amber", "green"] as const)
      .map((severity) => ({ severity, of: keyed(found.filter((f) => f.severity === severity)) }))
      .filter((g) => g.of.length > 0)
  }, [findings, find, room, rooms])
  const first = groups[0]?.of[0]?.finding
  const broken = unread.length > 0
  useEffect(() => {
    // What the text lacks stands at the head of the list, wherever the list was left.
    if (broken && list.current) list.current.scrollTop = 0
  }, [broken])
  const onKeyDown = (event: React.KeyboardEvent) => {
    if (!["ArrowDown", "ArrowUp", "Home", "End"].includes(event.key)) return
    const heads = [...(list.current?.querySelectorAll<HTMLButtonElement>("button.margin-head") ?? [])]
    const at = heads.indexOf(document.activeElement as HTMLButtonElement)
    if (at < 0) return
    const to = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: heads.length - 1 }[event.key] ?? at
    event.preventDefault()
    heads[Math.max(0, Math.min(heads.length - 1, to))]?.focus()
  }
  return (
    <aside className="area-margins" aria-label="Margins">
      <div className="margins-top">
        <h2>Margins, thinnest first</h2>
        {findings && (
          <span className="soft">{findings.length === 1 ? "1 check" : `${findings.length} checks`}</span>
        )}
        {findings && rooms.length > 1 && (
          <label className="margins-find">
            <span>Of</span>
            <select
              aria-label="Of what"
              value={rooms.includes(room) ? room : ""}
              onChange={(e) => setRoom(e.target.value)}
            >
              <option value="">everything</option>
              {Object.keys(roomWords)
                .filter((r) => rooms.includes(r))
                .map((r) => (
                  <option key={r} value={r}>
                    {roomWords[r]}
                  </option>
                ))}
            </select>
          </label>
        )}
        {findings && (
          <label className="margins-find">
            <span>Find</span>
            <input
              type="search"
              value={find}
              onChange={(e) => setFind(e.target.value)}
              placeholder="a board, a part, a word"
            />
          </label>
        )}
      </div>
      {/* biome-ignore lint/a11y/noStaticElementInteractions: arrow keys walk the buttons inside */}
      <div className="margins-list" ref={list} onKeyDown={onKeyDown}>
        {findings && groups.length === 0 && <p className="soft margins-none">No check speaks of that.</p>}
        {unread.length > 0 && (
          <p className="soft margins-early" role="status">
            This text is not a whole lamp yet. What it lacks stands here.
          </p>
        )}
        {early && unread.length === 0 && (
          <p className="soft margins-early" role="status">
            Drive, light, rules and how LEDs sit are judged. Boards, cut and proof of this text follow.
          </p>
        )}
        {!findings && <p className="soft margins-none">Margins appear when the lamp has been proven.</p>}
        <AboutPicked findings={findings} />
        {groups.map(({ severity, of }) => (
          <section key={severity} aria-label={headings[severity]}>
            <h3 data-severity={severity}>
              {headings[severity]} <span className="soft">{of.length}</span>
            </h3>
            <ol>
              {of.map(({ key, finding: f }) => (
                <Margin
                  key={key}
                  finding={f}
                  open={f === selected}
                  tabbable={selected ? f === selected : f === first}
                />
              ))}
            </ol>
          </section>
        ))}
      </div>
      <Cautions />
    </aside>
  )
}

/** What a margin is of, by the part of the chain that judged it. */
const roomWords: Readonly<Record<string, string>> = {
  lamp: "the description",
  drive: "the electronics",
  behaviour: "the light programme",
  light: "light and rules",
  fit: "fit",
  board: "the boards",
  cut: "the cut",
  proof: "copper as cut",
  bench: "the firmware on the bench",
  endurance: "years on the road",
}

const roomOf = (f: Finding): string => {
  const room = f.code.slice(0, f.code.indexOf("."))
  return Object.hasOwn(roomWords, room) ? room : "proof"
}

/** The words a finding can be found by. */
const told = (f: Finding) =>
  [f.title, f.where.text, f.where.part, f.where.net, f.where.board, f.code, severityWord[f.severity]]
    .join(" ")
    .toLowerCase()

/** A row stays that of its claim wherever it comes to stand. */
function keyed(findings: readonly Finding[]): { readonly key: string; readonly finding: Finding }[] {
  const count = new Map<string, number>()
  return findings.map((finding) => {
    const name = nameOf(finding)
    const n = count.get(name) ?? 0
    count.set(name, n + 1)
    return { key: `${name} ${n}`, finding }
  })
}

interface MarginProps {
  readonly finding: Finding
  readonly open: boolean
  readonly tabbable: boolean
}

const Margin = memo(function Margin({ finding: f, open, tabbable }: MarginProps) {
  const row = useRef<HTMLLIElement>(null)
  const measured = hasBar(f)
  const left = leftWords(f)
  const word = <span className="severity-word">{severityWord[f.severity]}</span>
  useEffect(() => {
    if (!open) return
    // All of it if it fits, and its head in any case.
    row.current?.scrollIntoView({ block: "nearest" })
    row.current?.firstElementChild?.scrollIntoView({ block: "nearest" })
  }, [open])
  return (
    <li
      ref={row}
      className="margin"
      data-severity={f.severity}
      data-code={f.code}
      data-margin={thinness(f)}
      data-open={open || undefined}
    >
      <button
        type="button"
        className="margin-head"
        aria-expanded={open}
        tabIndex={tabbable ? 0 : -1}
        onClick={() => page.getState().select(open ? undefined : f)}
      >
        <span className="margin-row">
          <span className="margin-title">{capital(f.title)}</span>
          {f.measured && <span className="margin-value">{quantity(f.measured)}</span>}
        </span>
        <span className="margin-row soft">
          <span>{f.where.text}</span>
          <span className="margin-limit">
            {f.limit && <span>{limitShort(f.limit)}</span>}
            {!measured && word}
          </span>
        </span>
        {measured && (
          <span className="margin-row soft">
            <Bar margin={f.margin ?? 0} />
            <span className="margin-left">
              {word}
              <span>{left}</span>
            </span>
          </span>
        )}
      </button>
      {open && <Why finding={f} />}
    </li>
  )
})

/** Where margins do not compare there is no bar: an empty one would say that nothing is left. */
const hasBar = (f: Finding) => f.limit !== undefined && f.limit.value !== 0 && thinness(f) !== undefined

/** How much of the limit is left; a missed limit fills from the same end, hatched. */
function Bar({ margin }: { readonly margin: number }) {
  const width = Math.min(1, Math.abs(margin))
  return (
    <span className="bar" data-missed={margin < 0 || undefined}>
      <span style={{ width: `max(2px, ${(width * 100).toFixed(1)}%)` }} />
    </span>
  )
}
