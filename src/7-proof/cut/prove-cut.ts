// One board's cut proof: read its programs, cut it on the grid, follow the copper, compare, measure.

import { type Figure, fact, result } from "../../0-ground/figure.ts"
import type { Finding } from "../../0-ground/finding.ts"
import { boundingBox } from "../../0-ground/geometry/polygon.ts"
import type { Work } from "../../0-ground/progress.ts"
import { computed, described, practice } from "../../0-ground/source.ts"
import type { PackageType } from "../../1-stock/artefact.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import type { CutterProgram } from "../../6-copper/artefact.ts"
import type { BoardProof } from "../artefact.ts"
import { proof } from "../proof-findings.ts"
import { checkOutline } from "./check-outline.ts"
import { checkLands, checkLedPlaces } from "./check-places.ts"
import { type Bench, checkPrograms } from "./check-programs.ts"
import { checkScrews } from "./check-screws.ts"
import { bareLands, findOpens, findShorts, wantedOfLands } from "./compare-netlists.ts"
import { type Extracted, extractNetlist, idleLinks } from "./extract-netlist.ts"
import { labelCopper } from "./label-copper.ts"
import { landRings, type Narrowest, narrowestCopper, narrowestGroove, widestNeck } from "./measure-copper.ts"
import { type ProgramReading, readCutProgram, type ToolMove } from "./read-cut-program.ts"
import { type Heights, onSurface } from "./read-heights.ts"
import { blankBoard, type CutJob, drilledHoles, type Hole, simulateCut, widthAt } from "./simulate-cut.ts"
import type { WantedNetlist } from "./wanted-netlist.ts"

export interface BoardEvidence {
  readonly proof: BoardProof
  readonly findings: readonly Finding[]
  readonly figures: readonly Figure[]
  /** Lands joined in the copper with links, for following nets across boards. */
  readonly joined: Extracted
}

/** Finest raster, mm; larger boards take a coarser one so that a row of cells stays within bounds. */
const finest = 0.02
const mostPixels = 120e6
/** mm²; no hobby mill has a larger bed. */
const mostArea = 4e6
/** More shorts or opens than this are counted, not listed. */
const mostListed = 12
/** Height error that is left where the surface was probed, mm (repeatability of a touch probe: common practice). */
const probeError = 0.01
/** Copper thinner than this does not survive hand soldering, mm. */
const leastCopper = 0.2
/** How well the tool's zero is set on the copper by hand, mm. */
const zeroError = 0.02
/** Length of a 118° drill point for each mm of diameter: ½ ÷ tan 59°. */
const drillPoint = 0.5 / Math.tan((59 * Math.PI) / 180)
/** Ring that can be soldered, mm. */
const enoughRing = 0.2

