// The drive room: the operating point of the demo lamp against the same equations solved with a general-purpose matrix
// library, all corners with 10,000 drawn lamps, and a load dump over time. One run, with the answers compared.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { lusolve, matrix } from "mathjs"
import { contentHash } from "../src/0-ground/numbers/hash.ts"
import { modelOf } from "../src/1-stock/parts.ts"
import { readLamp } from "../src/2-lamp/read-lamp.ts"
import { liveSets, programmeDrive, solveCorners } from "../src/3-drive/corners.ts"
import { designDrive } from "../src/3-drive/design-drive.ts"
import { modelCircuit } from "../src/3-drive/model-circuit.ts"
import { drawLamps } from "../src/3-drive/monte-carlo.ts"
import type { Network } from "../src/3-drive/solver/network.ts"
import { operatingPoint } from "../src/3-drive/solver/operating-point.ts"
import { PreparedNetwork } from "../src/3-drive/solver/prepared-network.ts"
import { runSupply } from "../src/3-drive/supply-transient.ts"

const folder = join(import.meta.dirname, "../examples/tern")
const { lamp } = readLamp(readFileSync(join(folder, "tern.yaml"), "utf8"), (f) =>
  readFileSync(join(folder, f), "utf8"),
)
if (!lamp) throw new Error("the Tern description could not be read")
const circuit = designDrive(lamp)
const groupOf = new Map(circuit.channels.map((c) => [c.index, c.group]))
const live = ["plus", "brake", "left"]
const setting = {
  wires: new Map(live.map((w) => [w, 13.5])),
  parts: "usual" as const,
  celsius: 25,
  drive: programmeDrive(lamp, groupOf, live),
}

/** Best of a few: what the machine can do when nothing else wants it. */
function best<T>(times: number, run: () => T): { ms: number; value: T } {
  let ms = Number.POSITIVE_INFINITY
  let value = run()
  for (let i = 0; i < times; i++) {
    const from = performance.now()
    value = run()
    ms = Math.min(ms, performance.now() - from)
  }
  return { ms, value }
}

const network = modelCircuit(circuit, lamp, setting)
/** A thousandth of the usual dirt on the nets: inside dark strings it decides the voltages. */
const clean = { leak: 1e-12, imbalance: 1e-9 }
const own = best(40, () => operatingPoint(network, clean))
const prepared = new PreparedNetwork(network)
prepared.startFrom(own.value)
const cold = prepared.x.slice()
const again = best(40, () => {
  // A little away from the answer, as a neighbouring corner is.
  for (let i = 0; i < cold.length; i++) prepared.x[i] = 0.97 * cold[i]!
  return prepared.solve(clean)
})
const library = best(2, () => byLibrary(network))
const apart = Math.max(
  ...network.names.slice(1).map((n, i) => Math.abs(own.value.voltage(n) - library.value[i]!)),
)
console.log(`operating point, ${network.names.length - 1} nodes, ${network.elements.length} elements`)
console.log(`  from nothing             ${own.ms.toFixed(2)} ms`)
console.log(`  from a neighbour         ${again.ms.toFixed(3)} ms`)
console.log(
  `  matrix library           ${library.ms.toFixed(1)} ms  (${(library.ms / own.ms).toFixed(0)} times as long)`,
)
console.log(`  greatest difference      ${apart.toExponential(1)} V`)

let within = 0
const sets = liveSets(lamp, [])
const many = best(3, () => {
  within = 0
  const corners = solveCorners(circuit, lamp, groupOf)
  const report = drawLamps(circuit, lamp, groupOf, sets, 10_000, (d) => {
    if (d.current("tail-stop-1") < 0.04) within++
  })
  return { corners: corners.length, ...report }
})
console.log(`${many.value.corners} corners and ${many.value.drawn} drawn lamps  ${many.ms.toFixed(0)} ms`)
console.log(
  `  not solved ${many.value.stuck}, power balances to ${many.value.powerError.toExponential(1)}, within the limit ${within}`,
)

