// The whole pipeline on one screen: a description goes in, a proven lamp comes out.
// Rooms make, the proof judges; this file only says who gets what, remembers unchanged stages and finds places.

import { type Ahead, type Crew, type Working, workingAhead } from "./0-ground/crew.ts"
import { verdictOf } from "./0-ground/finding.ts"
import { finish, type Progress, type Work } from "./0-ground/progress.ts"
import { knowBy, type Memory, type Recall, recalled, recallFrom } from "./0-ground/recall.ts"
import { readLamp } from "./2-lamp/read-lamp.ts"
import { driveWork } from "./3-drive/design-drive.ts"
import { designBehaviour } from "./4-behaviour/design-behaviour.ts"
import { makeFirmware } from "./4-behaviour/make-firmware.ts"
import type { Board, Boards, PinChoice } from "./5-board/artefact.ts"
import { designBoards } from "./5-board/design-boards.ts"
import { cutAhead, designCut } from "./6-copper/design-cut.ts"
import { benchAhead, proveAhead, proveLamp } from "./7-proof/prove-lamp.ts"
import type { PackInput } from "./8-pack/artefact.ts"
import { drivenBy, type EarlyDesign, earlyDesign, toldBy, type Unreadable, unreadable } from "./first-look.ts"

export type { EarlyDesign, Unreadable } from "./first-look.ts"

export interface DesignOptions {
  readonly memory?: Memory
  /**
   * True: a description with any fault is not designed from (the command line). False: faults that still leave
   * a lamp to look at, such as a hole outside its face, are carried along as red findings (the app).
   */
  readonly strict?: boolean
  /** Other hands for the search of the boards; the result is the same without. */
  readonly crew?: Crew | undefined
  /** Told once, when drive and light are designed and the boards are not yet begun. */
  readonly onStage?: ((early: EarlyDesign) => void) | undefined
  /** Told of each board as soon as there is one, and of every better one while the search goes on. */
  readonly onBoard?: ((board: Board) => void) | undefined
  /**
   * Told of the whole lamp with the first board of each name, proven like the last, where the search for better
   * boards goes on after that; "enough" ends it there. Without it the search goes to its end at once.
   */
  readonly onFirst?: ((first: LampDesign) => "enough" | undefined) | undefined
  /** Told when the boards are cut and not yet proven: what else a door will want, idle hands may do meanwhile. */
  readonly onCopper?: ((cut: CutLamp, crew: Working) => void) | undefined
}

/** What is known before the proof. */
export type CutLamp = Pick<LampDesign, "lamp" | "circuit" | "boards" | "copper">

/** The stages in order; progress and timings are told by these names. */
export const stages = ["read", "drive", "behaviour", "boards", "firmware", "cut", "proof"] as const
export type Stage = (typeof stages)[number]

/** A designed and proven lamp: what the pack is made from. */
export type LampDesign = PackInput

export type Designed = LampDesign | Unreadable

export type { Memory } from "./0-ground/recall.ts"

/**
 * Designs and proves the lamp in `text`.
 * `drawing` gives the text of a drawing by its file name as the description writes it, or undefined when there is none.
 */
