// The description: short in the builder's words, or as the text it is made from; and the way back and forth.

import { Button } from "react-aria-components"
import { later } from "../later.tsx"
import { page, usePage } from "../store.ts"
import { TabList, TabPanel } from "../tabs.tsx"
import { Notices } from "./notices.tsx"
import { ShortForm } from "./short-form.tsx"

const Start = later(async () => (await import("../start/start.tsx")).Start)
const TextForm = later(async () => (await import("./text-form.tsx")).TextForm)

const forms = [
  ["start", "Start"],
  ["short", "Description"],
  ["text", "Text"],
] as const

export function Description() {
  const tab = usePage((s) => s.leftTab)
  return (
    <aside className="area-description" aria-label="Description">
      <div className="description-tabs">
        <div className="description-head">
          <TabList
            name="description"
            label="Form of the description"
            className="plain-tabs"
            tabs={forms}
            selected={tab}
            select={(leftTab) => page.setState({ leftTab })}
          />
          <BackAndForth />
        </div>
        <Notices />
        <TabPanel
          key={tab}
          name="description"
          id={tab}
          className={tab === "text" ? "description-panel text-panel" : "description-panel"}
        >
          {tab === "start" ? <Start /> : tab === "text" ? <TextForm /> : <ShortForm />}
        </TabPanel>
      </div>
    </aside>
  )
}

function BackAndForth() {
  const back = usePage((s) => s.history.past.at(-1)?.words)
  const forth = usePage((s) => s.history.future.at(-1)?.words)
  return (
    <div className="back-and-forth">
      <Button
        isDisabled={back === undefined}
        aria-label={back === undefined ? "Undo" : `Undo ${back}`}
        onPress={() => page.getState().undo()}
      >
        Undo
      </Button>
      <Button
        isDisabled={forth === undefined}
        aria-label={forth === undefined ? "Redo" : `Redo ${forth}`}
        onPress={() => page.getState().redo()}
      >
        Redo
      </Button>
    </div>
  )
}
