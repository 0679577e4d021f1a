// Boards from the circuit: who goes where, places, pin choice, tracks and wire links, judged at the end.

import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { grooveWidth } from "../0-ground/geometry/groove.ts"
import type { Work } from "../0-ground/progress.ts"
import type { BoardRequest, Lamp } from "../2-lamp/artefact.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import type { Board, Boards, PinChoice } from "./artefact.ts"
import { type Assigned, assignParts } from "./assign-parts.ts"
import { state } from "./board-findings.ts"
import { boardFrame } from "./board-frame.ts"
import type { BoardProblem, Placement } from "./board-problem.ts"
import { clearanceAllowance, harnessFigures, judgeBoard, trackRise } from "./judge-board.ts"
import { type CopperRules, makeBoard, routeTask } from "./make-board.ts"
import { makeProblem } from "./make-problem.ts"
import { placeParts } from "./place-parts.ts"
import { routeBoard } from "./route-board.ts"
import { trackWidth } from "./track-current.ts"

/** Least track: what an engraved board holds without peeling (common practice, no source). */
const leastTrack = 0.4
/** Earth, feeds and vehicle wires grow to this where there is room; all others to the second. */
const wideTrack = 0.8
const usualTrack = 0.5

export function* designBoards(lamp: Lamp, circuit: Circuit): Work<Boards> {
  yield { stage: "boards", done: 0 }
  const assigned = assignParts(lamp, circuit)
  const boards: Board[] = []
  const findings: Finding[] = [...assigned.findings]
  const figures: Figure[] = []
  const choice = { controller: {}, sections: {}, strings: {} } as Writable<PinChoice>
  for (const [i, request] of lamp.boards.entries()) {
    const made = yield* designBoard(
      lamp,
      circuit,
      request,
      assigned,
      (done) => (i + done) / lamp.boards.length,
    )
    findings.push(...made.findings)
    figures.push(...made.figures)
    if (!made.board) continue
    boards.push(made.board)
    note(choice, made.problem, made.placement)
  }
  yield { stage: "boards", done: 1 }
  return {
    boards,
    harness: assigned.harness,
    pinChoice: choice,
    figures: [...figures, ...harnessFigures(assigned.harness)],
    findings,
  }
}

type Writable<T> = {
  -readonly [K in keyof T]: T[K] extends Readonly<Record<string, infer V>> ? Record<string, V> : T[K]
}

function* designBoard(
  lamp: Lamp,
  circuit: Circuit,
  request: BoardRequest,
  assigned: Assigned,
  share: (done: number) => number,
) {
  const face = lamp.faces.find((f) => f.name === request.behind)
  const where = { text: `board ${request.name}`, path: `boards.${request.name}`, board: request.name }
  if (request.behind !== undefined && !face)
    return failed(
      state("no-face", {
        severity: "red",
        title: `${request.name} stands behind a face that does not exist: ${request.behind}`,
        where,
      }),
    )
  const frame = boardFrame(request, face)
  if (!frame)
    return failed(
      state("no-outline", { severity: "red", title: `${request.name} has no outline left`, where }),
    )
  const parts = assigned.parts.get(request.name) ?? []
  const pads = assigned.pads.filter((p) => p.board === request.name)
  const { problem, findings } = makeProblem(lamp, circuit, request, frame, parts, pads)
  const rules = copperRules(lamp, circuit, problem)
  // The cost of a placement foretells how it routes, so several are made and the cheapest routed first.
  const tries = problem.freedoms.some((f) => f.kind === "controller") ? chipStarts : 1
  const waiting: Placement[] = []
  let best: { board: Board; placement: Placement } | undefined
  for (let start = 0; start < mostStarts; start++) {
    const from = start / mostStarts
    const progress = (a: number, b: number) => (d: number) => share(from + (a + (b - a) * d) / mostStarts)
    while (waiting.length === 0 || seeds(waiting, start) < tries) {
      const seed = problem.seed * 1000 + start + waiting.length
      waiting.push(yield* shared(placeParts(problem, { movesPerPart, seed }), request.name, progress(0, 0.5)))
    }
    waiting.sort((a, b) => a.illegal - b.illegal || a.cost - b.cost)
    const placement = waiting.shift()!
    const task = routeTask(problem, placement, rules)
    const routed = yield* shared(routeBoard(task), request.name, progress(0.5, 1))
    const board = makeBoard(problem, placement, task, routed, rules)
    if (!best || better(board, placement, best)) best = { board, placement }
    const whole = best.placement.illegal === 0 && best.board.unrouted.length === 0
    if (!whole) continue
    const enough = tries > 1 ? fewLinks : best.board.linksLowerBound
    if (best.board.links.length <= enough || start + 1 >= usualStarts) break
  }
  const { board, placement } = best!
  const judged = judgeBoard(lamp, circuit, request, board, {
    clearance: rules.clearance,
    illegal: placement.illegal,
    needArea: roomNeeded(problem),
  })
  return { board, problem, placement, findings: [...findings, ...judged.findings], figures: judged.figures }
}

