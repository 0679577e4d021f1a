// Two pages that stay with the vehicle: one for its owner, one for the mechanic who opens it next.

import { show, showNumber } from "../0-ground/text/show.ts"
import type { LightFunction } from "../2-lamp/artefact.ts"
import type { PackInput } from "./artefact.ts"
import { circuitPages } from "./circuit-drawing.ts"
import { escapeXml } from "./scene.ts"
import { code, right, table } from "./sheet-table.ts"
import { wireLines } from "./wiring-list.ts"

/** Of a page that lies across, in the drawing's millimetres: 165 mm of paper where 255 mm show 300. */
const pageHeight = 190

const functionWords: Readonly<Record<LightFunction, string>> = {
  "rear-position": "tail light",
  stop: "brake light",
  "direction-indicator": "direction indicator",
  "front-position": "front position light",
  marker: "side marker light",
  reversing: "reversing light",
  plate: "number plate light",
}

const wordsOf = (functions: readonly LightFunction[]) => functions.map((f) => functionWords[f]).join(" and ")

export function ownerPage(design: PackInput): string {
  const { lamp } = design
  const wires = lamp.vehicle.wires.filter((w) => w.role !== "earth")
  return `<h2 class="page" id="owner">For the vehicle's owner</h2>
<p>This vehicle carries a lamp made for it alone: ${escapeXml(lamp.name)}. Keep this page with the vehicle's papers.</p>
<h3>What was changed</h3>
<ul>
${lamp.groups.map((g) => `<li>${escapeXml(g.name)}: ${g.leds.length} LEDs as ${escapeXml(wordsOf(g.functions))}.</li>`).join("\n")}
${wires
  .filter((w) => w.replaces !== undefined)
  .map(
    (w) =>
      `<li>The wire ${escapeXml(described(w))} fed a bulb of ${show(w.replaces!, "W")} before; it feeds LEDs now.</li>`,
  )
  .join("\n")}
<li>The lamp is hand-built and not type-approved. Whether it may be used on the road is decided by local law; ask before an inspection, and keep the approved lamp that was taken off.</li>
</ul>
<h3>Fuses</h3>
${table(
  ["Wire", "Colour", right("Fuse")],
  wires.map((w) => [
    w.name,
    w.colour ?? "",
    right(w.fuse === undefined ? "none described: have one fitted" : show(w.fuse, "A")),
  ]),
)}
<p>Replace a fuse only by one of the same rating. A fuse that blows twice means a fault: have it looked at.</p>
<h3>To disconnect the lamp</h3>
<ol>
<li>Switch off, take the key out, disconnect the battery (minus first).</li>
<li>Undo the lamp's plug or joints at these wires: ${escapeXml(lamp.vehicle.wires.map(described).join(", "))}.</li>
<li>Insulate every bare end before the battery goes back on. Without this lamp the vehicle may not be driven in the dark or in traffic: local law decides.</li>
</ol>
<h3>If a light fails</h3>
${table(["What you see", "What it means", "What to do"], failures(design))}
<p>Look at all lights once a month and after washing. LEDs dazzle at close range: do not stare into them. Water inside the lamp: have it opened, dried and sealed anew.</p>`
}

/** What a failure looks like from outside, from how the strings hang together. */
function failures({ lamp, circuit }: PackInput): string[][] {
  const out: string[][] = []
  for (const group of lamp.groups) {
    const strings = circuit.strings.filter((s) => s.group === group.name)
    if (strings.length === 0) continue
    const sizes = [...new Set(strings.map((s) => s.leds.length))].sort((a, b) => a - b)
    const together = sizes.length === 1 ? `${sizes[0]}` : `${sizes[0]} to ${sizes.at(-1)}`
    out.push([
      `${together} LED${together === "1" ? "" : "s"} of ${group.name} dark, the rest lit`,
      `one string has failed; the other ${strings.length - 1} go on`,
      "have the lamp repaired soon; the light is weaker than it was designed",
    ])
    const fused = lamp.vehicle.wires.filter((w) =>
      lamp.programme.some((line) => line.light === group.name && line.when.includes(w.name)),
    )
    out.push([
      `${group.name} all dark`,
      `its wire, its fuse or the switch before it (${fused.map((w) => w.name).join(", ")})`,
      "check the fuse; if it is good, stop driving in traffic until it is mended",
    ])
  }
  out.push([
    "the whole lamp dark",
    "its earth wire or plug",
    "check the earth joint; do not drive without lights",
  ])
  if (circuit.controller !== undefined)
    out.push([
      "indicators light all at once instead of sweeping",
      "the controller has failed; the lamp falls back to plain light on purpose",
      "may be driven to the workshop; have it repaired",
    ])
  return out
}

const described = (w: { readonly name: string; readonly colour?: string }) =>
  w.colour === undefined ? w.name : `${w.name} (${w.colour})`

function behaviourTold({ behaviour }: PackInput): string {
  const { told = [] } = behaviour
  if (told.length === 0) return ""
  return `<h3>What the switched groups do</h3>
<p>Each was tried on the emulated controller with this lamp's own program. A hand-built lamp is not type-approved.</p>
${table(
  ["When", "Light"],
  told.map((t) => [t.when, t.light]),
)}
`
}

export function mechanicPage(design: PackInput): string {
  const { lamp, circuit, firmware, text } = design
  return `<h2 class="page" id="mechanic">For the next mechanic</h2>
<p>Disconnect the battery before opening the lamp; use a fused bench supply at ${showNumber(lamp.vehicle.supply.usual)} V for tests; wear eye protection. The complete file of this lamp is its pack: <code>description.yaml</code> makes everything again.</p>
<h3>Wires</h3>
${table(
  ["Wire", "Ends at", "Colour", right("Fuse"), right("Draws at most")],
  wireLines(design)
    .filter((w) => w.from.startsWith("vehicle"))
    .map((w) => [w.name, w.to, w.colour, right(w.fuse), right(w.current)]),
)}
<h3>Light programme</h3>
<p>As described by its builder; ${firmware === undefined ? "there is no controller" : `build ${escapeXml(firmware.buildId)} in the ${escapeXml(firmware.controller)}`}.</p>
${table(
  ["Line of the description"],
  section(text, "programme").map((line) => [code(line)]),
  true,
)}
${behaviourTold(design)}${
  firmware === undefined
    ? ""
    : `<h3>Controller pins</h3>${table(
        ["Signal", "Controller pin"],
        Object.entries(firmware.pinOf).map(([signal, pin]) => [signal, pin]),
        true,
      )}`
}
<p>Readings of a sound lamp stand under “Bring-up readings” and “Test after each step”; the fault finder reads them from <code>bring-up.csv</code>. The circuit follows; on one sheet it is <code>drawings/circuit.svg</code>.</p>
${circuitPages(lamp.name, circuit, design.boards.pinChoice, pageHeight)
  .map((svg) => `<figure class="across">${svg.replace("<svg ", '<svg class="wide across" ')}</figure>`)
  .join("\n")}`
}

/** Lines of a top-level key of the description, comments and all. */
function section(text: string, key: string): string[] {
  const lines = text.split(/\r?\n/)
  const from = lines.findIndex((l) => l.startsWith(`${key}:`))
  if (from < 0) return []
  const after = lines.findIndex((l, i) => i > from && /^[^\s#-]/.test(l))
  return lines.slice(from, after < 0 ? undefined : after).filter((l) => l.trim() !== "")
}
