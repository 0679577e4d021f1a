// Findings and figures of one finished board, measured on the board itself.

import { type Figure, fact, measuredBy, result } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { sweptTip } from "../0-ground/geometry/groove.ts"
import { faceToBoard, type Point } from "../0-ground/geometry/point.ts"
import { boundingBox, contains, signedArea } from "../0-ground/geometry/polygon.ts"
import { pointToSegment, segmentToSegment } from "../0-ground/geometry/segment.ts"
import { computed, described, practice, type Source } from "../0-ground/source.ts"
import { show, showNumber } from "../0-ground/text/show.ts"
import type { BoardRequest, Lamp } from "../2-lamp/artefact.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import type { Board, HarnessWire } from "./artefact.ts"
import { judge, state } from "./board-findings.ts"
import { screwRim } from "./board-frame.ts"
import { stadium } from "./footprint.ts"
import { judgeJoints } from "./judge-joints.ts"
import { trackCurrent } from "./track-current.ts"

export const edgeLimit = 0.5
const ringLimit = 0.3
const holeEdgeLimit = 1
/** Wire left loose over the board behind the tie, mm (common practice, no source). */
const padReach = 25
/** Warming allowed for the narrowest track, kelvin. */
export const trackRise = 20

export function judgeBoard(
  lamp: Lamp,
  circuit: Circuit,
  request: BoardRequest,
  board: Board,
  asked: { readonly clearance: number; readonly illegal: number; readonly needArea: number },
): { findings: Finding[]; figures: Figure[] } {
  const findings: Finding[] = []
  const where = (text: string, more: object = {}) => ({
    text: `board ${board.name}${text ? `, ${text}` : ""}`,
    path: `boards.${board.name}`,
    board: board.name,
    frame: "board" as const,
    ...more,
  })
  const area = Math.abs(signedArea(board.outline))
  const seenFigures: Figure[] = []
  /** A size read off the finished board, as the figure behind a finding. */
  const seen = (name: string, what: string, value: number, how: string) => {
    const figure = fact(
      `board.${board.name}.${name}`,
      `${what} on ${board.name}`,
      round(value),
      "mm",
      computed(how),
    )
    seenFigures.push(figure)
    return measuredBy(figure)
  }

  if (asked.illegal > 0)
    findings.push(
      state("no-room", {
        severity: "red",
        title: `${board.name} is too small: its parts overlap or stand over the edge`,
        where: where(""),
        measured: { value: round(area), unit: "mm²" },
        figure: `board.${board.name}.area`,
        limit: { value: Math.round(asked.needArea), unit: "mm²", kind: "at least" },
        margin: (area - asked.needArea) / asked.needArea,
        advice: `Make the board larger (about ${Math.round(asked.needArea)} mm² would do), or carry some of its parts on another board.`,
      }),
    )

  const open = board.unrouted
  findings.push(
    judge("all-routed", {
      title:
        open.length === 0
          ? `${board.name}: every net is routed`
          : `${board.name}: ${open.length} net${open.length > 1 ? "s" : ""} could not be routed: ${open.join(", ")}`,
      where: where(
        open.length > 0 ? `net ${open[0]}` : "",
        open.length > 0 ? { net: open[0]!, ...landOf(board, open[0]!) } : {},
      ),
      measured: { value: open.length, unit: "" },
      limit: { value: 0, unit: "", kind: "exactly" },
    }),
  )
  const links = board.links.length
  const [firstLink] = board.links
  findings.push(
    state("links", {
      severity: links > 0 ? "amber" : "green",
      title:
        links === 0
          ? `${board.name}: no wire link`
          : `${board.name}: ${links} wire link${links > 1 ? "s" : ""} to fit (${neededWords(board)})`,
      where: firstLink
        ? where(`link ${firstLink.ref}`, { part: firstLink.ref, ...firstLink.from })
        : where(""),
      measured: { value: links, unit: "" },
      limit: { value: board.linksLowerBound, unit: "", kind: "at most" },
      ...(links > 0 ? {} : { margin: 0 }),
      figure: `board.${board.name}.links`,
    }),
  )
  findings.push(
    judge("clearance", {
      title: `${board.name}: copper of different nets keeps ${showNumber(board.clearance)} mm`,
      where: where(board.clearanceAt ? "where two nets are nearest" : "", board.clearanceAt ?? {}),
      measured: { value: board.clearance, unit: "mm" },
      limit: { value: asked.clearance, unit: "mm", kind: "at least" },
      // The groove's own width is the limit and it is met on purpose, so a thin margin is no caution.
      amberBelow: 0,
      figure: `board.${board.name}.clearance`,
    }),
  )

  const ring = least(board.lands.map((l) => ({ value: (Math.min(l.w, l.h) - l.hole) / 2, land: l })))
  if (ring)
    findings.push(
      judge("land-ring", {
        title: `${board.name}: the thinnest land has ${showNumber(ring.value)} mm of copper round its hole (${ring.land.ref} pin ${ring.land.pin})`,
        where: where(`part ${ring.land.ref}`, { part: ring.land.ref, x: ring.land.x, y: ring.land.y }),
        ...seen(
          "land-ring",
          "thinnest land ring",
          ring.value,
          "(land's smaller side − hole) ÷ 2, least of all lands",
        ),
        limit: { value: ringLimit, unit: "mm", kind: "at least" },
        atWorst: "amber",
      }),
    )
  const edges = board.outline.map((p, i) => [board.outline.at(i - 1)!, p] as const)
  const rim = least(
    board.lands.map((l) => ({
      value:
        (contains(board.outline, l) ? 1 : -1) * Math.min(...edges.map(([a, b]) => pointToSegment(l, a, b))) -
        l.hole / 2,
      land: l,
    })),
  )
  if (rim)
    findings.push(
      judge("hole-edge", {
        title: `${board.name}: the hole nearest to the edge is ${showNumber(rim.value)} mm inside (${rim.land.ref})`,
        where: where(`part ${rim.land.ref}`, { part: rim.land.ref, x: rim.land.x, y: rim.land.y }),
        ...seen(
          "hole-edge",
          "least hole to edge",
          rim.value,
          "distance of a hole's centre to the outline − hole ÷ 2, least of all holes",
        ),
        limit: { value: holeEdgeLimit, unit: "mm", kind: "at least" },
      }),
    )
  const copperEdge = copperToEdge(board, edges)
  findings.push(
    judge("edge-clearance", {
      title: `${board.name}: copper stays ${showNumber(copperEdge.d)} mm inside the edge`,
      where: where(copperEdge.of, { x: copperEdge.x, y: copperEdge.y }),
      ...seen(
        "copper-edge",
        "least copper to edge",
        copperEdge.d,
        "distance of lands and tracks to the outline, least of all",
      ),
      limit: { value: edgeLimit, unit: "mm", kind: "at least" },
    }),
  )
  const outside = board.parts.filter(
    (p) => p.kind === "led" && board.lands.some((l) => l.ref === p.ref && !contains(board.outline, l)),
  )
  for (const p of outside)
    findings.push(
      state("led-outside", {
        severity: "red",
        title: `LED ${p.ref} stands outside ${board.name}`,
        where: where(`LED ${p.ref}`, { part: p.ref, x: p.x, y: p.y }),
      }),
    )
  const bodies = bodyGap(board)
  if (bodies)
    findings.push(
      judge("body-gap", {
        title: `${board.name}: the nearest bodies, ${bodies.a} and ${bodies.b}, are ${showNumber(bodies.gap)} mm apart`,
        where: where(`parts ${bodies.a} and ${bodies.b}`, { part: bodies.a, x: bodies.x, y: bodies.y }),
        ...seen(
          "body-gap",
          "least gap between bodies",
          bodies.gap,
          "distance between the outlines of two bodies, least of all pairs",
        ),
        limit: { value: 0.2, unit: "mm", kind: "at least" },
        atWorst: bodies.gap > 0 ? "amber" : "red",
      }),
    )
  // LEDs reach into the face by design; the proof judges their seat.
  const tall = least(board.parts.filter((p) => p.kind !== "led").map((p) => ({ value: -p.height, part: p })))
  if (tall)
    findings.push(
      judge("height", {
        title: `${board.name}: the tallest part, ${tall.part.ref}, stands ${showNumber(tall.part.height)} mm over the board`,
        where: where(`part ${tall.part.ref}`, { part: tall.part.ref, x: tall.part.x, y: tall.part.y }),
        ...seen(
          "tallest",
          "tallest part but LEDs",
          tall.part.height,
          `height of ${tall.part.ref}'s package (${tall.part.package}) in the stock`,
        ),
        limit: { value: request.height, unit: "mm", kind: "at most" },
      }),
    )
  const pads = board.parts.filter((p) => p.kind === "pad")
  if (request.wiresAt && pads.length > 0) {
    const at = faceToBoard(request.wiresAt, board.pose)
    const pad = pads.reduce((a, b) => (wayTo(at, b) > wayTo(at, a) ? b : a))
    findings.push(
      judge("wires-place", {
        title: `${board.name}: wire pad furthest from where its wires leave, ${pad.ref}`,
        where: where(`part ${pad.ref}`, {
          part: pad.ref,
          x: pad.x,
          y: pad.y,
          path: `boards.${board.name}.wires-at`,
        }),
        ...seen("wires-place", "wire pad furthest from the place marked", wayTo(at, pad), "straight line"),
        limit: { value: padReach, unit: "mm", kind: "at most" },
        amberBelow: 0,
        atWorst: "amber",
      }),
    )
  }
  findings.push(...ledOffsets(lamp, board, where))
  const heated = currents(lamp, circuit, board, where)
  findings.push(...heated.findings)
  const joints = judgeJoints(lamp, circuit, board, where)
  findings.push(...joints.findings)
  const figures = [
    ...boardFigures(lamp, board, area, asked.clearance),
    ...seenFigures,
    ...heated.figures,
    ...joints.figures,
  ]
  return { findings, figures }
}

