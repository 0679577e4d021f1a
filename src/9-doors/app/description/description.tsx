// The description: short in the builder's words, or as the text it is made from; and the way back and forth.

import { Button, Tab, TabList, TabPanel, Tabs } from "react-aria-components"
import { later } from "../later.tsx"
import { page, usePage } from "../store.ts"
import { Notices } from "./notices.tsx"
import { ShortForm } from "./short-form.tsx"

const Start = later(async () => (await import("../start/start.tsx")).Start)
const TextForm = later(async () => (await import("./text-form.tsx")).TextForm)

export function Description() {
  const tab = usePage((s) => s.leftTab)
  return (
    <aside className="area-description" aria-label="Description">
      <Tabs
        selectedKey={tab}
        onSelectionChange={(key) =>
          page.setState({ leftTab: key === "text" || key === "start" ? key : "short" })
        }
        className="description-tabs"
      >
        <div className="description-head">
          <TabList aria-label="Form of the description" className="plain-tabs">
            <Tab id="start">Start</Tab>
            <Tab id="short">Description</Tab>
            <Tab id="text">Text</Tab>
          </TabList>
          <BackAndForth />
        </div>
        <Notices />
        <TabPanel id="start" className="description-panel">
          <Start />
        </TabPanel>
        <TabPanel id="short" className="description-panel">
          <ShortForm />
        </TabPanel>
        <TabPanel id="text" className="description-panel text-panel">
          <TextForm />
        </TabPanel>
      </Tabs>
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
