// Files from the builder's disk: a description, and the drawings and measured beams it names. Nothing leaves the page.

import type { LampSource } from "./demo.ts"

const largest = 4_000_000

export interface Opened {
  readonly source: LampSource
  /** What was taken and what was not, for the builder. */
  readonly words: string
  readonly changed: boolean
}

/** Takes the first description and every drawing among `files`; what is not named stays as it was. */
export async function openFiles(files: readonly File[], before: LampSource): Promise<Opened> {
  let source = before
  const taken: string[] = []
  const left: string[] = []
  let described = false
  for (const file of files) {
    const kind = /\.(ya?ml|svg|ies)$/i.exec(file.name)?.[1]?.toLowerCase()
    const named = kind === "svg" || kind === "ies"
    if (kind === undefined) left.push(`${file.name} is neither YAML nor SVG`)
    else if (file.size > largest) left.push(`${file.name} is larger than ${largest / 1e6} MB`)
    else if (!named && described) left.push(`${file.name} is a second description`)
    else {
      const text = await file.text()
      if (named) source = { ...source, drawings: { ...source.drawings, [file.name]: text } }
      else {
        source = { ...source, file: file.name, text }
        described = true
      }
      taken.push(file.name)
    }
  }
  const words = [
    taken.length > 0 ? `Opened ${taken.join(", ")}.` : "",
    left.length > 0 ? `Left out: ${left.join("; ")}.` : "",
  ]
  return { source, words: words.filter((w) => w !== "").join(" "), changed: taken.length > 0 }
}
