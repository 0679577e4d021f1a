// The bring-up plan: the readings to take after each assembly step, worked out by solving the lamp with every single
// fault. A reading is in the plan because it reveals a fault no earlier one does, or because power without it is rash.

import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit, Part } from "../../3-drive/artefact.ts"
import type { Boards } from "../../5-board/artefact.ts"
import type { Copper } from "../../6-copper/artefact.ts"
import { benchOf, type End } from "./bench-network.ts"
import { type Candidate, type Shown, type Station, stations } from "./candidates.ts"
import { type Fault, listFaults } from "./faults.ts"
import { type Harmless, sortLoose } from "./loose-bridges.ts"
import { type How, type Range, type StepName, steps } from "./readings.ts"

export interface BringUpReading {
  /** `B1`, `B2` … in the order they are taken. */
  readonly id: string
  readonly step: StepName
  /** Board, or "lamp". */
  readonly board: string
  readonly how: How
  readonly probe: string
  /** How the supply is connected, with its voltage and current limit; absent without supply. */
  readonly supply?: { readonly name: string; readonly volt: number; readonly limit: number }
  readonly unit: string
  readonly expected: number
  readonly low: number
  /** Infinite: only the low limit counts. */
  readonly high: number
  /** Faults that no earlier reading reveals. */
  readonly finds: readonly string[]
}

export interface BringUpPlan {
  readonly readings: readonly BringUpReading[]
  /** Every single fault that was solved. */
  readonly faults: readonly {
    readonly id: string
    readonly text: string
    /** Of a bridge: everywhere it can happen. */
    readonly places?: readonly string[]
    readonly revealedBy?: string
  }[]
  /** Solder bridges that change nothing; no faults. */
  readonly harmless: readonly {
    readonly id: string
    readonly text: string
    readonly places: readonly string[]
    /** States with the supply on that were solved; how far, at most, a voltage and the supply current move, V and A. */
    readonly states: number
    readonly volt: number
    readonly ampere: number
  }[]
}

/** What the plan is worked out from. */
export interface BenchInput {
  readonly lamp: Lamp
  readonly circuit: Circuit
  readonly boards: Boards
  readonly copper: Copper
}

/** What each reading of the plan would show with each fault: fault id → reading id → range. */
export type Signatures = ReadonlyMap<string, ReadonlyMap<string, Signature>>
export interface Signature extends Range {
  /** Not every place of the bridge is soldered yet: this, or what a sound lamp shows. */
  readonly orSound?: true
}

export function planBringUp(made: BenchInput): BringUpPlan {
  return chosen(made).plan
}

/** The plan with every reading solved for every fault; takes some seconds for a large lamp. */
export function solveFaults(made: BenchInput): {
  readonly plan: BringUpPlan
  readonly sound: ReadonlyMap<string, Range>
  readonly signatures: Signatures
} {
  const { plan, picked, faults, solver } = chosen(made)
  const signatures = new Map<string, ReadonlyMap<string, Signature>>()
  for (const fault of faults) {
    const own = new Map<string, Signature>()
    for (const [k, { station, candidate }] of picked.entries()) {
      const range = solver.signature({ station, candidate }, fault)
      if (range && !Number.isNaN(range.low + range.usual + range.high)) own.set(plan.readings[k]!.id, range)
    }
    signatures.set(fault.id, own)
  }
  const sound = new Map(picked.map(({ candidate }, k) => [plan.readings[k]!.id, candidate.healthy]))
  return { plan, sound, signatures }
}

interface Pick {
  readonly station: Station
  readonly candidate: Candidate
}

interface Solver {
  /** What the reading would be with the fault; undefined: not to be told. */
  signature(pick: Pick, fault: Fault): Signature | undefined
  /** Whether it would leave its limits at whichever end the parts lie. */
  reveals(pick: Pick, fault: Fault): boolean
}

