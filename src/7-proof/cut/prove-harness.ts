// Nets that live on several boards, and vehicle wires: every pin of a net must hang together over copper,
// links and harness wires; every part of the circuit must be on exactly one board with all its pins.

import type { Finding } from "../../0-ground/finding.ts"
import { unionFind } from "../../0-ground/numbers/union-find.ts"
import type { Circuit } from "../../3-drive/artefact.ts"
import type { Boards } from "../../5-board/artefact.ts"
import { proof } from "../proof-findings.ts"
import { wantedOfLands } from "./compare-netlists.ts"
import type { Extracted } from "./extract-netlist.ts"
import type { WantedNetlist } from "./wanted-netlist.ts"

export function proveHarness(
  circuit: Circuit,
  boards: Boards,
  wanted: WantedNetlist,
  joined: ReadonlyMap<string, Extracted>,
): Finding[] {
  const findings: Finding[] = wanted.faults.map((f) =>
    proof.state("wiring", {
      severity: "red",
      title: f.text,
      where: {
        text: f.board ?? f.part ?? f.net ?? "circuit",
        ...(f.board ? { board: f.board } : {}),
        ...(f.part ? { part: f.part } : {}),
        ...(f.net ? { net: f.net } : {}),
      },
    }),
  )
  findings.push(...coverage(circuit, boards, wanted))
  findings.push(...claims(boards, wanted))
  findings.push(...reach(circuit, boards, wanted, joined))
  if (findings.length === 0) {
    findings.push(
      proof.state("wiring", {
        severity: "green",
        title: `All ${circuit.parts.length} parts are placed once, and every net hangs together over boards and harness`,
        where: { text: "all boards" },
        measured: { value: 0, unit: "" },
        limit: { value: 0, unit: "", kind: "exactly" },
        margin: 0,
        advice: "Nothing to do.",
      }),
    )
  }
  return findings
}

/** Each part on one board, with a land for each pin that carries a net. */
function coverage(circuit: Circuit, boards: Boards, wanted: WantedNetlist): Finding[] {
  const findings: Finding[] = []
  const homes = new Map<string, string[]>()
  const lands = new Set<string>()
  for (const b of boards.boards) {
    for (const p of b.parts) homes.set(p.ref, [...(homes.get(p.ref) ?? []), b.name])
    for (const l of b.lands) {
      const key = `${l.ref}.${l.pin}`
      if (lands.has(key) && wanted.pins.has(l.ref)) {
        findings.push(red(`${key} has two lands`, { board: b.name, part: l.ref }))
      }
      lands.add(key)
    }
  }
  for (const part of circuit.parts) {
    const at = homes.get(part.ref) ?? []
    if (at.length === 0) findings.push(red(`${part.ref} is on no board`, { part: part.ref }))
    if (at.length > 1) findings.push(red(`${part.ref} is on ${at.join(" and ")}`, { part: part.ref }))
    for (const [pin, net] of wanted.pins.get(part.ref) ?? []) {
      if (!lands.has(`${part.ref}.${pin}`) && at.length > 0)
        findings.push(red(`${part.ref}.${pin} (${net}) has no land`, { part: part.ref, net }))
    }
  }
  return findings
}

const red = (title: string, place: { board?: string; part?: string; net?: string }): Finding =>
  proof.state("wiring", {
    severity: "red",
    title,
    where: { text: place.board ?? place.part ?? place.net ?? "circuit", ...place },
  })

/** What the boards say about their own lands, against what the circuit wants: a label on a drawing must not lie. */
function claims(boards: Boards, wanted: WantedNetlist): Finding[] {
  const findings: Finding[] = []
  for (const board of boards.boards) {
    for (const ref of board.unrouted) {
      findings.push(red(`the board room could not route ${ref}`, { board: board.name, net: ref }))
    }
    const nets = wantedOfLands(board, wanted)
    for (const [i, land] of board.lands.entries()) {
      const net = nets[i]
      if (net === undefined || net.endsWith("(not connected)")) continue
      // A port's own net has no name but the port's; the copper decides whether it is whole.
      if (land.net !== undefined && land.net !== net && !net.startsWith("@")) {
        findings.push(
          red(`${land.ref}.${land.pin} says ${land.net} and must be ${net}`, {
            board: board.name,
            part: land.ref,
            net,
          }),
        )
      }
    }
  }
  return findings.slice(0, 20)
}

/** Follows every net over copper groups and harness wires; more than one piece is red. */
function reach(
  circuit: Circuit,
  boards: Boards,
  wanted: WantedNetlist,
  joined: ReadonlyMap<string, Extracted>,
): Finding[] {
  const findings: Finding[] = []
  const node = new Map<string, number>()
  const of = (key: string) => {
    const known = node.get(key) ?? node.size
    node.set(key, known)
    return known
  }
  const netNodes = new Map<string, Map<number, string>>()
  const put = (net: string, at: number, where: string) => {
    const nodes = netNodes.get(net) ?? new Map<number, string>()
    if (!nodes.has(at)) nodes.set(at, where)
    netNodes.set(net, nodes)
  }
  for (const board of boards.boards) {
    const found = joined.get(board.name)
    if (!found) continue
    for (const [i, net] of wantedOfLands(board, wanted).entries()) {
      const land = board.lands[i]!
      const at = of(`${board.name}#${found.group[i]}`)
      node.set(`${board.name}/${land.ref}`, at)
      if (net !== undefined && !net.endsWith("(not connected)"))
        put(net, at, `${board.name} ${land.ref}.${land.pin}`)
    }
  }
  const vehicleNets = new Map(circuit.nets.flatMap((n) => (n.wire ? [[n.wire, n.name] as const] : [])))
  const fed = new Set<string>()
  const wires: [number, number][] = []
  for (const wire of boards.harness) {
    const ends = [wire.from, wire.to].map((end) => {
      if ("board" in end) return of(`${end.board}/${end.ref}`)
      fed.add(end.vehicle)
      const net = vehicleNets.get(end.vehicle)
      if (net !== undefined && net !== wire.net)
        findings.push(
          red(`the vehicle wire ${end.vehicle} is led to ${wire.net} and belongs on ${net}`, {
            net: wire.net,
          }),
        )
      const at = of(`vehicle ${end.vehicle}`)
      put(wire.net, at, `vehicle wire ${end.vehicle}`)
      return at
    })
    wires.push([ends[0]!, ends[1]!])
  }
  for (const [wire, net] of vehicleNets) {
    if (fed.has(wire)) continue
    findings.push(
      proof.state("harness", {
        severity: "red",
        title: `the vehicle wire ${wire} is led to no board`,
        where: { text: `vehicle wire ${wire}`, wire, net },
      }),
    )
  }
  const sets = unionFind(node.size)
  for (const [a, b] of wires) sets.join(a, b)
  for (const [net, nodes] of netNodes) {
    const pieces = new Map<number, string>()
    for (const [at, where] of nodes) if (!pieces.has(sets.find(at))) pieces.set(sets.find(at), where)
    if (pieces.size < 2) continue
    findings.push(
      proof.state("net-unreached", {
        severity: "red",
        title: `${net} is in ${pieces.size} parts that nothing joins: ${[...pieces.values()].slice(0, 4).join("; ")}`,
        where: { text: net, net },
        measured: { value: pieces.size, unit: "" },
        limit: { value: 1, unit: "", kind: "exactly" },
      }),
    )
  }
  return findings
}
