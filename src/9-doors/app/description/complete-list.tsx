// The list of words beside the caret, and the keys that work it while the text keeps the focus.

import { useEffect, useRef, useState } from "react"
import { type Completion, complete } from "./complete.ts"

interface At extends Completion {
  readonly line: number
  readonly column: number
}

/** A letter's frame has been drawn by then, ms. */
const afterTyping = 50

export function useCompletion(edit: (text: string, caret: number) => void) {
  const [at, setAt] = useState<At>()
  const [chosen, setChosen] = useState(0)
  const soon = useRef<ReturnType<typeof setTimeout>>(undefined)
  useEffect(() => () => clearTimeout(soon.current), [])
  const close = () => {
    clearTimeout(soon.current)
    soon.current = undefined
    setAt(undefined)
  }
  const show = (area: HTMLTextAreaElement, asked: boolean): At | undefined => {
    close()
    const found = wordsAt(area, asked)
    if (found) setChosen(0)
    setAt(found)
    return found
  }
  /** Once the letter typed is seen: what can stand there takes a reading of the whole text. */
  const showSoon = (area: HTMLTextAreaElement) => {
    clearTimeout(soon.current)
    soon.current = setTimeout(() => show(area, false), afterTyping)
  }
  const take = (area: HTMLTextAreaElement, index: number, from = at) => {
    const option = from?.options[index]
    if (!from || !option) return
    const text = area.value
    const end = Math.max(from.from, area.selectionStart)
    // A colon that stands there already is not doubled.
    const put = option.put.endsWith(": ") && /^\s*:/.test(text.slice(end)) ? option.word : option.put
    edit(text.slice(0, from.from) + put + text.slice(end), from.from + put.length)
    close()
  }
  /** True where the key was for the list. */
  const onKey = (event: React.KeyboardEvent<HTMLTextAreaElement>): boolean => {
    const behind = soon.current !== undefined
    const isForList = ["ArrowDown", "ArrowUp", "Enter", "Tab", "Escape"].includes(event.key)
    // Keys that work the list mean the words that can stand there now.
    const now = behind && isForList ? show(event.currentTarget, false) : at
    const of = now === at ? chosen : 0
    if (event.key === " " && event.ctrlKey) show(event.currentTarget, true)
    else if (!now || !isForList) return false
    else if (event.key === "ArrowDown") setChosen((of + 1) % now.options.length)
    else if (event.key === "ArrowUp") setChosen((of + now.options.length - 1) % now.options.length)
    else if (
      (event.key === "Enter" && !event.ctrlKey && !event.metaKey) ||
      (event.key === "Tab" && !event.shiftKey)
    )
      take(event.currentTarget, of, now)
    else if (event.key === "Escape") close()
    else return false
    event.preventDefault()
    return true
  }
  return { at, chosen, showSoon, take, close, onKey }
}

function wordsAt(area: HTMLTextAreaElement, asked: boolean): At | undefined {
  const { value, selectionStart, selectionEnd } = area
  if (selectionStart !== selectionEnd) return undefined
  const found = complete(value, selectionStart)
  const whole = found?.options.some((o) => o.word === found.word) ?? false
  if (!found || (!asked && (found.word === "" || whole))) return undefined
  const before = value.slice(0, found.from)
  return {
    ...found,
    line: before.split("\n").length - 1,
    column: before.length - before.lastIndexOf("\n") - 1,
  }
}

interface ListProps {
  readonly at: At
  readonly chosen: number
  readonly scroll: { readonly left: number; readonly top: number }
  /** Of the text's field: the list opens to where there is more room. */
  readonly height: number
  readonly take: (index: number) => void
}

export function CompletionList({ at, chosen, scroll, height, take }: ListProps) {
  const list = useRef<HTMLDivElement>(null)
  useEffect(() => {
    const [box, row] = [list.current, list.current?.children[chosen]]
    if (!box || !(row instanceof HTMLElement)) return
    // Only the list itself is scrolled, never what it lies in.
    if (row.offsetTop < box.scrollTop) box.scrollTop = row.offsetTop
    else if (row.offsetTop + row.offsetHeight > box.scrollTop + box.clientHeight)
      box.scrollTop = row.offsetTop + row.offsetHeight - box.clientHeight
  }, [chosen])
  const y = 10 + at.line * 19 - scroll.top
  const below = height - y - 19
  const under = below >= Math.min(120, 24 * at.options.length) || below >= y
  return (
    <div
      ref={list}
      id="words-here"
      role="listbox"
      aria-label="Words that can stand here"
      className="words-here"
      style={{
        left: `max(4px, min(calc(56px + ${at.column}ch - ${scroll.left}px), calc(100% - 240px)))`,
        ...(under ? { top: `${y + 19}px` } : { bottom: `${height - y}px` }),
        maxHeight: `${Math.max(60, Math.min(190, under ? below : y))}px`,
      }}
    >
      {at.options.map((o, i) => (
        // biome-ignore lint/a11y/useFocusableInteractive: the text keeps the focus and names the option chosen
        // biome-ignore lint/a11y/useKeyWithClickEvents: the text's own keys choose
        <div
          key={o.word}
          id={`word-${i}`}
          role="option"
          aria-selected={i === chosen}
          onPointerDown={(e) => e.preventDefault()}
          onClick={() => take(i)}
        >
          <span>{o.word}</span>
          {i === chosen && o.about !== "" && <span className="soft words-about">{o.about}</span>}
        </div>
      ))}
    </div>
  )
}
