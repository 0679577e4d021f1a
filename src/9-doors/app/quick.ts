// The page's side of the first look: the newest text is looked at, texts that were overtaken never are.

import * as Comlink from "comlink"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { FlasherKind } from "../../7-proof/play-lamp.ts"
import type { EarlyDesign, Unreadable } from "../../first-look.ts"
import type { QuickApi } from "./quick-worker.ts"
import { isMade, page } from "./store.ts"

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
      looked = undefined
      looking = undefined
    })
    api = Comlink.wrap<QuickApi>(worker)
  }
  return api
}

let looking: Promise<void> | undefined
let again = false
/** What was looked at last, and its light under way. */
let looked: { readonly draft: string; readonly drawings: unknown } | undefined
let lighting: Promise<void> | undefined

/** Lights the lamp that was looked at, unless the next look comes first. */
async function lightSoon(early: EarlyDesign): Promise<void> {
  const since = performance.now()
  try {
    const lit = await open().light()
    if (!lit || page.getState().early?.text !== early.text) return
    const { lamp, circuit, behaviour } = early
    page.getState().takeLight(early.text, { lamp, circuit, behaviour, ...lit })
    performance.measure("first light", { start: since })
  } catch {
    // It lights when the long run has made it.
  }
}

/** Looks at the text as it stands; while a look is under way the next waits, and only the newest text is looked at. */
export function lookSoon(): Promise<void> {
  if (looking) again = true
  looking ??= look().finally(() => {
    looking = undefined
  })
  return looking
}

async function look(): Promise<void> {
  do {
    again = false
    const { draft, drawings } = page.getState()
    // Known whole, or looked at already: nothing to look at first.
    if (isMade(page.getState())) continue
    if (looked?.draft === draft && looked.drawings === drawings) continue
    const since = performance.now()
    const fresh = () => page.getState().draft === draft && page.getState().drawings === drawings
    const onLamp = (lamp: Lamp) => {
      if (fresh() && !page.getState().design) page.setState({ lamp })
    }
    try {
      const seen: EarlyDesign | Unreadable = await open().look(draft, drawings, Comlink.proxy(onLamp))
      if (!fresh()) again = true
      else if (seen.lamp) {
        page.getState().takeEarly(seen as EarlyDesign, false)
        looked = { draft, drawings }
        lighting = lightSoon(seen as EarlyDesign)
      } else page.setState({ unread: seen.findings, early: undefined })
      performance.measure("first look", { start: since })
    } catch {
      // The long run says what is wrong.
      break
    }
  } while (again)
}

/** The first look and the first light of the text as it stands. */
export async function seeFirst(): Promise<void> {
  await lookSoon()
  await lighting
}

/** The firmware on the bench with wires of the builder's choice; undefined when overtaken by newer ones. */
export const playWires = (...call: Parameters<QuickApi["play"]>) => open().play(...call)
export const demonstration = (lamp: Lamp, kind?: FlasherKind) => open().demonstration(lamp, kind)

/** What a drawing holds, and the faces of a text that is no whole lamp yet; undefined where the worker failed. */
export const seeDrawing = (text: string) => open().seeDrawing(text)
export const seeFaces = async (text: string, drawings: Readonly<Record<string, string>>) => {
  try {
    return await open().seeFaces(text, drawings)
  } catch {
    return undefined
  }
}