export function* designLamp(
  text: string,
  drawing: (file: string) => string | undefined,
  {
    memory = new Map(),
    strict = false,
    crew: hands,
    onStage,
    onBoard,
    onFirst,
    onCopper,
  }: DesignOptions = {},
): Work<Designed> {
  yield { stage: "read", done: 0 }
  const { lamp, findings: readFindings, figures: readFigures } = readLamp(text, drawing)
  if (!lamp || (strict && readFindings.some((f) => f.severity === "red"))) {
    return unreadable(text, readFindings)
  }

  const recall = recallFrom(memory)
  const crew = hands && workingAhead(hands)
  const ahead = crew?.ahead
  const means: Means = { recall, ahead }
  const drivenFrom = [drivenBy(lamp)]
  const { circuit, byLot } = yield* stage("drive", means, drivenFrom, () => driveWork(lamp, { crew, recall }))
  // So large that reading it would take longer than most of what is made from it.
  knowBy(circuit, "drive", drivenFrom)
  const behaviour = yield* stage("behaviour", means, [lamp, circuit], () => designBehaviour(lamp, circuit))
  onStage?.(earlyDesign(text, lamp, circuit, behaviour, readFindings, readFigures))
  const programmed = ({ controller }: PinChoice) =>
    stage("firmware", means, [circuit, behaviour, controller], () =>
      makeFirmware(circuit, behaviour, { controller }),
    )
  const finished = function* (boards: Boards): Work<LampDesign> {
    const firmware = yield* programmed(boards.pinChoice)
    if (ahead) benchAhead({ lamp, circuit, behaviour, firmware }, ahead, recall)
    const onCut = ahead && proveAhead({ lamp, circuit, boards }, ahead, recall)
    const { copper, plan } = yield* stage("cut", means, [lamp, boards], () =>
      designCut(lamp, boards, { crew, recall, ...(onCut ? { onCut } : {}) }),
    )
    if (crew) onCopper?.({ lamp, circuit, boards, copper }, crew)
    const { programs, extras = [], sheets = [] } = plan
    const made = { lamp, circuit, behaviour, boards, programs, extras, sheets, firmware }
    const proof = yield* stage("proof", means, [lamp, circuit, behaviour, boards, plan, firmware], () =>
      proveLamp(made, { crew, recall }),
    )
    const rooms = [circuit, behaviour, boards, ...(firmware ? [firmware] : []), plan, proof]
    // Other hands count lamps by lot while the rest is made.
    const counted = byLot
      ? [
          yield* named(
            "proof",
            recalled(recall, "lots", drivenFrom, () => byLot(crew)),
          ),
        ]
      : []
    const { findings, figures } = toldBy(lamp, readFindings, readFigures, [...rooms, ...counted])
    const verdict = verdictOf(findings)
    return {
      text,
      lamp,
      circuit,
      behaviour,
      boards,
      firmware,
      copper,
      plan,
      proof,
      findings,
      figures,
      verdict,
      stages,
    }
  }

  const watch = onBoard ? { onBoard } : {}
  // A first board is the last word of its round: its cut, and the bench of its controller, are begun while others are laid.
  const firstWatch = {
    onBoard: (board: Board, choice: PinChoice) => {
      onBoard?.(board)
      if (!ahead) return
      if (board.parts.some((p) => p.ref === circuit.controller))
        benchAhead({ lamp, circuit, behaviour, firmware: finish(programmed(choice)) }, ahead, recall)
      cutAhead(lamp, board, ahead, recall)
    },
  }
  if (onFirst) {
    let isFirst = false
    const enough = () => {
      isFirst = true
      return true
    }
    const boards = yield* named(
      "boards",
      designBoards(lamp, circuit, crew, recall, { ...firstWatch, enough }),
    )
    const first = yield* finished(boards)
    if (!isFirst || onFirst(first) === "enough") return first
  }
  const boards = yield* stage("boards", means, [lamp, circuit], () =>
    designBoards(lamp, circuit, crew, recall, watch),
  )
  return yield* finished(boards)
}

interface Means {
  readonly recall: Recall
  readonly ahead: Ahead | undefined
}

/** Runs one stage, or takes what it made before when its inputs read the same. */
function* stage<T>(
  name: Stage,
  { recall, ahead }: Means,
  inputs: readonly unknown[],
  make: () => Work<T> | T,
): Work<T> {
  // Hands that are done with what they were given get what waits.
  ahead?.hand()
  yield { stage: name, done: 0 }
  return yield* named(name, recalled(recall, name, inputs, make))
}

/** Progress of a room, told under its stage's name. */
function* named<T>(name: Stage, work: Work<T>): Work<T> {
  for (;;) {
    const step = work.next()
    if (step.done) return step.value
    const { done, note }: Progress = step.value
    yield { stage: name, done, ...(note ? { note } : {}) }
  }
}
