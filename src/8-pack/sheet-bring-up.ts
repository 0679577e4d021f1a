// The bring-up part of the build sheet: readings after each assembly step, with room to write them down.

import { show } from "../0-ground/text/show.ts"
import { expectedWords, howWords, limitWords } from "./bring-up/bring-up-table.ts"
import type { BringUpPlan } from "./bring-up/plan-bring-up.ts"
import { steps } from "./bring-up/readings.ts"
import { escapeXml } from "./scene.ts"
import { code, right, table } from "./sheet-table.ts"

export function bringUp({ readings, faults }: BringUpPlan): string {
  if (readings.length === 0) return ""
  const told = faults.filter((f) => f.revealedBy !== undefined).length
  const missed = faults.filter((f) => f.revealedBy === undefined)
  const parts = steps.flatMap((step) => {
    const here = readings.filter((r) => r.step === step)
    if (here.length === 0) return []
    const rows = here.map((r) => [
      code(r.id),
      r.board,
      r.supply ? `${r.supply.name}; ${show(r.supply.volt, "V")}, limit ${show(r.supply.limit, "A")}` : "",
      `${howWords[r.how]}: ${r.probe}`,
      right(expectedWords(r)),
      right(limitWords(r)),
      "",
    ])
    return [
      `<h3>After: ${escapeXml(step)}</h3>${table(["", "Board", "Supply", "Reading", right("Expected"), right("Keep within"), "Measured"], rows, true)}`,
    ]
  })
  return `<h2 class="page" id="bring-up">Bring-up readings</h2>
<p>Take them in this order and stop at the first that is outside its limits: power is for boards whose earlier readings were all good. ${told} of ${faults.length} single faults (a part left out, shorted, turned round or off by a decade; neighbouring lands bridged; a link or a wire missing; a net touching the metal housing) were solved and are revealed by at least one of these readings or looks.</p>
${missed.length > 0 ? `<p class="amber">Not revealed by any reading, look closely: ${escapeXml(missed.map((f) => f.text).join("; "))}.</p>` : ""}
<ul>
<li>Resistance: no supply, capacitors empty, a meter whose test voltage stays below 0.3 V, so that no diode or LED conducts. Diode test: about 1 mA, 3 V at most.</li>
<li>Set the bench supply's voltage and current limit before it is connected. If it reaches its limit, switch off and go back one step.</li>
<li>The same table, with an empty column to write into, is <code>bring-up.csv</code>; <code>lampwright find</code> reads it back and names the likeliest faults.</li>
</ul>
${parts.join("\n")}`
}
