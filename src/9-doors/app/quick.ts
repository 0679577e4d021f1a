// The page's side of the first look: the newest text is looked at, texts that were overtaken never are.

import * as Comlink from "comlink"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { EarlyDesign, Unreadable } from "../../first-look.ts"
import type { QuickApi } from "./quick-worker.ts"
import { page } from "./store.ts"

let api: Comlink.Remote<QuickApi> | undefined

function open(): Comlink.Remote<QuickApi> {
  if (!api) {
    const worker = new Worker(new URL("./quick-worker.ts", import.meta.url), {
      type: "module",
      name: "first look",
    })
    worker.addEventListener("error", (event) => {
      event.preventDefault()
      worker.terminate()
      api = undefined
      busy = false
    })
    api = Comlink.wrap<QuickApi>(worker)
  }
  return api
}

let busy = false
let again = false

/** Looks at the text as it stands; while a look is under way the next waits, and only the newest text is looked at. */
export async function lookSoon(): Promise<void> {
  if (busy) {
    again = true
    return
  }
  busy = true
  do {
    again = false
    const { draft, drawings } = page.getState()
    // Known whole: nothing to look at first.
    if (page.getState().designText === draft) continue
    const since = performance.now()
    const fresh = () => page.getState().draft === draft && page.getState().drawings === drawings
    const onLamp = (lamp: Lamp) => {
      if (fresh() && !page.getState().design) page.setState({ lamp })
    }
    try {
      const seen: EarlyDesign | Unreadable = await open().look(draft, drawings, Comlink.proxy(onLamp))
      if (!fresh()) again = true
      else if (seen.lamp) page.getState().takeEarly(seen as EarlyDesign, false)
      else page.setState({ unread: seen.findings, early: undefined })
      performance.measure("first look", { start: since })
    } catch {
      // The long run says what is wrong.
      break
    }
  } while (again)
  busy = false
}

/** What a drawing holds, and the faces of a text that is no whole lamp yet; undefined where the worker failed. */
export const seeDrawing = (text: string) => open().seeDrawing(text)
export const seeFaces = async (text: string, drawings: Readonly<Record<string, string>>) => {
  try {
    return await open().seeFaces(text, drawings)
  } catch {
    return undefined
  }
}