export function* proveCut(
  lamp: Lamp,
  board: Board,
  wanted: WantedNetlist,
  programs: readonly CutterProgram[],
  packages: (name: string) => PackageType | undefined,
  earth: string,
  heights?: Heights,
): Work<BoardEvidence> {
  const findings: Finding[] = []
  const stage = `proving ${board.name}`
  const box = boundingBox(board.outline)
  const area = (box.maxX - box.minX) * (box.maxY - box.minY)
  if (board.outline.length < 3 || !(area > 0) || area > mostArea) {
    findings.push(
      proof.state("outline", {
        severity: "red",
        title: `${board.name} has no edge that a board could have`,
        where: { text: board.name, board: board.name },
      }),
    )
    return {
      proof: emptyProof(board.name),
      findings,
      figures: [],
      joined: { group: board.lands.map((_, i) => i), pieces: [] },
    }
  }
  const readings = new Map<CutterProgram, ProgramReading>()
  for (const p of programs) readings.set(p, readCutProgram(p.text))
  const bench: Bench = {
    thickness: lamp.copperClad.thickness,
    sheet: lyingSheet(lamp.copperClad.sheet, board),
    margin: lamp.cutter.router.diameter / 2,
    clearHeight: lamp.cutter.machine.clearHeight,
    feeds: {
      engrave: { along: lamp.cutter.engraver.feed, down: lamp.cutter.engraver.plunge },
      drill: { along: lamp.cutter.drillFeed, down: lamp.cutter.drillFeed },
      outline: { along: lamp.cutter.router.feed, down: lamp.cutter.router.feed },
    },
  }
  findings.push(...checkPrograms(board.name, [...readings], bench))
  yield { stage, done: 0.1, note: "programs read" }

  const written = [...readings].filter(([p]) => p.purpose === "engrave").flatMap(([, r]) => r.moves)
  const engraving = heights ? onSurface(written, heights) : written
  const holes = [...readings]
    .filter(([p]) => p.purpose === "drill")
    .flatMap(([p, r]) => drilledHoles(r.moves, p.toolDiameter).map((h) => ({ ...h, file: p.file })))
  for (const purpose of ["engrave", "drill", "outline"] as const) {
    if (programs.some((p) => p.purpose === purpose)) continue
    findings.push(
      proof.state("program-missing", {
        severity: "red",
        title: `${board.name} has no ${purpose} program`,
        where: { text: board.name, board: board.name },
      }),
    )
  }
  findings.push(...checkHoles(board, holes, lamp))
  findings.push(...checkPlaces(lamp, board, holes, packages))
  findings.push(...outlineFindings(lamp, board, programs, readings))
  yield { stage, done: 0.2, note: "holes and edge compared" }

  const pixel = Math.max(finest, Math.sqrt(area / mostPixels))
  const { engraver } = lamp.cutter
  const error = heights ? probeError : lamp.cutter.machine.flatness
  const foil = lamp.copperClad.copper
  const cuts = engraving.filter((m) => m.kind === "feed")
  const job: CutJob = { outline: board.outline, engraver, engraving, holes, foil }
  findings.push(...depthFindings(lamp, board, cuts, error))

  const nets = wantedOfLands(board, wanted)
  const blank = blankBoard(board.outline, pixel)
  const bottom = simulateCut(job, { pixel, at: "bottom", height: -error }, blank)
  const bottomLabels = labelCopper(bottom)
  const forShorts = extractNetlist(board, bottomLabels, "any")
  const shorts = findShorts(board, nets, forShorts, bottomLabels)
  yield { stage, done: 0.4, note: "grooves followed" }
  const top = simulateCut(job, { pixel, at: "top", height: error }, blank)
  const topLabels = labelCopper(top)
  const forOpens = extractNetlist(board, topLabels, "most")
  const opens = findOpens(board, nets, forOpens, top)
  yield { stage, done: 0.5, note: "copper followed" }

  findings.push(...netFindings(board, nets, shorts, opens))
  for (const land of bareLands(board, forOpens).slice(0, mostListed)) {
    findings.push(
      proof.state("land-bare", {
        severity: "red",
        title: `${land.ref}.${land.pin} on ${board.name} has no copper left to solder on`,
        where: landPlace(board, land),
      }),
    )
  }

  if (opens.length === 0 && shorts.length === 0) {
    for (const ref of idleLinks(board, forOpens)) {
      const link = board.links.find((l) => l.ref === ref)!
      findings.push(
        proof.state("link-idle", {
          severity: "green",
          title: `the wire link ${ref} on ${board.name} joins copper of ${link.net} that hangs together without it`,
          where: { ...landPlace(board, { ref, pin: "1", ...link.from }), net: link.net },
        }),
      )
    }
  }
  findings.push(...checkScrews(board, nets, forShorts, bottomLabels, earth))

  // Bad boards are not measured further: their thin places are the faults already listed.
  const neck =
    opens.length === 0 && shorts.length === 0
      ? yield* narrowestCopper(board, nets, job, { pixel, height: error }, blank)
      : undefined
  yield { stage, done: 0.8, note: "narrowest copper found" }
  const depths = cuts.filter((m) => m.x0 !== m.x1 || m.y0 !== m.y1).map((m) => -Math.min(m.z0, m.z1))
  const shallowest = Math.min(...depths.filter((d) => d > 0))
  const deepest = Math.max(...depths)
  const groove =
    shorts.length === 0 && Number.isFinite(shallowest)
      ? yield* narrowestGroove(
          board,
          nets,
          job,
          { pixel, height: -error, most: widthAt(engraver, -shallowest + error, foil) },
          blank,
        )
      : 0
  const rings = landRings(board, top, enoughRing)
  findings.push(...thinFindings(board, neck, groove, rings, opens.length === 0))
  const figures = cutFigures(board, neck, groove, rings)
  if (neck && shorts.length === 0 && Number.isFinite(shallowest)) {
    const window = depthWindow(lamp, board, { shallowest, deepest, error, neck: neck.width })
    findings.push(window.finding)
    figures.push(...window.figures)
  }
  yield { stage, done: 1 }
  return {
    proof: {
      board: board.name,
      shorts: shorts.map((s) => ({ nets: s.nets, x: s.x, y: s.y })),
      opens,
      narrowestCopper: neck?.width ?? 0,
      narrowestAt: neck ? { x: neck.x, y: neck.y, net: neck.net } : { x: 0, y: 0, net: "" },
      narrowestGroove: Math.max(0, groove),
      raster: pixel,
    },
    findings,
    figures,
    joined: forOpens,
  }
}

