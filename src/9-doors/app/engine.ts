// The page's side of the worker: start, stop, pack. Everything it learns goes into the store.

import * as Comlink from "comlink"
import type { Progress } from "../../0-ground/progress.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import { packName } from "./pack-name.ts"
import { saveFile } from "./save-file.ts"
import { page } from "./store.ts"
import type { WorkerApi } from "./worker.ts"

interface Engine {
  readonly worker: Worker
  readonly api: Comlink.Remote<WorkerApi>
}

let engine: Engine | undefined
let turn = 0

function open(): Engine {
  if (engine) return engine
  const worker = new Worker(new URL("./worker.ts", import.meta.url), { type: "module", name: "lampwright" })
  worker.addEventListener("error", (event) => {
    event.preventDefault()
    close()
    turn++
    page.setState({ run: { state: "failed", message: event.message || "the worker could not start" } })
  })
  engine = { worker, api: Comlink.wrap<WorkerApi>(worker) }
  return engine
}

function close() {
  engine?.worker.terminate()
  engine = undefined
}

/** Designs and proves the draft. A newer call overtakes an older one. */
export async function compute(): Promise<void> {
  const mine = ++turn
  const { draft, drawings, file } = page.getState()
  page.setState({ run: { state: "computing", progress: { stage: "reading the description", done: 0 } } })
  const onLamp = (lamp: Lamp) => {
    if (mine === turn) page.setState({ lamp: page.getState().design?.lamp ?? lamp })
  }
  const onProgress = (progress: Progress) => {
    if (mine === turn) page.setState({ run: { state: "computing", progress } })
  }
  try {
    const design = await open().api.design(
      file,
      draft,
      drawings,
      Comlink.proxy(onLamp),
      Comlink.proxy(onProgress),
    )
    if (mine !== turn || design === undefined) return
    page.getState().take(draft, design)
  } catch (error) {
    if (mine === turn) page.setState({ run: { state: "failed", message: words(error) } })
  }
}

/** Asks the worker to stop; one that does not look up within a second is ended. */
export function stop(): void {
  turn++
  page.setState({ run: { state: "stopped" } })
  const asked = engine
  if (!asked) return
  const timer = setTimeout(() => {
    if (engine === asked) close()
  }, 1000)
  void asked.api.stop().then(
    () => clearTimeout(timer),
    () => clearTimeout(timer),
  )
}

/** Makes the pack and hands it to the browser as a download. */
export async function makePack(): Promise<void> {
  const { design } = page.getState()
  if (!design) return
  page.setState({ packing: { state: "making" } })
  try {
    const folder = packName(design.lamp.name, design.verdict)
    const bytes = await open().api.zip(design, folder)
    saveFile(`${folder}.zip`, bytes, "application/zip")
    page.setState({ packing: { state: "made", name: `${folder}.zip`, size: bytes.length } })
  } catch (error) {
    page.setState({ packing: { state: "failed", message: words(error) } })
  }
}

const words = (error: unknown) => (error instanceof Error ? error.message : String(error))
