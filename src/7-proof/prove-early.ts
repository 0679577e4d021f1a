// What the proof can say before there are boards: the rules of light from the solved corners, and how LEDs sit.

import type { Lamp } from "../2-lamp/artefact.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import { checkStanding } from "./fit/check-standing.ts"
import { checkRules } from "./light/check-rules.ts"
import type { Told } from "./told.ts"

export function proveEarly(lamp: Lamp, circuit: Circuit): Told {
  const lit = checkRules(lamp, circuit, undefined)
  const sits = checkStanding(lamp)
  return { findings: [...lit.findings, ...sits.findings], figures: [...lit.figures, ...sits.figures] }
}