const movesPerPart = 1200
/** Boards with a controller: placements made before the cheapest is routed. */
const chipStarts = 4
/** Placements routed while links remain, and while nets remain open. The first with neither ends the search. */
const usualStarts = 2
/** On a board with a controller this few links are not worth another search. */
const fewLinks = 2
const mostStarts = 6

/** Placements made so far, those routed included. */
const seeds = (waiting: readonly Placement[], routed: number): number => waiting.length + routed

function failed(finding: Finding) {
  return { board: undefined, findings: [finding], figures: [] as Figure[] } as const
}

function better(board: Board, placement: Placement, than: { board: Board; placement: Placement }): boolean {
  const score = (b: Board, p: Placement) => [
    p.illegal > 0 ? 1 : 0,
    b.unrouted.length,
    b.links.length,
    b.tracks.reduce((s, t) => s + t.points.length, 0),
  ]
  const a = score(board, placement)
  const b = score(than.board, than.placement)
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return a[i]! < b[i]!
  return false
}

function copperRules(lamp: Lamp, circuit: Circuit, problem: BoardProblem): CopperRules {
  const { tip, angle, depth } = lamp.cutter.engraver
  const kinds = new Map(circuit.nets.map((n) => [n.name, n.kind]))
  const needed = (n: number) => trackWidth(problem.nets[n]!.current, lamp.copperClad.copper, trackRise)
  return {
    trackWidth: leastTrack,
    clearance: grooveWidth(tip, angle, depth) + clearanceAllowance,
    needed,
    wanted: (n) => {
      const kind = kinds.get(problem.nets[n]!.name)
      const wide = kind === "earth" || kind === "wire" || kind === "supply"
      return Math.max(wide ? wideTrack : usualTrack, needed(n))
    },
  }
}

/** Area the parts ask for: their lands and bodies with room for tracks, a third of the board being usable at best. */
function roomNeeded(problem: BoardProblem): number {
  let sum = 0
  for (const p of problem.parts) {
    const { body, lands } = p.package
    const w = Math.max(body.w, ...lands.map((l) => 2 * Math.abs(l.x) + l.w)) + 1
    const h = Math.max(body.h, ...lands.map((l) => 2 * Math.abs(l.y) + l.h)) + 1
    sum += w * h
  }
  return sum * 1.9
}

function note(choice: Writable<PinChoice>, problem: BoardProblem, placement: Placement): void {
  for (const [f, freedom] of problem.freedoms.entries()) {
    const contents = placement.contents[f]!
    if (freedom.kind === "controller")
      for (const [s, c] of contents.entries()) {
        const signal = freedom.contentNames[c]!
        if (signal !== "") choice.controller[signal] = freedom.slotNames[s]!
      }
    else if (freedom.kind === "sections") choice.sections[freedom.name] = [...contents]
    else {
      const order = contents.map(() => "")
      for (const [s, c] of contents.entries()) order[c] = freedom.slotNames[s]!
      choice.strings[freedom.name] = order
    }
  }
}

function* shared<T>(work: Work<T>, board: string, share: (done: number) => number): Work<T> {
  for (;;) {
    const step = work.next()
    if (step.done) return step.value
    yield { stage: "boards", done: share(step.value.done), note: `${board}: ${step.value.stage}` }
  }
}
