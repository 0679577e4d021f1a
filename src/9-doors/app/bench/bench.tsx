// The bench: one lamp, looked at in several ways.

import { Tab, TabList, TabPanel, Tabs } from "react-aria-components"
import type { View } from "../look-at.ts"
import { Part } from "../part.tsx"
import { page, usePage } from "../store.ts"
import { BoardView } from "./board-view.tsx"
import { CutView } from "./cut-view.tsx"
import { DriveView } from "./drive-view.tsx"
import { FaceView } from "./face-view.tsx"
import { WiringView } from "./wiring-view.tsx"

const names: Record<View, string> = {
  face: "Face",
  drive: "Drive",
  board: "Board",
  cut: "Cut",
  wiring: "Wiring",
}

const drawn: Record<View, () => React.ReactNode> = {
  face: FaceView,
  drive: DriveView,
  board: BoardView,
  cut: CutView,
  wiring: WiringView,
}

export function Bench() {
  const view = usePage((s) => s.view)
  const design = usePage((s) => s.design)
  const lamp = usePage((s) => s.lamp)
  const run = usePage((s) => s.run.state)
  const present = (Object.keys(names) as View[]).filter(
    (v) => v !== "wiring" || (design?.boards.harness.length ?? 1) > 0,
  )
  if (!design)
    return (
      <main className={lamp ? "area-bench" : "area-bench bench-empty"}>
        {lamp ? (
          <div className="view">
            <p className="view-words bench-wait">
              {run === "computing"
                ? "It lights when its firmware has been made and proven."
                : "Not proven yet."}
            </p>
            <Part name="face view">
              <FaceView />
            </Part>
          </div>
        ) : (
          <p>
            {run === "computing" ? "The lamp comes here when it has been read." : "No lamp on the bench yet."}
          </p>
        )}
      </main>
    )
  return (
    <main className="area-bench">
      <Tabs
        className="bench-tabs"
        selectedKey={view}
        onSelectionChange={(key) => page.setState({ view: key as View })}
      >
        <TabList aria-label="What to look at" className="view-tabs">
          {present.map((v) => (
            <Tab key={v} id={v}>
              {names[v]}
            </Tab>
          ))}
        </TabList>
        {present.map((v) => {
          const Drawn = drawn[v]
          return (
            <TabPanel key={v} id={v} className="view-panel">
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
