// A computed beam as a photometric file (LM-63-2002, type A), for anyone who judges it with other tools.

import { writeIes } from "../../0-ground/photometry/write-ies.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Beam } from "../../7-proof/artefact.ts"

/** The usual light; the file says what it is and what it is not. */
export function photometricFile(lamp: Lamp, beam: Beam): string {
  const span = (of: (l: Beam["lit"][number]) => number, edge: number) => {
    const all = beam.lit.map(of)
    return all.length === 0 ? 0 : (Math.max(...all) - Math.min(...all) + edge) / 1000
  }
  const hole = Math.max(0, ...beam.lit.map((l) => l.diameter))
  return writeIes(
    { type: "A", horizontal: beam.horizontal, vertical: beam.vertical, candela: beam.usual },
    {
      keywords: [
        ["TEST", "computed from the LEDs' figures and the solved currents, not measured"],
        ["TESTLAB", "none"],
        ["ISSUEDATE", "none"],
        ["MANUFAC", "hand-built"],
        ["LUMINAIRE", `${lamp.name}: ${beam.group} as ${beam.function}`],
        ["LAMP", "usual parts, usual supply, 25 C, warmed up"],
        ["OTHER", "A hand-built lamp is not type-approved. Local law and a test house decide."],
      ],
      watts: beam.watts,
      size: [span((l) => l.x, hole), 0, span((l) => l.y, hole)],
    },
  )
}