const emptyProof = (board: string): BoardProof => ({
  board,
  shorts: [],
  opens: [],
  narrowestCopper: 0,
  narrowestAt: { x: 0, y: 0, net: "" },
  narrowestGroove: 0,
  raster: finest,
})

/** The sheet lies the way the board fits on it; lengthways along x where both ways do. */
function lyingSheet(sheet: { readonly w: number; readonly h: number }, board: Board) {
  const box = boundingBox(board.outline)
  const long = Math.max(sheet.w, sheet.h)
  const short = Math.min(sheet.w, sheet.h)
  return box.maxY > short && box.maxX <= short ? { w: short, h: long } : { w: long, h: short }
}

function landPlace(board: Board, land: { ref: string; pin: string; x: number; y: number }) {
  return {
    text: `${board.name}, ${land.ref}.${land.pin}`,
    board: board.name,
    part: land.ref,
    x: land.x,
    y: land.y,
    frame: "board" as const,
  }
}

function netFindings(
  board: Board,
  nets: readonly (string | undefined)[],
  shorts: ReturnType<typeof findShorts>,
  opens: ReturnType<typeof findOpens>,
): Finding[] {
  const findings: Finding[] = []
  const place = (x: number, y: number, net: string) => ({
    text: `${board.name} at x ${x.toFixed(1)}, y ${y.toFixed(1)} mm`,
    board: board.name,
    net,
    x,
    y,
    frame: "board" as const,
  })
  for (const s of shorts.slice(0, mostListed)) {
    findings.push(
      proof.state("short", {
        severity: "red",
        title: `${s.nets[0]} and ${s.nets[1]} are joined on ${board.name}`,
        where: place(s.x, s.y, s.nets[0]),
      }),
    )
  }
  for (const o of opens.slice(0, mostListed)) {
    findings.push(
      proof.state("open", {
        severity: "red",
        title: `${o.net} is broken on ${board.name}: ${o.lands.join(", ")} cut off`,
        where: place(o.x, o.y, o.net),
      }),
    )
  }
  const count = new Set(nets.filter((n) => n !== undefined)).size
  findings.push(
    proof.state("netlist", {
      severity: shorts.length + opens.length === 0 ? "green" : "red",
      title:
        shorts.length + opens.length === 0
          ? `${board.name}: all ${count} nets are whole and apart in the copper that is left`
          : `${board.name}: ${shorts.length} shorts and ${opens.length} opens in the copper that is left`,
      where: { text: board.name, board: board.name },
      measured: { value: shorts.length + opens.length, unit: "" },
      limit: { value: 0, unit: "", kind: "exactly" },
      margin: shorts.length + opens.length === 0 ? 0 : -1,
      source: computed("cut simulated on a bit grid, shallowest for shorts, deepest for opens"),
    }),
  )
  return findings
}