function chosen({ lamp, circuit, boards, copper }: BenchInput): {
  plan: BringUpPlan
  picked: readonly Pick[]
  faults: readonly Fault[]
  solver: Solver
} {
  const bench = benchOf(circuit, boards)
  const listed = listFaults(circuit, boards, copper)
  const all = stations(
    bench,
    lamp,
    listed.filter((f) => f.kind === "bridge"),
  )
  const byRef = new Map(circuit.parts.map((p) => [p.ref, p]))
  const { faults, harmless } = sortLoose(
    listed,
    all,
    circuit.parts.filter((p) => p.kind === "led").map((p) => p.ref),
    (station, f) => f.kind !== "housing" && presence(station, f, byRef) === "there",
  )
  const solver = solverFor(byRef, faults)
  const open = new Set(faults)
  const picked: Pick[] = []
  const take = (p: Pick, known?: ReadonlySet<Fault>) => {
    picked.push(p)
    for (const f of known ?? [...open].filter((g) => solver.reveals(p, g))) open.delete(f)
  }
  /** Takes the readings that reveal most of `aim` until none reveals more. */
  const cover = (picks: readonly Pick[], aim: (f: Fault) => boolean) => {
    const aimed = [...open].filter(aim)
    const found = picks.map((p) => new Set(aimed.filter((f) => solver.reveals(p, f))))
    for (;;) {
      let best = -1
      let most = 0
      for (let k = 0; k < found.length; k++)
        if (found[k]!.size > most) {
          best = k
          most = found[k]!.size
        }
      if (best < 0) return
      const got = new Set(found[best])
      take(picks[best]!, got)
      for (const set of found) for (const f of got) set.delete(f)
    }
  }
  const aimOf = (step: StepName) => aimAt(step, byRef, circuit)
  // Readings step by step; then bridges that no powered reading tells are read before power.
  const at = (station: Station, always: boolean) =>
    station.candidates.filter((c) => c.always === always).map((candidate) => ({ station, candidate }))
  for (const step of steps) {
    const here = all.filter((s) => s.setup.step === step)
    for (const station of here) for (const p of at(station, true)) take(p)
    const boardsHere = [...new Set(here.map((s) => s.board))]
    for (const b of boardsHere)
      cover(
        here.filter((s) => s.board === b).flatMap((s) => at(s, false)),
        aimOf(step),
      )
  }
  for (const station of all)
    if (station.setup.step === "everything in, no supply") cover(at(station, false), () => true)
  return { ...told(picked, faults, harmless, solver), faults, solver }
}

/** Faults a step should find itself: those of its own parts; before power, whatever would carry current to earth. */
function aimAt(step: StepName, byRef: ReadonlyMap<string, Part>, circuit: Circuit): (f: Fault) => boolean {
  const kinds: Partial<Record<StepName, readonly string[]>> = {
    "ceramic capacitors in": ["capacitor"],
    "resistors in": ["resistor", "resistor-array"],
    "suppressors in": ["clamp", "zener"],
    "diodes in": ["diode"],
    "electrolytic capacitors in": ["capacitor"],
  }
  const own = kinds[step]
  if (own)
    return (f) => (f.kind === "part" || f.kind === "section") && own.includes(byRef.get(f.ref)?.kind ?? "")
  if (step !== "everything in, no supply") return () => true
  const hot = new Set(
    circuit.nets.filter((n) => ["earth", "wire", "supply"].includes(n.kind)).map((n) => n.name),
  )
  return (f) => f.kind === "bridge" && hot.has(f.a) && hot.has(f.b)
}

/** Readings in the order they are taken, each with the faults it is first to reveal. */
function told(
  picks: readonly Pick[],
  faults: readonly Fault[],
  harmless: readonly Harmless[],
  solver: Solver,
): { plan: BringUpPlan; picked: readonly Pick[] } {
  const order = (p: Pick) => steps.indexOf(p.station.setup.step)
  const boardOrder = [...new Set(picks.map((p) => p.station.board))]
  const picked = picks
    .map((p, k) => ({ p, k }))
    .sort(
      (a, b) =>
        order(a.p) - order(b.p) ||
        boardOrder.indexOf(a.p.station.board) - boardOrder.indexOf(b.p.station.board) ||
        byText(a.p.station.setup.power?.name ?? "", b.p.station.setup.power?.name ?? "") ||
        a.k - b.k,
    )
    .map(({ p }) => p)
  const open = new Set(faults)
  const revealedBy = new Map<string, string>()
  const readings = picked.map(({ station, candidate: c }, k): BringUpReading => {
    const id = `B${k + 1}`
    const finds: string[] = []
    for (const f of open) {
      if (!solver.reveals({ station, candidate: c }, f)) continue
      finds.push(f.text)
      revealedBy.set(f.id, id)
      open.delete(f)
    }
    const { power, step } = station.setup
    return {
      id,
      step,
      board: station.board,
      how: c.how,
      probe: c.probe,
      ...(power ? { supply: { name: power.name, volt: power.volt, limit: power.limit } } : {}),
      unit: c.unit,
      expected: c.healthy.usual,
      low: c.low,
      high: c.high,
      finds,
    }
  })
  const list = faults.map((f) => {
    const { id, text } = f
    const by = revealedBy.get(id)
    const places = placesOf(f)
    return {
      id,
      text,
      ...(places.length === 0 ? {} : { places }),
      ...(by === undefined ? {} : { revealedBy: by }),
    }
  })
  const quiet = harmless.map(({ fault, ...moves }) => {
    const { id, text } = fault
    return { id, text, places: placesOf(fault), ...moves }
  })
  return { plan: { readings, faults: list, harmless: quiet }, picked }
}

