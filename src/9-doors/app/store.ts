// What the page knows: the description, the last design, what is looked at and what is selected.
// The play head lives in play.ts because it moves every frame.

import { createStore, useStore } from "zustand"
import type { Finding } from "../../0-ground/finding.ts"
import type { Progress } from "../../0-ground/progress.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import type { LightTrace } from "../../7-proof/artefact.ts"
import type { Made } from "../../7-proof/play-lamp.ts"
import type { Designed, EarlyDesign, LampDesign } from "../../design-lamp.ts"
import type { FirstLight } from "../../first-look.ts"
import { demo, type LampSource } from "./demo.ts"
import { begin, type History, record, redo, undo } from "./history.ts"
import { type Copy, forgetAside, keep, kept, keptAside } from "./keep.ts"
import { type Look, lookAt, type View } from "./look-at.ts"
import { settle } from "./margins/settle.ts"
import { play } from "./play.ts"
import { asDescribed, type Does, letGo } from "./vehicle-does.ts"

export type Run =
  /** `searchEnded`: the lamp is whole, and the search for better boards was given up. */
  | { readonly state: "idle"; readonly searchEnded?: true }
  | {
      readonly state: "computing"
      readonly progress: Progress
      /** Of the whole run, 0…1, and seconds it still takes, once that can be told. */
      readonly share: number
      readonly left: number | undefined
    }
  | { readonly state: "stopped" }
  | { readonly state: "failed"; readonly message: string }

export type Packing =
  | { readonly state: "none" }
  | { readonly state: "making" }
  /** `earlier`: boards of the same lamp that are better were found since. */
  | { readonly state: "made"; readonly name: string; readonly size: number; readonly earlier: boolean }
  | { readonly state: "failed"; readonly message: string }

export interface Played {
  readonly text: string
  readonly made: Made
  /** What the demonstration does. */
  readonly trace: LightTrace
}

/** What undo brings back: the description, and what the vehicle does to it. */
export interface Stood extends LampSource {
  readonly does: Does
}

export interface PageState {
  /** The description as it stands in the editor. */
  readonly draft: string
  readonly drawings: Readonly<Record<string, string>>
  /** Name the description is saved under. */
  readonly file: string
  /** Which lamp of this visit it is; what is saved goes only to the file that this very lamp came from. */
  readonly lampNumber: number
  readonly isDemo: boolean
  /** What was opened last, or kept from the last visit, in words. */
  readonly opened: string
  /** What was before and after, for undo and redo. */
  readonly history: History<Stood>
  /** What the vehicle does to the lamp's wires while the score plays. */
  readonly does: Does
  /** The text as it was last written to the builder's disk; undefined until then. */
  readonly saved: string | undefined
  /** True when the app opens without its server. */
  readonly offline: boolean
  /** False when the browser keeps no copy of what is typed. */
  readonly copied: boolean
  /** Where the file lies when the page was started with one, and its text there. */
  readonly origin: string | undefined
  readonly disk: string | undefined
  /** What another tab typed last, or an earlier visit left aside. */
  readonly elsewhere: { readonly copy: Copy; readonly now: boolean } | undefined
  readonly run: Run
  readonly packing: Packing
  /** The lamp on the bench: as read while there is no design yet, the design's own afterwards. */
  readonly lamp: Lamp | undefined
  /** The last design with a lamp in it; stays on the bench while the text is broken. */
  readonly design: LampDesign | undefined
  /** The text and the drawings `design` was made from. */
  readonly designText: string
  readonly designDrawings: Readonly<Record<string, string>> | undefined
  /** What is known of the text while its boards are still being laid out; undefined once `design` is of it. */
  readonly early: EarlyDesign | undefined
  /** Boards of the text being worked out that are laid, but neither cut nor proven; empty once `design` is of it. */
  readonly laid: readonly Board[]
  /** The lamp as it plays: lit by the firmware of the first look until the proof has played it on its boards. */
  readonly played: Played | undefined
  /** Findings of a text that could not be read; empty otherwise. */
  readonly unread: readonly Finding[]
  readonly leftTab: "start" | "short" | "text"
  readonly view: View
  readonly board: string | undefined
  /** The shared sheet that the Cut view shows; undefined: `board` by itself. */
  readonly sheet: string | undefined
  readonly side: "copper" | "component"
  readonly selected: Finding | undefined
  readonly look: Look | undefined
  /** Line to show in the text, with a count so that the same line can be asked for twice. */
  readonly goTo: { readonly line: number; readonly column: number; readonly count: number } | undefined
  /** A change of the text; without words it is typing. Changes of one `burst` that follow each other closely are undone as one. */
  edit(text: string, words?: string, burst?: string): void
  /** A change of text and drawings together. */
  change(source: LampSource, words: string): void
  /** A change of what the vehicle does; without words it belongs to the step before. */
  letVehicle(does: Does, words?: string, burst?: string): void
  undo(): void
  redo(): void
  /** Begins with the description the server offers; own edits to it from the last visit are taken up. */
  start(offered: Copy): void
  /** Takes what another tab or an earlier visit left; the text before can be had back. */
  takeElsewhere(): void
  leaveElsewhere(): void
  /**
   * `led`: the builder asked for it, and may be led to the first fault. `first`: better boards are still being looked
   * for.
   */
  take(of: Pick<LampSource, "text" | "drawings">, design: Designed, led: boolean, first?: boolean): void
  /** A board of the text being worked out, as soon as it is laid. */
  takeBoard(board: Board): void
  /** The lamp of the first look, lit. */
  takeLight(text: string, light: FirstLight): void
  /** `whole`: with everything that can be said before the boards, not only the first look. */
  takeEarly(early: EarlyDesign, whole: boolean): void
  select(finding: Finding | undefined): void
  showLine(line: number, column: number): void
  /** Puts another description in the editor; undo brings the one before back. */
  replace(source: LampSource, words: string, changed: boolean): void
  backToDemo(): void
  /** Another lamp altogether: nothing of the one before stays on the bench; undo brings its text back. */
  begin(source: LampSource, words: string): void
}

