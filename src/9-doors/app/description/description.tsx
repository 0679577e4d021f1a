// The description: short in the builder's words, or as the text it is made from.

import { Tab, TabList, TabPanel, Tabs } from "react-aria-components"
import { page, usePage } from "../store.ts"
import { ShortForm } from "./short-form.tsx"
import { TextForm } from "./text-form.tsx"

export function Description() {
  const tab = usePage((s) => s.leftTab)
  return (
    <aside className="area-description" aria-label="Description">
      <Tabs
        selectedKey={tab}
        onSelectionChange={(key) => page.setState({ leftTab: key === "text" ? "text" : "short" })}
        className="description-tabs"
      >
        <TabList aria-label="Form of the description" className="plain-tabs">
          <Tab id="short">Description</Tab>
          <Tab id="text">Text</Tab>
        </TabList>
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
