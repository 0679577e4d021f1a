// One board's problem from the circuit: parts with their packages, nets as numbers, places that are given,
// and the freedoms that may exchange nets (controller pins, equal sections, LEDs of one string).

import type { Finding } from "../0-ground/finding.ts"
import { faceToBoard } from "../0-ground/geometry/point.ts"
import type { PackageType } from "../1-stock/artefact.ts"
import { packageType } from "../1-stock/packages.ts"
import { modelOf } from "../1-stock/parts.ts"
import type { BoardRequest, Lamp } from "../2-lamp/artefact.ts"
import type { Circuit, Part } from "../3-drive/artefact.ts"
import type { WirePad } from "./assign-parts.ts"
import { state } from "./board-findings.ts"
import type { BoardFrame } from "./board-frame.ts"
import type { BoardProblem, Freedom, ProblemNet, ProblemPart } from "./board-problem.ts"

const quarters = [0, 90, 180, 270]
const eighths = [0, 45, 90, 135, 180, 225, 270, 315]

/** Least copper to outline asked of placement and routing, mm; the finding's limit is 0.5. */
export const edgeRoom = 0.6

export function makeProblem(
  lamp: Lamp,
  circuit: Circuit,
  request: BoardRequest,
  frame: BoardFrame,
  circuitParts: readonly Part[],
  pads: readonly WirePad[],
): { problem: BoardProblem; findings: readonly Finding[] } {
  const findings: Finding[] = []
  const netIndex = new Map<string, number>()
  const nets: ProblemNet[] = []
  const known = new Map(circuit.nets.map((n) => [n.name, n]))
  const net = (name: string): number => {
    const at = netIndex.get(name)
    if (at !== undefined) return at
    netIndex.set(name, nets.length)
    nets.push({ name, current: known.get(name)?.current ?? 0, weight: 1 })
    return nets.length - 1
  }
  const holes = new Map(lamp.groups.flatMap((g) => g.leds.map((l) => [l.ref, l.hole])))

  const parts: ProblemPart[] = circuitParts.map((part) => {
    const kind = packageType(part.package)
    const hole = part.behindHole === undefined ? undefined : (holes.get(part.ref) ?? holeById(lamp, part))
    const pinned = readPlace(lamp, request.name, part.ref, findings)
    const at = hole ? faceToBoard(hole, frame.pose) : pinned
    return {
      ref: part.ref,
      kind: part.kind,
      value: part.value,
      package: kind,
      nets: kind.lands.map((l) => {
        const name = part.pins[l.pin]
        return name === undefined || name.startsWith("@") ? -1 : net(name)
      }),
      pins: kind.lands.map((l) => l.pin),
      ...(at ? { at: { x: at.x, y: at.y } } : {}),
      rotations: pinned ? [pinned.rotation] : hole ? eighths : turnsOf(kind, request),
      wirePad: false,
    }
  })
  for (const pad of pads) {
    const kind = packageType(pad.vehicle ? "wire-pad-large" : "wire-pad")
    const pinned = readPlace(lamp, request.name, pad.ref, findings)
    parts.push({
      ref: pad.ref,
      kind: "pad",
      value: [pad.vehicle ? "vehicle wire" : "wire", ...(pad.colour === undefined ? [] : [pad.colour])].join(
        ", ",
      ),
      package: kind,
      nets: [net(pad.net)],
      pins: kind.lands.map((l) => l.pin),
      ...(pinned ? { at: { x: pinned.x, y: pinned.y } } : {}),
      rotations: [0],
      wirePad: true,
    })
  }
  const freedoms = [
    ...controllerFreedom(lamp, circuit, circuitParts, parts, net, findings),
    ...sectionFreedoms(circuitParts, parts),
    ...stringFreedoms(circuit, parts),
  ]
  for (const p of parts)
    if (p.kind === "resonator")
      for (const n of p.nets)
        if (n >= 0 && nets[n]!.name !== circuit.earth) nets[n] = { ...nets[n]!, weight: 3 }
  const wiresAt = request.wiresAt ? faceToBoard(request.wiresAt, frame.pose) : undefined
  return {
    problem: {
      name: request.name,
      request,
      outline: frame.outline,
      pose: frame.pose,
      screws: [...frame.screws, ...frame.slotDiscs],
      ownScrews: frame.screws.length,
      cuts: frame.cuts,
      parts,
      nets,
      freedoms,
      springs: decouplingSprings(parts),
      ...(wiresAt ? { wiresAt: { x: wiresAt.x, y: wiresAt.y } } : {}),
      edge: edgeRoom,
      seed: lamp.seed,
    },
    findings,
  }
}

