// Where a lamp begins: from nothing, from an example, from the builder's disk; and the walk to the first pack.

import { Button } from "react-aria-components"
import { page, usePage } from "../store.ts"
import { examples, newLamp } from "./examples.ts"
import { Keys } from "./keys.tsx"
import { OpenFiles, SaveButtons } from "./open-buttons.tsx"
import { Walk } from "./walk.tsx"
import { walk } from "./walk-step.ts"

export function Start() {
  const name = usePage((s) => s.file)
  const offline = usePage((s) => s.offline)
  const begin = () => {
    page.getState().begin(newLamp, "a new lamp")
    walk.setState({ step: "lamp" })
  }
  return (
    <div className="start">
      <section aria-labelledby="start-begin">
        <h2 id="start-begin">Begin</h2>
        <div className="start-row">
          <Button className="action" onPress={begin}>
            New lamp
          </Button>
          <OpenFiles />
          <SaveButtons />
        </div>
        <h3>Examples</h3>
        <ul className="start-examples">
          {examples.map((e) => (
            <li key={e.name}>
              <Button className="inline" onPress={() => page.getState().begin(e.source, e.name)}>
                {e.name}
              </Button>
              <p className="soft">{e.about}</p>
            </li>
          ))}
        </ul>
        <p className="soft">
          What stood here before comes back with Undo. {offline && "This page opens without its server too."}
        </p>
      </section>
      <section aria-labelledby="start-walk">
        <h2 id="start-walk">Step by step</h2>
        <p className="soft">
          Seven steps from a drawing to a pack, on <strong>{name}</strong>. Each writes into the same
          description the other tabs show.
        </p>
        <Walk />
      </section>
      <Keys />
    </div>
  )
}
