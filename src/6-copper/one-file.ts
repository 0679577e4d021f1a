// A board's programs in one file: each as it stands alone, with a stop (M0) between them to change the tool.
// Every section says its units, its modes and its spindle again, so that a start in the middle is the same as alone.

import type { CutterProgram, ExtraProgram } from "./artefact.ts"

export function oneFile(board: string, programs: readonly CutterProgram[]): ExtraProgram {
  const sections = programs.map((p, k) => {
    const lines = p.text.replace(/\n$/, "").split("\n")
    const next = programs[k + 1]
    if (!next) return lines
    return [
      ...lines.slice(0, -1),
      `(change to ${comment(next.tool)}; set Z to zero on the copper again, leave X and Y alone; then go on)`,
      "M0",
    ]
  })
  return {
    kind: "one-file",
    board,
    file: `${board.replace(/[\s\\/:*?"<>|]+/g, "-")}-all.ngc`,
    text: `${sections.flat().join("\n")}\n`,
    time: programs.reduce((sum, p) => sum + p.time, 0),
  }
}

const comment = (text: string): string => text.replaceAll("°", " deg").replace(/[^\x20-\x7e]|[()]/g, "?")