const wayTo = (
  at: { readonly x: number; readonly y: number },
  p: { readonly x: number; readonly y: number },
) => Math.hypot(p.x - at.x, p.y - at.y)

type WhereOf = (text: string, more?: object) => Finding["where"]

/** The bound beside the count. */
function neededWords({ linksLowerBound, linksNeeded }: Board): string {
  if (!linksNeeded) return "none can be shown to be needed; that bound is loose"
  const { nets, room, from, to } = linksNeeded
  const at = (p: { x: number; y: number }) => `${showNumber(p.x)}, ${showNumber(p.y)}`
  return `${linksLowerBound} cannot be saved with the parts where they stand: ${nets} nets must cross the line from ${at(from)} to ${at(to)}, ${room} tracks fit`
}

function ledOffsets(lamp: Lamp, board: Board, where: WhereOf): Finding[] {
  const holes = new Map(lamp.groups.flatMap((g) => g.leds.map((l) => [l.ref, l.hole])))
  let worst: { ref: string; off: number; x: number; y: number } | undefined
  for (const part of board.parts) {
    const hole = holes.get(part.ref)
    if (!hole) continue
    const lands = board.lands.filter((l) => l.ref === part.ref)
    const at = faceToBoard(hole, board.pose)
    const x = lands.reduce((s, l) => s + l.x, 0) / lands.length
    const y = lands.reduce((s, l) => s + l.y, 0) / lands.length
    const off = Math.hypot(x - at.x, y - at.y)
    if (!worst || off > worst.off) worst = { ref: part.ref, off, x, y }
  }
  if (!worst) return []
  return [
    judge("led-offset", {
      title: `${board.name}: every LED stands behind its hole, the furthest ${showNumber(worst.off)} mm off`,
      where: where(`LED ${worst.ref}`, { part: worst.ref, x: worst.x, y: worst.y }),
      measured: { value: round(worst.off), unit: "mm" },
      limit: { value: 0, unit: "mm", kind: "exactly" },
    }),
  ]
}