/** Long parts may lie along the curve of a lamp's face; a board of its own stays square. */
function turnsOf(kind: PackageType, request: BoardRequest): readonly number[] {
  const long = kind.lands.length === 2 && kind.body.shape === "rectangle" && kind.body.w >= 4
  return long && request.behind !== undefined ? Array.from({ length: 24 }, (_, i) => 15 * i) : quarters
}

function holeById(lamp: Lamp, part: Part) {
  for (const face of lamp.faces)
    for (const hole of face.ledHoles) if (hole.id === part.behindHole) return hole
  return undefined
}

/** `boards.<board>.<ref>: "x y rotation"`: millimetres and degrees in the board frame, seen from the copper side. */
function readPlace(lamp: Lamp, board: string, ref: string, findings: Finding[]) {
  const path = `boards.${board}.${ref}`
  if (!Object.hasOwn(lamp.pins, path)) return undefined
  const words = String(lamp.pins[path])
    .trim()
    .split(/[\s,]+/)
  const [x, y, rotation] = words.map(Number)
  const whole = words.length === 3 && [x, y, rotation].every((v) => v !== undefined && Number.isFinite(v))
  if (whole && Math.abs(x!) < 1000 && Math.abs(y!) < 1000) return { x: x!, y: y!, rotation: rotation! }
  findings.push(
    state("pin-place", {
      severity: "red",
      title: `the pinned place of ${ref} on ${board} cannot be read: “${lamp.pins[path]}”`,
      where: { text: `pins, ${path}`, path: `pins.${path}`, board, part: ref },
    }),
  )
  return undefined
}

function controllerFreedom(
  lamp: Lamp,
  circuit: Circuit,
  circuitParts: readonly Part[],
  parts: ProblemPart[],
  net: (name: string) => number,
  findings: Finding[],
): Freedom[] {
  const index = circuitParts.findIndex((p) => p.ref === circuit.controller)
  if (index < 0) return []
  const part = circuitParts[index]!
  const model = modelOf(part.stock, "controller")
  const landOf = (port: string): number =>
    parts[index]!.package.lands.findIndex((l) => l.pin === model.packagePins[port]?.[0])
  const fixedNet = (port: string): string | undefined => part.pins[model.packagePins[port]?.[0] ?? ""]
  const held = (signal: string): string | undefined => {
    const pin = lamp.pins[`controller.${signal}`]
    return pin === undefined ? undefined : String(pin).toUpperCase()
  }
  const free = model.ioPins.filter((port) => fixedNet(port) === undefined && landOf(port) >= 0)
  const may = circuit.signals.map((s) => {
    const pin = held(s.name)
    if (pin !== undefined && (!s.allowed.includes(pin) || !free.includes(pin))) {
      findings.push(
        state("pin-signal", {
          severity: "red",
          title: `${s.name} is held on ${pin}, which it may not use`,
          where: { text: `pins, controller.${s.name}`, path: `pins.controller.${s.name}` },
          advice: `It may use ${s.allowed.join(", ")}.`,
        }),
      )
      return s.allowed
    }
    return pin === undefined ? s.allowed : [pin]
  })
  // Any assignment that works to start from (augmenting paths).
  const holder = new Map<string, number>()
  const seat = (signal: number, seen: Set<string>): boolean => {
    for (const port of free) {
      if (!may[signal]!.includes(port) || seen.has(port)) continue
      seen.add(port)
      const other = holder.get(port)
      if (other === undefined || seat(other, seen)) {
        holder.set(port, signal)
        return true
      }
    }
    return false
  }
  const seated = circuit.signals.map((_, i) => seat(i, new Set()))
  for (const [i, ok] of seated.entries())
    if (!ok)
      findings.push(
        state("pin-signal", {
          severity: "red",
          title: `no controller pin is left for ${circuit.signals[i]!.name}`,
          where: { text: "pins", path: "pins", part: part.ref },
        }),
      )
  const portOf = new Map([...holder].map(([port, s]) => [s, port]))
  const placed = circuit.signals.map((_, i) => i).filter((i) => portOf.has(i))
  const ports = [...placed.map((i) => portOf.get(i)!), ...free.filter((p) => !holder.has(p))]

  const slots = ports.map((port) => [[index, landOf(port)] as [number, number]])
  const emptyNet = ports.map(() => -1)
  for (const [i, p] of circuitParts.entries())
    for (const [k, land] of parts[i]!.package.lands.entries()) {
      const name = p.pins[land.pin]
      if (!name?.startsWith("@")) continue
      const port = name.slice(1)
      const s = ports.indexOf(port)
      if (s >= 0) {
        slots[s]!.push([i, k])
        emptyNet[s] = net(port)
      } else {
        const fixed = fixedNet(port)
        if (fixed !== undefined) parts[i] = { ...parts[i]!, nets: parts[i]!.nets.with(k, net(fixed)) }
      }
    }
  const contents = ports.map((_, s) => [s < placed.length ? net(circuit.signals[placed[s]!]!.net) : -1])
  const allowed = ports.map((_, c) =>
    ports.map((port) => c >= placed.length || may[placed[c]!]!.includes(port)),
  )
  return [
    {
      kind: "controller",
      name: part.ref,
      slots,
      slotNames: ports,
      contents,
      contentNames: ports.map((_, c) => (c < placed.length ? circuit.signals[placed[c]!]!.name : "")),
      emptyNet,
      allowed,
    },
  ]
}

