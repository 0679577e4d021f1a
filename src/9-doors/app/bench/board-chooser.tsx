// Which board, and from which side: one row of words above the board.

import { Label, Radio, RadioGroup } from "react-aria-components"
import { page, usePage } from "../store.ts"
import { plain } from "../words.ts"

export function BoardChooser() {
  const laid = usePage((s) => s.laid)
  const made = usePage((s) => s.design?.boards.boards)
  const boards = laid.length > (made?.length ?? 0) ? laid : made
  const board = usePage((s) => s.board)
  return (
    <RadioGroup className="choice" value={board ?? null} onChange={(name) => page.setState({ board: name })}>
      <Label className="unseen">Board</Label>
      {(boards ?? []).map((b) => (
        <Radio key={b.name} value={b.name} className="choice-item">
          {plain(b.name)}
        </Radio>
      ))}
    </RadioGroup>
  )
}

export function SideChooser() {
  const side = usePage((s) => s.side)
  return (
    <RadioGroup
      className="choice"
      value={side}
      onChange={(v) => page.setState({ side: v === "component" ? "component" : "copper" })}
    >
      <Label className="unseen">Side of the board</Label>
      <Radio value="copper" className="choice-item">
        Copper side
      </Radio>
      <Radio value="component" className="choice-item">
        Component side
      </Radio>
    </RadioGroup>
  )
}