/** The track that is loaded most for its width, against the current that warms it by `trackRise`. */
function currents(
  lamp: Lamp,
  circuit: Circuit,
  board: Board,
  where: WhereOf,
): { findings: Finding[]; figures: Figure[] } {
  const of = new Map(circuit.nets.map((n) => [n.name, n.current]))
  let worst:
    | { net: string; width: number; carries: number; current: number; at: Board["tracks"][number]["points"] }
    | undefined
  for (const t of board.tracks) {
    const current = of.get(t.net) ?? 0
    if (current <= 0) continue
    const carries = trackCurrent(t.width, lamp.copperClad.copper, trackRise)
    if (!worst || carries / current < worst.carries / worst.current)
      worst = { net: t.net, width: t.width, carries, current, at: t.points }
  }
  if (!worst) return { findings: [], figures: [] }
  const id = (name: string) => `board.${board.name}.${name}`
  const solved = computed(`greatest steady current of net ${worst.net} over all solved corners`)
  const load = fact(
    id("track-load"),
    `current in the most loaded track of ${board.name}`,
    worst.current,
    "A",
    solved,
  )
  const may = result(
    id("track-carries"),
    `what that track of ${board.name} carries with ${trackRise} K of warming`,
    worst.carries,
    "A",
    "0.048 · warming^0.44 · (cross-section in square mils)^0.725",
    [
      fact(
        id("track-width"),
        "width of that track",
        worst.width,
        "mm",
        computed("read off the finished board"),
      ),
      fact(
        "copper-clad.copper",
        "copper foil",
        lamp.copperClad.copper,
        "mm",
        described("copper-clad.copper"),
      ),
      fact("board.track-rise", "warming allowed", trackRise, "K", practice()),
    ],
    {
      source: {
        document: "curve fit to the IPC-2221 chart, external layers, as a chip maker's page gives it",
        known: "read",
      },
    },
  )
  const finding = judge("track-current", {
    title: `${board.name}: the most loaded track, of ${worst.net} (${showNumber(worst.width)} mm), carries ${show(worst.current, "A")} of ${show(worst.carries, "A")}`,
    where: where(`net ${worst.net}`, { net: worst.net, ...midway(worst.at) }),
    ...measuredBy(load),
    limit: { value: worst.carries, unit: "A", kind: "at most" },
    corner: "strongest corner",
  })
  return { findings: [finding], figures: [load, may] }
}

