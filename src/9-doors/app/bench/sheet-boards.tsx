// The boards of a shared sheet in the order they are cut out, as they were found in its programs.

import { showNumber } from "../../../0-ground/text/show.ts"
import type { SheetPlan } from "../../../6-copper/artefact.ts"
import { usePage } from "../store.ts"
import { plain } from "../words.ts"

interface Props {
  readonly sheet: SheetPlan
  readonly show: (board: string) => void
}

export function SheetBoards({ sheet, show }: Props) {
  const found = usePage((s) => s.design?.proof.sheets?.find((p) => p.sheet === sheet.name)?.boards)
  const boards = usePage((s) => s.design?.boards.boards)
  const laid = usePage((s) => s.design?.plan.sheets)?.flatMap((s) => s.places.map((p) => p.board)) ?? []
  const alone = (boards ?? []).filter((b) => !laid.includes(b.name)).map((b) => plain(b.name))
  return (
    <aside className="depth-panel sheet-boards" aria-label={`Boards of ${plain(sheet.name)}`}>
      <h3>Cut out in this order</h3>
      <ol>
        {sheet.places.map(({ board, turn }) => {
          const proof = found?.find((b) => b.board === board)
          return (
            <li key={board} data-board={board}>
              <button type="button" className="inline" onClick={() => show(board)}>
                {plain(board)}
              </button>{" "}
              {turn === 0 ? "as drawn" : `turned ${turn}°`}
              <span className="soft">
                {proof
                  ? `: ${proof.shorts.length} shorts, ${proof.opens.length} opens, narrowest copper ${showNumber(proof.narrowestCopper)} mm`
                  : ": not found in the programs"}
              </span>
            </li>
          )
        })}
      </ol>
      <p className="soft">
        One clamping and one run for each tool. Run either these programs or the boards’ own, not both.
        {alone.length > 0 && ` No room on the sheet: ${alone.join(", ")}.`}
      </p>
    </aside>
  )
}
