// A wire's key holds it while it is down. Letters mean letters where one types, and nothing with Ctrl, Alt or ⌘.

import { page } from "./store.ts"
import { vehicle, wireKeys } from "./vehicle.ts"

const typing = "input, textarea, select, [contenteditable], [role=tablist], [role=radiogroup], [role=listbox]"

export function listenForVehicleKeys(): void {
  const wireOf = (event: KeyboardEvent) => {
    const lamp = page.getState().played?.made.lamp
    return lamp && wireKeys(lamp).find((w) => w.key === event.key.toLowerCase())?.wire
  }
  window.addEventListener("keydown", (event) => {
    if (event.defaultPrevented || event.repeat || event.ctrlKey || event.metaKey || event.altKey) return
    const target = event.target instanceof Element ? event.target : undefined
    // The play head's own slider takes arrows, not letters.
    if (target?.closest(typing) && !target.matches("input[type=range]")) return
    const wire = wireOf(event)
    if (wire === undefined) return
    vehicle.getState().press(wire)
    event.preventDefault()
  })
  window.addEventListener("keyup", (event) => {
    const wire = wireOf(event)
    if (wire !== undefined) vehicle.getState().release(wire)
  })
  // A key that comes up elsewhere is never heard of.
  window.addEventListener("blur", () => vehicle.getState().letGo())
}
