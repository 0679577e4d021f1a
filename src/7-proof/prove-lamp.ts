// Way in of the proof: reads only what was made and judges every claim about it.

import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import type { Work } from "../0-ground/progress.ts"
import { packages } from "../1-stock/packages.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import type { Behaviour, Firmware } from "../4-behaviour/artefact.ts"
import type { Boards } from "../5-board/artefact.ts"
import type { CutterProgram } from "../6-copper/artefact.ts"
import type { BoardProof, Proof } from "./artefact.ts"
import { proveBench } from "./bench/prove-bench.ts"
import type { Extracted } from "./cut/extract-netlist.ts"
import { proveCut } from "./cut/prove-cut.ts"
import { proveHarness } from "./cut/prove-harness.ts"
import { wantedNetlist } from "./cut/wanted-netlist.ts"
import { checkCurrents } from "./electric/check-currents.ts"
import { checkFit } from "./fit/face-fit.ts"
import { checkRules } from "./light/check-rules.ts"

export interface Made {
  readonly lamp: Lamp
  readonly circuit: Circuit
  readonly behaviour: Behaviour
  readonly boards: Boards
  readonly programs: readonly CutterProgram[]
  readonly firmware: Firmware | undefined
}

export function* proveLamp(made: Made): Work<Proof> {
  const { lamp, circuit, boards } = made
  const findings: Finding[] = []
  const figures: Figure[] = []
  const wanted = wantedNetlist(circuit, boards)
  const joined = new Map<string, Extracted>()
  const proofs: BoardProof[] = []
  for (const board of boards.boards) {
    const programs = made.programs.filter((p) => p.board === board.name)
    const evidence = yield* proveCut(lamp, board, wanted, programs, packages.find, circuit.earth)
    proofs.push(evidence.proof)
    findings.push(...evidence.findings)
    joined.set(board.name, evidence.joined)
  }
  findings.push(...proveHarness(circuit, boards, wanted, joined))
  yield { stage: "proving currents", done: 0 }
  const electric = checkCurrents(lamp, circuit)
  findings.push(...electric.findings)
  figures.push(...electric.figures)
  const played = yield* proveBench(made)
  findings.push(...played.findings)
  figures.push(...played.figures)
  yield { stage: "proving light and fit", done: 0 }
  const fitted = checkFit(lamp, boards)
  const lit = checkRules(lamp, circuit, played.trace)
  findings.push(...fitted.findings, ...lit.findings)
  figures.push(...fitted.figures, ...lit.figures)
  return { boards: proofs, trace: played.trace, figures, findings }
}
