// From text to lamp: parse, hold against the schema, look up names, read drawings, order LEDs, judge the whole.
// Every step goes on with what the one before could read, so that one run tells everything.

import type { Finding } from "../0-ground/finding.ts"
import type { LedType } from "../1-stock/artefact.ts"
import type {
  BoardRequest,
  FlashLimits,
  Group,
  Lamp,
  Place,
  ProgrammeLine,
  ReadLamp,
  Sweep,
  Wire,
} from "./artefact.ts"
import { buildBoard } from "./build-board.ts"
import { type Built, buildFace, type FindDrawing } from "./build-face.ts"
import { buildGroup } from "./build-group.ts"
import { buildRecords } from "./build-records.ts"
import { checkBoardFit } from "./check-board-fit.ts"
import { checkFace } from "./check-face.ts"
import { checkBoards, checkHoles, checkProgramme, checkSupply, checkWires } from "./check-lamp.ts"
import { checkNames, wiresOf } from "./check-names.ts"
import { checkShape, type Located, type Sound } from "./check-shape.ts"
import type { Figures } from "./lamp-figures.ts"
import type { LampShape, ProgrammeShape, WireShape } from "./lamp-schema.ts"
import { parseText, type Tree } from "./parse-text.ts"

/** A damaged file can go wrong in thousands of places; nobody reads beyond these. */
const mostFindings = 300

/** `readLamp` with the shelf of LEDs given. */
export function compileLamp(text: string, drawing: FindDrawing, leds: readonly LedType[]): ReadLamp {
  const { lamp, findings, figures } = compile(text, drawing, leds)
  const told = [...findings].sort(byPlace)
  const reds = told.filter((f) => f.severity === "red")
  const others = told.filter((f) => f.severity !== "red")
  const kept = told.length <= mostFindings ? told : [...reds, ...others].slice(0, mostFindings)
  // Places that were looked at and not told need no derivation.
  const named = new Set(kept.map((f) => f.figure))
  return { lamp, findings: kept, figures: figures.filter((f) => named.has(f.id)) }
}

/** As the text is read: the description from top to bottom, then each drawing. */
function byPlace(a: Finding, b: Finding): number {
  const [p, q] = [a.where, b.where]
  const [f, g] = [p.file ?? "", q.file ?? ""]
  if (f !== g) return f < g ? -1 : 1
  return (p.line ?? 0) - (q.line ?? 0) || (p.column ?? 0) - (q.column ?? 0)
}

function compile(text: string, drawing: FindDrawing, leds: readonly LedType[]): ReadLamp {
  const findings: Finding[] = []
  const tree = parseText(text, findings)
  if (tree === undefined) return { lamp: undefined, findings, figures: [] }
  const figures: Figures = new Map()
  const at: Located = { tree, findings, figures }
  const sound = checkShape(at)
  const named = checkNames(
    at,
    sound,
    leds.map((l) => l.key),
  )

  const built = new Map<string, Built>()
  for (const [name, shape] of sound.faces) {
    const face = buildFace(name, shape, at, drawing)
    if (face) built.set(name, face)
  }
  const groups = new Map<string, Group>()
  for (const [name, shape] of sound.groups) {
    const face = built.get(shape.face)
    const group = face && buildGroup(name, shape, face, at, drawing)
    if (group) groups.set(name, group)
  }
  const faces = new Map([...built].map(([name, { face }]) => [name, face]))
  const boards: BoardRequest[] = []
  for (const [name, shape] of sound.boards) {
    const board = buildBoard(name, shape, faces, at, drawing)
    if (board) boards.push(board)
  }

  const before = findings.filter((f) => f.severity === "red").length
  checkSupply(sound, leds, at)
  checkWires(sound, at)
  checkHoles(built, [...groups.values()], sound, at)
  checkProgramme(sound, groups, at)
  checkBoards(sound, at)
  for (const face of built.values())
    checkFace(
      face,
      [...groups.values()].filter((g) => g.face === face.face.name),
      leds,
      at,
    )

  for (const board of boards)
    checkBoardFit(
      board,
      board.behind === undefined ? undefined : built.get(board.behind),
      [...groups.values()],
      leds,
      at,
    )

  const complete =
    before === 0 &&
    named &&
    sound.whole !== undefined &&
    built.size === sound.faces.size &&
    groups.size === sound.groups.size &&
    boards.length === sound.boards.size &&
    usable(findings)
  const records = sound.whole === undefined ? [] : buildRecords(sound.whole.built, at, drawing)
  const made = complete ? assemble(sound.whole, sound, built, groups, boards, tree) : undefined
  const lamp = made && records.length > 0 ? { ...made, built: records } : made
  return { lamp, findings, figures: [...figures.values()] }
}