const part = new Map(circuit.parts.map((p) => [p.ref, p]))
const find = (kind: string) => circuit.parts.find((p) => p.kind === kind)!.ref
const diodes = circuit.parts.filter((p) => p.kind === "diode" && p.pins.K === "rail")
const dump = best(3, () =>
  runSupply(
    { lamp, body: circuit, groups: [], controller: undefined, strings: [], solved: [], inputs: [], part },
    {
      ref: find("controller"),
      stock: "controller-atmega328p",
      rail: "rail",
      five: "5V",
      clamp: find("clamp"),
      regulator: find("regulator"),
      arrays: [],
      pullUps: [],
      supplyDiodes: diodes.map((d) => ({
        ref: d.ref,
        wire: circuit.nets.find((n) => n.name === d.pins.A)!.wire!,
      })),
      inputs: [],
    },
    {
      wire: "plus",
      // Unclamped, 79 V behind 0.5 Ω for 40 ms: what the clamp would have to swallow.
      volt: (t) => 14 + 65 * 10 ** (-t / 0.04),
      ohm: () => 0.5,
      end: 0.08,
      jumps: [],
      parts: "strongest",
      celsius: 50,
      rail: 13.3,
      five: 5,
      regulatorOff: true,
    },
  ),
)
const clamp = find("clamp")
console.log(
  `load dump over time        ${dump.ms.toFixed(0)} ms, ${dump.value.steps} steps, rail up to ${dump.value.railMost.toFixed(1)} V, ${(dump.value.energy.get(clamp) ?? 0).toFixed(1)} J into the clamp (rated ${modelOf(part.get(clamp)!.stock, "clamp").energy} J)`,
)
console.log("checksum", contentHash(JSON.stringify([circuit.corners, dump.value.railMost])))

/** Newton's method with the library's matrices, written apart: the laws as they stand in a textbook. */
function byLibrary(net: Network): number[] {
  const n = net.names.length - 1
  const x = net.names.slice(1).map((name) => 0.9 * own.value.voltage(name))
  for (let step = 0; step < 60; step++) {
    const a = Array.from({ length: n }, (_, i) =>
      Array.from({ length: n }, (_, j) => (i === j ? clean.leak : 0)),
    )
    const b = x.map((v) => -clean.leak * v)
    const at = (k: number) => (k === 0 ? 0 : x[k - 1]!)
    const put = (p: number, q: number, i: number, g: number) => {
      for (const [from, to, sign] of [
        [p, q, 1],
        [q, p, -1],
      ] as const) {
        if (from === 0) continue
        b[from - 1]! -= sign * i
        a[from - 1]![from - 1]! += g
        if (to !== 0) a[from - 1]![to - 1]! -= g
      }
    }
    for (const e of net.elements) {
      const v = at(e.a) - at(e.b)
      if (e.kind === "resistor") put(e.a, e.b, v / e.ohm, 1 / e.ohm)
      else if (e.kind === "source") put(e.a, e.b, (v - e.volt) / e.ohm, 1 / e.ohm)
      else if (e.kind === "diode") {
        // Current by halving on V = nVt·ln(1 + i/Is) + i·Rs.
        let low = -e.saturation
        let high = Math.max(v / e.series, 1e-15)
        for (let k = 0; k < 200; k++) {
          const i = (low + high) / 2
          if (e.nVt * Math.log1p(i / e.saturation) + i * e.series < v) low = i
          else high = i
        }
        put(e.a, e.b, low, 1 / (e.nVt / (low + e.saturation) + e.series))
      } else if (e.kind === "curve") {
        let s = 1
        while (s < e.points.length - 1 && v > e.points[s]![0]) s++
        const [v0, i0] = e.points[s - 1]!
        const [v1, i1] = e.points[s]!
        const g = (i1 - i0) / (v1 - v0)
        put(e.a, e.b, i0 + g * (v - v0), g)
      } else if (e.kind !== "regulator") {
        throw new Error(`the library's side has no law for a ${e.kind}`)
      } else {
        put(e.a, e.c, e.quiescent, 0)
        // It regulates at this corner.
        const i = (e.volt - at(e.b) + at(e.c)) / e.ohm
        if (e.a !== 0) {
          b[e.a - 1]! -= i
          a[e.a - 1]![e.b - 1]! -= 1 / e.ohm
          if (e.c !== 0) a[e.a - 1]![e.c - 1]! += 1 / e.ohm
        }
        b[e.b - 1]! += i
        a[e.b - 1]![e.b - 1]! += 1 / e.ohm
        if (e.c !== 0) a[e.b - 1]![e.c - 1]! -= 1 / e.ohm
      }
    }
    const moved = (lusolve(matrix(a), matrix(b)).valueOf() as number[][]).map((r) => r[0]!)
    moved.forEach((d, i) => {
      x[i]! += Math.max(-1, Math.min(1, d))
    })
    if (Math.max(...moved.map(Math.abs)) < 1e-10) break
  }
  return x
}
