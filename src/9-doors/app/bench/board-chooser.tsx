// Which board, and from which side: one row of words above the board.

import { Choice } from "../choice.tsx"
import { page, usePage } from "../store.ts"
import { plain } from "../words.ts"

export function BoardChooser() {
  const laid = usePage((s) => s.laid)
  const made = usePage((s) => s.design?.boards.boards)
  const boards = laid.length > (made?.length ?? 0) ? laid : made
  const board = usePage((s) => s.board)
  return (
    <Choice
      label="Board"
      options={(boards ?? []).map((b) => [b.name, plain(b.name)] as const)}
      value={board}
      choose={(name) => page.setState({ board: name })}
    />
  )
}

const sides = [
  ["copper", "Copper side"],
  ["component", "Component side"],
] as const

export function SideChooser() {
  const side = usePage((s) => s.side)
  return (
    <Choice
      label="Side of the board"
      options={sides}
      value={side}
      choose={(next) => page.setState({ side: next })}
    />
  )
}
