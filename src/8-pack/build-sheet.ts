// The build sheet: one page to print and take to the bench. Cautions first, then verdict, buying, cutting,
// soldering, wiring, programming, testing, and every finding with its margin. Everything the lamp's builder wrote
// is escaped; nothing is fetched from anywhere.

import type { Finding } from "../0-ground/finding.ts"
import { show, showNumber } from "../0-ground/text/show.ts"
import type { Board, PlacedPart } from "../5-board/artefact.ts"
import type { PackInput } from "./artefact.ts"
import { drawComponentSide, drawCopperSide, drawFace } from "./draw.ts"
import { partLines, sourceNote } from "./parts-list.ts"
import { escapeXml, type Scene, sceneElement } from "./scene.ts"
import { sheetStyle, stopStyle } from "./sheet-style.ts"
import { linkLines, wireLines } from "./wiring-list.ts"

export const doNotCut = "DO NOT CUT: at least one finding is red."

/** Widest drawing that fits both papers at full size, mm. */
const paperWidth = 185

export function buildSheet(design: PackInput, withheld: boolean): string {
  const { lamp, verdict } = design
  const red = verdict === "do not cut"
  const parts = [
    ...(red ? [`<div class="stop">${doNotCut}</div>`] : []),
    `<h1>${escapeXml(lamp.name)}</h1>`,
    `<p class="quiet">Build sheet for a ${escapeXml(lamp.vehicle.kind)}. 12 V. Print at 100 %, not “fit to page”.</p>`,
    cautions(),
    verdictPart(design, withheld),
    buying(design),
    faces(design),
    cutting(design, withheld),
    soldering(design),
    wiring(design),
    programming(design, withheld),
    testing(design),
    findingsPart(design.findings),
  ]
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${escapeXml(lamp.name)}: build sheet</title>
<style>${sheetStyle}${red ? stopStyle : ""}</style>
</head>
<body${red ? ' class="marked"' : ""}>
${red ? marked(parts.join("\n")) : parts.join("\n")}
</body>
</html>
`
}

/** Headings carry the mark too: a single sheet may be torn off. */
const marked = (html: string) =>
  html.replace(/<(h[23])([^>]*)>/g, `<$1$2><span class="red">Do not cut · </span>`)

function cautions(): string {
  return `<section class="cautions" id="cautions"><h2>Before anything else</h2><ul>
<li><b>Wear eye protection</b> while cutting, drilling, soldering and clipping leads. LEDs at full current dazzle: do not look into them.</li>
<li><b>Cutter:</b> clamp the sheet, keep hands and sleeves away, know where the stop button is. Start the first program in the air above the sheet.</li>
<li><b>Dust</b> of glass-fibre board harms lungs: use suction at the cutter and a mask, wipe wet, do not blow.</li>
<li><b>Bench work</b> only with a fused supply whose current limit is set as the steps below say.</li>
<li><b>Disconnect the battery</b> before touching the vehicle's wires, and keep every wire's fuse in place.</li>
<li><b>A hand-built lamp is not type-approved.</b> Whether it may be used on the road is decided by local law, and its fitting by licensed practice. Margins below are computed, not measured on your lamp.</li>
</ul></section>`
}

function verdictPart({ findings, verdict }: PackInput, withheld: boolean): string {
  const count = (s: Finding["severity"]) => findings.filter((f) => f.severity === s).length
  const reds = findings.filter((f) => f.severity === "red")
  const thin = findings
    .filter((f) => f.margin !== undefined && f.limit?.kind !== "exactly" && f.severity !== "red")
    .slice(0, 8)
  const word = { ready: "green", "ready with cautions": "amber", "do not cut": "red" }[verdict]
  return `<h2>Verdict</h2>
<p class="verdict ${word}">${verdict === "do not cut" ? "Do not cut" : verdict === "ready" ? "Ready to cut" : "Ready to cut, with cautions"}</p>
<p>${count("red")} red, ${count("amber")} amber, ${count("green")} green findings.${withheld ? " Cutter programs and firmware were held back because something is red." : ""}</p>
${reds.length > 0 ? `<h3>To be put right first</h3>${findingTable(reds)}` : ""}
<h3>Thinnest margins</h3>${findingTable(thin)}`
}

function buying(design: PackInput): string {
  const { copperClad: clad } = design.lamp
  const lines = partLines(design)
  const bought = new Map<
    string,
    { label: string; value: string; rating: string; package: string; count: number; source: string }
  >()
  for (const l of lines) {
    const key = JSON.stringify([l.label, l.value, l.package])
    const known = bought.get(key)
    bought.set(key, { ...l, count: (known?.count ?? 0) + l.refs.length })
  }
  const links = linkLines(design).reduce((s, l) => s + l.cut, 0)
  const sheets = design.boards.boards.map((b) => `${escapeXml(b.name)} ${size(b)}`)
  return `<h2>What to buy</h2>
${table(
  ["", "What", "Value", "Rating", "Package", "Figures from"],
  [...bought.values()].map((b) => [right(`${b.count} ×`), b.label, b.value, b.rating, b.package, b.source]),
)}
<ul>
<li>Copper-clad ${clad.base}, ${clad.thickness} mm, ${Math.round(clad.copper * 1000)} µm copper, single-sided, sheets of ${clad.sheet.w} × ${clad.sheet.h} mm, for: ${sheets.join(", ") || "no board"}.</li>
${links > 0 ? `<li>Tinned copper wire 0.6 mm, at least ${Math.ceil(links / 100) / 10} m, for the wire links.</li>` : ""}
<li>Solder, stranded wire as in the wiring table, sleeving, spacers and screws for the boards, sealant for the lamp's back.</li>
</ul>
<p class="quiet">The same list by board stands in <code>parts.csv</code>.</p>`
}

function faces({ lamp }: PackInput): string {
  return `<h2>Face</h2>
${lamp.faces
  .map(
    (
      f,
    ) => `<p>${escapeXml(f.name)}: ${escapeXml(f.metal)} ${f.thickness} mm, ${f.ledHoles.length} LED holes of ${f.hole} mm, ${f.screwHoles.length} screw holes. Seen from the road.</p>
${figure(drawFace(f, lamp.groups), `drawings/face-${f.name}.svg`)}`,
  )
  .join("\n")}`
}

function cutting(design: PackInput, withheld: boolean): string {
  const { lamp, plan, boards, copper } = design
  const { engraver, router, machine } = lamp.cutter
  const depthOf = (purpose: string, board: string) =>
    purpose === "engrave"
      ? `${copper.boards.find((c) => c.board === board)?.depth ?? engraver.depth} mm`
      : purpose === "drill"
        ? "through"
        : `through, ${router.stepDown} mm a pass`
  const rows = plan.programs.map((p, i) => [
    right(`${i + 1}`),
    p.board,
    { engrave: "engrave", drill: "drill", outline: "cut out" }[p.purpose],
    p.tool,
    depthOf(p.purpose, p.board),
    code(`cut/${p.board}/${p.file}`),
    right(clock(p.time)),
  ])
  return `<h2 class="page">Cutting</h2>
<p>Copper up. All programs of a board share one zero: x and y left of and below the board, so that every move is positive; z at the copper surface. Leave the sheet clamped and the zero untouched between the programs of a board. The sheet may differ in height by ${machine.flatness} mm; travel is at ${machine.clearHeight} mm. Times are computed from feeds, rapids and acceleration.</p>
${withheld ? `<p class="red">The programs were held back because something is red.</p>` : ""}
${table(["", "Board", "Step", "Tool", "Depth", "Program", right("Time")], rows)}
<ol>
<li>Tape or clamp the sheet flat on scrap board. Engrave first, then drill, cut out last.</li>
<li>Engraver: ${engraver.tip} mm tip, ${engraver.angle}°. Make a test cut of 10 mm in a spare corner and measure the groove before the first board.</li>
<li>After engraving, brush the board and look at every groove against the light. Where a groove is not through, run the program again with z set 0.02 mm lower rather than scraping by hand (common practice, no source).</li>
<li>Drilling by hand: print <code>drawings/…-drill.svg</code> at 100 %, measure both 80 mm bars; if either is off by more than 0.4 mm, do not drill from the print.</li>
</ol>
${boards.boards
  .map(
    (b) =>
      `<h3>${escapeXml(b.name)}, ${size(b)}</h3>${figure(
        drawCopperSide(
          b,
          copper.boards.find((c) => c.board === b.name),
        ),
        `drawings/${b.name}-copper.svg`,
      )}`,
  )
  .join("\n")}`
}

/** Low parts first, so that the board lies flat on each; LEDs last, because they are set through the face. */
export function solderingOrder(
  board: Board,
): { readonly step: string; readonly parts: readonly PlacedPart[] }[] {
  const rest = board.parts.filter((p) => p.kind !== "led" && p.kind !== "pad")
  const heights = [...new Set(rest.map((p) => p.height))].sort((a, b) => a - b)
  const steps = heights.map((h) => ({
    step: `${showNumber(h)} mm high`,
    parts: rest.filter((p) => p.height === h),
  }))
  const of = (kind: string) => board.parts.filter((p) => p.kind === kind)
  return [
    ...steps,
    ...(of("led").length > 0 ? [{ step: "LEDs, set through the face", parts: of("led") }] : []),
    ...(of("pad").length > 0 ? [{ step: "wires into their pads", parts: of("pad") }] : []),
  ]
}

function soldering(design: PackInput): string {
  const { boards, lamp } = design
  const links = linkLines(design)
  return `<h2 class="page">Soldering</h2>
<p>Parts go in from the component side, solder on the copper side. Flat side of an LED and band of a diode are K (cathode), drawn heavy. Wire links first.</p>
${boards.boards
  .map((b) => {
    const mine = links.filter((l) => l.board === b.name)
    const request = lamp.boards.find((r) => r.name === b.name)
    const leds = b.parts.some((p) => p.kind === "led")
    return `<h3>${escapeXml(b.name)}</h3>
${figure(drawComponentSide(b), `drawings/${b.name}-components.svg`)}
${
  mine.length > 0
    ? `<p>Links to cut from 0.6 mm tinned wire:</p>${table(
        ["Link", "Net", right("Span"), right("Cut to")],
        mine.map((l) => [l.ref, l.net, right(`${showNumber(l.length)} mm`), right(`${l.cut} mm`)]),
      )}`
    : "<p>No wire links.</p>"
}
${table(
  ["", "Order", "Parts"],
  solderingOrder(b).map(({ step, parts }, i) => [
    right(`${i + 1}`),
    step,
    parts
      .map((p) => (p.kind === "pad" ? p.ref : `${p.ref} ${p.kind === "led" ? "" : p.value}`.trim()))
      .join(", "),
  ]),
)}
${
  leds
    ? `<p>LEDs: put them in loosely, A and K as drawn, set the board on its spacers behind ${b.face === undefined ? "the face" : escapeXml(b.face)}${request ? ` (${request.height} mm of room)` : ""}, push each LED through its hole until the flange rests on the metal, then solder one lead of each, look at them from the road side, and solder the rest.</p>`
    : ""
}
<p class="tick">Test: bare copper looked over, no bridges; then resistance from the earth pad to every other pad with the meter: none reads a dead short.</p>`
  })
  .join("\n")}`
}

function wiring(design: PackInput): string {
  const wires = wireLines(design)
  return `<h2>Wiring</h2>
<p><b>Disconnect the battery first.</b> Every vehicle wire keeps its fuse. Lead wires through the metal in a grommet, tie them down, solder or crimp, and sleeve every joint.</p>
${table(
  ["Wire", "From", "To", "Colour", "Size", "Length", "Fuse", right("At most")],
  wires.map((w) => [w.name, w.from, w.to, w.colour, w.size, w.length, w.fuse, right(w.current)]),
)}
<p class="quiet">Sizes between boards are common practice, no source. The same table stands in <code>wiring.csv</code>.</p>`
}

function programming({ firmware, lamp, circuit, boards }: PackInput, withheld: boolean): string {
  if (firmware === undefined)
    return `<h2>Programming</h2><p>This lamp has no controller: nothing is programmed.</p>`
  const hexByte = (n: number) => `0x${n.toString(16).toUpperCase().padStart(2, "0")}`
  const header = circuit.parts.find((p) => p.kind === "header")
  const board = boards.boards.find((b) => b.parts.some((p) => p.ref === header?.ref))
  const { fuses } = firmware
  const signals = new Map(circuit.signals.map((s) => [s.name, s.net]))
  return `<h2>Programming</h2>
<p>${withheld ? `<span class="red">The firmware was held back because something is red.</span>` : `Image: <code>firmware/${escapeXml(firmwareFile(lamp.name))}</code>`}, ${firmware.codeBytes + firmware.tableBytes} bytes, build ${escapeXml(firmware.buildId)}, for the ${escapeXml(firmware.controller)} at ${show(firmware.clockHz, "Hz")}.</p>
<ol>
<li>Power the board from the bench supply at 12 V, limit 100 mA, through its supply wire. Measure 4.75 to 5.25 V on the controller before connecting the programmer.</li>
<li>Connect the programmer to the 2 × 3 header${header && board ? ` ${escapeXml(header.ref)} on board ${escapeXml(board.name)}` : ""}; pin 1 is marked.</li>
<li>Write the fuse bytes, read them back, then write and verify the image.</li>
</ol>
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
        ["Header pin", "Net"],
        Object.entries(header.pins)
          .sort(([a], [b]) => Number(a) - Number(b))
          .map(([pin, net]) => [pin, net]),
      )
    : ""
}
${table(
  ["Signal", "Net", "Controller pin"],
  Object.entries(firmware.pinOf).map(([signal, pin]) => [signal, signals.get(signal) ?? "", pin]),
)}`
}

function testing({ circuit, lamp }: PackInput): string {
  const usual = circuit.corners.filter((c) => c.parts === "usual")
  const seen = new Set<string>()
  const rows: Cell[][] = []
  for (const c of usual) {
    const live = c.live.join(" + ")
    if (live === "" || seen.has(live) || Math.abs(c.supply - lamp.vehicle.supply.usual) > 0.05) continue
    seen.add(live)
    for (const wire of c.live) {
      const amps = Math.abs(c.wireCurrent[wire] ?? 0)
      rows.push([
        live,
        wire,
        right(`${showNumber(c.supply)} V`),
        right(show(amps, "A")),
        right(show(limitFor(amps), "A")),
      ])
    }
  }
  return `<h2>Test after each step</h2>
