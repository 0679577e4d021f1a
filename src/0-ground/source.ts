// Where a figure comes from and how it is known. Every fact that reaches a user carries one.

/** How a fact is known; the user is shown this word. */
export type Known =
  /** seen in the document named */
  | "read"
  /** recalled, the document was not opened */
  | "memory"
  /** common practice, no source */
  | "practice"
  /** worked out from a formula shown with it */
  | "computed"
  /** the lamp's own description says so */
  | "description"
  /** chosen by this program, with the reason in `place` */
  | "chosen"

export interface Source {
  readonly document: string
  readonly place?: string
  readonly edition?: string
  readonly known: Known
  /** For facts from memory: high, medium or low confidence. */
  readonly confidence?: "H" | "M" | "L"
}

export const practice = (what = "common practice, no source"): Source => ({
  document: what,
  known: "practice",
})
export const computed = (formula: string): Source => ({ document: formula, known: "computed" })
export const described = (path: string): Source => ({
  document: "the lamp description",
  place: path,
  known: "description",
})
