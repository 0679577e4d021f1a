// Ctrl (or ⌘) with Z goes back, with Shift and Z or with Y forward; everywhere on the page, the text included.

import { page } from "./store.ts"

export function listenForUndoKeys(): void {
  window.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey) return
    const key = event.key.toLowerCase()
    if (key === "z" && !event.shiftKey) page.getState().undo()
    else if (key === "y" || key === "z") page.getState().redo()
    else return
    event.preventDefault()
  })
}
