// Several boards from one sheet, where the description asks for it: which board lies where, the programs of each
// sheet, and what is told of them. The programs of each board stand beside, unchanged.

import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { placed } from "../0-ground/geometry/quarter-turn.ts"
import type { Work } from "../0-ground/progress.ts"
import { type Recall, recalled } from "../0-ground/recall.ts"
import type { Lamp, SharedSheet } from "../2-lamp/artefact.ts"
import type { ExtraProgram, SheetPlan } from "./artefact.ts"
import type { BoardCut } from "./board-cut.ts"
import type { CutterFigures } from "./cut-figures.ts"
import { cuttingWays } from "./cutting-ways.ts"
import { judgeSheets } from "./judge-sheets.ts"
import { oneFile } from "./one-file.ts"
import { packSheets } from "./pack-sheets.ts"
import { probeProgram } from "./probe-program.ts"
import { type SheetPrograms, sheetPrograms, sheetTitle } from "./sheet-programs.ts"

export interface SharedSheets {
  readonly sheets: readonly SheetPlan[]
  readonly extras: readonly ExtraProgram[]
  readonly figures: readonly Figure[]
  readonly findings: readonly Finding[]
}

/** A sheet with the travel of its grooves, for what is told of it. */
export interface MadeSheet extends SheetPlan, Pick<SheetPrograms, "travel" | "bound"> {}

export function* sharedSheets(
  lamp: Lamp,
  cuts: readonly BoardCut[],
  shared: SharedSheet,
  given: CutterFigures,
  recall: Recall,
): Work<SharedSheets> {
  const { sheet: size } = lamp.copperClad
  const { router } = lamp.cutter
  const ways = cuttingWays(lamp)
  const from = [
    { name: lamp.name, seed: lamp.seed, cutter: lamp.cutter, clad: lamp.copperClad, ways },
    cuts.map((c) => [c.board.name, c.board.outline, c.programs]),
  ]
  const { made, left } = yield* recalled(recall, "sheets", from, function* () {
    const packed = yield* packSheets({
      pieces: cuts.map(({ board: { name, outline } }) => ({ name, outline })),
      sheet: size,
      edge: shared.clampingEdge,
      kerf: router.diameter,
      gap: shared.boardGap,
      seed: lamp.seed,
    })
    const byName = new Map(cuts.map((c) => [c.board.name, c]))
    const stem = sheetStem([...byName.keys()])
    const made: MadeSheet[] = []
    for (const [k, laid] of packed.sheets.entries()) {
      const name = `${stem}-${k + 1}`
      made.push({ name, size, ...(yield* sheetPrograms(lamp, name, laid, byName)) })
      yield { stage: "sheets", done: (k + 1) / packed.sheets.length, note: name }
    }
    return { made, left: packed.left }
  })
  const extras = made.flatMap(({ name, places, programs }) => {
    const outline = places.flatMap((place) =>
      cuts.find((c) => c.board.name === place.board)!.board.outline.map((p) => placed(p, place)),
    )
    return [
      probeProgram(lamp, { name, outline }, ways.probes, sheetTitle(name, places)),
      ...(ways.files === "one" ? [oneFile(name, programs)] : []),
    ]
  })
  return {
    sheets: made.map(({ travel, bound, ...sheet }) => sheet),
    extras,
    ...judgeSheets(lamp, cuts, shared, made, left, given),
  }
}

/** `sheet`, unless a board is called `sheet-1` or so. */
function sheetStem(names: readonly string[]): string {
  let stem = "sheet"
  while (names.some((n) => n.startsWith(`${stem}-`))) stem = `whole-${stem}`
  return stem
}
