// The bench: one lamp, looked at in several ways.

import { later } from "../later.tsx"
import type { View } from "../look-at.ts"
import { Part } from "../part.tsx"
import { usePicking } from "../pick/picking.ts"
import { page, usePage } from "../store.ts"
import { TabList, TabPanel } from "../tabs.tsx"
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
  const laid = usePage((s) => s.laid.some((b) => b.name === s.board))
  const lit = usePage((s) => s.played !== undefined && s.played.text === s.early?.text)
  const picked = usePicking((s) => s.group !== undefined)
  const present = (Object.keys(names) as View[]).filter((v) => {
    if (v === "face") return true
    if (v === "drive") return early !== undefined || design !== undefined
    if (v === "board" && laid) return true
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
  const shown = present.includes(view) ? view : "face"
  const Drawn = drawn[shown]
  const wait = waitWords(shown, {
    busy: run === "computing",
    designed: design !== undefined,
    early: early !== undefined,
    lit,
    laid,
  })
  return (
    <main className="area-bench">
      <div className="bench-tabs">
        <TabList
          name="bench"
          label="What to look at"
          className="view-tabs"
          tabs={present.map((v) => [v, names[v]] as const)}
          selected={shown}
          select={(next) => page.setState({ view: next })}
        />
        <SelectionLine />
        <TabPanel key={shown} name="bench" id={shown} className="view-panel">
          {wait !== "" && (
            <p className="view-words bench-wait" role="status">
              {wait}
            </p>
          )}
          <Part name={`${names[shown].toLowerCase()} view`}>
            <Drawn />
          </Part>
        </TabPanel>
      </div>
    </main>
  )
}

interface Known {
  readonly busy: boolean
  readonly designed: boolean
  readonly early: boolean
  /** The light is of this text. */
  readonly lit: boolean
  /** The board looked at is of this text, but neither cut nor proven. */
  readonly laid: boolean
}

/** What is not of this text yet. */
function waitWords(view: View, { busy, designed, early, lit, laid }: Known): string {
  if (view === "board" && laid)
    return busy ? "Just laid; its cuts are being planned and proven." : "Laid, but neither cut nor proven."
  if (view === "face" && lit)
    return busy
      ? "Lit by its own firmware on the emulated controller; boards, cut and proof follow."
      : "Lit by its own firmware on the emulated controller; not proven yet."
  if (!designed && view !== "drive")
    return busy ? "Its firmware is being made and played; the lamp lights then." : "Not proven yet."
  if (!early || view === "drive") return ""
  if (view === "face")
    return busy ? "Lit as before this change; its firmware is being made." : "Lit as before this change."
  return busy ? "As before this change; the new one is being worked out." : "As before this change."
}
