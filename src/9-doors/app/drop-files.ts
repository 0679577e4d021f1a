// Files dropped anywhere on the page: a description, drawings, or a recording of the vehicle's wires.

import { unpacked } from "./lamp-file.ts"
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
  const others: File[] = []
  const refused: string[] = []
  for (const f of files) {
    if (/\.vcd$/i.test(f.name)) continue
    const inside = /\.zip$/i.test(f.name) ? await unpacked(f) : [f]
    if ("refused" in inside) refused.push(inside.refused)
    else others.push(...inside)
  }
  if (refused.length > 0) page.setState({ opened: `Not opened: ${refused.join("; ")}.` })
  if (others.length === 0) return
  const { draft, drawings, file, replace } = page.getState()
  const result = await openFiles(others, { file, text: draft, drawings })
  replace(result.source, result.words, result.changed)
}
