// Starts the page: typeface, styles, the app, and the first computation.

import "@fontsource/barlow/latin-400.css"
import "@fontsource/barlow/latin-500.css"
import "@fontsource/barlow/latin-600.css"
import "./style/tokens.css"
import "./style/page.css"
import "./style/description.css"
import "./style/bench.css"
import "./style/board.css"
import "./style/cut.css"
import "./style/tables.css"
import "./style/drive.css"
import "./style/score.css"
import "./style/margins.css"
import { StrictMode } from "react"
import { createRoot } from "react-dom/client"
import { App } from "./app.tsx"
import { compute } from "./engine.ts"
import { listenForPlayKeys } from "./play-keys.ts"

const place = document.getElementById("page")
if (!place) throw new Error("the page has no place for the app: an element with id page")
createRoot(place).render(
  <StrictMode>
    <App />
  </StrictMode>,
)
listenForPlayKeys()
void compute()
