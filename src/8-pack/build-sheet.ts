// The build sheet: one page to print and take to the bench. Cautions first, then verdict, buying, cutting,
// soldering, wiring, programming, testing, and every finding with its margin. Everything the lamp's builder wrote
// is escaped; nothing is fetched from anywhere.

import type { Finding } from "../0-ground/finding.ts"
import { showNumber } from "../0-ground/text/show.ts"
import type { Board, PlacedPart } from "../5-board/artefact.ts"
import type { ExtraProgram } from "../6-copper/artefact.ts"
import type { PackInput } from "./artefact.ts"
import type { BuiltLamp } from "./as-built/compare-built.ts"
import { asBuilt } from "./as-built/sheet-as-built.ts"
import { assembly } from "./bring-up/assembly.ts"
import type { BringUpPlan } from "./bring-up/plan-bring-up.ts"
import { depthPlot } from "./depth-plot.ts"
import { drawComponentSide, drawCopperSide, drawDrills, drawFace, drawSolderSide } from "./draw.ts"
import { fittingPart } from "./light/sheet-fitting.ts"
import { partLines } from "./parts-list.ts"
import { escapeXml, type Scene, sceneElement } from "./scene.ts"
import { bringUp } from "./sheet-bring-up.ts"
import { findingList, findingsPart, marginTable } from "./sheet-findings.ts"
import { mechanicPage, ownerPage } from "./sheet-handover.ts"
import { lastingPart } from "./sheet-lasting.ts"
import { sharedSheetsPart } from "./sheet-shared.ts"
import { sparesPart } from "./sheet-spares.ts"
import { sheetStyle, stopStyle } from "./sheet-style.ts"
import { code, right, table } from "./sheet-table.ts"
import { programming, testing } from "./sheet-testing.ts"
import { drivePart, valuesPart } from "./sheet-values.ts"
import { linkLines, wireLines } from "./wiring-list.ts"

export const doNotCut = "DO NOT CUT: at least one finding is red."

/** Between the margins of A4, the narrower of the two papers, mm. */
const paperWidth = 186

export function buildSheet(
  design: PackInput,
  withheld: boolean,
  plan: BringUpPlan,
  built: readonly BuiltLamp[],
): string {
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
    sharedSheetsPart(design, figure, clock),
    cutting(design, withheld),
    valuesPart(design),
    soldering(design),
    wiring(design),
    programming(design, withheld),
    testing(design),
    bringUp(plan),
    asBuilt(built),
    lastingPart(design),
    fittingPart(design),
    ownerPage(design),
    mechanicPage(design),
    drivePart(design),
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
  // Something counted as none of none has no thinness.
  const thin = findings
    .filter(
      (f) =>
        f.margin !== undefined &&
        !(f.limit?.value === 0 && f.margin === 0) &&
        f.limit?.kind !== "exactly" &&
        f.severity !== "red",
    )
    .slice(0, 8)
  const word = { ready: "green", "ready with cautions": "amber", "do not cut": "red" }[verdict]
  return `<h2>Verdict</h2>
<p class="verdict ${word}">${verdict === "do not cut" ? "Do not cut" : verdict === "ready" ? "Ready to cut" : "Ready to cut, with cautions"}</p>
<p>${count("red")} red, ${count("amber")} amber, ${count("green")} green findings.${withheld ? " Cutter programs and firmware were held back because something is red." : ""}</p>
${reds.length > 0 ? `<h3>To be put right first</h3>${findingList(reds)}` : ""}
<h3>Thinnest margins</h3>${marginTable(thin)}<p class="quiet">What to do about each stands under “Findings”, the last part of this sheet.</p>`
}

