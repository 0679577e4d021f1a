// The cutter programs of a sheet that several boards share: all grooves, then each drill over all boards, last the
// outlines; one run for each tool, in the order a single board's programs have.

import type { Point } from "../0-ground/geometry/point.ts"
import { placed } from "../0-ground/geometry/quarter-turn.ts"
import type { Work } from "../0-ground/progress.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { BoardPlace, CutterProgram } from "./artefact.ts"
import type { BoardCut } from "./board-cut.ts"
import {
  clearProgram,
  drillProgram,
  engraveProgram,
  outlineProgram,
  type ProgramSetting,
} from "./cut-program.ts"
import { cuttingWays } from "./cutting-ways.ts"
import type { BoardHole } from "./drill-plan.ts"
import { orderPlaces, orderStrokes } from "./order-strokes.ts"
import type { OutlinePath } from "./outline-path.ts"
import { slotFits } from "./slot-path.ts"

export interface SheetPrograms {
  readonly programs: readonly CutterProgram[]
  /** The boards' places in the order they are cut out. */
  readonly places: readonly BoardPlace[]
  /** Between grooves, and what no order can go below. */
  readonly travel: Mm
  readonly bound: Mm
}

/** `cuts` by board name; every board of `places` has one. */
export function* sheetPrograms(
  lamp: Lamp,
  name: string,
  places: readonly BoardPlace[],
  cuts: ReadonlyMap<string, BoardCut>,
): Work<SheetPrograms> {
  const { router } = lamp.cutter
  const setting: ProgramSetting = {
    lamp: lamp.name,
    board: name,
    what: sheetTitle(name, places),
    cutter: lamp.cutter,
    ways: cuttingWays(lamp),
    copperClad: lamp.copperClad,
    sheetTurned: false,
  }
  const all = places.map((place) => {
    const cut = cuts.get(place.board)!
    return { place, cut, move: (p: Point) => toMicrometre(placed(p, place)) }
  })
  const programs: CutterProgram[] = []
  const strokes = all.flatMap(({ cut, move }) => cut.copper.grooves.map((g) => g.points.map(move)))
  const { grooves, travel, bound } = yield* orderStrokes(strokes, lamp.seed)
  if (grooves.length > 0) programs.push(engraveProgram(setting, grooves, all[0]!.cut.copper.grooveWidth))

  let step = 2
  const cleared = all.flatMap(({ cut, move }) =>
    cut.cleared?.mill
      ? [{ mill: cut.cleared.mill, strokes: cut.cleared.strokes.map((s) => s.map(move)) }]
      : [],
  )
  for (const diameter of [...new Set(cleared.map((c) => c.mill.diameter))].sort((a, b) => a - b)) {
    const same = cleared.filter((c) => c.mill.diameter === diameter)
    const ordered = yield* orderStrokes(
      same.flatMap((c) => c.strokes),
      lamp.seed,
    )
    programs.push(
      clearProgram(
        setting,
        same[0]!.mill,
        ordered.grooves.map((g) => g.points),
      ),
    )
    step = 3
  }

  const moved = (holes: readonly BoardHole[], move: (p: Point) => Point) =>
    holes.map((h) => ({ ...h, ...move(h) }))
  const drills = new Map<Mm, BoardHole[]>()
  for (const { cut, move } of all)
    for (const { drill, holes } of cut.holes.drilled)
      drills.set(drill, [...(drills.get(drill) ?? []), ...moved(holes, move)])
  for (const [drill, holes] of [...drills].sort(([a], [b]) => a - b))
    programs.push(drillProgram(setting, Math.min(step++, 8), drill, yield* orderPlaces(holes, lamp.seed)))

  const milled = all.flatMap(({ cut, move }) => moved(cut.holes.milled, move))
  const slots = all.flatMap(({ cut, move }) =>
    (cut.board.slots ?? [])
      .filter((s) => slotFits(s, router.diameter))
      .map((s) => ({ ...s, from: move(s.from), to: move(s.to) })),
  )
  const begun = yield* orderPlaces(
    all.map((a) => ({ ...a, ...a.move(a.cut.path?.points[0] ?? a.cut.board.outline[0]!) })),
    lamp.seed,
  )
  const paths = begun.flatMap(({ cut, move }): OutlinePath[] =>
    cut.path ? [{ ...cut.path, points: cut.path.points.map(move) }] : [],
  )
  programs.push(outlineProgram(setting, yield* orderPlaces(milled, lamp.seed), slots, paths))
  return { programs, places: begun.map((b) => b.place), travel, bound }
}

/** `sheet sheet-1 with front, left`. */
export const sheetTitle = (name: string, places: readonly BoardPlace[]): string =>
  `sheet ${name} with ${places.map((p) => p.board).join(", ")}`

/** What adding leaves behind in the last digits must not make two places of one. */
const toMicrometre = ({ x, y }: Point): Point => ({ x: tidy(x), y: tidy(y) })
const tidy = (v: number): number => Math.round(v * 1e7) / 1e7
