// Picks things on the bench, by pointer and by key; the whole page then looks at them.

import { lookAtThing, sameThing, type Thing } from "./look-at-thing.ts"
import { page } from "./store.ts"

/** Picking what is picked already, or nothing, lets go. */
export function pick(thing: Thing | undefined): void {
  const { design, look, board } = page.getState()
  const wanted = design && thing && !sameThing(look?.thing, thing)
  const seen = wanted ? lookAtThing(thing, design, board) : undefined
  if (!seen) letGo()
  else page.setState({ selected: undefined, look: seen, board: seen.board ?? board })
}

export function letGo(): void {
  page.setState({ selected: undefined, look: undefined })
}

/** The things the view in front shows, in its own order. */
export function thingsInView(): readonly Thing[] {
  const { design, view, board } = page.getState()
  if (!design) return []
  const { lamp, circuit, boards } = design
  const leds = lamp.groups.flatMap((g) => g.leds.map((l): Thing => ({ kind: "led", name: l.ref })))
  const shown = boards.boards.find((b) => b.name === board)
  if (view === "drive") return circuit.strings.map((s) => ({ kind: "string", name: s.name }))
  if (view === "wiring") return boards.harness.map((w) => ({ kind: "wire", name: w.name }))
  if (view === "board" && shown)
    return shown.parts.map((p) => ({ kind: p.kind === "led" ? "led" : "part", name: p.ref }))
  if (view === "cut" && shown) {
    const nets = new Set(shown.lands.flatMap((l) => l.net ?? []))
    return [...nets].map((name) => ({ kind: "net", name }))
  }
  if (view === "fit" && shown) {
    const here = new Set(shown.parts.map((p) => p.ref))
    return leds.filter((l) => here.has(l.name))
  }
  return leds
}

/** The next thing of the view, or the one before; from what belongs to the one picked where the view changed. */
export function pickNext(step: 1 | -1): void {
  const all = thingsInView()
  if (all.length === 0) return
  const { look } = page.getState()
  const own = all.findIndex((t) => sameThing(t, look?.thing))
  const kin = all.findIndex((t) => belongs(t, look))
  const from = own >= 0 ? own + step : kin >= 0 ? kin : step === 1 ? 0 : all.length - 1
  const to = all[(from + all.length) % all.length]
  if (to && !sameThing(to, look?.thing)) pick(to)
}

type Looked = ReturnType<typeof page.getState>["look"]

function belongs({ kind, name }: Thing, look: Looked): boolean {
  if (!look?.thing) return false
  if (kind === "led") return look.leds.includes(name)
  if (kind === "string") return look.strings?.includes(name) ?? false
  if (kind === "part") return look.parts.includes(name)
  if (kind === "net") return look.nets.includes(name)
  return look.harness?.includes(name) ?? false
}

const typing = "input:not([type=range]), textarea, select, [contenteditable]"

/** Comma and full stop walk the view's things, Escape lets go; not where one types. */
export function listenForPickKeys(): void {
  window.addEventListener("keydown", (event) => {
    if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return
    const target = event.target instanceof Element ? event.target : undefined
    if (target?.closest(typing)) return
    if (event.key === ",") pickNext(-1)
    else if (event.key === ".") pickNext(1)
    else if (event.key === "Escape" && page.getState().look) letGo()
    else return
    event.preventDefault()
  })
}