function boardFigures(lamp: Lamp, board: Board, area: number, clearance: number): Figure[] {
  const id = (name: string) => `board.${board.name}.${name}`
  const measured = computed("measured on the finished board")
  const trackLength = board.tracks.reduce(
    (sum, t) =>
      sum +
      t.points.slice(1).reduce((s, p, i) => s + Math.hypot(p.x - t.points[i]!.x, p.y - t.points[i]!.y), 0),
    0,
  )
  const bodies = board.parts.reduce((s, p) => s + Math.abs(signedArea(p.body)), 0)
  const { engraver } = lamp.cutter
  const flat = fact(
    "description.cutter.engraver.tip",
    "width of the engraver's tip",
    engraver.tip,
    "mm",
    described("cutter.engraver.tip"),
  )
  const angle = fact(
    "description.cutter.engraver.angle",
    "full angle of the engraver",
    engraver.angle,
    "°",
    described("cutter.engraver.angle"),
  )
  const used = (name: "run-out" | "wear", title: string, value: number) =>
    fact(`description.cutter.engraver.${name}`, title, value, "mm", described(`cutter.engraver.${name}`))
  const { runOut = 0, wear = 0 } = engraver
  const tip =
    runOut + wear === 0
      ? flat
      : result(
          "cutter.swept-tip",
          "width the engraver's tip sweeps",
          sweptTip(engraver),
          "mm",
          "tip + 2 · length worn off · tan(angle ÷ 2) + run-out",
          [flat, used("wear", "length worn off", wear), angle, used("run-out", "run-out of the tip", runOut)],
        )
  const depth = fact(
    "description.cutter.engraver.depth",
    "depth of the grooves",
    engraver.depth,
    "mm",
    described("cutter.engraver.depth"),
  )
  const boardArea = fact(id("area"), `area of ${board.name}`, round(area), "mm²", measured)
  const bodyArea = fact(id("bodies"), `area of the bodies on ${board.name}`, round(bodies), "mm²", measured)
  const chosen: Source = {
    document: "this program",
    place: "room for rounding between groove and copper",
    known: "chosen",
  }
  const asked = result(
    id("asked-clearance"),
    "least gap asked between nets",
    round(clearance),
    "mm",
    "tip + 2 · depth · tan(angle ÷ 2) + allowance",
    [tip, angle, depth, fact(id("allowance"), "allowance", clearanceAllowance, "mm", chosen)],
  )
  const narrowest = board.tracks.reduce((w, t) => Math.min(w, t.width), Number.POSITIVE_INFINITY)
  return [
    fact(id("links"), `wire links on ${board.name}`, board.links.length, "", measured),
    fact(id("track-length"), `track length on ${board.name}`, round(trackLength), "mm", measured),
    ...(Number.isFinite(narrowest)
      ? [fact(id("narrowest-track"), `narrowest track on ${board.name}`, narrowest, "mm", measured)]
      : []),
    asked,
    fact(id("clearance"), `least gap between nets on ${board.name}`, board.clearance, "mm", measured),
    result(
      id("area-use"),
      `share of ${board.name} under bodies`,
      round((100 * bodies) / area),
      "%",
      "bodies ÷ area",
      [bodyArea, boardArea],
    ),
    ...(board.screws.length > 0
      ? [fact(id("screw-room"), "free ring round each screw hole", screwRim, "mm", practice())]
      : []),
  ]
}