function depthFindings(lamp: Lamp, board: Board, cuts: readonly ToolMove[], error: number): Finding[] {
  const along = cuts.filter((m) => (m.x0 !== m.x1 || m.y0 !== m.y1) && Math.min(m.z0, m.z1) < 0)
  if (along.length === 0) return []
  // A ramp counts with its deep end: what its shallow part leaves standing is seen in the copper.
  const shallow = along.reduce((a, m) => (Math.min(m.z0, m.z1) > Math.min(a.z0, a.z1) ? m : a))
  const depth = -Math.min(shallow.z0, shallow.z1) - error
  return [
    proof.judge("cut-depth", {
      title: `Shallowest groove on ${board.name}, less the sheet's height error`,
      where: {
        text: `${board.name} at x ${shallow.x1.toFixed(1)}, y ${shallow.y1.toFixed(1)} mm`,
        board: board.name,
        x: shallow.x1,
        y: shallow.y1,
        frame: "board",
        path: "cutter.engraver.depth",
      },
      measured: { value: depth, unit: "mm" },
      limit: { value: lamp.copperClad.copper, unit: "mm", kind: "at least" },
      amberBelow: 0.25,
      source: computed("depth in the program − height error of the surface; limit: the foil's thickness"),
    }),
  ]
}

function checkHoles(
  board: Board,
  holes: readonly (Hole & { readonly bottom: number; readonly line: number; readonly file: string })[],
  lamp: Lamp,
): Finding[] {
  const findings: Finding[] = []
  const used = new Set<number>()
  const near = (x: number, y: number, diameter: number) =>
    holes.findIndex(
      (h, i) =>
        !used.has(i) && Math.hypot(h.x - x, h.y - y) < 0.02 && Math.abs(h.diameter - diameter) < 0.011,
    )
  const asked = [
    ...board.lands.map((l) => ({ ...l, diameter: l.hole, name: `${l.ref}.${l.pin}` })),
    ...board.screws.map((s, i) => ({ ...s, ref: "", pin: "", name: `screw ${i + 1}` })),
  ]
  const missing: (typeof asked)[number][] = []
  for (const a of asked) {
    const i = near(a.x, a.y, a.diameter)
    if (i < 0) missing.push(a)
    else used.add(i)
  }
  for (const a of missing.slice(0, mostListed)) {
    const other = holes.find((h) => Math.hypot(h.x - a.x, h.y - a.y) < 0.3)
    findings.push(
      proof.state("hole-missing", {
        severity: "red",
        title: other
          ? `${a.name} on ${board.name} asks for ${a.diameter} mm and gets ${other.diameter} mm, ${Math.hypot(other.x - a.x, other.y - a.y).toFixed(2)} mm off`
          : `${a.name} on ${board.name} gets no hole`,
        where: { ...landPlace(board, a), text: `${board.name}, ${a.name}` },
        measured: { value: other?.diameter ?? 0, unit: "mm" },
        limit: { value: a.diameter, unit: "mm", kind: "exactly" },
      }),
    )
  }
  const stray = holes.filter((_, i) => !used.has(i))
  for (const h of stray.slice(0, mostListed)) {
    findings.push(
      proof.state("hole-stray", {
        severity: "red",
        title: `a ${h.diameter} mm hole on ${board.name} belongs to no land and no screw`,
        where: {
          text: `${h.file}, line ${h.line}`,
          file: h.file,
          line: h.line,
          board: board.name,
          x: h.x,
          y: h.y,
          frame: "board",
        },
      }),
    )
  }
  if (missing.length === 0 && stray.length === 0) {
    findings.push(
      proof.state("holes", {
        severity: "green",
        title: `${board.name}: ${holes.length} holes, one for each land and screw`,
        where: { text: board.name, board: board.name },
        measured: { value: 0, unit: "" },
        limit: { value: 0, unit: "", kind: "exactly" },
        margin: 0,
      }),
    )
  }
  if (holes.length > 0) {
    // The hole has its full width only above the drill's point.
    const full = (h: (typeof holes)[number]) => -h.bottom - drillPoint * h.diameter
    const shallow = holes.reduce((a, h) => (full(h) < full(a) ? h : a))
    findings.push(
      proof.judge("hole-depth", {
        title: `Shallowest hole of ${board.name}, above the drill's point`,
        where: {
          text: `${shallow.file}, line ${shallow.line}`,
          file: shallow.file,
          line: shallow.line,
          board: board.name,
        },
        measured: { value: full(shallow), unit: "mm" },
        limit: { value: lamp.copperClad.thickness, unit: "mm", kind: "at least" },
        amberBelow: 0,
        source: computed("depth in the program − length of a 118° drill point; limit: the board's thickness"),
      }),
    )
  }
  return findings
}

