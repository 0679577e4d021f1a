// The fitter's table of the build sheet: where the lamp must stand on the vehicle, with clause and how it is known.

import { fittingFor } from "../../1-stock/fitting-rules.ts"
import { ruleCaution } from "../../1-stock/lighting-rules.ts"
import type { PackInput } from "../artefact.ts"
import { sourceNote } from "../parts-list.ts"
import { escapeXml } from "../scene.ts"
import { table } from "../sheet-table.ts"

const words: Readonly<Record<string, string>> = {
  "un-l": "UN category L (motorcycles, mopeds, three-wheelers)",
  "un-car": "UN cars and trailers",
  "us-motorcycle": "United States, motorcycles",
}

export function fittingPart({ lamp, proof }: PackInput): string {
  const functions = [...new Set(lamp.groups.flatMap((g) => g.functions))]
  const rows = fittingFor(lamp.vehicle.rules, functions)
  const pictures = proof.beams.map(
    (b) => `<code>drawings/beam-${escapeXml(b.group)}-${b.function}.svg</code>`,
  )
  return `<h2 class="page" id="fitting">On the vehicle</h2>
<p><b>${escapeXml(ruleCaution)}</b></p>
${pictures.length > 0 ? `<p>How bright, and where to: ${pictures.join(", ")}; from 25 m: <code>drawings/seen-from-25-m.svg</code>; for other tools: the photometric files under <code>light/</code>.</p>` : ""}
<p>Rules taken: ${escapeXml(words[lamp.vehicle.rules] ?? lamp.vehicle.rules)}. Measure on the vehicle, loaded as it is ridden, and write down what you found. A rule “from memory” must be looked up in the current official text.</p>
${
  rows.length === 0
    ? "<p>No rules for where this lamp stands are known here.</p>"
    : table(
        ["Lamp", "What", "Rule", "Measured", "Clause, how known"],
        rows.map((r) => [
          r.functions.filter((f) => functions.includes(f)).join(", "),
          r.item,
          r.text,
          "________",
          `${r.id}: ${sourceNote(r.source)}`,
        ]),
      )
}`
}