/**
 * Faults a lamp can be shown with, marked where they are: metal that does not work out, a board without room.
 * Any other red means that the lamp is not known well enough to design it.
 */
const drawable = new Set(
  ["hole-outside", "hole-edge", "led-spacing", "hole-overlap", "led-hole", "board-screw", "board-led"].map(
    (c) => `lamp.${c}`,
  ),
)
const usable = (findings: readonly Finding[]) =>
  findings.every((f) => f.severity !== "red" || drawable.has(f.code))

function assemble(
  whole: LampShape,
  sound: Sound,
  built: ReadonlyMap<string, Built>,
  groups: ReadonlyMap<string, Group>,
  boards: readonly BoardRequest[],
  tree: Tree,
): Lamp {
  const { vehicle, cutter, cutting } = whole
  const { "run-out": runOut, wear, ...engraver } = cutter.engraver
  const { machine } = cutter
  const clad = whole["copper-clad"]
  return {
    name: whole.name,
    vehicle: {
      kind: vehicle.kind,
      rules: vehicle.rules,
      supply: vehicle.supply,
      ambient: vehicle.ambient,
      wires: [...sound.wires].map(([name, wire]) => wireOf(name, wire)),
    },
    faces: [...built.values()].map((b) => b.face),
    groups: [...groups.values()],
    programme: whole.programme.map((line) => lineOf(line, sound.wires)),
    ...(whole.flashing ? { flashing: limitsOf(whole.flashing) } : {}),
    boards,
    copperClad: {
      base: clad.base,
      thickness: clad.thickness,
      copper: clad.copper,
      sheet: clad.sheet,
      ...(clad.flatness === undefined ? {} : { flatness: clad.flatness }),
    },
    cutter: {
      engraver: {
        ...engraver,
        spindle: engraver.spindle * 60,
        ...(runOut === undefined ? {} : { runOut }),
        ...(wear === undefined ? {} : { wear }),
      },
      ...(cutter.mills === undefined
        ? {}
        : { mills: [...cutter.mills].sort((a, b) => b.diameter - a.diameter) }),
      drills: [...new Set(cutter.drills)].sort((a, b) => a - b),
      drillFeed: cutter["drill-feed"],
      router: {
        diameter: cutter.router.diameter,
        feed: cutter.router.feed,
        stepDown: cutter.router["step-down"],
      },
      machine: {
        rapid: machine.rapid,
        acceleration: machine.acceleration,
        flatness: machine.flatness,
        clearHeight: machine["clear-height"],
        ...(machine["greatest-feed"] === undefined ? {} : { greatestFeed: machine["greatest-feed"] }),
        ...(machine.spindle === undefined
          ? {}
          : { spindle: { lowest: machine.spindle.lowest * 60, highest: machine.spindle.highest * 60 } }),
        ...(machine.resolution === undefined ? {} : { resolution: machine.resolution }),
        ...(machine.backlash === undefined ? {} : { backlash: machine.backlash }),
      },
    },
    ...(cutting === undefined
      ? {}
      : {
          cutting: {
            separate: cutting.separate,
            ...(cutting["second-pass"] === undefined ? {} : { secondPass: cutting["second-pass"] }),
            ...(cutting["edge-groove"] === undefined ? {} : { edgeGroove: cutting["edge-groove"] }),
            ...(cutting["thermal-relief"] === "spokes" ? { thermalRelief: cutting["thermal-relief"] } : {}),
            direction: cutting.direction,
            leadIn: cutting["lead-in"],
            files: cutting.files,
            ...(cutting.sheet === "shared"
              ? { shared: { clampingEdge: cutting["clamping-edge"], boardGap: cutting["board-gap"] } }
              : {}),
            probes: cutting.probes,
          },
        }),
    pins: whole.pins,
    places: placesOf(tree),
    seed: whole.seed,
  }
}

