// Where several boards are milled from one sheet: one board by itself, or a sheet as it is clamped.

import { Choice } from "../choice.tsx"
import { page, usePage } from "../store.ts"
import { plain } from "../words.ts"

const alone = ""

export function SheetChooser() {
  const sheets = usePage((s) => s.design?.plan.sheets)
  const now = usePage((s) => s.sheet)
  if (!sheets || sheets.length === 0) return null
  return (
    <Choice
      label="One board or a whole sheet"
      options={[[alone, "One board"], ...sheets.map((s) => [s.name, plain(s.name)] as const)]}
      value={sheets.some((s) => s.name === now) ? now : alone}
      choose={(name) => page.setState({ sheet: name === alone ? undefined : name })}
    />
  )
}
