// Space plays and pauses, the arrows step; except where a key already means something else.

import { play } from "./play.ts"
import { space } from "./space-key.ts"

/** Seconds for one arrow; with Shift ten times that. */
export const step = 0.01

const busy =
  "input, textarea, select, [contenteditable], [role=tablist], [role=radiogroup], [role=slider], [role=listbox]"
const pressable = "button, a, summary"

export function listenForPlayKeys(): void {
  window.addEventListener("keydown", (event) => {
    const target = event.target instanceof Element ? event.target : undefined
    if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return
    if (target?.closest(busy)) return
    const { time, seek } = play.getState()
    if (event.key === " " && !target?.closest(pressable)) {
      if (!event.repeat) Object.assign(space, { held: true, used: false })
    } else if (event.key === "ArrowRight" && !onStage(target, event)) seek(time + step)
    else if (event.key === "ArrowLeft" && !onStage(target, event)) seek(time - step)
    else return
    event.preventDefault()
  })
  window.addEventListener("keyup", (event) => {
    if (event.key !== " " || !space.held) return
    const { playing, setPlaying } = play.getState()
    if (!space.used) setPlaying(!playing)
    space.held = false
  })
  window.addEventListener("blur", () => Object.assign(space, { held: false }))
}

/** Shift with arrows moves the bench while it has the focus. */
const onStage = (target: Element | undefined, event: KeyboardEvent) =>
  event.shiftKey && target?.closest(".stage-frame") !== null && target !== undefined