const before = kept()
const first = before ?? demo
const left = keptAside()

export const page = createStore<PageState>()((set, get) => ({
  draft: first.text,
  drawings: first.drawings,
  file: first.file,
  lampNumber: 0,
  isDemo: before === undefined,
  opened: before === undefined ? "" : "Your text from the last visit was kept.",
  history: begin(),
  does: asDescribed,
  copied: true,
  saved: undefined,
  offline: false,
  origin: before?.origin,
  disk: before?.disk,
  elsewhere: left && left.text !== first.text ? { copy: left, now: false } : undefined,
  run: { state: "idle" },
  packing: { state: "none" },
  lamp: undefined,
  design: undefined,
  designText: "",
  designDrawings: undefined,
  early: undefined,
  laid: [],
  played: undefined,
  unread: [],
  leftTab: "short",
  view: "face",
  board: undefined,
  sheet: undefined,
  side: "copper",
  selected: undefined,
  look: undefined,
  goTo: undefined,

  edit(text, words, burst = words === undefined ? "typing" : undefined) {
    const { draft, drawings, file } = get()
    if (text !== draft) set(changed(get(), { file, text, drawings }, words ?? "typing", burst))
  },

  change(source, words) {
    set(changed(get(), source, words))
  },

  letVehicle(does, words, burst) {
    const { history } = get()
    set({ does, ...(words === undefined ? {} : { history: record(history, standing(get()), words, burst) }) })
  },

  undo() {
    const step = undo(get().history, standing(get()))
    if (step) set({ ...stood(get(), step.now), does: step.now.does, history: step.history })
  },

  redo() {
    const step = redo(get().history, standing(get()))
    if (step) set({ ...stood(get(), step.now), does: step.now.does, history: step.history })
  },

  start(offered) {
    const { origin, text, drawings, file } = offered
    const own = kept()
    const now = { origin, disk: text }
    if (!own) return set({ ...now, draft: text, drawings, file, isDemo: false, opened: "" })
    const same = own.origin === origin
    const offer: Stood = { file, text, drawings, does: asDescribed }
    const mine: Stood = { file: own.file, text: own.text, drawings: own.drawings, does: asDescribed }
    if (same && own.text !== text && own.disk === text)
      set({
        ...now,
        draft: own.text,
        // A drawing may have been mended on disk meanwhile; one that was dropped into the page is not there.
        drawings: { ...own.drawings, ...drawings },
        file,
        isDemo: false,
        opened: `Your edits of ${file} from the last visit were kept; the file itself is as it was.`,
        history: record(begin(), offer, "your edits from the last visit"),
      })
    else
      set({
        ...now,
        draft: text,
        drawings,
        file,
        isDemo: false,
        elsewhere: undefined,
        opened:
          own.text === text
            ? ""
            : same
              ? `${file} was changed on disk since your last visit. Undo brings back your own text.`
              : `Opened ${file}. Undo brings back the text of your last visit.`,
        history: own.text === text ? begin() : record(begin(), mine, `opening ${file}`),
      })
  },

  takeElsewhere() {
    const { elsewhere } = get()
    if (!elsewhere) return
    const { file, text, drawings } = elsewhere.copy
    set({
      ...changed(get(), another({ file, text, drawings }), "taking the other text"),
      elsewhere: undefined,
      opened: "",
    })
    forgetAside()
  },

  leaveElsewhere() {
    set({ elsewhere: undefined })
    forgetAside()
  },

  takeEarly(early, whole) {
    // Worked out before: the rest follows at once.
    if (isMade(get(), early.text)) return
    // A first look that comes late.
    if (!whole && get().early?.text === early.text) return
    const findings = settle(judgedOf(get()), early.findings)
    set({
      early: { ...early, findings },
      lamp: early.lamp,
      unread: [],
      selected: again(get().selected, findings),
      look: undefined,
    })
  },

  takeBoard(board) {
    const { early, laid } = get()
    // A better one of a lamp that is whole already comes with that lamp's next proof.
    if (!early) return
    const names = early.lamp.boards.map((b) => b.name)
    const now = [...laid.filter((b) => b.name !== board.name), board].sort(
      (a, b) => names.indexOf(a.name) - names.indexOf(b.name),
    )
    set({ laid: now, board: names.includes(get().board ?? "") ? get().board : board.name })
  },

  takeLight(text, { trace, ...made }) {
    // The proof came first.
    if (get().played?.text === text && isMade(get(), text)) return
    set({ played: { text, made, trace } })
    play.getState().open(trace)
  },

  take({ text, drawings }, made, led, first = false) {
    if (made.lamp === undefined) {
      set({ run: { state: "idle" }, unread: made.findings, early: undefined, laid: [] })
      // Lines are those of the text that was read: when it was changed since, there is nothing to be led to.
      if (!led || text !== get().draft) return
      const { line, column } = made.findings.find((f) => f.where.line !== undefined)?.where ?? {}
      if (line !== undefined) get().showLine(line, column ?? 1)
      return
    }
    const { selected } = get()
    const design = { ...made, findings: settle(judgedOf(get()), made.findings) }
    const boards = design.boards.boards
    const board = boards.some((b) => b.name === get().board) ? get().board : boards[0]?.name
    set({
      run: first ? get().run : { state: "idle" },
      packing: packingWith(get(), text, design),
      lamp: design.lamp,
      design,
      designText: text,
      designDrawings: drawings,
      early: undefined,
      laid: [],
      played: { text, made: design, trace: design.proof.trace },
      unread: [],
      board,
      selected: undefined,
      look: undefined,
    })
    const same = again(selected, design.findings)
    if (same) set({ selected: same, look: lookAt(same, design) })
    play.getState().open(design.proof.trace)
  },

  select(finding) {
    const { design, early } = get()
    if (!finding) return set({ selected: undefined, look: undefined })
    if (!design) return set({ selected: finding, look: undefined })
    const look = lookAt(finding, early ? { ...design, lamp: early.lamp, circuit: early.circuit } : design)
    // A finding about a sheet is seen on it, one about a board on the board.
    const sheet = sheetOf(finding, design)
    set({
      selected: finding,
      look,
      view: sheet === undefined ? (look.view ?? get().view) : "cut",
      board: look.board ?? get().board,
      sheet: sheet ?? (look.board === undefined ? get().sheet : undefined),
    })
  },

  showLine(line, column) {
    set({ leftTab: "text", goTo: { line, column, count: (get().goTo?.count ?? 0) + 1 } })
  },

  replace(source, words, isChanged) {
    // A drawing that is dropped belongs to the lamp that stands there.
    const to = source.text === get().draft ? source : another(source)
    set({ ...(isChanged ? changed(get(), to, `opening ${source.file}`) : {}), opened: words })
  },

  backToDemo() {
    set({ ...changed(get(), another(demo), "back to the demo lamp"), opened: "" })
  },

  begin(source, words) {
    set({ ...changed(get(), another(source), `beginning ${words}`), ...bare, opened: "" })
    play.getState().close()
  },
}))

