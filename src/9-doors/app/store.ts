// What the page knows: the description, the last design, what is looked at and what is selected.
// The play head lives in play.ts because it moves every frame.

import { createStore, useStore } from "zustand"
import type { Finding } from "../../0-ground/finding.ts"
import type { Progress } from "../../0-ground/progress.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Designed, LampDesign } from "../../design-lamp.ts"
import { demo, type LampSource } from "./demo.ts"
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
  /** Name the description is saved under. */
  readonly file: string
  readonly isDemo: boolean
  /** What was opened last, or kept from the last visit, in words. */
  readonly opened: string
  /** What stood in the editor before files were opened. */
  readonly previous: LampSource | undefined
  readonly run: Run
  readonly packing: Packing
  /** The lamp on the bench: as read while there is no design yet, the design's own afterwards. */
  readonly lamp: Lamp | undefined
  /** The last design with a lamp in it; stays on the bench while the text is broken. */
  readonly design: LampDesign | undefined
  /** The text `design` was made from. */
  readonly designText: string
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
  take(text: string, design: Designed): void
  select(finding: Finding | undefined): void
  showLine(line: number, column: number): void
  /** Puts another description in the editor; the one before can be had back when it was changed. */
  replace(source: LampSource, words: string, changed: boolean): void
  goBack(): void
  backToDemo(): void
}

const before = kept()
const first = before ?? demo

export const page = createStore<PageState>()((set, get) => ({
  draft: first.text,
  drawings: first.drawings,
  file: first.file,
  isDemo: before === undefined,
  opened: before === undefined ? "" : "Your text from the last visit was kept.",
  previous: undefined,
  run: { state: "idle" },
  packing: { state: "none" },
  lamp: undefined,
  design: undefined,
  designText: "",
  unread: [],
  leftTab: "short",
  view: "face",
  board: undefined,
  side: "copper",
  selected: undefined,
  look: undefined,
  goTo: undefined,

  edit(text) {
    const { file, drawings } = get()
    const isDemo = text === demo.text && drawings === demo.drawings
    keep(isDemo ? undefined : { file, text, drawings })
    set({ draft: text, isDemo })
  },

  take(text, design) {
    if (design.lamp === undefined) {
      set({ run: { state: "idle" }, unread: design.findings, leftTab: "text" })
      const { line, column } = design.findings.find((f) => f.where.line !== undefined)?.where ?? {}
      if (line !== undefined) get().showLine(line, column ?? 1)
      return
    }
    const boards = design.boards.boards
    const board = boards.some((b) => b.name === get().board) ? get().board : boards[0]?.name
    set({
      run: { state: "idle" },
      packing: { state: "none" },
      lamp: design.lamp,
      design,
      designText: text,
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

  replace(source, words, changed) {
    const { draft, drawings, file, previous } = get()
    if (!changed) return set({ opened: words })
    keep(source)
    set({
      draft: source.text,
      drawings: source.drawings,
      file: source.file,
      isDemo: false,
      opened: words,
      previous: previous ?? { file, text: draft, drawings },
    })
  },

  goBack() {
    const { previous } = get()
    if (!previous) return
    const isDemo = previous.text === demo.text && previous.drawings === demo.drawings
    keep(isDemo ? undefined : previous)
    set({
      draft: previous.text,
      drawings: previous.drawings,
      file: previous.file,
      isDemo,
      opened: "",
      previous: undefined,
    })
  },

  backToDemo() {
    const { draft, drawings, file } = get()
    keep(undefined)
    set({
      draft: demo.text,
      drawings: demo.drawings,
      file: demo.file,
      isDemo: true,
      opened: "",
      previous: { file, text: draft, drawings },
    })
  },
}))

export function usePage<T>(pick: (state: PageState) => T): T {
  return useStore(page, pick)
}
