// The first look off the page, in a worker of its own: the long search in the other one never keeps it waiting.

import * as Comlink from "comlink"
import type { Lamp } from "../../2-lamp/artefact.ts"
import { seeDrawing, seeFaces } from "../../2-lamp/see-drawing.ts"
import { lookFirst } from "../../first-look.ts"

const api = {
  look: (text: string, drawings: Readonly<Record<string, string>>, onLamp: (lamp: Lamp) => void) =>
    lookFirst(text, (name) => drawings[name], onLamp),
  seeDrawing,
  seeFaces: (text: string, drawings: Readonly<Record<string, string>>) =>
    seeFaces(text, (name) => drawings[name]),
}

export type QuickApi = typeof api

Comlink.expose(api)