<ol>
<li class="tick">Bare board: no copper bridge across a groove; no groove broken through a track.</li>
<li class="tick">Parts in, no supply: A and K of every LED and diode compared with the drawing; pin 1 of every chip.</li>
<li class="tick">First power: bench supply at ${showNumber(lamp.vehicle.supply.usual)} V with the current limit of the table below, one wire live at a time against earth. Stop at once if the supply reaches its limit.</li>
${circuit.controller === undefined ? "" : `<li class="tick">Before the controller is programmed, every LED must light whenever its wire is live: that is how the lamp behaves if the controller fails.</li>`}
<li class="tick">Compare each current with the table; more than 20 % off means a wrong part or a bridge (common practice, no source).</li>
<li class="tick">Every wire live at ${showNumber(lamp.vehicle.supply.lowest)} V: all LEDs still light. At ${showNumber(lamp.vehicle.supply.highest)} V for ten minutes: nothing too hot to touch briefly.</li>
<li class="tick">On the vehicle, engine running: tail, brake, each side, all together, hazard. Then the same with the lamp wet.</li>
</ol>
${rows.length > 0 ? `<h3>Currents to expect, usual parts</h3>${table(["Live", "Wire", right("At"), right("Expect"), right("Set limit to")], rows)}` : ""}`
}

/** Current limit for a first test: half as much again, in steps a bench supply can be set to. */
export function limitFor(amps: number): number {
  return Math.max(0.02, Math.ceil(amps * 150 - 1e-9) / 100)
}

function findingsPart(findings: readonly Finding[]): string {
  return `<h2 class="page">Findings</h2><p>Red first, then the thinnest margin. “Margin” is what is left of the limit.</p>${findingTable(findings)}`
}

function findingTable(findings: readonly Finding[]): string {
  if (findings.length === 0) return "<p>None.</p>"
  return table(
    ["", "What", "Where", right("Measured"), right("Limit"), right("Margin"), "What to do", "Source"],
    findings.map((f) => [
      { text: f.severity, as: f.severity },
      `${f.title}${f.corner === undefined ? "" : ` (${f.corner})`}`,
      f.where.text,
      right(`${f.measured ? show(f.measured.value, f.measured.unit) : ""}`),
      right(
        `${f.limit ? `${{ "at least": "≥", "at most": "≤", exactly: "=" }[f.limit.kind]} ${show(f.limit.value, f.limit.unit)}` : ""}`,
      ),
      right(
        `${f.margin === undefined || f.limit?.kind === "exactly" ? "" : `${showNumber(f.margin * 100, 2)} %`}`,
      ),
      f.severity === "green" ? "" : f.advice,
      sourceNote(f.source),
    ]),
  )
}

interface Marked {
  readonly text: string
  readonly as: "n" | "code" | Finding["severity"]
}
type Cell = string | Marked
/** A number, set to the right. */
const right = (text: string): Marked => ({ text, as: "n" })
const code = (text: string): Marked => ({ text, as: "code" })

/** All text is escaped here. */
function table(header: readonly Cell[], rows: readonly (readonly Cell[])[]): string {
  const cell = (c: Cell, tag: "th" | "td") => {
    if (typeof c === "string") return `<${tag}>${escapeXml(c)}</${tag}>`
    if (c.as === "code") return `<${tag}><code>${escapeXml(c.text)}</code></${tag}>`
    return `<${tag} class="${c.as}">${escapeXml(c.text)}</${tag}>`
  }
  const row = (cells: readonly Cell[], tag: "th" | "td") =>
    `<tr>${cells.map((c) => cell(c, tag)).join("")}</tr>`
  return `<table><thead>${row(header, "th")}</thead><tbody>\n${rows.map((r) => row(r, "td")).join("\n")}\n</tbody></table>`
}

function figure(scene: Scene, file: string): string {
  const wide = scene.box.maxX - scene.box.minX > paperWidth
  const svg = sceneElement(scene)
  const note = wide
    ? `Too wide for the paper at full size; print <code>${escapeXml(file)}</code> for a 1:1 copy.`
    : `Printed at 100 % this is 1:1. File: <code>${escapeXml(file)}</code>`
  return `<figure>${wide ? svg.replace("<svg ", '<svg class="wide" ') : svg}<figcaption class="quiet">${note}</figcaption></figure>`
}

/** The image's file name: the lamp's name in plain letters. */
export function firmwareFile(name: string): string {
  const plain = name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "")
  return `${plain === "" ? "lamp" : plain.slice(0, 60)}.hex`
}

const size = (b: Board) => `${showNumber(b.size.w)} × ${showNumber(b.size.h)} mm`
const clock = (seconds: number) =>
  `${Math.floor(Math.round(seconds) / 60)}:${String(Math.round(seconds) % 60).padStart(2, "0")} min`
