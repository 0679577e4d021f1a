// Files dropped anywhere on the page: a description, drawings, or a recording of the vehicle's wires.

import { openFiles } from "./open-files.ts"
import { page } from "./store.ts"
import { vehicle } from "./vehicle.ts"

export function listenForDrops(): void {
  window.addEventListener("dragover", (event) => {
    if (event.dataTransfer?.types.includes("Files")) event.preventDefault()
  })
  window.addEventListener("drop", (event) => {
    const files = [...(event.dataTransfer?.files ?? [])]
    if (files.length === 0) return
    event.preventDefault()
    void takeFiles(files)
  })
}

export async function takeFiles(files: readonly File[]): Promise<void> {
  const recording = files.find((f) => /\.vcd$/i.test(f.name))
  if (recording) await vehicle.getState().openRecording(recording)
  const others = files.filter((f) => !/\.vcd$/i.test(f.name))
  if (others.length === 0) return
  const { draft, drawings, file, replace } = page.getState()
  const result = await openFiles(others, { file, text: draft, drawings })
  replace(result.source, result.words, result.changed)
}
