// Everything the workshop needs, as files in memory; and what they are made from.

import type { Figure } from "../0-ground/figure.ts"
import type { Finding, Verdict } from "../0-ground/finding.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import type { Behaviour, Firmware } from "../4-behaviour/artefact.ts"
import type { Boards } from "../5-board/artefact.ts"
import type { Copper, CutPlan } from "../6-copper/artefact.ts"
import type { Proof } from "../7-proof/artefact.ts"
import type { BringUpPlan } from "./bring-up/plan-bring-up.ts"

export interface PackFile {
  /** Forward slashes, relative to the pack's folder. */
  readonly path: string
  readonly text: string
}

export interface Pack {
  readonly files: readonly PackFile[]
}

/** A designed lamp, as the whole chain leaves it. */
export interface PackInput {
  /** The description. */
  readonly text: string
  readonly lamp: Lamp
  readonly circuit: Circuit
  readonly behaviour: Behaviour
  readonly boards: Boards
  readonly firmware: Firmware | undefined
  readonly copper: Copper
  readonly plan: CutPlan
  readonly proof: Proof
  /** Of all rooms, thinnest margin first. */
  readonly findings: readonly Finding[]
  readonly figures: readonly Figure[]
  readonly verdict: Verdict
  /** Names of the stages that ran. */
  readonly stages: readonly string[]
}

/** A file that is not text, made by a door. */
export interface BinaryFile {
  readonly path: string
  readonly bytes: Uint8Array
}

export interface PackOptions {
  /** Leaves out what a machine would run: cutter programs and firmware. */
  readonly withhold?: boolean
  /** The plan of this very lamp, where it was worked out before. */
  readonly bringUp?: BringUpPlan | undefined
}
