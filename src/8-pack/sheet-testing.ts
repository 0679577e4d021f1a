// Programming the controller and testing after each step, with the currents the circuit was solved for.

import { show, showNumber } from "../0-ground/text/show.ts"
import type { PackInput } from "./artefact.ts"
import { meterError } from "./bring-up/candidates.ts"
import { escapeXml } from "./scene.ts"
import { code, right, table } from "./sheet-table.ts"

export function programming({ firmware, lamp, circuit, boards }: PackInput, withheld: boolean): string {
  if (firmware === undefined)
    return `<h2>Programming</h2><p>This lamp has no controller: nothing is programmed.</p>`
  const hexByte = (n: number) => `0x${n.toString(16).toUpperCase().padStart(2, "0")}`
  const board = boards.boards.find((b) => b.parts.some((p) => p.kind === "header"))
  const header = board?.parts.find((p) => p.kind === "header")
  const { fuses } = firmware
  const signals = new Map(circuit.signals.map((s) => [s.name, s.net]))
  return `<h2>Programming</h2>
<p>${withheld ? `<span class="red">The firmware was held back because something is red.</span>` : `Image: <code>firmware/${escapeXml(firmwareFile(lamp.name))}</code>`}, ${firmware.codeBytes + firmware.tableBytes} bytes, build ${escapeXml(firmware.buildId)}, for the ${escapeXml(firmware.controller)} at ${show(firmware.clockHz, "Hz")}.</p>
<ol>
<li>Only the supply wire and earth connected: power the board from the bench supply at 12 V, limit 100 mA. Measure 4.75 to 5.25 V on the controller before connecting the programmer.</li>
<li>Connect the programmer to the 2 × 3 header${header && board ? ` ${escapeXml(header.ref)} on board ${escapeXml(board.name)}` : ""}; pin 1 is marked.</li>
<li>Write the fuse bytes, read them back, then write and verify the image.</li>
<li>Which build is in a chip can be read back at any time: save its flash as Intel HEX and run <code>lampwright identify FILE.hex PACK</code>. The build id stands in the flash at <code>${identityAt[firmware.controller]}</code> as plain text.</li>
</ol>
${firmware.source.length > 0 && !withheld ? `<p>The same program to change by hand is in <code>firmware/source</code>: the lamp's numbers are named in <code>lamp.h</code>. What was proven holds for the image only.</p>` : ""}
${table(
  ["Fuse byte", "Value"],
  [
    ["low", code(`${hexByte(fuses.low)}`)],
    ["high", code(`${hexByte(fuses.high)}`)],
    ["extended", code(`${hexByte(fuses.extended)}`)],
  ],
)}
<p class="quiet">${escapeXml(fuses.why)}</p>
${
  header
    ? table(
        ["Header pin", "For", "Controller pin", "Net"],
        Object.entries(header.pins)
          .sort(([a], [b]) => Number(a) - Number(b))
          .map(([pin, net]) => {
            const role = headerRoles[Number(pin) - 1] ?? ""
            return [pin, role, programmedBy[firmware.controller][role] ?? "", net]
          }),
      )
    : ""
}
${table(
  ["Signal", "Net", "Controller pin"],
  Object.entries(firmware.pinOf)
    .sort(([a], [b]) => byNumber(a, b))
    .map(([signal, pin]) => [signal, signals.get(signal) ?? "", pin]),
)}`
}

/** Six-pin serial programming, as its pins are usually numbered (common practice, no source). */
const headerRoles = ["MISO", "VCC", "SCK", "MOSI", "RESET", "GND"]
const programmedBy: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  ATmega328P: { MISO: "PB4", SCK: "PB5", MOSI: "PB3", RESET: "PC6" },
  ATtiny84A: { MISO: "PA5", SCK: "PA4", MOSI: "PA6", RESET: "PB3" },
}

/** Address of the build id in flash (`firmware/TABLE.md`). */
const identityAt = { ATmega328P: "0x7F00", ATtiny84A: "0x1F00" } as const

export function testing({ circuit, lamp }: PackInput): string {
  const usual = circuit.corners.filter((c) => c.parts === "usual")
  const seen = new Set<string>()
  const rows = usual.flatMap((c) => {
    const live = c.live.join(" + ")
    if (live === "" || seen.has(live) || Math.abs(c.supply - lamp.vehicle.supply.usual) > 0.05) return []
    seen.add(live)
    const amps = c.live.map((wire) => Math.abs(c.wireCurrent[wire] ?? 0))
    const total = amps.reduce((a, b) => a + b, 0)
    const each = c.live.map((wire, i) => `${wire} ${show(amps[i]!, "A")}`)
    const sums = circuit.corners
      .filter((o) => o.live.join(" + ") === live && Math.abs(o.supply - c.supply) < 0.05)
      .map((o) => o.live.reduce((sum, wire) => sum + Math.abs(o.wireCurrent[wire] ?? 0), 0))
    // As a workshop meter shows them.
    const [least, most] = [Math.min(...sums), Math.max(...sums)].map((a) => [a, meterError("current", a)])
    return [
      [
        live,
        right(`${showNumber(c.supply)} V`),
        each.join(", "),
        right(show(total, "A")),
        right(`${show(Math.max(0, least![0]! - least![1]!), "A")} to ${show(most![0]! + most![1]!, "A")}`),
        right(show(limitFor(total), "A")),
      ],
    ]
  })
  return `<h2>Test after each step</h2>
<ol>
<li class="tick">Bare board: no copper bridge across a groove; no groove broken through a track.</li>
<li class="tick">Parts in, no supply: A and K of every LED and diode compared with the drawing; pin 1 of every chip.</li>
<li class="tick">First power: bench supply at ${showNumber(lamp.vehicle.supply.usual)} V with the current limit of the table below, first one wire live against earth, then the sets as listed. Stop at once if the supply reaches its limit.</li>
${circuit.controller === undefined ? "" : `<li class="tick">Before the controller is programmed, every LED must light whenever its wire is live: that is how the lamp behaves if the controller fails.</li>`}
<li class="tick">Compare each current with the table. Its limits are what parts at the ends of their tolerances take at 25 °C, and a workshop meter's error; outside means a wrong part or a bridge.</li>
<li class="tick">Every wire live at ${showNumber(lamp.vehicle.supply.lowest)} V: all LEDs still light. At ${showNumber(lamp.vehicle.supply.highest)} V for ten minutes: nothing too hot to touch briefly.</li>
<li class="tick">On the vehicle, engine running: tail, brake, each side, all together, hazard. Then the same with the lamp wet.</li>
</ol>
${rows.length > 0 ? `<h3>Supply current in every state</h3>${table(["Live", right("At"), "Each wire", right("Together"), right("Keep within"), right("Set limit to")], rows)}` : ""}`
}

/** Current limit for a first test: half as much again, in steps a bench supply can be set to. */
export function limitFor(amps: number): number {
  return Math.max(0.02, Math.ceil(amps * 150 - 1e-9) / 100)
}

/** `output-2` before `output-10`. */
function byNumber(a: string, b: string): number {
  const [p, q] = [a, b].map((s) => /^(.*?)(\d*)$/.exec(s)!)
  if (p![1] !== q![1]) return p![1]! < q![1]! ? -1 : 1
  return Number(p![2]) - Number(q![2])
}

/** The image's file name: the lamp's name in plain letters. */
export function firmwareFile(name: string): string {
  const plain = name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "")
  // Names some systems keep for devices, with any ending.
  const taken = plain === "" || /^(con|prn|aux|nul|com\d|lpt\d)$/.test(plain)
  return `${taken ? `lamp${plain && "-"}${plain}` : plain.slice(0, 60)}.hex`
}
