// The change of the description that gives a face other LED holes.

import type { Quantity } from "../../0-ground/finding.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"

/** LED holes of a face drilled to another size; a drawing is left as it is. */
export function widerHole(lamp: Lamp, face: string, hole: number, gives: Quantity): Remedy[] {
  const known = lamp.faces.find((f) => f.name === face)
  if (!known) return []
  return [
    {
      says: `Drill the LED holes of ${face} to ${hole} mm.`,
      changes: [{ path: `faces.${face}.${known.drawn ? "drill" : "hole"}`, value: `${hole} mm` }],
      gives,
    },
  ]
}
