// How small can a board of its own outline become? Smaller and smaller outlines are placed, routed and cut, each just as
// designing the lamp would, until none is made any more; the whole lamp is then proven with the smallest. Bounded in
// sizes, never by a clock: the same description gives the same answer, and whoever asked may stop it and still gets the
// best so far. It is the smallest found, not the smallest there is.

import { type Crew, shareOut } from "./0-ground/crew.ts"
import { boundingBox, signedArea } from "./0-ground/geometry/polygon.ts"
import type { Work } from "./0-ground/progress.ts"
import { type Memory, recallFrom } from "./0-ground/recall.ts"
import { removeKey, setList, setValue } from "./0-ground/text/edit-text.ts"
import type { BoardRequest, Lamp } from "./2-lamp/artefact.ts"
import { readLamp } from "./2-lamp/read-lamp.ts"
import type { Circuit } from "./3-drive/artefact.ts"
import { designDrive } from "./3-drive/design-drive.ts"
import type { Board } from "./5-board/artefact.ts"
import { type BoardJob, designBoards, doBoardJob } from "./5-board/design-boards.ts"
import { designCut } from "./6-copper/design-cut.ts"
import { designLamp } from "./design-lamp.ts"

type Placement = NonNullable<BoardJob["placement"]>

/** One size that was tried. */
export interface Tried {
  readonly w: number
  readonly h: number
  /** mm² */
  readonly area: number
  readonly outcome: "made" | "no room" | "open nets" | "not cut" | "not proven" | "not described"
  /** In words, when it was not made. */
  readonly why?: string
  readonly links?: number
  /** Length of its grooves, mm. */
  readonly grooves?: number
  /** Share of the area under bodies, %. */
  readonly bodies?: number
}

export interface Shrunk {
  readonly board: string
  /** In the order they were tried; the first is the board as described. */
  readonly tried: readonly Tried[]
  /** The smallest whose whole lamp was then designed and proven without a red finding on this board. */
  readonly smallest?: Tried
  /** The smallest made with no more links than the described size needs, when that is another. */
  readonly asFewLinks?: Tried
  /** The description with the smallest outline written into it. */
  readonly text?: string
  /** Why nothing could be tried. */
  readonly refused?: string
}

export interface ShrinkOptions {
  readonly crew?: Crew | undefined
  /** Sizes with more links do not count. */
  readonly mostLinks?: number
  /** Sizes tried beside the described one. */
  readonly sizes?: number
  /** Asked between sizes: true ends the search with the best so far, which is still proven. */
  readonly enough?: () => boolean
  /** Told of each size when it has been tried. */
  readonly onTried?: (tried: Tried) => void
}

/** A size is not routed when the sketch of its tracks leaves more connections open: each would be a link or worse. */
const mostOpen = 12
/** Sizes are whole multiples of this, mm. */
const step = 0.5
/** Whole lamps proven for the answer, smallest first. */
const mostProofs = 4