/** Added to the groove's width: room for rounding in the cutter program. Kept under 0.016 mm so that a 0.4 mm track
 * still passes between pins 2.54 mm apart with lands 1.6 mm wide when the groove is 0.2536 mm. */
export const clearanceAllowance = 0.01

function copperToEdge(
  board: Board,
  edges: readonly (readonly [Point, Point])[],
): { d: number; of: string; x: number; y: number } {
  const pieces = [
    ...board.lands.map((l) => {
      const { ax, ay, bx, by, r } = stadium(l, l.rotation)
      const isInside = contains(board.outline, l)
      return piece({ x: ax, y: ay }, { x: bx, y: by }, r, isInside, `${l.ref} pin ${l.pin}`, l)
    }),
    ...board.tracks.flatMap((t) =>
      t.points.slice(1).map((q, i) => {
        const p = t.points[i]!
        const middle = { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 }
        return piece(p, q, t.width / 2, true, `net ${t.net}`, middle)
      }),
    ),
  ]
  let best = { d: Number.POSITIVE_INFINITY, of: "", x: 0, y: 0 }
  for (const [a, b] of edges) {
    const left = Math.min(a.x, b.x)
    const right = Math.max(a.x, b.x)
    const low = Math.min(a.y, b.y)
    const high = Math.max(a.y, b.y)
    for (const { p, q, r, isInside, box, of, at } of pieces) {
      const far = best.d + r + 1e-9
      const isFar =
        box.minX - right > far || left - box.maxX > far || box.minY - high > far || low - box.maxY > far
      if (isInside && isFar) continue
      const off = segmentToSegment(p, q, a, b)
      const d = (isInside ? off : -off) - r
      if (d < best.d) best = { d, of, x: at.x, y: at.y }
    }
  }
  return best
}

