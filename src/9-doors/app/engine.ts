// The page's side of the worker: start, stop, pack. Everything it learns goes into the store.

import * as Comlink from "comlink"
import type { Progress } from "../../0-ground/progress.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import type { EarlyDesign, LampDesign } from "../../design-lamp.ts"
import { packName } from "./pack-name.ts"
import { lookSoon, seeFirst } from "./quick.ts"
import { saveFile } from "./save-file.ts"
import { isMade, page, sameBoards } from "./store.ts"
import { startClock } from "./time-left.ts"
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
  // It went with the worker and would be waited for without end.
  if (page.getState().packing.state === "making")
    page.setState({ packing: { state: "failed", message: "the worker ended before it was made; try again" } })
}

/** Progress within a stage is shown at most this often, ms. */
const readable = 150

let soon: ReturnType<typeof setTimeout> | undefined
let changes = 0
/** The long run leaves the cores to the first look, but waits no longer than this for it, ms. */
const patienceForLook = 400

/** A change of the text is worked out as soon as the hand rests; a description from elsewhere at once. */
export function computeLive(): void {
  page.subscribe((now, before) => {
    if (now.draft === before.draft && now.drawings === before.drawings && now.file === before.file) return
    const mine = ++changes
    clearTimeout(soon)
    // What was made of the text before would be overtaken in a moment.
    void engine?.api.stop()
    const looked = lookSoon()
    const begin = async () => {
      await Promise.race([looked, new Promise((done) => setTimeout(done, patienceForLook))])
      if (mine === changes) void compute(false)
    }
    // A step or a choice is whole at once; a word grows letter by letter.
    soon = setTimeout(begin, now.history.burst === "typing" ? 220 : 30)
  })
}

/** Longest that the whole run waits for the first light, ms. */
const patience = 4000

/** When the page opens: first the lamp on the bench and its light, which take little, then all the rest. */
export async function computeFirst(): Promise<void> {
  const mine = ++turn
  page.setState({
    run: { state: "computing", progress: { stage: "read", done: 0 }, share: 0, left: undefined },
  })
  await Promise.race([seeFirst(), new Promise((done) => setTimeout(done, patience))])
  if (mine === turn) await compute()
}

/** Designs and proves the draft. A newer call overtakes an older one. `led`: the builder asked for it. */
export async function compute(led = true): Promise<void> {
  clearTimeout(soon)
  changes++
  const mine = ++turn
  const { draft, drawings, file } = page.getState()
  page.setState({
    run: { state: "computing", progress: { stage: "read", done: 0 }, share: 0, left: undefined },
    laid: [],
  })
  void lookSoon()
  const clock = startClock(performance.now())
  const onLamp = (lamp: Lamp) => {
    if (mine === turn) page.setState({ lamp: page.getState().design?.lamp ?? lamp })
  }
  const onEarly = (early: EarlyDesign) => {
    if (mine === turn) page.getState().takeEarly(early, true)
  }
  let since: number | undefined = performance.now()
  const onBoard = (board: Board) => {
    if (mine !== turn) return
    page.getState().takeBoard(board)
    if (since !== undefined) performance.measure("first board", { start: since })
    since = undefined
  }
  const onFirst = (first: LampDesign) => {
    if (mine !== turn) return
    clock.whole(performance.now())
    page.getState().take({ text: draft, drawings }, first, led, true)
  }
  let told = { stage: "", at: 0 }
  const onProgress = (progress: Progress) => {
    const now = performance.now()
    // Told more often than it can be read, it would only take the page's time from what is played.
    if (mine !== turn || (progress.stage === told.stage && now - told.at < readable)) return
    told = { stage: progress.stage, at: now }
    page.setState({ run: { state: "computing", progress, ...clock.at(progress, now) } })
  }
  try {
    const design = await open().api.design(
      file,
      draft,
      drawings,
      Comlink.proxy(onLamp),
      Comlink.proxy(onEarly),
      Comlink.proxy(onBoard),
      Comlink.proxy(onFirst),
      Comlink.proxy(onProgress),
    )
    if (mine !== turn || design === undefined) return
    clock.ended(performance.now())
    page.getState().take({ text: draft, drawings }, design, led)
  } catch (error) {
    if (mine === turn) page.setState({ run: { state: "failed", message: words(error) } })
  }
}

/** Asks the worker to stop; one that does not look up within a second is ended. */
export function stop(): void {
  turn++
  // With a whole lamp on the bench only the search for better boards is given up.
  const whole = isMade(page.getState())
  page.setState({ run: whole ? { state: "idle", searchEnded: true } : { state: "stopped" } })
  const asked = engine
  if (!asked) return
  let timer: ReturnType<typeof setTimeout>
  const wait = () => {
    timer = setTimeout(() => {
      if (engine !== asked) return
      // A pack takes its moment and is not to be lost.
      if (page.getState().packing.state === "making") return wait()
      close()
      // What was asked for since then waits on the worker that has gone.
      if (page.getState().run.state === "computing") void compute(false)
    }, 1000)
  }
  wait()
  void asked.api.stop().then(
    () => clearTimeout(timer),
    () => clearTimeout(timer),
  )
}

/** Wires from a recording. */
export const readWires = (text: string, names: readonly string[]) => open().api.readWires(text, names)

/** Makes the pack of the lamp on the bench, whole and proven as it is, and hands it to the browser as a download. */
export async function makePack(): Promise<void> {
  const { design } = page.getState()
  if (!design) return
  page.setState({ packing: { state: "making" } })
  try {
    const folder = packName(design.lamp.name, design.verdict)
    const bytes = await open().api.zip(design, folder)
    saveFile(`${folder}.zip`, bytes, "application/zip")
    // Better boards may have come meanwhile.
    const now = page.getState().design
    const earlier = now?.text === design.text && !sameBoards(now, design)
    page.setState({ packing: { state: "made", name: `${folder}.zip`, size: bytes.length, earlier } })
  } catch (error) {
    page.setState({ packing: { state: "failed", message: words(error) } })
  }
}

const words = (error: unknown) => (error instanceof Error ? error.message : String(error))