function checkPlaces(
  lamp: Lamp,
  board: Board,
  holes: readonly Hole[],
  packages: (name: string) => PackageType | undefined,
): Finding[] {
  const findings: Finding[] = []
  const leds = checkLedPlaces(lamp, board, holes, 0.05)
  if (leds.worst) {
    const { worst } = leds
    findings.push(
      proof.judge("led-place", {
        title: leds.mirrored
          ? `${board.name} is mirrored: ${leds.wrong.length} LEDs stand on the wrong side`
          : `Drilled LED places of ${board.name} against the face, worst of ${leds.checked}: ${worst.ref}`,
        where: {
          text: `${board.name}, ${worst.ref}`,
          board: board.name,
          part: worst.ref,
          x: worst.x,
          y: worst.y,
          frame: "board",
        },
        measured: { value: Number.isFinite(worst.off) ? worst.off : 99, unit: "mm" },
        limit: { value: 0.05, unit: "mm", kind: "at most" },
        amberBelow: 0,
        source: computed("board x = origin − face x, board y = face y − origin"),
      }),
    )
  }
  let sound = 0
  for (const part of board.parts) {
    const type = packages(part.package)
    if (!type) continue
    const place = checkLands(board, part, type)
    if (place.off <= 0.05) {
      sound++
      continue
    }
    findings.push(
      proof.state("package-mirrored", {
        severity: "red",
        title: place.mirrored
          ? `${part.ref} on ${board.name} is mirrored: its pins fit from the copper side only`
          : `${part.ref} on ${board.name} has its lands ${Number.isFinite(place.off) ? `${place.off.toFixed(2)} mm` : "or pins"} off its package`,
        where: {
          text: `${board.name}, ${part.ref}`,
          board: board.name,
          part: part.ref,
          x: part.x,
          y: part.y,
          frame: "board",
        },
        measured: { value: Number.isFinite(place.off) ? place.off : 99, unit: "mm" },
        limit: { value: 0.05, unit: "mm", kind: "at most" },
      }),
    )
  }
  if (sound > 0 && sound === board.parts.filter((p) => packages(p.package)).length) {
    findings.push(
      proof.state("package-mirrored", {
        severity: "green",
        title: `${board.name}: lands of all ${sound} parts lie as the package looks from the copper side`,
        where: { text: board.name, board: board.name },
        measured: { value: 0, unit: "" },
        limit: { value: 0, unit: "", kind: "exactly" },
        margin: 0,
        advice: "Nothing to do.",
      }),
    )
  }
  return findings
}