/** `text` and `drawing` as for `designLamp`; the board must have an outline of its own. */
export function* shrinkBoard(
  text: string,
  drawing: (file: string) => string | undefined,
  name: string,
  {
    crew,
    mostLinks = Number.POSITIVE_INFINITY,
    sizes = 12,
    enough = () => false,
    onTried,
  }: ShrinkOptions = {},
): Work<Shrunk> {
  const { lamp } = readLamp(text, drawing)
  const request = lamp?.boards.find((b) => b.name === name)
  const refuse = (refused: string): Shrunk => ({ board: name, tried: [], refused })
  if (!lamp) return refuse("the description could not be read; lampwright check tells why")
  if (!request)
    return refuse(
      `there is no board ${name}; there ${lamp.boards.length === 1 ? "is" : "are"} ${lamp.boards.map((b) => b.name).join(", ")}`,
    )
  if (!request.outline)
    return refuse(`${name} takes its edge from its face; only a board with an outline of its own can shrink`)
  const circuit = designDrive(lamp)
  const box = boundingBox(request.outline)
  const given = { w: box.maxX - box.minX, h: box.maxY - box.minY }
  const plain =
    request.outline.length === 4 && Math.abs(Math.abs(signedArea(request.outline)) - given.w * given.h) < 1e-6

  // Boards that stay as they are are laid once; what was laid for a size is proven as it was laid.
  const memory: Memory = new Map()
  const tried: Tried[] = []
  const texts = new Map<Tried, string>()
  const memories = new Map<Tried, Memory>()
  const attempt = function* (w: number, h: number): Work<Tried> {
    const known = tried.find((t) => t.w === w && t.h === h)
    if (known) return known
    yield { stage: "shrink", done: tried.length / (sizes + 1), note: `${w} × ${h} mm` }
    const written = w === given.w && h === given.h ? text : outlined(text, request, given, { w, h }, plain)
    const result: Tried =
      written === undefined
        ? {
            w,
            h,
            area: w * h,
            outcome: "not described",
            why: "the outline stands in a form that is changed in the text",
          }
        : yield* told(
            trySize(written, drawing, name, circuit, memory, crew, tried.length > 0, w, h),
            tried.length / (sizes + 1),
            `${w} × ${h} mm`,
          )
    tried.push(result)
    if (written !== undefined) texts.set(result, written)
    if (result.outcome === "made") memories.set(result, new Map(memory))
    onTried?.(result)
    return result
  }
  const good = (t: Tried) => t.outcome === "made" && (t.links ?? 0) <= mostLinks

  const first = yield* attempt(given.w, given.h)
  if (good(first)) {
    let best = first
    // In its own form first: halving the way between the area of its bodies alone and the smallest made.
    let low = Math.sqrt((first.bodies ?? 0) / 100)
    let high = 1
    for (let k = 0; k < Math.ceil(sizes * 0.5) && high - low > 0.012 && !enough(); k++) {
      const scale = (low + high) / 2
      const t = yield* attempt(toStep(given.w * scale), toStep(given.h * scale))
      if (good(t)) {
        high = scale
        if (t.area < best.area) best = t
      } else low = scale
    }
    // Then one side at a time.
    let less = 0.08
    let side = 0
    let missed = 0
    while (plain && tried.length <= sizes && less > 0.012 && !enough()) {
      const w = side === 0 ? toStep(best.w * (1 - less)) : best.w
      const h = side === 1 ? toStep(best.h * (1 - less)) : best.h
      const t = yield* attempt(w, h)
      if (good(t) && t.area < best.area) {
        best = t
        missed = 0
      } else if (++missed === 2) {
        less /= 2
        missed = 0
      }
      side = 1 - side
    }
  }
  const made = tried.filter(good).sort((a, b) => a.area - b.area || a.w - b.w)
  // The described size is among them: where no smaller one stands the proof, it is the answer.
  const candidates = made.filter((t, i) => i < mostProofs - 1 || t === first)
  for (const candidate of candidates) {
    yield {
      stage: "shrink",
      done: sizes / (sizes + 1),
      note: `${candidate.w} × ${candidate.h} mm, the whole lamp`,
    }
    const written = texts.get(candidate)!
    const design = yield* designLamp(written, drawing, { crew, memory: memories.get(candidate)! })
    const red = design.findings.find((f) => f.severity === "red" && f.where.board === name)
    if (design.lamp && !red) {
      const few = made.find((t) => (t.links ?? 0) <= (first.links ?? 0))
      return {
        board: name,
        tried,
        smallest: candidate,
        ...(few && few !== candidate ? { asFewLinks: few } : {}),
        text: written,
      }
    }
    made.splice(made.indexOf(candidate), 1)
    tried[tried.indexOf(candidate)] = {
      ...candidate,
      outcome: "not proven",
      why: red?.title ?? "the lamp with it is not designed",
    }
  }
  return { board: name, tried }
}

/** Progress of one size within the whole search. */
function* told<T>(work: Work<T>, done: number, note: string): Work<T> {
  for (;;) {
    const next = work.next()
    if (next.done) return next.value
    yield { stage: "shrink", done, note }
  }
}

