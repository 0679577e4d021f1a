// Copper under screw heads and spacers: a metal screw joins what it touches, and usually the face with it.

import type { Finding } from "../../0-ground/finding.ts"
import type { Board } from "../../5-board/artefact.ts"
import { proof } from "../proof-findings.ts"
import type { Extracted } from "./extract-netlist.ts"
import { type CopperLabels, pieceAt } from "./label-copper.ts"

/** Kept between a screw head's edge and the board's own keep-out, mm. */
const clearance = 0.5

export function checkScrews(
  board: Board,
  nets: readonly (string | undefined)[],
  joined: Extracted,
  labels: CopperLabels,
  earth: string,
): Finding[] {
  const netsOfPiece = new Map<number, Set<string>>()
  for (const [i, pieces] of joined.pieces.entries()) {
    const net = nets[i]
    if (net === undefined) continue
    for (const piece of pieces) netsOfPiece.set(piece, (netsOfPiece.get(piece) ?? new Set()).add(net))
  }
  const findings: Finding[] = []
  for (const [k, screw] of board.screws.entries()) {
    const head = Math.max(screw.diameter / 2 + 0.2, screw.keepOut - clearance)
    const touched = new Set<string>()
    for (let r = screw.diameter / 2 + 0.05; r <= head; r += 0.1) {
      const count = Math.ceil((2 * Math.PI * r) / 0.1)
      for (let n = 0; n < count; n++) {
        const a = (2 * Math.PI * n) / count
        const piece = pieceAt(labels, screw.x + r * Math.cos(a), screw.y + r * Math.sin(a))
        for (const net of piece < 0 ? [] : (netsOfPiece.get(piece) ?? [])) touched.add(net)
      }
    }
    const live = [...touched].filter((n) => n !== earth)
    if (live.length === 0) continue
    findings.push(
      proof.state("screw-copper", {
        severity: touched.size > 1 ? "red" : "amber",
        title:
          touched.size > 1
            ? `the head or spacer of screw ${k + 1} on ${board.name} joins ${[...touched].join(" and ")}`
            : `the head or spacer of screw ${k + 1} on ${board.name} touches ${live[0]}`,
        where: {
          text: `${board.name}, screw ${k + 1}`,
          board: board.name,
          net: live[0]!,
          x: screw.x,
          y: screw.y,
          frame: "board",
        },
        measured: { value: live.length, unit: "" },
        limit: { value: 0, unit: "", kind: "exactly" },
      }),
    )
  }
  if (findings.length === 0 && board.screws.length > 0) {
    findings.push(
      proof.state("screw-copper", {
        severity: "green",
        title: `${board.name}: no live copper under its ${board.screws.length} screws`,
        where: { text: board.name, board: board.name },
        measured: { value: 0, unit: "" },
        limit: { value: 0, unit: "", kind: "exactly" },
        margin: 0,
        advice: "Nothing to do.",
      }),
    )
  }
  return findings
}
