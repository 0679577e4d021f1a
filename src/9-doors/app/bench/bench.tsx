// The bench: one lamp, looked at in several ways.

import { Tab, TabList, TabPanel, Tabs } from "react-aria-components"
import { later } from "../later.tsx"
import type { View } from "../look-at.ts"
import { Part } from "../part.tsx"
import { usePicking } from "../pick/picking.ts"
import { page, usePage } from "../store.ts"
import { FaceView } from "./face-view.tsx"
import { SelectionLine } from "./selection-line.tsx"

const names: Record<View, string> = {
  face: "Face",
  drive: "Drive",
  board: "Board",
  cut: "Cut",
  beam: "Beam",
  fit: "Fit",
  wiring: "Wiring",
}

const drawn: Record<View, React.ComponentType> = {
  face: FaceView,
  drive: later(async () => (await import("./drive-view.tsx")).DriveView),
  board: later(async () => (await import("./board-view.tsx")).BoardView),
  cut: later(async () => (await import("./cut-view.tsx")).CutView),
  beam: later(async () => (await import("./beam-view.tsx")).BeamView),
  fit: later(async () => (await import("./fit-view.tsx")).FitView),
  wiring: later(async () => (await import("./wiring-view.tsx")).WiringView),
}
const FacesSeen = later(async () => (await import("../pick/faces-seen.tsx")).FacesSeen)
const PickHoles = later(async () => (await import("../pick/pick-holes.tsx")).PickHoles)

export function Bench() {
  const view = usePage((s) => s.view)
  const design = usePage((s) => s.design)
  const lamp = usePage((s) => s.lamp)
  const run = usePage((s) => s.run.state)
  const early = usePage((s) => s.early)
  const picked = usePicking((s) => s.group !== undefined)
  const present = (Object.keys(names) as View[]).filter((v) => {
    if (v === "face") return true
    if (v === "drive") return early !== undefined || design !== undefined
    if (!design) return false
    if (v === "wiring") return design.boards.harness.length > 0
    return v !== "beam" || design.proof.beams.length > 0
  })
  if (picked)
    return (
      <main className="area-bench">
        <PickHoles />
      </main>
    )
  if (!lamp)
    return (
      <main className="area-bench bench-empty">
        <p>
          {run === "computing" ? "The lamp comes here when it has been read." : "No lamp on the bench yet."}
        </p>
        <FacesSeen />
      </main>
    )
  const wait = waitWords(view, run, design !== undefined, early !== undefined)
  return (
    <main className="area-bench">
      <Tabs
        className="bench-tabs"
        selectedKey={present.includes(view) ? view : "face"}
        onSelectionChange={(key) => page.setState({ view: key as View })}
      >
        <TabList aria-label="What to look at" className="view-tabs">
          {present.map((v) => (
            <Tab key={v} id={v}>
              {names[v]}
            </Tab>
          ))}
        </TabList>
        <SelectionLine />
        {present.map((v) => {
          const Drawn = drawn[v]
          return (
            <TabPanel key={v} id={v} className="view-panel">
              {wait !== "" && (
                <p className="view-words bench-wait" role="status">
                  {wait}
                </p>
              )}
              <Part name={`${names[v].toLowerCase()} view`}>
                <Drawn />
              </Part>
            </TabPanel>
          )
        })}
      </Tabs>
    </main>
  )
}

/** What is not of this text yet. */
function waitWords(view: View, run: string, designed: boolean, early: boolean): string {
  const busy = run === "computing"
  if (!designed && view !== "drive")
    return busy ? "It lights when its firmware has been made and proven." : "Not proven yet."
  if (!early || view === "drive") return ""
  if (view === "face")
    return busy ? "Lit as before this change; its firmware is being made." : "Lit as before this change."
  return busy ? "As before this change; the new one is being worked out." : "As before this change."
}
