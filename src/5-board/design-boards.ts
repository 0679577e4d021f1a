// Boards from the circuit: who goes where, places, pin choice, tracks and wire links, judged at the end.

import { type Crew, shareOut } from "../0-ground/crew.ts"
import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { grooveWidth, sweptTip } from "../0-ground/geometry/groove.ts"
import type { Work } from "../0-ground/progress.ts"
import { forgetful, type Recall } from "../0-ground/recall.ts"
import type { BoardRequest, Lamp } from "../2-lamp/artefact.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import type { Board, Boards, PinChoice } from "./artefact.ts"
import { type Assigned, assignParts } from "./assign-parts.ts"
import { state } from "./board-findings.ts"
import { boardFrame } from "./board-frame.ts"
import type { BoardProblem, Placement } from "./board-problem.ts"
import { improvePlacement } from "./improve-placement.ts"
import { clearanceAllowance, harnessFigures, judgeBoard, trackRise } from "./judge-board.ts"
import { type CopperRules, makeBoard, routeTask } from "./make-board.ts"
import { makeProblem } from "./make-problem.ts"
import { placeParts } from "./place-parts.ts"
import { relievedBoard } from "./relieved-board.ts"
import { routeBoard, usualRouting } from "./route-board.ts"
import { routeBySketch, usualSketching } from "./route-by-sketch.ts"
import { Sketch } from "./sketch-route.ts"
import { trackWidth } from "./track-current.ts"

/** Least track: what an engraved board holds without peeling (common practice, no source). */
const leastTrack = 0.4
/** Earth, feeds and vehicle wires grow to this where there is room; all others to the second. */
const wideTrack = 0.8
const usualTrack = 0.5

/**
 * `crew` does some of the searching beside this thread, where the door has one; the boards are the same without.
 * `recall`: a board is searched for again only when what it must hold changed; it is judged every time.
 * `watch`: is told of every board as soon as there is one, and of every better one.
 */
