// Way in of the proof: reads only what was made and judges every claim about it.

import { type Ahead, type Crew, shareOut } from "../0-ground/crew.ts"
import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import type { Work } from "../0-ground/progress.ts"
import { forgetful, nameOf, type Recall } from "../0-ground/recall.ts"
import { packages } from "../1-stock/packages.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import type { Behaviour, Firmware } from "../4-behaviour/artefact.ts"
import type { Board, Boards } from "../5-board/artefact.ts"
import type { CutterProgram, ExtraProgram, SheetPlan } from "../6-copper/artefact.ts"
import type { BoardProof, Proof, SheetProof } from "./artefact.ts"
import { type BenchProof, proveBench } from "./bench/prove-bench.ts"
import { wireLevels } from "./bench/wire-levels.ts"
import type { Extracted } from "./cut/extract-netlist.ts"
import { type BoardEvidence, proveCut } from "./cut/prove-cut.ts"
import { proveExtras } from "./cut/prove-extras.ts"
import { proveHarness } from "./cut/prove-harness.ts"
import type { Heights } from "./cut/read-heights.ts"
import { type WantedNetlist, wantedNetlist } from "./cut/wanted-netlist.ts"
import { checkCurrents } from "./electric/check-currents.ts"
import { checkFitted } from "./electric/check-fitted.ts"
import { checkEndurance } from "./endurance/check-endurance.ts"
import { checkShaking } from "./endurance/check-shaking.ts"
import { checkFit } from "./fit/face-fit.ts"
import { checkRules } from "./light/check-rules.ts"
import { proveSheet, type SheetEvidence } from "./sheet/prove-sheet.ts"
import { sheetNews } from "./sheet/sheet-news.ts"
import type { Told } from "./told.ts"

export interface Made {
  readonly lamp: Lamp
  readonly circuit: Circuit
  readonly behaviour: Behaviour
  readonly boards: Boards
  readonly programs: readonly CutterProgram[]
  readonly extras?: readonly ExtraProgram[]
  readonly sheets?: readonly SheetPlan[]
  readonly firmware: Firmware | undefined
}

export type { Heights, HeightsRead } from "./cut/read-heights.ts"
export { readHeights } from "./cut/read-heights.ts"

/**
 * One board's programs, from wherever they come, against the lamp's netlist. With `heights` the copper is as the
 * probe found it and a program that was bent to it is judged as such; without, the description's flatness counts.
 */
export function* inspectBoard(
  made: Pick<Made, "lamp" | "circuit" | "boards">,
  board: string,
  programs: readonly CutterProgram[],
  heights?: Heights,
): Work<
  | { readonly proof: BoardProof; readonly findings: readonly Finding[]; readonly figures: readonly Figure[] }
  | undefined
> {
  const found = made.boards.boards.find((b) => b.name === board)
  if (!found) return undefined
  const wanted = wantedNetlist(made.circuit, made.boards)
  return yield* proveCut(made.lamp, found, wanted, programs, packages.find, made.circuit.earth, { heights })
}

/** The programs of a shared sheet, from wherever they come, in the same way; every board is looked for on it. */
export function* inspectSheet(
  { lamp, circuit, boards }: Pick<Made, "lamp" | "circuit" | "boards">,
  sheet: SheetPlan,
  heights?: Heights,
): Work<SheetEvidence> {
  const wanted = wantedNetlist(circuit, boards)
  return yield* proveSheet(lamp, boards.boards, sheet, wanted, packages.find, circuit.earth, heights)
}

/** What a piece of the proof is worked out from, as plain data: a cut, the bench, the boards in their face. */
export type ProofJob =
  | {
      readonly prove: "board"
      readonly lamp: Lamp
      readonly board: Board
      readonly programs: readonly CutterProgram[]
      readonly wanted: WantedNetlist
      readonly earth: string
    }
  | {
      readonly prove: "sheet"
      readonly lamp: Lamp
      readonly boards: readonly Board[]
      readonly sheet: SheetPlan
      readonly wanted: WantedNetlist
      readonly earth: string
    }
  | { readonly prove: "bench"; readonly made: OnBench }
  | { readonly prove: "fit"; readonly lamp: Lamp; readonly boards: Laid }
  | { readonly prove: "shaking"; readonly lamp: Lamp; readonly board: Board }

type Laid = Pick<Boards, "boards" | "harness">

