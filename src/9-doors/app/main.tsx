// Starts the page: typeface, styles, the app, and the first computation.

import "@fontsource/barlow/latin-400.css"
import "@fontsource/barlow/latin-500.css"
import "@fontsource/barlow/latin-600.css"
import "./style/tokens.css"
import "./style/page.css"
import "./style/description.css"
import "./style/lines.css"
import "./style/bench.css"
import "./style/board.css"
import "./style/cut.css"
import "./style/tables.css"
import "./style/picked.css"
import "./style/beam.css"
import "./style/fit.css"
import "./style/drive.css"
import "./style/score.css"
import "./style/margins.css"
import "./style/start.css"
import "./style/pick.css"
import "./style/large.css"
import "./style/touch.css"
import "./style/print.css"
import { StrictMode } from "react"
import { createRoot } from "react-dom/client"
import { App } from "./app.tsx"
import { listenForSaveKeys } from "./disk.ts"
import { listenForDrops } from "./drop-files.ts"
import { computeFirst, computeLive } from "./engine.ts"
import { isSource, onOtherTab } from "./keep.ts"
import { loadTheRest } from "./later.tsx"
import { keepOffline } from "./offline.ts"
import { followFaces } from "./pick/picking.ts"
import { listenForPickKeys } from "./picking.ts"
import { listenForPlayKeys } from "./play-keys.ts"
import { listenForPrint } from "./print-size.ts"
import { seeFirst } from "./quick.ts"
import { listenForHelpKey } from "./start/show-keys.ts"
import { page } from "./store.ts"
import { listenForUndoKeys } from "./undo-keys.ts"
import { followDesign } from "./vehicle.ts"
import { listenForVehicleKeys } from "./vehicle-keys.ts"

const place = document.getElementById("page")
if (!place) throw new Error("the page has no place for the app: an element with id page")
createRoot(place).render(
  <StrictMode>
    <App />
  </StrictMode>,
)
listenForPlayKeys()
listenForPickKeys()
listenForPrint()
listenForHelpKey()
listenForUndoKeys()
listenForVehicleKeys()
listenForDrops()
listenForSaveKeys()
followDesign()
followFaces()
onOtherTab((copy) => page.setState({ elsewhere: { copy, now: true } }))
void begin()

/** The server that was given a description says so in the page; a plain folder of files offers none. */
async function begin() {
  const offer = document.querySelector<HTMLMetaElement>('meta[name="lampwright-lamp"]')?.content
  if (offer) {
    try {
      const answer = await fetch(offer)
      if (!answer.ok) throw new Error(await answer.text())
      const lamp: unknown = await answer.json()
      const path = (lamp as { path?: unknown }).path
      if (!isSource(lamp) || typeof path !== "string") throw new Error("the answer is no description")
      page.getState().start({ ...lamp, origin: path })
    } catch (error) {
      page.setState({
        opened:
          navigator.onLine && (await fetch("./", { method: "HEAD" }).catch(() => undefined))?.ok
            ? `The description was not opened: ${error instanceof Error ? error.message : String(error)}.`
            : "The server that offered the description does not run; the copy kept here stands.",
      })
    }
  }
  computeLive()
  // What may be shown later, and a copy of it all for when there is no server, must not hold up the first light.
  void seeFirst().then(loadTheRest).then(keepOffline)
  await computeFirst()
}