function outlineFindings(
  lamp: Lamp,
  board: Board,
  programs: readonly CutterProgram[],
  readings: ReadonlyMap<CutterProgram, ProgramReading>,
): Finding[] {
  const outline = programs.filter((p) => p.purpose === "outline")
  if (outline.length === 0) return []
  const moves = outline.flatMap((p) => readings.get(p)!.moves)
  const cut = checkOutline(board, moves, outline[0]!.toolDiameter, lamp.copperClad.thickness)
  const where = (p?: { x: number; y: number }) => ({
    text: p ? `${board.name} at x ${p.x.toFixed(1)}, y ${p.y.toFixed(1)} mm` : `${board.name}, outline`,
    board: board.name,
    file: outline[0]!.file,
    ...(p ? { x: p.x, y: p.y, frame: "board" as const } : {}),
  })
  const findings: Finding[] = []
  if (cut.uncut > 1)
    findings.push(
      proof.state("outline", {
        severity: "red",
        title: `${cut.uncut.toFixed(1)} mm of ${board.name}'s edge are not cut`,
        where: where(cut.uncutAt),
      }),
    )
  if (cut.eaten.length > 0)
    findings.push(
      proof.state("outline", {
        severity: "red",
        title: `the router cuts into ${board.name} at ${cut.eaten.length} places along its edge`,
        where: where(cut.eaten[0]),
      }),
    )
  if (findings.length > 0) return findings
  const held = cut.tabCount >= 2
  return [
    proof.state("outline", {
      severity: held ? "green" : "amber",
      title: held
        ? `${board.name} is cut all round and held by ${cut.tabCount} tabs, ${cut.tabs.toFixed(1)} mm of ${cut.edge.toFixed(0)} mm`
        : `${board.name} is cut all round with ${cut.tabCount} tabs`,
      where: where(),
      measured: { value: cut.tabCount, unit: "" },
      limit: { value: 2, unit: "", kind: "at least" },
      margin: cut.tabCount / 2 - 1,
      advice: held
        ? "Nothing to do."
        : "A board that comes loose under the router is thrown: tape it down or add tabs.",
      source: practice("two tabs or more hold a board: common practice, no source"),
    }),
  ]
}

function thinFindings(
  board: Board,
  neck: Narrowest | undefined,
  groove: number,
  rings: ReturnType<typeof landRings>,
  whole: boolean,
): Finding[] {
  const findings: Finding[] = []
  if (neck) {
    const wide = neck.width >= widestNeck
    findings.push(
      proof.judge("narrowest-copper", {
        title: wide
          ? `All copper of ${board.name} is wider than`
          : `Narrowest copper of ${board.name}, in net ${neck.net}`,
        where: {
          text: wide ? board.name : `${board.name} at x ${neck.x.toFixed(1)}, y ${neck.y.toFixed(1)} mm`,
          board: board.name,
          ...(wide ? {} : { net: neck.net, x: neck.x, y: neck.y, frame: "board" as const }),
        },
        measured: { value: neck.width, unit: "mm" },
        limit: { value: leastCopper, unit: "mm", kind: "at least" },
        atWorst: "amber",
        amberBelow: 0.25,
        figure: `proof.${board.name}.narrowest-copper`,
        source: practice("0.2 mm of copper survives hand soldering: common practice, no source"),
      }),
    )
  }
  if (groove > 0) {
    findings.push(
      proof.judge("narrowest-groove", {
        title: `Narrowest groove of ${board.name} at the foil's bottom`,
        where: { text: board.name, board: board.name, path: "cutter.engraver" },
        measured: { value: groove, unit: "mm" },
        limit: { value: 0.15, unit: "mm", kind: "at least" },
        atWorst: "amber",
        source: practice("gap of at least 0.15 mm after one pass: common practice, no source"),
        figure: `proof.${board.name}.narrowest-groove`,
      }),
    )
  }
  if (rings.length > 0 && whole) {
    const worst = rings.reduce((a, r) =>
      r.share < a.share || (r.share === a.share && r.narrowest < a.narrowest) ? r : a,
    )
    findings.push(
      proof.judge("land-ring", {
        title: `Share of the ring with ${enoughRing} mm of copper, worst land of ${board.name}: ${worst.land.ref}.${worst.land.pin}`,
        where: landPlace(board, worst.land),
        measured: { value: worst.share, unit: "" },
        limit: { value: 0.5, unit: "", kind: "at least" },
        source: practice("half a ring of 0.2 mm can be soldered: common practice, no source"),
        figure: `proof.${board.name}.land-ring`,
      }),
    )
  }
  return findings
}