/** What a hand of the crew does with a job. */
export function* doProofJob(job: ProofJob): Work<BoardEvidence | SheetEvidence | BenchProof | Told> {
  yield { stage: "proof", done: 0 }
  switch (job.prove) {
    case "bench":
      return yield* proveBench(job.made)
    case "sheet":
      return yield* proveSheet(job.lamp, job.boards, job.sheet, job.wanted, packages.find, job.earth)
    case "board":
      return yield* proveCut(job.lamp, job.board, job.wanted, job.programs, packages.find, job.earth)
    case "fit":
      return checkFit(job.lamp, job.boards)
    case "shaking":
      return checkShaking(job.lamp, job.board)
  }
}

/**
 * `crew` proves some of it beside this thread, where the door has one.
 * `recall`: a board or the bench is proven again only when something it is proven from changed.
 */
export function* proveLamp(
  made: Made,
  { crew, recall = forgetful }: { readonly crew?: Crew | undefined; readonly recall?: Recall } = {},
): Work<Proof> {
  const { lamp, circuit, boards } = made
  const findings: Finding[] = []
  const figures: Figure[] = []
  const wanted = wantedNetlist(circuit, boards)
  const { evidence, sheets, played, fitted, shakes } = yield* prove(made, wanted, crew, recall)
  const joined = new Map<string, Extracted>()
  const proofs: BoardProof[] = []
  for (const board of boards.boards) {
    const found = evidence.get(board.name)!
    proofs.push(found.proof)
    findings.push(...found.findings)
    figures.push(...found.figures)
    joined.set(board.name, found.joined)
  }
  const sheetProofs: SheetProof[] = []
  for (const found of sheets) {
    sheetProofs.push(found.proof)
    const news = sheetNews(found, evidence)
    findings.push(...news.findings)
    figures.push(...news.figures)
  }
  const programs = [...made.programs, ...(made.sheets ?? []).flatMap((s) => s.programs)]
  findings.push(...proveExtras(lamp, made.extras ?? [], programs).findings)
  findings.push(...proveHarness(circuit, boards, wanted, joined))
  const electric = yield* checkCurrents(lamp, circuit)
  const values = checkFitted(circuit)
  findings.push(...electric.findings, ...values.findings)
  figures.push(...electric.figures, ...values.figures)
  findings.push(...played.findings)
  figures.push(...played.figures)
  yield { stage: "proving light", done: 0 }
  const lit = checkRules(lamp, circuit, played.trace)
  const lasts = checkEndurance(lamp, circuit, boards, (b) => shakes.get(b.name)!)
  findings.push(...fitted.findings, ...lit.findings, ...lasts.findings)
  figures.push(...fitted.figures, ...lit.figures, ...lasts.figures)
  const shared = sheetProofs.length > 0 ? { sheets: sheetProofs } : {}
  return { boards: proofs, ...shared, trace: played.trace, beams: lit.beams, figures, findings }
}

/** Every board's cut, every shared sheet, the bench and the fit, which know nothing of one another. */
function* prove(
  made: Made,
  wanted: WantedNetlist,
  crew: Crew | undefined,
  recall: Recall,
): Work<{
  readonly evidence: ReadonlyMap<string, BoardEvidence>
  readonly sheets: readonly SheetEvidence[]
  readonly played: BenchProof
  readonly fitted: Told
  readonly shakes: ReadonlyMap<string, Told>
}> {
  const { lamp, circuit, boards } = made
  const pieces: Piece[] = [benchPiece(made)]
  for (const board of [...boards.boards].sort((a, b) => b.lands.length - a.lands.length)) {
    const programs = made.programs.filter((p) => p.board === board.name)
    pieces.push(boardPiece(made, board, programs, wanted))
  }
  const sheets = made.sheets ?? []
  for (const sheet of sheets) {
    pieces.push({
      what: `proof of ${sheet.name}`,
      from: [bodily(lamp), boards.boards.map(bare), sheet, ...plain(wanted), circuit.earth],
      job: { prove: "sheet", lamp, boards: boards.boards, sheet, wanted, earth: circuit.earth },
    })
  }
  pieces.push({
    what: "fit",
    from: [bodily(lamp), boards.boards.map(bare), boards.harness],
    job: { prove: "fit", lamp, boards: { boards: boards.boards, harness: boards.harness } },
  })
  for (const board of boards.boards)
    pieces.push({
      what: `shaking of ${board.name}`,
      from: [bodily(lamp), bare(board)],
      job: { prove: "shaking", lamp, board },
    })
  const known = new Map<string, unknown>()
  for (const { what, from } of pieces) {
    const before = recall.known(what, from)
    if (before !== undefined) known.set(what, before)
  }
  const open = pieces.filter((p) => !known.has(p.what))
  const jobs = open.map((p) => p.job)
  const names = open.map((p) => nameOf(p.what, p.from))
  const results = yield* shareOut("proof", jobs, doProofJob, crew, { names })
  for (const [i, { what, from }] of open.entries()) {
    recall.keep(what, from, results[i])
    known.set(what, results[i])
  }
  return {
    evidence: new Map(boards.boards.map((b) => [b.name, known.get(`proof of ${b.name}`) as BoardEvidence])),
    sheets: sheets.map((s) => known.get(`proof of ${s.name}`) as SheetEvidence),
    played: known.get("bench") as BenchProof,
    fitted: known.get("fit") as Told,
    shakes: new Map(boards.boards.map((b) => [b.name, known.get(`shaking of ${b.name}`) as Told])),
  }
}