const sheetOf = ({ where, code }: Finding, { plan }: LampDesign): string | undefined =>
  /^(cut|proof)\./.test(code)
    ? plan.sheets?.find((s) => where.text === s.name || where.text.endsWith(` on ${s.name}`))?.name
    : undefined

/** What was judged last. */
const judgedOf = ({ early, design }: PageState): readonly Finding[] => (early ?? design)?.findings ?? []

/** The same finding of another run: what was selected stays so while it is worked at. */
const again = (selected: Finding | undefined, findings: readonly Finding[]): Finding | undefined =>
  selected &&
  findings.find(
    (f) =>
      f.code === selected.code &&
      f.where.text === selected.where.text &&
      f.where.path === selected.where.path &&
      (f.figure ?? f.title) === (selected.figure ?? selected.title),
  )

/** Nothing on the bench, nothing judged; what was recorded or held for the lamp before is not the next one's own. */
const bare = {
  does: asDescribed,
  lamp: undefined,
  design: undefined,
  designText: "",
  designDrawings: undefined,
  early: undefined,
  laid: [],
  played: undefined,
  unread: [],
  packing: { state: "none" },
  selected: undefined,
  look: undefined,
  view: "face",
  sheet: undefined,
} as const satisfies Partial<PageState>

/** A pack of the first whole lamp stands when better boards of the same text come, and says that it is the earlier. */
function packingWith({ packing, design, designText }: PageState, text: string, next: LampDesign): Packing {
  const stands = design !== undefined && designText === text
  if (!stands || packing.state === "none" || packing.state === "failed") return { state: "none" }
  if (packing.state === "making" || sameBoards(design, next)) return packing
  return { ...packing, earlier: true }
}