const placesOf = (f: Fault) =>
  f.kind === "bridge" || f.kind === "housing" ? f.places.map((p) => p.name) : []

/** What a setup shows; `perhaps`: with the fault, if its place is soldered yet. */
type There = Shown | "sound" | { readonly perhaps: () => Shown }

/** Solves each setup once for each fault that can matter there. */
function solverFor(byRef: ReadonlyMap<string, Part>, faults: readonly Fault[]): Solver {
  const number = new Map(faults.map((f, k) => [f, k]))
  const shown = new Map<Station, (There | undefined)[]>()
  /** Of each reading, for each fault: 1 no, 2 yes. */
  const revealed = new Map<Candidate, Uint8Array>()
  const show = (station: Station, fault: Exclude<Fault, { kind: "housing" }>): There => {
    let own = shown.get(station)
    if (!own) {
      own = faults.map(() => undefined)
      shown.set(station, own)
    }
    const k = number.get(fault)!
    own[k] ??= ask(station, fault)
    return own[k]
  }
  const ask = (station: Station, fault: Exclude<Fault, { kind: "housing" }>): There => {
    const present = presence(station, fault, byRef)
    if (present === "not yet" || station.feels?.(fault) === false) return "sound"
    if (present === "there") return station.show(fault)
    let shown: Shown | undefined
    return {
      perhaps: () => {
        shown ??= station.show(fault)
        return shown
      },
    }
  }
  const range = ({ station, candidate }: Pick, fault: Fault, only?: End): Range | undefined => {
    if (candidate.confirms) return undefined
    // What touches a metal that is joined to nothing changes no other reading.
    if (fault.kind === "housing") return candidate.onMetal ? candidate.read({ fault }) : candidate.healthy
    const there = show(station, fault)
    if (there === "sound") return candidate.healthy
    // Which of its places a bridge has decides what is read.
    return "perhaps" in there ? undefined : candidate.read(there, only)
  }
  const signature = (pick: Pick, fault: Fault): Signature | undefined => {
    if (fault.kind !== "housing" && !pick.candidate.confirms) {
      const there = show(pick.station, fault)
      if (typeof there === "object" && "perhaps" in there) {
        const shown = pick.candidate.read(there.perhaps())
        return shown && { ...shown, orSound: true }
      }
    }
    return range(pick, fault)
  }
  const leaves = ({ low, high }: Candidate, r: Range | undefined) =>
    r !== undefined && (r.high < low || r.low > high)
  return {
    signature,
    reveals(pick, fault) {
      const { candidate } = pick
      let row = revealed.get(candidate)
      if (!row) {
        row = new Uint8Array(faults.length)
        revealed.set(candidate, row)
      }
      const k = number.get(fault)!
      // Where usual parts show what a sound lamp may, the other ends need not be solved.
      if (row[k] === 0)
        row[k] =
          leaves(candidate, range(pick, fault, "usual")) && leaves(candidate, range(pick, fault)) ? 2 : 1
      return row[k] === 2
    },
  }
}

/** Whether a fault can be there when a setup is read; a bridge of several places may be there or not. */
function presence(
  { setup }: Station,
  fault: Exclude<Fault, { kind: "housing" }>,
  byRef: ReadonlyMap<string, Part>,
): "there" | "not yet" | "perhaps" {
  const told = (is: boolean) => (is ? "there" : "not yet")
  if (fault.kind === "wire") return told(setup.power?.wires !== undefined)
  if (!setup.boards.includes(fault.board)) return "not yet"
  // Power comes when all is in.
  if (setup.power) return "there"
  // Pads and links stand from the start.
  const fitted = (ref: string) => {
    const part = byRef.get(ref)
    return part === undefined || setup.fitted(part)
  }
  if (fault.kind === "bridge") {
    const count = fault.places.filter((p) => p.lands.every((l) => fitted(l.ref))).length
    return count === fault.places.length ? "there" : count === 0 ? "not yet" : "perhaps"
  }
  return told(fault.kind === "link" || fitted(fault.ref))
}

const byText = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0)