/** A piece of the proof that knows nothing of the others: what it is called, all it is proven from, and its job. */
interface Piece {
  readonly what: string
  readonly from: readonly unknown[]
  readonly job: ProofJob
}

/** The bench reads neither board nor cutter program. */
export type OnBench = Pick<Made, "lamp" | "circuit" | "behaviour" | "firmware">

const benchPiece = ({ lamp, circuit, behaviour, firmware }: OnBench): Piece => {
  const made = { lamp, circuit, behaviour, firmware }
  return { what: "bench", from: benchInputs(made), job: { prove: "bench", made } }
}

const boardPiece = (
  { lamp, circuit: { earth } }: Pick<Made, "lamp" | "circuit">,
  board: Board,
  programs: readonly CutterProgram[],
  wanted: WantedNetlist,
): Piece => ({
  what: `proof of ${board.name}`,
  from: [bodily(lamp), bare(board), programs, ...plain(wanted), earth],
  job: { prove: "board", lamp, board, programs, wanted, earth },
})

const plain = (wanted: WantedNetlist): readonly unknown[] => [
  [...wanted.pins].map(([ref, pins]) => [ref, [...pins]]),
  [...wanted.pads],
]

/** Begins the bench, the longest piece of the proof, before what waits. `recall`: what is known is not begun. */
export const benchAhead = (made: OnBench, ahead: Ahead, recall: Recall): void =>
  begin(benchPiece(made), ahead, recall, true)

/** What comes back begins the proof of a board, by name, once its programs are there. */
export function proveAhead(
  made: Pick<Made, "lamp" | "circuit" | "boards">,
  ahead: Ahead,
  recall: Recall,
): (board: string, programs: readonly CutterProgram[]) => void {
  const wanted = wantedNetlist(made.circuit, made.boards)
  return (name, programs) => {
    const board = made.boards.boards.find((b) => b.name === name)
    if (board) begin(boardPiece(made, board, programs, wanted), ahead, recall)
  }
}

function begin({ what, from, job }: Piece, ahead: Ahead, recall: Recall, isLong = false): void {
  if (recall.known(what, from) === undefined)
    ahead.post(nameOf(what, from), job, () => doProofJob(job), { isLong })
}

/** A part's value is of no concern to the cut. */
const bare = (board: Board) => ({ ...board, parts: board.parts.map(({ value, ...part }) => part) })

/** The lamp without its electrics: what the proof of a cut reads. */
const bodily = ({ vehicle, programme, pins, ...rest }: Lamp) => rest

/**
 * All that the bench reads: of the circuit what is joined with what, how high its wires stand, how slow its inputs
 * are, and how bright it is with usual parts.
 */
function benchInputs({ lamp, circuit, behaviour, firmware }: OnBench): readonly unknown[] {
  const { pins, boards, cutter, copperClad, ...seen } = lamp
  const { figures, findings, candidates, pulses, corners, drives, ...wiring } = circuit
  // One make of resistor is as good as another here.
  const parts = wiring.parts.map(({ figure, purpose, ...part }) =>
    part.kind === "resistor" ? { ...part, stock: undefined } : part,
  )
  const nets = wiring.nets.map(({ current, voltage, ...net }) => net)
  const light = corners
    .filter((c) => c.parts === "usual")
    .map(({ nodeVoltage, wireCurrent, dissipation, ...c }) => c)
  const levels = lamp.vehicle.wires.map((w) => wireLevels(lamp, circuit, w))
  const delays = figures.filter((f) => /^drive\.input\..*\.rise-delay$/.test(f.id))
  return [seen, { ...wiring, parts, nets }, light, levels, delays, behaviour, firmware]
}