function buying(design: PackInput): string {
  const { copperClad: clad } = design.lamp
  const lines = partLines(design)
  const bought = new Map<
    string,
    { label: string; value: string; rating: string; package: string; count: number }
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
  ["", "What", "Value", "Must stand", "Package"],
  [...bought.values()]
    .sort((a, b) => (a.label < b.label ? -1 : a.label > b.label ? 1 : 0))
    .map((b) => [right(`${b.count} ×`), b.label, b.value === b.label ? "" : b.value, b.rating, b.package]),
)}
<ul>
<li>Copper-clad ${clad.base}, ${clad.thickness} mm, ${Math.round(clad.copper * 1000)} µm copper, single-sided, sheets of ${clad.sheet.w} × ${clad.sheet.h} mm, for: ${sheets.join(", ") || "no board"}.</li>
${links > 0 ? `<li>Tinned copper wire 0.6 mm, at least ${Math.ceil(links / 100) / 10} m, for the wire links.</li>` : ""}
<li>Solder, stranded wire as in the wiring table, sleeving, spacers and screws for the boards, sealant for the lamp's back.</li>
</ul>
${sparesPart(design)}
<p class="quiet">The same list by board, with references, purposes and the sources of the figures, stands in <code>parts.csv</code>.</p>`
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
  const { lamp, plan, boards, copper, proof } = design
  const { engraver, router, machine } = lamp.cutter
  const extras = plan.extras ?? []
  const coupon = extras.find((e) => e.kind === "coupon")
  const joined = new Map(extras.flatMap((e) => (e.kind === "one-file" ? [[e.board, e.file] as const] : [])))
  const depthOf = (purpose: string, board: string) =>
    purpose === "engrave" || purpose === "clear"
      ? `${copper.boards.find((c) => c.board === board)?.depth ?? engraver.depth} mm`
      : purpose === "drill"
        ? "through"
        : `through, ${router.stepDown} mm a pass`
  const rows = plan.programs.map((p, i) => [
    right(`${i + 1}`),
    p.board,
    { engrave: "engrave", clear: "clear", drill: "drill", outline: "cut out" }[p.purpose],
    p.tool,
    depthOf(p.purpose, p.board),
    code(`cut/${p.board}/${joined.get(p.board) ?? p.file}`),
    right(clock(p.time)),
  ])
  return `<h2 class="page">Cutting</h2>
<p>Copper up. All programs of a board share one zero: x and y left of and below the board, so that every move is positive; z at the copper surface. Leave the sheet clamped and the zero untouched between the programs of a board. The sheet may differ in height by ${machine.flatness} mm; travel is at ${machine.clearHeight} mm. Times are computed from feeds, rapids and acceleration.</p>
${withheld ? `<p class="red">The programs were held back because something is red.</p>` : ""}
${table(["", "Board", "Step", "Tool", "Depth", "Program", right("Time")], rows)}
<ol>
<li>Tape or clamp the sheet flat on scrap board. Engrave first, then drill, cut out last.</li>
${joined.size > 0 ? "<li>Each board's programs are in one file that stops for each tool: change it, set z to zero on the copper again, leave x and y alone, go on.</li>\n" : ""}<li>Engraver: ${engraver.tip} mm tip, ${engraver.angle}°. ${coupon ? `Before the first board cut the test grooves, <code>cut/${coupon.file}</code>, on scrap of the same sheet and measure them under a loupe (table below). Wider ones tell of a blunt or wobbling tip or a zero too low, narrower ones of a zero too high: put that right first.` : "Make a test cut of 10 mm in a spare corner and measure the groove before the first board."}</li>
<li>Where the sheet is not flat within ±${machine.flatness} mm, measure it: <code>cut/BOARD/BOARD-0-probe.ngc</code> goes to every place of a grid (its probing word G38.2 is not known to every controller, and each keeps what it found its own way). Save lines <code>x,y,z</code> or the controller's log, then <code>lampwright warp PROGRAM --heights FILE --out BENT</code> and <code>lampwright inspect</code> with the same heights.</li>
<li>After engraving, brush the board and look at every groove against the light. Where a groove is not through, run the program again with z set 0.02 mm lower rather than scraping by hand (common practice, no source).</li>
<li>Not cutting yourself: <code>order/</code> holds the same copper as files for a fabricator (Gerber layers, drill file, IPC-D-356 test records), seen from the copper side and not mirrored: one layer, holes not plated. Say so when you order.</li>
<li>Drilling by hand: take the drill templates below, printed at 100 %, and measure both bars; if either is off by more than 0.4 mm, do not drill from the print.</li>
</ol>
${coupon ? couponTable(coupon, machine.flatness, engraver.depth) : ""}
${boards.boards
  .map(
    (b) =>
      `<h3>${escapeXml(b.name)}, ${size(b)}</h3>${windowLine(proof, b.name)}${figure(
        drawCopperSide(
          b,
          copper.boards.find((c) => c.board === b.name),
        ),
        `drawings/${b.name}-copper.svg`,
      )}`,
  )
  .join("\n")}
<h2 class="page" id="drilling">Drill templates</h2>
<p>For drilling by hand, seen from the copper side. Measure the bars on the paper before the first hole.</p>
${boards.boards.map((b) => figure(drawDrills(b), `drawings/${b.name}-drill.svg`)).join("\n")}`
}

/** The widths the test grooves should have under a loupe. */
function couponTable(coupon: ExtraProgram, flatness: number, set: number): string {
  const mm = (v: number) => `${v.toFixed(3)} mm`
  return `<h3>Test grooves</h3>