const piece = (p: Point, q: Point, r: number, isInside: boolean, of: string, at: Point) => ({
  p,
  q,
  r,
  isInside,
  of,
  at,
  box: boundingBox([p, q]),
})

/** Nearest two bodies; pads are copper, not bodies. */
function bodyGap(board: Board): { a: string; b: string; gap: number; x: number; y: number } | undefined {
  const parts = board.parts.filter((p) => p.kind !== "pad")
  const boxes = parts.map((p) => boxOf(p.body))
  let best: { a: string; b: string; gap: number; x: number; y: number } | undefined
  for (let i = 0; i < parts.length; i++)
    for (let j = i + 1; j < parts.length; j++) {
      const p = parts[i]!
      const q = parts[j]!
      if (Math.hypot(p.x - q.x, p.y - q.y) > 60 || (best && boxGap(boxes[i]!, boxes[j]!) >= best.gap))
        continue
      let gap = Number.POSITIVE_INFINITY
      let at: Point = p
      for (const [k, a] of p.body.entries())
        for (const [m, c] of q.body.entries()) {
          const b = p.body[(k + 1) % p.body.length]!
          const d = q.body[(m + 1) % q.body.length]!
          const here = segmentToSegment(a, b, c, d)
          if (here >= gap) continue
          gap = here
          at = between(a, b, c, d)
        }
      if (!best || gap < best.gap) best = { a: p.ref, b: q.ref, gap, x: round(at.x), y: round(at.y) }
    }
  return best
}

const boxOf = (ring: readonly Point[]) => ({
  left: Math.min(...ring.map((p) => p.x)),
  right: Math.max(...ring.map((p) => p.x)),
  low: Math.min(...ring.map((p) => p.y)),
  high: Math.max(...ring.map((p) => p.y)),
})

/** No point of one box is nearer to one of the other than this. */
const boxGap = (a: ReturnType<typeof boxOf>, b: ReturnType<typeof boxOf>): number =>
  Math.max(a.left - b.right, b.left - a.right, a.low - b.high, b.low - a.high)

/** Middle of the shortest way between two sides that do not cross: it starts at one of their ends. */
function between(a: Point, b: Point, c: Point, d: Point): Point {
  const ways = [a, b]
    .map((p) => [p, nearestOn(p, c, d)] as const)
    .concat([c, d].map((p) => [p, nearestOn(p, a, b)] as const))
  const [p, q] = ways.reduce((m, w) => (length(w) < length(m) ? w : m))
  return { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 }
}

const length = ([p, q]: readonly [Point, Point]): number => Math.hypot(p.x - q.x, p.y - q.y)

function nearestOn(p: Point, a: Point, b: Point): Point {
  const dx = b.x - a.x
  const dy = b.y - a.y
  const l2 = dx * dx + dy * dy
  const t = l2 === 0 ? 0 : Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / l2))
  return { x: a.x + t * dx, y: a.y + t * dy }
}

function landOf(board: Board, net: string): { x: number; y: number } | object {
  const land = board.lands.find((l) => l.net === net)
  return land ? { x: land.x, y: land.y } : {}
}

/** Half way along the middle stretch of a track. */
function midway(points: readonly Point[]): Point {
  const k = Math.max(1, Math.floor(points.length / 2))
  const a = points[k - 1]!
  const b = points[k] ?? a
  return { x: round((a.x + b.x) / 2), y: round((a.y + b.y) / 2) }
}

function least<T extends { readonly value: number }>(list: readonly T[]): T | undefined {
  let best: T | undefined
  for (const t of list) if (!best || t.value < best.value) best = t
  return best
}

const round = (v: number): number => Math.round(v * 1e4) / 1e4

export function harnessFigures(harness: readonly HarnessWire[]): Figure[] {
  const between = harness.filter((h) => "board" in h.from).length
  const measured = computed("counted on the finished harness")
  return [
    fact("board.harness.vehicle", "wires from the vehicle", harness.length - between, "", measured),
    fact("board.harness.between", "wires between boards", between, "", measured),
  ]
}