export function* designBoards(
  lamp: Lamp,
  circuit: Circuit,
  crew?: Crew,
  recall: Recall = forgetful,
  watch: BoardWatch = {},
): Work<Boards> {
  yield { stage: "boards", done: 0 }
  const assigned = assignParts(lamp, circuit)
  const prepared = lamp.boards.map((request) => prepareBoard(lamp, circuit, request, assigned))
  const findings: Finding[] = [...assigned.findings, ...prepared.flatMap((p) => p.findings)]
  const figures: Figure[] = []
  const sought = prepared.flatMap((p) => ("problem" in p ? [p] : []))
  const laid = yield* layOut(sought, boardPart(lamp), circuitPart(circuit), crew, recall, watch)

  const boards: Board[] = []
  const choice = noChoice()
  for (const { problem, rules } of sought) {
    const { board, placement } = laid.get(problem.name)!
    const judged = judgeBoard(lamp, circuit, problem.request, board, {
      clearance: rules.clearance,
      illegal: placement.illegal,
      needArea: roomNeeded(problem),
    })
    findings.push(...judged.findings)
    figures.push(...judged.figures)
    boards.push(board)
    note(choice, problem, placement)
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

/** Who wants to see boards before the last is done. */
export interface BoardWatch {
  /** A first board, or one better than the last of that name, and the freedoms it used. */
  readonly onBoard?: (board: Board, choice: PinChoice) => void
  /**
   * Asked between two steps of a search that is not done, once there is a whole board of each name: true ends it with the
   * best of each. With a memory, the next call takes the search up where it was left.
   */
  readonly enough?: () => boolean
}

interface Laid {
  readonly board: Board
  readonly placement: Placement
}

/** Boards that must hold the same as before keep their places and tracks; the others are searched for together. */
function* layOut(
  prepared: readonly Prepared[],
  lamp: Lamp,
  circuit: Circuit,
  crew: Crew | undefined,
  recall: Recall,
  watch: BoardWatch,
): Work<ReadonlyMap<string, Laid>> {
  const laid = new Map<string, Laid>()
  const asks = new Map(prepared.map((p) => [p.problem.name, layoutAsk(p)]))
  const searches: Search[] = []
  for (const p of prepared) {
    const { name } = p.problem
    const known = recall.known<Laid>(`layout ${name}`, [asks.get(name)])
    if (known) laid.set(name, { ...known, board: withValues(known.board, p.problem) })
    else searches.push(newSearch(p, recall.known<Begun>(`search for ${name}`, [asks.get(name)])))
  }
  yield* search(searches, lamp, circuit, crew, watch)
  for (const s of searches) {
    const { name } = s.problem
    const best = s.best!
    laid.set(name, { ...best, board: withValues(best.board, s.problem) })
    if (satisfied(s)) recall.keep(`layout ${name}`, [asks.get(name)], best)
    else recall.keep(`search for ${name}`, [asks.get(name)], { best, seeds: s.seeds, routed: s.routed })
  }
  return laid
}

/** The board as it was laid, with the values its parts have now. */
function withValues(board: Board, problem: BoardProblem): Board {
  const values = new Map(problem.parts.map((p) => [p.ref, p.value]))
  return { ...board, parts: board.parts.map((p) => ({ ...p, value: values.get(p.ref) ?? p.value })) }
}

/** All that the search for a board depends on: of a net's current only the width it asks for, no value of a part. */
const layoutAsk = ({ problem, rules }: Prepared) => ({
  problem: {
    ...problem,
    nets: problem.nets.map(({ current, ...net }) => net),
    parts: problem.parts.map(({ value, ...part }) => part),
  },
  rules,
  needed: problem.nets.map((_, n) => Math.max(rules.trackWidth, rules.needed(n))),
  wanted: problem.nets.map((_, n) => rules.wanted(n)),
})

/** What each board asks of placement and routing; for measuring them by themselves. */
export function boardProblems(lamp: Lamp, circuit: Circuit): { problem: BoardProblem; rules: CopperRules }[] {
  const assigned = assignParts(lamp, circuit)
  return lamp.boards.flatMap((request) => {
    const prepared = prepareBoard(lamp, circuit, request, assigned)
    return "problem" in prepared ? [{ problem: prepared.problem, rules: prepared.rules }] : []
  })
}

/**
 * One piece of the search for a board, as plain data: a placement from its seed, a placement routed, or, when it is to
 * be quick, both at once.
 */
export interface BoardJob {
  readonly lamp: Lamp
  readonly circuit: Circuit
  readonly board: string
  readonly seed?: number
  readonly placement?: Placement
  /** For a first board in a moment. */
  readonly quick?: boolean
  /** A board of so many links or more is of no use. */
  readonly fewerThan?: number
}

/** What a hand of the crew does with a job. */
export function* doBoardJob(job: BoardJob): Work<Placement | Board | Laid> {
  const { lamp, circuit, board } = job
  const request = lamp.boards.find((b) => b.name === board)!
  const prepared = prepareBoard(lamp, circuit, request, assignParts(lamp, circuit))
  if (!("problem" in prepared)) throw new Error(`no such board: ${board}`)
  return yield* doJob(prepared, job)
}

function* doJob(
  prepared: Prepared,
  { seed, placement, quick = false, fewerThan }: BoardJob,
): Work<Placement | Board | Laid> {
  if (placement) return yield* routed(prepared, placement, false, fewerThan)
  const found = yield* placed(prepared, seed!, quick)
  return quick ? { placement: found, board: yield* routed(prepared, found, true) } : found
}

type Writable<T> = {
  -readonly [K in keyof T]: T[K] extends Readonly<Record<string, infer V>> ? Record<string, V> : T[K]
}

interface Prepared {
  readonly problem: BoardProblem
  readonly rules: CopperRules
  readonly findings: readonly Finding[]
}

/** How far a search has come: seeds used, placements routed, the best board of them. */
interface Begun {
  readonly seeds: number
  readonly routed: number
  readonly best?: Laid
}

/** A board's search: besides, placements made and not yet routed. */
interface Search extends Prepared {
  readonly waiting: Placement[]
  seeds: number
  routed: number
  best?: Laid
}

function prepareBoard(
  lamp: Lamp,
  circuit: Circuit,
  described: BoardRequest,
  assigned: Assigned,
): Prepared | { readonly findings: readonly Finding[] } {
  const face = lamp.faces.find((f) => f.name === described.behind)
  const wires = assigned.pads.filter((p) => p.board === described.name).length
  const { request, findings: relief } = relievedBoard(lamp, described, face, wires)
  const where = { text: `board ${request.name}`, path: `boards.${request.name}`, board: request.name }
  const red = (code: "no-face" | "no-outline", title: string) => ({
    findings: [state(code, { severity: "red", title, where })],
  })
  if (request.behind !== undefined && !face)
    return red("no-face", `${request.name} stands behind a face that does not exist: ${request.behind}`)
  const frame = boardFrame(request, face)
  if (!frame) return red("no-outline", `${request.name} has no outline left`)
  const parts = assigned.parts.get(request.name) ?? []
  const pads = assigned.pads.filter((p) => p.board === request.name)
  const { problem, findings } = makeProblem(lamp, circuit, request, frame, parts, pads)
  return { problem, rules: copperRules(lamp, circuit, problem), findings: [...relief, ...findings] }
}

const newSearch = (prepared: Prepared, begun: Begun = { seeds: 0, routed: 0 }): Search => ({
  ...prepared,
  ...begun,
  waiting: [],
})

/** Moves of the annealing for each part, and changes tried against the sketch after it. */
const usualPlacing = { movesPerPart: 1200, trials: 300, enough: 80 }
const quickPlacing = { movesPerPart: 300, trials: 80, enough: 80 }
/** A board of few parts is laid in haste first and with care afterwards; of many parts care would take a minute. */
const hastyPlacing = { movesPerPart: 120, trials: 40, enough: 0 }
/** Moves are at least so many; in haste so many for each part that may stand anywhere, where that is less. */
const leastMoves = 20_000
const hastyMoves = 390
const fewParts = 80
const quickRouting = { ...usualSketching, pushes: 150, others: 2, places: 10 }
const hastyRouting = { ...quickRouting, pushesALink: 40 }
/** Grid points looked at where sketch and ropes left a net open. */
const gridEffort = 4_000_000
/** Placements made before they are routed, where the board has links. */
const starts = 2
/** Placements routed while links remain, and while more remain than `fewLinks`. The first with none ends the search. */
const usuallyRouted = 3
const mostRouted = 5
const fewLinks = 2
/** Placements routed while a net is still open on a board that has room for its parts. */
const mostForWhole = 15
/** With more nets left open than this there is no hope in that. */
const fewLeft = 3

/**
 * Rounds of jobs until every search is satisfied. First a board for each in a moment. Then, where it has links or is
 * not whole: place several, route the best (the sketch of a placement foretells how it routes), and again.
 */
function* search(
  searches: readonly Search[],
  lamp: Lamp,
  circuit: Circuit,
  crew: Crew | undefined,
  { onBoard, enough }: BoardWatch,
): Work<void> {
  for (;;) {
    if (searches.every(satisfied)) return
    if (searches.every((s) => isWhole(s.best)) && enough?.()) return
    const jobs = searches.flatMap((s) => nextJobs(s, lamp, circuit))
    // Long jobs first, so that no hand is left with one at the end.
    jobs.sort((a, b) => b.of.problem.parts.length - a.of.problem.parts.length)
    const named = new Map(jobs.map(({ of, job }) => [job, of]))
    const take = (of: Search, made: Laid) => {
      of.routed++
      if (of.best && !better(made, of.best)) return
      of.best = made
      if (!onBoard) return
      const choice = noChoice()
      note(choice, of.problem, made.placement)
      onBoard(made.board, choice)
    }
    const results = yield* shareOut(
      "boards",
      jobs.map(({ job }) => job),
      (job) => hereNamed(named.get(job)!, job),
      crew,
      {
        longestHere: true,
        // First boards are told as they come; none of them waits for another.
        told: (i, result) => {
          if (jobs[i]!.job.quick) take(jobs[i]!.of, result as Laid)
        },
      },
    )
    for (const [i, { of, job }] of jobs.entries()) {
      if (job.quick) continue
      if (job.placement) take(of, { board: results[i] as Board, placement: job.placement })
      else of.waiting.push(results[i] as Placement)
    }
  }
}

/** What is to be done next for a board; nothing when its search is satisfied. */
function nextJobs(s: Search, lamp: Lamp, circuit: Circuit): readonly { of: Search; job: BoardJob }[] {
  if (satisfied(s)) return []
  const base = { lamp, circuit, board: s.problem.name }
  const seed = s.problem.seed * 1000 + s.seeds
  if (!s.best) {
    s.seeds++
    return [{ of: s, job: { ...base, seed, quick: true } }]
  }
  if (s.waiting.length > 0) {
    s.waiting.sort((a, b) => a.illegal - b.illegal || (a.open ?? 0) - (b.open ?? 0) || a.cost - b.cost)
    const few = isWhole(s.best) ? { fewerThan: Math.max(1, s.best.board.links.length) } : {}
    return s.waiting.splice(0).map((placement) => ({ of: s, job: { ...base, placement, ...few } }))
  }
  const many = isWhole(s.best) && s.best.board.links.length === 0 ? 1 : starts
  s.seeds += many
  return Array.from({ length: many }, (_, i) => ({ of: s, job: { ...base, seed: seed + i } }))
}

function satisfied({ best, routed, problem }: Search): boolean {
  if (!best) return false
  const fits = best.placement.illegal === 0 && best.board.unrouted.length <= fewLeft
  if (routed >= (fits && !isWhole(best) ? mostForWhole : mostRouted)) return true
  if (routed < 2 && hasFewParts(problem)) return false
  // The bound holds for these places of the parts; others may need none.
  return isWhole(best) && best.board.links.length <= (routed >= usuallyRouted ? fewLinks : 0)
}

const hasFewParts = (problem: BoardProblem): boolean => problem.parts.length <= fewParts

const isWhole = (best: Laid | undefined): best is Laid =>
  best !== undefined && best.placement.illegal === 0 && best.board.unrouted.length === 0

function* hereNamed(s: Search, job: BoardJob): Work<Placement | Board | Laid> {
  const work = doJob(s, job)
  const links = s.best?.board.links.length
  const soFar = links === undefined ? "" : `, ${links} link${links === 1 ? "" : "s"} so far`
  for (;;) {
    const step = work.next()
    if (step.done) return step.value
    yield { ...step.value, note: `${s.problem.name}: ${step.value.stage}${soFar}` }
  }
}

function* placed({ problem, rules }: Prepared, seed: number, quick: boolean): Work<Placement> {
  const isHasty = quick && hasFewParts(problem)
  const { movesPerPart, ...trying } = isHasty ? hastyPlacing : quick ? quickPlacing : usualPlacing
  const free = problem.parts.filter((p) => !p.at).length
  const least = isHasty ? Math.min(leastMoves, hastyMoves * free) : leastMoves
  const cooled = yield* placeParts(problem, { movesPerPart, leastMoves: least, seed })
  if (cooled.illegal > 0) return cooled
  const task = routeTask(problem, cooled, rules)
  const { placement, sketch, result } = yield* improvePlacement(problem, cooled, task, { ...trying, seed })
  return { ...placement, cost: result.cost, open: result.open, sketch: sketch.snapshot() }
}

/** By its sketch; where that leaves a net open, also on the grid, and the better of the two. */
function* routed(
  { problem, rules }: Prepared,
  placement: Placement,
  quick: boolean,
  fewerThan?: number,
): Work<Board> {
  const task = routeTask(problem, placement, rules)
  const { sketch: plan } = placement
  const options = {
    ...(!quick ? usualSketching : hasFewParts(problem) ? hastyRouting : quickRouting),
    ...(plan ? { plan } : {}),
    ...(fewerThan === undefined ? {} : { fewerThan }),
  }
  const board = makeBoard(problem, placement, task, yield* routeBySketch(task, options), rules)
  if (quick || fewerThan !== undefined || board.unrouted.length === 0) return board
  const sketch = new Sketch(task)
  const plans = plan && sketch.takeUp(plan) ? problem.nets.map((_, n) => sketch.plan(n)) : undefined
  const searched = yield* routeBoard(task, {
    ...usualRouting,
    effort: gridEffort,
    ...(plans ? { plans } : {}),
  })
  const other = makeBoard(problem, placement, task, searched, rules)
  return better({ board: other, placement }, { board, placement }) ? other : board
}

/** What boards depend on; the rest would only make jobs heavy to hand over. */
const boardPart = (lamp: Lamp): Lamp => ({ ...lamp, programme: [], places: {} })
const circuitPart = (circuit: Circuit): Circuit => ({ ...circuit, corners: [], figures: [], findings: [] })

function better(a: Laid, than: Laid): boolean {
  const score = ({ board, placement }: Laid) => [
    placement.illegal > 0 ? 1 : 0,
    board.unrouted.length,
    board.links.length,
    board.links.reduce((sum, l) => sum + l.length, 0),
    Math.round(board.tracks.reduce((sum, t) => sum + lengthOf(t.points), 0)),
  ]
  const p = score(a)
  const q = score(than)
  for (let i = 0; i < p.length; i++) if (p[i] !== q[i]) return p[i]! < q[i]!
  return false
}

function lengthOf(points: readonly { readonly x: number; readonly y: number }[]): number {
  let sum = 0
  for (let i = 1; i < points.length; i++)
    sum += Math.hypot(points[i]!.x - points[i - 1]!.x, points[i]!.y - points[i - 1]!.y)
  return sum
}

function copperRules(lamp: Lamp, circuit: Circuit, problem: BoardProblem): CopperRules {
  const { engraver } = lamp.cutter
  const kinds = new Map(circuit.nets.map((n) => [n.name, n.kind]))
  const needed = (n: number) => trackWidth(problem.nets[n]!.current, lamp.copperClad.copper, trackRise)
  return {
    trackWidth: leastTrack,
    clearance: grooveWidth(sweptTip(engraver), engraver.angle, engraver.depth) + clearanceAllowance,
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

const noChoice = (): Writable<PinChoice> => ({ controller: {}, sections: {}, strings: {} })

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
