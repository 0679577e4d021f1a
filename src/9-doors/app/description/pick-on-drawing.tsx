// Leads from the list of a group's holes to the drawing, where they are picked.

import { type Doc, writtenAt } from "../../../0-ground/text/edit-text.ts"
import { startPicking, stopPicking, usePicking } from "../pick/picking.ts"
import { plain } from "../words.ts"

export function PickOnDrawing({ doc, path }: { readonly doc: Doc; readonly path: string }) {
  const group = path.split(".")[1] ?? ""
  const face = writtenAt(doc, `groups.${group}.face`)
  const known = usePicking((s) => s.faces.some((f) => f.name === face))
  const now = usePicking((s) => s.group?.name === group)
  if (face === undefined || !known) return null
  return (
    <button
      type="button"
      className="inline field-pick"
      aria-pressed={now}
      aria-label={`Pick the holes of ${plain(group)} on the drawing`}
      onClick={() => (now ? stopPicking() : startPicking(group, face))}
    >
      Pick on the drawing
    </button>
  )
}
