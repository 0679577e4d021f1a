// What is picked, in words, above the bench; and the way to let it go.

import { Button } from "react-aria-components"
import { letGo } from "../picking.ts"
import { usePage } from "../store.ts"

export function SelectionLine() {
  const look = usePage((s) => s.look)
  return (
    <p className="selection-line" role="status">
      {look?.thing && (
        <>
          <span className="selection-words">{look.says}</span>{" "}
          <Button className="inline" onPress={letGo}>
            Let go
          </Button>
        </>
      )}
    </p>
  )
}