${table(
  ["Groove from below", right("Depth"), right("Width"), right("Where the scrap is off by the flatness")],
  (coupon.grooves ?? []).map((g, i) => [
    `${i + 1}${g.depth === set ? ", the set depth, with a tick" : ""}`,
    right(`${g.depth} mm`),
    right(mm(g.width)),
    right(`${g.narrow.toFixed(3)} to ${mm(g.wide)}`),
  ]),
)}
<p class="quiet">Width = swept tip + 2 · depth · tan(angle ÷ 2); off by the flatness means ±${flatness} mm of height.</p>`
}

/** Depths that are right, the best one, and what fails first; with the plot. */
function windowLine({ boards }: PackInput["proof"], board: string): string {
  const w = boards.find((b) => b.board === board)?.depthWindow
  if (!w) return ""
  const low = w.least + w.error
  const high = w.most - w.error
  const fails = (end: { readonly what: string }) => escapeXml(end.what)
  return `<p>Depth: set ${showNumber(w.set)} mm, right from ${showNumber(low)} to ${showNumber(high)} mm on a surface within ±${showNumber(w.error)} mm; best ${showNumber(w.best)} mm, which stands ±${showNumber(w.flatness)} mm. Too shallow, first: ${fails(w.shallowFails)}.${w.openEnded ? "" : ` Too deep, first: ${fails(w.deepFails)}.`}</p>${depthPlot(board, w)}`
}

/**
 * The bring-up plan's order, so that each reading finds just its parts fitted; low parts first within a step;
 * LEDs last, because they are set through the face, then wires.
 */
export function solderingOrder(
  board: Board,
): { readonly step: string; readonly parts: readonly PlacedPart[] }[] {
  const of = (kind: string) => board.parts.filter((p) => p.kind === kind)
  const rest = board.parts.filter((p) => p.kind !== "led" && p.kind !== "pad")
  const stepOf = (part: PlacedPart) => assembly.findIndex(({ has }) => has(part))
  const steps = assembly.map(({ step }, i) => ({
    step: step === "everything in, no supply" ? "all other parts" : step.replace(/ in$/, ""),
    parts: rest
      .filter((p) => stepOf(p) === i)
      .map((part, at) => ({ part, at }))
      .sort((a, b) => a.part.height - b.part.height || a.at - b.at)
      .map(({ part }) => part),
  }))
  return [
    ...steps,
    { step: "LEDs, set through the face", parts: of("led") },
    { step: "wires into their pads", parts: of("pad") },
  ].filter(({ parts }) => parts.length > 0)
}

function soldering(design: PackInput): string {
  const { boards, lamp } = design
  const links = linkLines(design)
  return `<h2 class="page">Soldering</h2>
<p>Parts go in from the component side, solder on the copper side. Both sides are drawn: where you put the parts in, and where you solder, with the parts showing through as broken lines. K (cathode), the flat side of an LED and the band of a diode, is drawn heavy and its hole solid; A (anode) is an open ring. Wire links first, then the parts in the order of the table, taking the readings of each step under “Bring-up” before going on.</p>
${boards.boards
  .map((b) => {
    const mine = links.filter((l) => l.board === b.name)
    const request = lamp.boards.find((r) => r.name === b.name)
    const leds = b.parts.some((p) => p.kind === "led")
    return `<h3>${escapeXml(b.name)}</h3>
${figure(drawComponentSide(b), `drawings/${b.name}-components.svg`)}
${figure(drawSolderSide(b), `drawings/${b.name}-solder-side.svg`)}
${
  mine.length > 0
    ? `<p>Links to cut from 0.6 mm tinned wire; bend both ends square, at the span, over the edge of flat pliers or a strip of that width, push them through from the component side and let the wire lie flat on the board:</p>${table(
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
  ["Wire", "From", "To", "Colour", "Size", "Crimp", "Length", "Fuse", right("At most")],
  wires.map((w) => [w.name, w.from, w.to, w.colour, w.size, w.crimp, w.length, w.fuse, right(w.current)]),
)}
<p class="quiet">Sizes between boards are common practice, no source. The same table stands in <code>wiring.csv</code>.</p>`
}

function figure(scene: Scene, file: string): string {
  const svg = sceneElement(scene)
  const wide = Number(/ width="([\d.]+)mm"/.exec(svg)?.[1]) > paperWidth
  const note = wide
    ? `Too wide for the paper at full size; print <code>${escapeXml(file)}</code> for a 1:1 copy.`
    : `Printed at 100 % this is 1:1. File: <code>${escapeXml(file)}</code>`
  return `<figure>${wide ? svg.replace("<svg ", '<svg class="wide" ') : svg}<figcaption class="quiet">${note}</figcaption></figure>`
}

const size = (b: Board) => `${showNumber(b.size.w)} × ${showNumber(b.size.h)} mm`
const clock = (seconds: number) =>
  `${Math.floor(Math.round(seconds) / 60)}:${String(Math.round(seconds) % 60).padStart(2, "0")} min`
