// Tabs as the ARIA authoring practices have them: one stop for the Tab key, arrows, Home and End go from one to the
// next and choose it. Small on purpose: they are part of the first view.

import { type ReactNode, useLayoutEffect, useRef, useState } from "react"

interface TabListProps<T extends string> {
  /** Begins the ids of tabs and panels. */
  readonly name: string
  readonly label: string
  readonly className: string
  readonly tabs: readonly (readonly [id: T, words: string])[]
  readonly selected: T
  readonly select: (id: T) => void
}

export function TabList<T extends string>(props: TabListProps<T>) {
  const { name, label, className, tabs, selected, select } = props
  const list = useRef<HTMLDivElement>(null)
  const onKeyDown = (event: React.KeyboardEvent) => {
    const at = tabs.findIndex(([id]) => id === selected)
    const last = tabs.length - 1
    const to = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: last }[event.key]
    if (to === undefined || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return
    event.preventDefault()
    const next = to < 0 ? last : to > last ? 0 : to
    list.current?.querySelectorAll<HTMLElement>("[role=tab]")[next]?.focus()
    select(tabs[next]![0])
  }
  return (
    <div ref={list} role="tablist" aria-label={label} className={className} onKeyDown={onKeyDown}>
      {tabs.map(([id, words]) => (
        <button
          key={id}
          type="button"
          role="tab"
          id={`${name}-tab-${id}`}
          aria-selected={id === selected}
          aria-controls={id === selected ? `${name}-panel-${id}` : undefined}
          data-selected={id === selected || undefined}
          tabIndex={id === selected ? 0 : -1}
          onClick={() => select(id)}
        >
          {words}
        </button>
      ))}
    </div>
  )
}

interface TabPanelProps {
  readonly name: string
  readonly id: string
  readonly className: string
  readonly children: ReactNode
}

const focusable =
  "a[href], button:not(:disabled), input:not(:disabled), select, textarea, [tabindex]:not([tabindex='-1'])"

/** A stop for the Tab key of its own only where nothing inside is one. */
export function TabPanel({ name, id, className, children }: TabPanelProps) {
  const panel = useRef<HTMLDivElement>(null)
  const [bare, setBare] = useState(false)
  useLayoutEffect(() => setBare(!panel.current?.querySelector(focusable)))
  return (
    <div
      ref={panel}
      role="tabpanel"
      id={`${name}-panel-${id}`}
      aria-labelledby={`${name}-tab-${id}`}
      className={className}
      tabIndex={bare ? 0 : undefined}
    >
      {children}
    </div>
  )
}
