// The bring-up part of the build sheet: readings after each assembly step, with room to write them down.

import { show } from "../0-ground/text/show.ts"
import { expectedWords, findsWords, howWords, limitWords } from "./bring-up/bring-up-table.ts"
import type { BringUpPlan, BringUpReading } from "./bring-up/plan-bring-up.ts"
import { fittedToVehicle, steps } from "./bring-up/readings.ts"
import { escapeXml } from "./scene.ts"
import { code, right, table } from "./sheet-table.ts"

export function bringUp({ readings, faults, harmless }: BringUpPlan): string {
  if (readings.length === 0) return ""
  const told = faults.filter((f) => f.revealedBy !== undefined).length
  const missed = faults.filter((f) => f.revealedBy === undefined)
  const parts = steps.flatMap((step) => {
    const here = readings.filter((r) => r.step === step)
    if (here.length === 0) return []
    const rows = here.map((r, i) => [
      code(r.id),
      r.board,
      `${supplyWords(r, here[i - 1])}${r.how === "current" ? "" : `${howWords[r.how]}: `}${r.probe}`,
      right(expectedWords(r)),
      right(limitWords(r)),
      findsWords(r),
      "",
    ])
    const when = step === fittedToVehicle ? "On the vehicle, engine running" : `After: ${step}`
    return [
      `<h3>${escapeXml(when)}</h3>${table(["", "Board", "Reading", right("Expected"), right("Keep within"), "Outside: first suspect", "Measured"], rows, true)}`,
    ]
  })
  return `<h2 class="page" id="bring-up">Bring-up readings</h2>
<p>Take them in this order and stop at the first that is outside its limits: power is for boards whose earlier readings were all good. ${told} of ${faults.length} single faults (a part left out, shorted, turned round or off by a decade; neighbouring lands, or a land and the copper beside it, bridged; a link or a wire missing; a net touching the metal housing) were solved and are revealed by at least one of these readings or looks.</p>
${missed.length > 0 ? `<p class="amber">Not revealed by any reading, look closely: ${escapeXml(missed.map((f) => f.text).join("; "))}.</p>` : ""}
${harmless.length > 0 ? `<p>${escapeXml(tellHarmless(harmless))}</p>` : ""}
<ul>
<li>Resistance: no supply, capacitors empty, a meter whose test voltage stays below 0.3 V, so that no diode or LED conducts. Diode test: about 1 mA, 3 V at most.</li>
<li>Set the bench supply's voltage and current limit before it is connected. If it reaches its limit, switch off and go back one step.</li>
<li>“Outside: first suspect” names the faults that no earlier reading would have told. The same table, with every fault and an empty column to write into, is <code>bring-up.csv</code>; <code>lampwright find</code> reads it back and names the likeliest faults.</li>
</ul>
${parts.join("\n")}`
}

/** Bridges that need no reading, with how little they were found to change. */
function tellHarmless(harmless: BringUpPlan["harmless"]): string {
  const places = harmless.flatMap((h) => h.places).join(", ")
  const volt = Math.max(...harmless.map((h) => h.volt))
  const ampere = Math.max(...harmless.map((h) => h.ampere))
  return `Solder between a land and an unused pin beside it does no harm here: ${places}. Each was solved in every state with the supply on: no voltage moves by more than ${show(volt, "V")}, the supply current by no more than ${show(ampere, "A")}. Mend it all the same.`
}

/** How the supply is connected, where it changes. */
function supplyWords({ supply }: BringUpReading, before: BringUpReading | undefined): string {
  if (!supply) return ""
  if (before?.supply?.name === supply.name) return "same supply; "
  return `${supply.name}, ${show(supply.volt, "V")}, limit ${show(supply.limit, "A")}; `
}
