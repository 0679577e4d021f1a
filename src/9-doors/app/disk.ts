// Saving on the builder's disk: into the file it came from where the browser gives a handle to it, else as a download.
// What was refused or did not fit is told, and the text stays where it is.

import { takeFiles } from "./drop-files.ts"
import { lampFile, lampFileName } from "./lamp-file.ts"
import { saveFile } from "./save-file.ts"
import { page } from "./store.ts"

interface Picks {
  showSaveFilePicker?(options: object): Promise<FileSystemFileHandle>
  showOpenFilePicker?(options: object): Promise<FileSystemFileHandle[]>
}

const picks = () => globalThis as unknown as Picks

const types = [{ description: "Lamp description", accept: { "application/yaml": [".yaml", ".yml"] } }]

/**
 * The file the description was opened from or saved to last, which lamp of this visit it was, and its name then. A
 * lamp that only bears the same name never goes there.
 */
let handle: { readonly of: string; readonly lamp: number; readonly file: FileSystemFileHandle } | undefined

const tell = (words: string) => page.setState({ opened: words })

/** Saves where it was saved before; asks for a place the first time. */
export async function save(): Promise<void> {
  const { file, lampNumber } = page.getState()
  if (handle?.of === file && handle.lamp === lampNumber) await write(handle.file)
  else await saveAs()
}

export async function saveAs(): Promise<void> {
  const { file, draft, lampNumber } = page.getState()
  const pick = picks().showSaveFilePicker
  if (!pick) return download()
  try {
    const chosen = await pick.call(globalThis, { suggestedName: file, types })
    handle = { of: chosen.name, lamp: lampNumber, file: chosen }
    if (chosen.name !== file) page.setState({ file: chosen.name })
    await write(chosen)
  } catch (error) {
    if (!isAbort(error)) download(draft, ` The browser gave no place to save to (${why(error)}).`)
  }
}

async function write(to: FileSystemFileHandle): Promise<void> {
  const { draft, file } = page.getState()
  try {
    const writing = await to.createWritable()
    try {
      await writing.write(draft)
      await writing.close()
    } catch (error) {
      await writing.abort().catch(() => undefined)
      throw error
    }
    page.setState({ saved: draft })
    tell(`Saved ${file}.`)
  } catch (error) {
    if ((error as DOMException).name === "QuotaExceededError")
      tell(`${file} was not saved: the disk is full. The text stands here and the file is as it was.`)
    else download(draft, ` ${file} could not be written (${why(error)}).`)
  }
}

function download(text = page.getState().draft, because = ""): void {
  const { file } = page.getState()
  saveFile(file, text, "application/yaml")
  page.setState({ saved: text })
  tell(`${file} was handed to the browser as a download.${because}`)
}

/** The lamp with its drawings in one file, for another machine or another person. */
export async function share(): Promise<void> {
  const { file, draft, drawings } = page.getState()
  const source = { file, text: draft, drawings }
  saveFile(lampFileName(source), await lampFile(source), "application/zip")
  tell(`${lampFileName(source)} holds the description and its drawings. Open it like any other file.`)
}

/** Opens files by the browser's own dialogue that gives handles to write back to. */
export async function openFromDisk(): Promise<void> {
  const pick = picks().showOpenFilePicker
  if (!pick) return
  try {
    const chosen = await pick.call(globalThis, {
      multiple: true,
      types: [
        {
          description: "Lamps and drawings",
          accept: { "text/plain": [".yaml", ".yml", ".svg", ".ies", ".zip"] },
        },
      ],
    })
    const before = page.getState().lampNumber
    await takeFiles(await Promise.all(chosen.map((h) => h.getFile())))
    const { lampNumber, file, draft } = page.getState()
    const described = chosen.find((h) => h.name === file && /\.ya?ml$/i.test(h.name))
    if (!described || (lampNumber === before && (await (await described.getFile()).text()) !== draft)) return
    handle = { of: file, lamp: lampNumber, file: described }
    page.setState({ saved: draft })
  } catch (error) {
    if (!isAbort(error)) tell(`Nothing was opened: ${why(error)}.`)
  }
}

/** Ctrl (or ⌘) with S saves, with Shift as another file. */
export function listenForSaveKeys(): void {
  window.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || event.key.toLowerCase() !== "s") return
    event.preventDefault()
    void (event.shiftKey ? saveAs() : save())
  })
}

const isAbort = (error: unknown) => (error as DOMException | undefined)?.name === "AbortError"
const why = (error: unknown) => (error instanceof Error ? error.message : String(error))
