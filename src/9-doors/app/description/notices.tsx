// What the builder should know about where the text is kept: taken up again, open twice, or kept nowhere.

import { Button } from "react-aria-components"
import { FirstVisit } from "../start/first-visit.tsx"
import { page, usePage } from "../store.ts"

export function Notices() {
  const words = usePage((s) => s.opened)
  const copied = usePage((s) => s.copied)
  const elsewhere = usePage((s) => s.elsewhere)
  if (words === "" && copied && !elsewhere) return <FirstVisit />
  return (
    <div className="notices" role="status">
      {!copied && (
        <p className="notice-warn">
          This browser keeps no copy of what you type (its storage is full or refused). Save the text to your
          disk.
        </p>
      )}
      {elsewhere && (
        <p>
          {elsewhere.now
            ? `${elsewhere.copy.file} is being changed in another tab. Each tab keeps its own text.`
            : `A text from another tab or an earlier file was set aside: ${elsewhere.copy.file}.`}{" "}
          <Button className="inline" onPress={() => page.getState().takeElsewhere()}>
            Take that text
          </Button>{" "}
          <Button className="inline" onPress={() => page.getState().leaveElsewhere()}>
            {elsewhere.now ? "Keep this one" : "Forget it"}
          </Button>
        </p>
      )}
      {words !== "" && (
        <p>
          {words}{" "}
          <Button
            className="inline"
            aria-label="Close this message"
            onPress={() => page.setState({ opened: "" })}
          >
            Close
          </Button>
        </p>
      )}
    </div>
  )
}
