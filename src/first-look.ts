// What can be said of a lamp before its boards are laid out, in a tenth of a second: the electrical side without
// the draws by lot and the runs over time, the light programme, the rules of light, and how the LEDs sit.

import type { Figure } from "./0-ground/figure.ts"
import { byMargin, type Finding, type Verdict, verdictOf } from "./0-ground/finding.ts"
import { finish, type Work } from "./0-ground/progress.ts"
import { forgetful, type Recall, recalled } from "./0-ground/recall.ts"
import type { Lamp } from "./2-lamp/artefact.ts"
import { readLamp } from "./2-lamp/read-lamp.ts"
import type { Circuit } from "./3-drive/artefact.ts"
import { drawCircuit } from "./3-drive/draw-circuit.ts"
import type { Behaviour } from "./4-behaviour/artefact.ts"
import { designBehaviour } from "./4-behaviour/design-behaviour.ts"
import { imageBeforeBoards } from "./4-behaviour/make-image.ts"
import type { LightTrace } from "./7-proof/artefact.ts"
import {
  defaultStimulus,
  demonstrationSeconds,
  demonstrationStep,
  type Made,
  playing,
} from "./7-proof/play-lamp.ts"
import { proveEarly } from "./7-proof/prove-early.ts"

/** What is known in the first moments: enough to judge the electrical side, the light and the rules. */
export interface EarlyDesign {
  readonly text: string
  readonly lamp: Lamp
  readonly circuit: Circuit
  readonly behaviour: Behaviour
  /** Of the rooms done so far, thinnest margin first. */
  readonly findings: readonly Finding[]
  readonly figures: readonly Figure[]
}

/** A description with nothing to design from: only findings, at least one of them red. */
export interface Unreadable {
  readonly text: string
  readonly lamp: undefined
  readonly findings: readonly Finding[]
  readonly verdict: Verdict
}

/**
 * The first look; `onLamp` is told as soon as the text has been read. Faults that leave a lamp are carried along.
 * With a memory an edit that the drive does not depend on keeps its circuit; what is told is the same without.
 */
export function lookFirst(
  text: string,
  drawing: (file: string) => string | undefined,
  onLamp?: (lamp: Lamp) => void,
  recall: Recall = forgetful,
): EarlyDesign | Unreadable {
  const { lamp, findings, figures } = readLamp(text, drawing)
  if (!lamp) return unreadable(text, findings)
  onLamp?.(lamp)
  const circuit = finish(recalled(recall, "first drive", [drivenBy(lamp)], () => drawCircuit(lamp)))
  return earlyDesign(text, lamp, circuit, designBehaviour(lamp, circuit), findings, figures)
}

/** All that the drive is designed from; a test holds it against what is read. */
export const drivenBy = ({ vehicle, groups, programme, boards, pins, seed, places }: Lamp) => ({
  vehicle,
  groups,
  programme,
  boards: boards.map(({ name, carries, height, roomFor }) => ({ name, carries, height, roomFor })),
  pins,
  seed,
  // Remedies change what is written only.
  written: Object.keys(places),
})

/** A lamp whose firmware runs on the emulated controller, and the demonstration it played. */
export interface FirstLight extends Made {
  readonly trace: LightTrace
}

/**
 * The lamp lit by its own firmware before there are boards: signals take any pins they may use, and pins make no
 * difference to the light. Undefined where the firmware does not fit its controller.
 */
export function* lightFirst({ lamp, circuit, behaviour }: EarlyDesign): Work<FirstLight | undefined> {
  const firmware = imageBeforeBoards(circuit, behaviour)
  if (circuit.controller !== undefined && !firmware) return undefined
  const made: Made = { lamp, circuit, behaviour, firmware }
  const trace = yield* playing(made, defaultStimulus(lamp), demonstrationSeconds, demonstrationStep)
  return { ...made, trace }
}

export function earlyDesign(
  text: string,
  lamp: Lamp,
  circuit: Circuit,
  behaviour: Behaviour,
  readFindings: readonly Finding[],
  readFigures: readonly Figure[],
): EarlyDesign {
  const rooms = [circuit, behaviour, proveEarly(lamp, circuit)]
  return { text, lamp, circuit, behaviour, ...toldBy(lamp, readFindings, readFigures, rooms) }
}

export function unreadable(text: string, read: readonly Finding[]): Unreadable {
  const findings = [...read].sort(byMargin)
  return { text, lamp: undefined, findings, verdict: verdictOf(findings) }
}

/** What the rooms found, thinnest margin first, with its place in the text. */
export function toldBy(
  lamp: Lamp,
  readFindings: readonly Finding[],
  readFigures: readonly Figure[],
  rooms: readonly { readonly findings: readonly Finding[]; readonly figures: readonly Figure[] }[],
): { findings: readonly Finding[]; figures: readonly Figure[] } {
  return {
    findings: [
      ...readFindings.map((f) => (f.where.line === undefined ? located(f, lamp) : f)),
      // A room's findings may be recalled from a text whose lines stood elsewhere.
      ...rooms.flatMap((r) => r.findings.map((f) => located(f, lamp))),
    ].sort(byMargin),
    figures: [...readFigures, ...rooms.flatMap((r) => r.figures)],
  }
}

/** Line and column for a finding that names its path in the description. */
function located(finding: Finding, lamp: Lamp): Finding {
  const { where } = finding
  if (where.path === undefined) return finding
  for (let path = where.path; path !== ""; path = path.slice(0, Math.max(0, path.lastIndexOf(".")))) {
    const place = Object.hasOwn(lamp.places, path) ? lamp.places[path] : undefined
    if (place) return { ...finding, where: { ...where, line: place.line, column: place.column } }
  }
  return finding
}
