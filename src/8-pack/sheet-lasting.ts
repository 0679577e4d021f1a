// So that the lamp lasts: what was computed for each board, and the notes of the trade on solder, leads, water and
// shaking. What is a rule of thumb says so.

import { show } from "../0-ground/text/show.ts"
import type { PackInput } from "./artefact.ts"
import { escapeXml } from "./scene.ts"
import { type Cell, right, table } from "./sheet-table.ts"

const columns = [
  ["resonance", "First resonance"],
  ["led-heat", "Hottest LED junction"],
  ["resistor-heat", "Hottest resistor"],
  ["condensation", "Wet inside below"],
] as const

export function lastingPart({ boards, findings, lamp }: PackInput): string {
  const of = (board: string, name: string): Cell => {
    const here = findings.filter(
      (f) => f.code === `endurance.${name}` && f.where.board === board && f.measured,
    )
    const worst = here.reduce<(typeof here)[number] | undefined>(
      (a, b) => (a && (a.margin ?? 0) <= (b.margin ?? 0) ? a : b),
      undefined,
    )
    return right(worst?.measured ? show(worst.measured.value, worst.measured.unit) : "")
  }
  const leads = lamp.groups.some((g) => g.leds.some((l) => l.aim))
  return `<h2 id="lasting">So that it lasts</h2>
<p>Computed for a closed housing on the hottest day with everything lit, and for boards held at their screws. Heat through the wall, shaking and damp are <b>rules of thumb</b>: nothing was measured on your vehicle.</p>
${table(
  ["Board", ...columns.map(([, title]) => right(title))],
  boards.boards.map((b) => [b.name, ...columns.map(([name]) => of(b.name, name))]),
)}
<ul>
<li><b>Shaking</b> (rule of thumb): a small engine turns up to 8000 times a minute (133 Hz) and shakes at twice that as well; the road shakes at 2 to 30 Hz. Boards should ring well above the engine. A spacer and screw where a board swings farthest does most; findings name the place. Glue down the ends of long or tall parts.</li>
<li><b>Solder</b> (common practice, no source): leaded solder with flux core is easier by hand and cracks less under shaking; where leaded is not allowed, SnAgCu or SnCu. An LED takes about 260 °C for 3 to 5 s at 2 mm or more from its body (from memory): one lead, a pause, then the other.</li>
<li><b>Leads</b> (common practice, no source): bend at least 3 mm from an LED's body, holding the lead between body and bend; no pull on the body when it is soldered.${leads ? " The LEDs that are turned aside are bent before they are soldered, over a strip of card cut to the angle; their holes in the face must be drilled at that angle or filed oval." : ""} Clip leads 1 to 1.5 mm above the copper; leave no tips that reach metal.</li>
<li><b>Wires</b> (common practice, no source): hold every wire within 30 mm of its solder, so that it never bends at the joint; a loop of slack between boards; a grommet in every hole of metal.</li>
<li><b>Water</b> (rule of thumb): rain gets in and damp air breathes in as the lamp warms and cools. Seal the face's edge and each LED with clear neutral-cure silicone from behind, leave a drain of 2 to 3 mm at the lowest point away from the wheel, lacquer the copper side after testing (not the connectors). Acid-cure silicone eats copper.</li>
<li><b>Metal</b> (common practice, no source): stainless screws in aluminium corrode where salt gets in; a dab of grease or a plastic washer parts them.</li>
</ul>
<p class="quiet">${escapeXml("Sources and derivations of the computed numbers stand in report.json under endurance.")}</p>`
}
