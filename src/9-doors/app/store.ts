// What the page knows: the description, the last design, what is looked at and what is selected.
// The play head lives in play.ts because it moves every frame.

import { createStore, useStore } from "zustand"
import type { Finding } from "../../0-ground/finding.ts"
import type { Progress } from "../../0-ground/progress.ts"
import type { Designed, LampDesign } from "../../design-lamp.ts"
import { demo } from "./demo.ts"
import { keep, kept } from "./keep.ts"
import { type Look, lookAt, type View } from "./look-at.ts"
import { play } from "./play.ts"

export type Run =
  | { readonly state: "idle" }
  | { readonly state: "computing"; readonly progress: Progress }
  | { readonly state: "stopped" }
  | { readonly state: "failed"; readonly message: string }

export type Packing =
  | { readonly state: "none" | "making" }
  | { readonly state: "made"; readonly name: string; readonly size: number }
  | { readonly state: "failed"; readonly message: string }

export interface PageState {
  /** The description as it stands in the editor. */
  readonly draft: string
  readonly drawings: Readonly<Record<string, string>>
  /** True when the draft was found from an earlier visit. */
  readonly fromBefore: boolean
  readonly run: Run
  readonly packing: Packing
  /** The last design with a lamp in it; stays on the bench while the text is broken. */
  readonly design: LampDesign | undefined
  /** The text `design` was made from. */
  readonly designText: string
  readonly seconds: number
  /** Findings of a text that could not be read; empty otherwise. */
  readonly unread: readonly Finding[]
  readonly leftTab: "short" | "text"
  readonly view: View
  readonly board: string | undefined
  readonly side: "copper" | "component"
  readonly selected: Finding | undefined
  readonly look: Look | undefined
  /** Line to show in the text, with a count so that the same line can be asked for twice. */
  readonly goTo: { readonly line: number; readonly column: number; readonly count: number } | undefined
  edit(text: string): void
  take(text: string, design: Designed, seconds: number): void
  select(finding: Finding | undefined): void
  showLine(line: number, column: number): void
  backToDemo(): void
}

const before = kept()

export const page = createStore<PageState>()((set, get) => ({
  draft: before ?? demo.text,
  drawings: demo.drawings,
  fromBefore: before !== undefined && before !== demo.text,
  run: { state: "idle" },
  packing: { state: "none" },
  design: undefined,
  designText: "",
  seconds: 0,
  unread: [],
  leftTab: "short",
  view: "face",
  board: undefined,
  side: "copper",
  selected: undefined,
  look: undefined,
  goTo: undefined,

  edit(text) {
    keep(text === demo.text ? undefined : text)
    set({ draft: text })
  },

  take(text, design, seconds) {
    if (design.lamp === undefined) {
      set({ run: { state: "idle" }, unread: design.findings, seconds, leftTab: "text" })
      const { line, column } = design.findings.find((f) => f.where.line !== undefined)?.where ?? {}
      if (line !== undefined) get().showLine(line, column ?? 1)
      return
    }
    const boards = design.boards.boards
    const board = boards.some((b) => b.name === get().board) ? get().board : boards[0]?.name
    set({
      run: { state: "idle" },
      packing: { state: "none" },
      design,
      designText: text,
      seconds,
      unread: [],
      board,
      selected: undefined,
      look: undefined,
    })
    play.getState().open(design.proof.trace)
  },

  select(finding) {
    const { design } = get()
    if (!finding || !design) return set({ selected: undefined, look: undefined })
    const look = lookAt(finding, design)
    set({
      selected: finding,
      look,
      view: look.view ?? get().view,
      board: look.board ?? get().board,
    })
  },

  showLine(line, column) {
    set({ leftTab: "text", goTo: { line, column, count: (get().goTo?.count ?? 0) + 1 } })
  },

  backToDemo() {
    keep(undefined)
    set({ draft: demo.text, drawings: demo.drawings, fromBefore: false })
  },
}))

export function usePage<T>(pick: (state: PageState) => T): T {
  return useStore(page, pick)
}
