// The whole pipeline on one screen: a description goes in, a proven lamp comes out.
// Rooms make, the proof judges; this file only says who gets what, remembers unchanged stages and finds places.

import type { Crew } from "./0-ground/crew.ts"
import type { Figure } from "./0-ground/figure.ts"
import { byMargin, type Finding, type Verdict, verdictOf } from "./0-ground/finding.ts"
import type { Progress, Work } from "./0-ground/progress.ts"
import { type Memory, type Recall, recalled, recallFrom } from "./0-ground/recall.ts"
import type { Lamp } from "./2-lamp/artefact.ts"
import { readLamp } from "./2-lamp/read-lamp.ts"
import type { Circuit } from "./3-drive/artefact.ts"
import { designDrive } from "./3-drive/design-drive.ts"
import type { Behaviour } from "./4-behaviour/artefact.ts"
import { designBehaviour } from "./4-behaviour/design-behaviour.ts"
import { makeFirmware } from "./4-behaviour/make-firmware.ts"
import { designBoards } from "./5-board/design-boards.ts"
import { designCut } from "./6-copper/design-cut.ts"
import { proveLamp } from "./7-proof/prove-lamp.ts"
import type { PackInput } from "./8-pack/artefact.ts"

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
}

/** What is known in the first moments: enough to judge the electrical side and the light programme. */
export interface EarlyDesign {
  readonly text: string
  readonly lamp: Lamp
  readonly circuit: Circuit
  readonly behaviour: Behaviour
  /** Of the rooms done so far, thinnest margin first. */
  readonly findings: readonly Finding[]
  readonly figures: readonly Figure[]
}

/** The stages in order; progress and timings are told by these names. */
export const stages = ["read", "drive", "behaviour", "boards", "firmware", "cut", "proof"] as const
export type Stage = (typeof stages)[number]

/** A designed and proven lamp: what the pack is made from. */
export type LampDesign = PackInput

/** A description with nothing to design from: only findings, at least one of them red. */
export interface Unreadable {
  readonly text: string
  readonly lamp: undefined
  readonly findings: readonly Finding[]
  readonly verdict: Verdict
}

export type Designed = LampDesign | Unreadable

export type { Memory } from "./0-ground/recall.ts"

/**
 * Designs and proves the lamp in `text`.
 * `drawing` gives the text of a drawing by its file name as the description writes it, or undefined when there is none.
 */
export function* designLamp(
  text: string,
  drawing: (file: string) => string | undefined,
  { memory = new Map(), strict = false, crew, onStage }: DesignOptions = {},
): Work<Designed> {
  yield { stage: "read", done: 0 }
  const { lamp, findings: readFindings, figures: readFigures } = readLamp(text, drawing)
  if (!lamp || (strict && readFindings.some((f) => f.severity === "red"))) {
    const findings = [...readFindings].sort(byMargin)
    return { text, lamp: undefined, findings, verdict: verdictOf(findings) }
  }

  const recall = recallFrom(memory)
  const circuit = yield* stage("drive", recall, [lamp], () => designDrive(lamp))
  const behaviour = yield* stage("behaviour", recall, [lamp, circuit], () => designBehaviour(lamp, circuit))
  onStage?.({
    text,
    lamp,
    circuit,
    behaviour,
    ...told(lamp, readFindings, readFigures, [circuit, behaviour]),
  })
  const boards = yield* stage("boards", recall, [lamp, circuit], () =>
    designBoards(lamp, circuit, crew, recall),
  )
  const firmware = yield* stage("firmware", recall, [circuit, behaviour, boards.pinChoice], () =>
    makeFirmware(circuit, behaviour, boards.pinChoice),
  )
  const { copper, plan } = yield* stage("cut", recall, [lamp, boards], () =>
    designCut(lamp, boards, { crew, recall }),
  )
  const made = {
    lamp,
    circuit,
    behaviour,
    boards,
    programs: plan.programs,
    extras: plan.extras ?? [],
    firmware,
  }
  const proof = yield* stage("proof", recall, [lamp, circuit, behaviour, boards, plan, firmware], () =>
    proveLamp(made, { crew, recall }),
  )

  const rooms = [circuit, behaviour, boards, ...(firmware ? [firmware] : []), plan, proof]
  const { findings, figures } = told(lamp, readFindings, readFigures, rooms)
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

/** What the rooms found, thinnest margin first, with its place in the text. */
function told(
  lamp: Lamp,
  readFindings: readonly Finding[],
  readFigures: readonly Figure[],
  rooms: readonly { readonly findings: readonly Finding[]; readonly figures: readonly Figure[] }[],
): { findings: readonly Finding[]; figures: readonly Figure[] } {
  return {
    findings: [...readFindings, ...rooms.flatMap((r) => r.findings)]
      .map((f) => located(f, lamp))
      .sort(byMargin),
    figures: [...readFigures, ...rooms.flatMap((r) => r.figures)],
  }
}

/** Runs one stage, or takes what it made before when its inputs read the same. */
function* stage<T>(
  name: Stage,
  recall: Recall,
  inputs: readonly unknown[],
  make: () => Work<T> | T,
): Work<T> {
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

/** Line and column for a finding that names its path in the description. */
function located(finding: Finding, lamp: Lamp): Finding {
  const { where } = finding
  if (where.line !== undefined || where.path === undefined) return finding
  for (let path = where.path; path !== ""; path = path.slice(0, Math.max(0, path.lastIndexOf(".")))) {
    const place = Object.hasOwn(lamp.places, path) ? lamp.places[path] : undefined
    if (place) return { ...finding, where: { ...where, line: place.line, column: place.column } }
  }
  return finding
}