const grid = (what: string) => computed(`cut simulated on a bit grid: ${what}`)

const neckFigure = (board: Board, width: number): Figure =>
  fact(
    `proof.${board.name}.narrowest-copper`,
    `narrowest copper of ${board.name}`,
    width,
    "mm",
    grid("grooves widened until a net falls apart, deepest cut, less up to one pixel"),
  )

function cutFigures(
  board: Board,
  neck: Narrowest | undefined,
  groove: number,
  rings: ReturnType<typeof landRings>,
): Figure[] {
  const id = (name: string) => `proof.${board.name}.${name}`
  const figures: Figure[] = neck ? [neckFigure(board, neck.width)] : []
  if (groove > 0) {
    const how = "grooves narrowed until two nets touch, foil's bottom, shallowest cut, less up to one pixel"
    figures.push(fact(id("narrowest-groove"), `narrowest groove of ${board.name}`, groove, "mm", grid(how)))
  }
  if (rings.length > 0) {
    const least = Math.min(...rings.map((r) => r.share))
    const how = `share of 24 directions with ${enoughRing} mm of copper beside the hole, worst land`
    figures.push(fact(id("land-ring"), `land ring of ${board.name}`, least, "", grid(how)))
  }
  return figures
}

/** From which depth to which the grooves separate all nets and leave enough copper, height errors counted. */
function depthWindow(
  lamp: Lamp,
  board: Board,
  at: {
    readonly shallowest: number
    readonly deepest: number
    readonly error: number
    readonly neck: number
  },
): { readonly finding: Finding; readonly figures: Figure[] } {
  const { engraver } = lamp.cutter
  const id = (name: string) => `proof.${board.name}.${name}`
  const foil = fact(id("foil"), "copper foil", lamp.copperClad.copper, "mm", described("copper-clad.copper"))
  const error = fact(
    id("height-error"),
    "height error of the surface",
    at.error,
    "mm",
    described("cutter.machine.flatness"),
  )
  const low = result(
    id("depth-low"),
    `least depth for ${board.name}`,
    foil.value + at.error,
    "mm",
    "foil + height error",
    [foil, error],
  )
  const slope = 2 * Math.tan((engraver.angle * Math.PI) / 360)
  const high = result(
    id("depth-high"),
    `greatest depth for ${board.name}${at.neck >= widestNeck ? ", at least" : ""}`,
    at.deepest + Math.max(0, at.neck - leastCopper) / slope,
    "mm",
    "depth + (narrowest copper − least copper) ÷ growth of the groove's width per depth",
    [
      fact(id("depth"), "depth in the program", at.deepest, "mm", computed("deepest engraving move")),
      neckFigure(board, at.neck),
      fact(id("least-copper"), "least copper", leastCopper, "mm", practice()),
      fact(id("growth"), "growth of width per depth", slope, "", computed("2·tan(angle ÷ 2)")),
    ],
  )
  const spare = Math.min(at.shallowest - low.value, high.value - at.deepest)
  const finding = proof.judge("depth-window", {
    title: `Depth of ${board.name} may be ${low.value.toFixed(3)} to ${high.value.toFixed(2)} mm; the tool's zero may be off by`,
    where: { text: board.name, board: board.name, path: "cutter.engraver.depth" },
    measured: { value: spare, unit: "mm" },
    limit: { value: zeroError, unit: "mm", kind: "at least" },
    atWorst: "amber",
    source: practice("zero set by hand within 0.02 mm: common practice, no source"),
    figure: spare === high.value - at.deepest ? high.id : low.id,
  })
  return { finding, figures: [low, high] }
}