function* trySize(
  text: string,
  drawing: (file: string) => string | undefined,
  name: string,
  circuit: Circuit,
  memory: Memory,
  crew: Crew | undefined,
  look: boolean,
  w: number,
  h: number,
): Work<Tried> {
  const size = { w, h, area: w * h }
  const { lamp, findings } = readLamp(text, drawing)
  const wrong = findings.find((f) => f.severity === "red" && f.where.path?.startsWith(`boards.${name}`))
  if (!lamp || wrong)
    return { ...size, outcome: "not described", why: wrong?.title ?? "it could not be read" }
  if (look) {
    // One look before the search: a size without hope is not routed.
    const job: BoardJob = {
      lamp: { ...lamp, programme: [], places: {} },
      circuit: { ...circuit, corners: [], figures: [], findings: [] },
      board: name,
      seed: lamp.seed * 1000,
    }
    const [placed] = (yield* shareOut("shrink", [job], doBoardJob, crew)) as [Placement]
    if (placed.illegal > 0)
      return {
        ...size,
        outcome: "no room",
        why: `parts overlap or stand over the edge by ${placed.illegal.toFixed(1)} mm²`,
      }
    if ((placed.open ?? 0) > mostOpen)
      return {
        ...size,
        outcome: "open nets",
        why: `${placed.open} connections find no way before any wire link`,
      }
  }
  const { boards } = yield* designBoards(lamp, circuit, crew, recallFrom(memory))
  const board = boards.find((b) => b.name === name)
  if (!board) return { ...size, outcome: "not described", why: "it has no outline left" }
  if (board.unrouted.length > 0)
    return {
      ...size,
      outcome: "open nets",
      why: `${board.unrouted.length} of its nets stay open at best (${board.unrouted.slice(0, 3).join(", ")})`,
    }
  return yield* cutSize(lamp, board, size)
}

function* cutSize(lamp: Lamp, board: Board, size: Pick<Tried, "w" | "h" | "area">): Work<Tried> {
  const { plan } = yield* designCut(lamp, {
    boards: [board],
    harness: [],
    pinChoice: { controller: {}, sections: {}, strings: {} },
    figures: [],
    findings: [],
  })
  const red = plan.findings.find((f) => f.severity === "red")
  if (red) return { ...size, outcome: "not cut", why: red.title }
  const bodies = board.parts.reduce((sum, p) => sum + Math.abs(signedArea(p.body)), 0)
  return {
    ...size,
    outcome: "made",
    links: board.links.length,
    grooves: plan.programs.filter((p) => p.purpose === "engrave").reduce((sum, p) => sum + p.cutLength, 0),
    bodies: (100 * bodies) / Math.abs(signedArea(board.outline)),
  }
}

/** The description with the board's outline, and where its wires leave, drawn to the new size. */
function outlined(
  text: string,
  request: BoardRequest,
  from: { readonly w: number; readonly h: number },
  to: { readonly w: number; readonly h: number },
  plain: boolean,
): string | undefined {
  const path = `boards.${request.name}.outline`
  const sx = to.w / from.w
  const sy = to.h / from.h
  const number = (v: number) => String(Math.round(v * 1000) / 1000)
  const ring = () => request.outline!.map((p) => `[${number(p.x * sx)} mm, ${number(p.y * sy)} mm]`)
  const next = plain
    ? rewritten(text, path, `${number(to.w)} × ${number(to.h)} mm`)
    : rewritten(text, path, placeholder)?.replace(
        new RegExp(`(["']?)${placeholder}\\1`),
        `{ points: [${ring().join(", ")}] }`,
      )
  if (next === undefined) return undefined
  if (!request.wiresAt) return next
  const at = setList(next, `boards.${request.name}.wires-at`, [
    `${number(request.wiresAt.x * sx)} mm`,
    `${number(request.wiresAt.y * sy)} mm`,
  ])
  return "text" in at ? at.text : undefined
}

const placeholder = "outline-to-come"

/** The value at `path`, whatever form it had. */
function rewritten(text: string, path: string, value: string): string | undefined {
  const direct = setValue(text, path, value)
  if ("text" in direct) return direct.text
  const without = removeKey(text, path)
  const again = "text" in without ? setValue(without.text, path, value) : without
  return "text" in again ? again.text : undefined
}

const toStep = (v: number): number => Math.max(step, Math.round(v / step) * step)