function lineOf(line: ProgrammeShape, wires: ReadonlyMap<string, WireShape>): ProgrammeLine {
  const when = [...new Set(wiresOf(line.when))]
  return {
    when,
    light: line.light,
    level: line.level,
    ...(line.sweep ? { sweep: sweepOf(line.sweep, when, wires) } : {}),
    rise: line.rise,
    fall: line.fall,
    ...(line["between-flashes"] === undefined ? {} : { betweenFlashes: line["between-flashes"] }),
  }
}

function sweepOf(
  sweep: NonNullable<ProgrammeShape["sweep"]>,
  when: readonly string[],
  wires: ReadonlyMap<string, WireShape>,
): Sweep {
  const { within, step } = sweep
  const atMost = sweep["at-most"]
  const onTimes = when.flatMap((name) => {
    const wire = wires.get(name)
    return wire?.role === "flashing" ? [(wire["on-share"] ?? usualOnShare) / (wire.rate ?? usualRate)] : []
  })
  // In whole milliseconds, as the lamp counts.
  const asked =
    "time" in within
      ? within.time
      : Math.max(1, Math.round(1000 * within.share * Math.min(...onTimes, longestOnTime))) / 1000
  return {
    within: Math.min(asked, ("share" in within ? atMost : undefined) ?? asked),
    ...("share" in within ? { share: within.share } : {}),
    ...("share" in within && atMost !== undefined ? { atMost } : {}),
    ...(step === undefined ? {} : { step }),
    ...(sweep["first-flash"] === undefined ? {} : { firstFlash: sweep["first-flash"] }),
  }
}

function limitsOf(shape: NonNullable<LampShape["flashing"]>): FlashLimits {
  const limits = {
    shortestOn: shape["shortest-on"],
    steadyAfter: shape["steady-after"],
    contactGap: shape["contact-gap"],
    newOperationAfter: shape["new-operation-after"],
    unstableFor: shape["unstable-for"],
    fiveFlashesWithin: shape["five-flashes-within"],
    heldBackFor: shape["held-back-for"],
  }
  return Object.fromEntries(Object.entries(limits).filter(([, v]) => v !== undefined)) as FlashLimits
}

/** The usual flash: 90 per minute, half of it lit, as the schema tells. */
const usualRate = 1.5
const usualOnShare = 0.5
/** Where no wire of a line flashes, a share has nothing to be a share of; told as a finding. */
const longestOnTime = 0.75

function wireOf(name: string, wire: WireShape): Wire {
  const flashing = wire.role === "flashing"
  const { flasher, replaces, fuse, size, length, colour } = wire
  return {
    name,
    role: wire.role,
    ...(flashing && flasher !== undefined ? { flasher } : {}),
    ...(flashing ? { rate: wire.rate ?? usualRate, onShare: wire["on-share"] ?? usualOnShare } : {}),
    ...(replaces === undefined ? {} : { replaces }),
    ...(flashing && wire.ballast !== undefined ? { ballast: wire.ballast } : {}),
    ...(flashing && wire["tell-tale"] !== undefined ? { tellTale: wire["tell-tale"] } : {}),
    ...(fuse === undefined ? {} : { fuse }),
    ...(size === undefined ? {} : { size }),
    ...(length === undefined ? {} : { length: length / 1000 }),
    ...(colour === undefined ? {} : { colour }),
    ...(wire["live-after"] === undefined ? {} : { liveAfter: wire["live-after"] }),
    ...(wire["dead-after"] === undefined ? {} : { deadAfter: wire["dead-after"] }),
  }
}

/** A mapping or list is found at its key, a plain value where it begins. */
function placesOf(tree: Tree): Record<string, Place> {
  const out: Record<string, Place> = {}
  const parents = new Set<string>()
  for (const path of tree.values.keys()) {
    const dot = path.lastIndexOf(".")
    if (dot > 0) parents.add(path.slice(0, dot))
  }
  for (const [path, value] of tree.values)
    if (path !== "") out[path] = parents.has(path) ? (tree.keys.get(path) ?? value) : value
  return out
}