function sectionFreedoms(circuitParts: readonly Part[], parts: readonly ProblemPart[]): Freedom[] {
  return circuitParts.flatMap((part, i): Freedom[] => {
    if (!part.sections || part.sections.length < 2) return []
    const landOf = (pin: string) => parts[i]!.package.lands.findIndex((l) => l.pin === pin)
    const slots = part.sections.map((pins) => pins.map((pin) => [i, landOf(pin)] as const))
    return [
      {
        kind: "sections",
        name: part.ref,
        slots,
        slotNames: part.sections.map((_, s) => String(s)),
        contents: slots.map((slot) => slot.map(([p, l]) => parts[p]!.nets[l]!)),
        contentNames: part.sections.map((_, s) => String(s)),
        emptyNet: slots.map(() => -1),
        allowed: slots.map(() => slots.map(() => true)),
      },
    ]
  })
}

function stringFreedoms(circuit: Circuit, parts: readonly ProblemPart[]): Freedom[] {
  return circuit.strings.flatMap((string): Freedom[] => {
    const at = string.leds.map((ref) => parts.findIndex((p) => p.ref === ref))
    if (at.length < 2 || at.some((i) => i < 0)) return []
    const slots = at.map((i) => parts[i]!.nets.map((_, l) => [i, l] as const))
    return [
      {
        kind: "string",
        name: string.name,
        slots,
        slotNames: string.leds,
        contents: at.map((i) => parts[i]!.nets),
        contentNames: string.leds.map((_, k) => String(k)),
        emptyNet: slots.map(() => -1),
        allowed: slots.map(() => slots.map(() => true)),
      },
    ]
  })
}

/** A capacitor across the supply of a chip wants to stand at its pins; several share the chip's supply pins out. */
function decouplingSprings(parts: readonly ProblemPart[]): BoardProblem["springs"] {
  const springs: { a: [number, number]; b: [number, number]; weight: number }[] = []
  const used = new Set<string>()
  for (const [c, cap] of parts.entries()) {
    if (cap.kind !== "capacitor") continue
    const [n0, n1] = cap.nets
    let best: { chip: number; a: number; b: number; fresh: boolean } | undefined
    for (const [i, chip] of parts.entries()) {
      if (chip.kind !== "controller" && chip.kind !== "regulator") continue
      for (const [a, na] of chip.nets.entries()) {
        if (na !== n0 || na < 0) continue
        for (const [b, nb] of chip.nets.entries()) {
          if (nb !== n1 || nb < 0) continue
          const fresh = !used.has(`${i} ${a}`)
          const near = (x: NonNullable<typeof best>) => landGap(chip, x.a, x.b)
          const found = { chip: i, a, b, fresh }
          if (
            !best ||
            (fresh && !best.fresh) ||
            (fresh === best.fresh && i === best.chip && near(found) < near(best))
          )
            best = found
        }
      }
    }
    if (!best) continue
    used.add(`${best.chip} ${best.a}`)
    springs.push({ a: [c, 0], b: [best.chip, best.a], weight: 1.5 })
    springs.push({ a: [c, 1], b: [best.chip, best.b], weight: 1 })
  }
  return springs
}

function landGap(part: ProblemPart, a: number, b: number): number {
  const p = part.package.lands[a]!
  const q = part.package.lands[b]!
  return Math.hypot(p.x - q.x, p.y - q.y)
}