export const sameBoards = (a: LampDesign, b: LampDesign): boolean =>
  a === b || JSON.stringify(a.boards.boards) === JSON.stringify(b.boards.boards)

const standing = ({ draft, drawings, file, lampNumber, does }: PageState): Stood => ({
  file,
  text: draft,
  drawings,
  lamp: lampNumber,
  does: letGo(does, play.getState().length),
})

/** True when the lamp on the bench was made from the description as it stands, or from `text` with its drawings. */
export const isMade = (s: PageState, text = s.draft): boolean =>
  s.design !== undefined && s.designText === text && s.designDrawings === s.drawings

let lamps = 0

/** A lamp that came from elsewhere, whatever its file is called. */
const another = ({ file, text, drawings }: LampSource): LampSource => ({
  file,
  text,
  drawings,
  lamp: ++lamps,
})

/** Another description in the editor, copied into the browser. */
function stood(state: PageState, source: LampSource): Partial<PageState> {
  const isDemo = source.text === demo.text && source.drawings === demo.drawings && state.origin === undefined
  const { origin, disk } = state
  const { file, text, drawings, lamp = state.lampNumber } = source
  const copied = keep(isDemo ? undefined : { file, text, drawings, origin, disk })
  // What was written to the disk was the other lamp.
  const saved = lamp === state.lampNumber ? {} : { saved: undefined }
  return { draft: text, drawings, file, lampNumber: lamp, isDemo, copied, ...saved }
}

const changed = (state: PageState, to: LampSource, words: string, burst?: string): Partial<PageState> => ({
  ...stood(state, to),
  history: record(state.history, standing(state), words, burst),
})

export function usePage<T>(pick: (state: PageState) => T): T {
  return useStore(page, pick)
}
