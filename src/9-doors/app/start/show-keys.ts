// The way to the list of keys: the header's button and the question mark.

import { page } from "../store.ts"

export async function showKeys(): Promise<void> {
  page.setState({ leftTab: "start" })
  await import("./start.tsx").catch(() => undefined)
  // After the tab has been drawn.
  requestAnimationFrame(() =>
    requestAnimationFrame(() => {
      const heading = document.getElementById("keys")
      heading?.scrollIntoView({ block: "start" })
      heading?.focus({ preventScroll: true })
    }),
  )
}

const typing = "input, textarea, select, [contenteditable]"

export function listenForHelpKey(): void {
  window.addEventListener("keydown", (event) => {
    if (event.key !== "?" || event.ctrlKey || event.metaKey || event.altKey) return
    if (event.target instanceof Element && event.target.closest(typing)) return
    event.preventDefault()
    void showKeys()
  })
}
