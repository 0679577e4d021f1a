// The controller's part of the circuit drawing: its supply from the wires to 5 V, each wire's input, the chips as
// rectangles with their pins. Each piece stands by itself and its ends are named, so that no conductor crosses another.

import { modelOf } from "../1-stock/parts.ts"
import type { Circuit, Part } from "../3-drive/artefact.ts"
import { type ChipPin, margin, type Sheet, wide } from "./circuit-symbols.ts"

/** Signal name → port pin that the board gave it. */
export type PortOf = Readonly<Record<string, string>>

type Draw = (sheet: Sheet, circuit: Circuit, top: number, drawn: Set<string>) => number

/** From the wires through their diodes to the rail, and through the regulator to 5 V. */
export const drawSupply: Draw = (sheet, circuit, top, drawn) => {
  const regulator = circuit.parts.find((p) => p.kind === "regulator")
  if (!regulator) return top
  const [rail, earth, five] = ["1", "2", "3"].map((pin) => regulator.pins[pin]!) as [string, string, string]
  const on = (net: string, kind: Part["kind"]) =>
    circuit.parts.filter((p) => p.kind === kind && Object.values(p.pins).includes(net))
  const bar = top + 22
  const ground = bar + 24
  const diodes = on(rail, "diode").filter((d) => d.pins.K === rail)
  let x = margin + 6
  diodes.forEach((d) => {
    drawn.add(d.ref)
    sheet.flag(x, top + 4, d.pins.A!)
    sheet.twoPin(d, x, top + 5, bar)
    sheet.dot(x, bar)
    x += 17
  })
  const first = x
  const before = [...on(rail, "clamp"), ...on(rail, "capacitor")].filter((p) => acrossEarth(p, earth))
  for (const p of before) {
    drawn.add(p.ref)
    sheet.dot(x, bar)
    sheet.twoPin(p, x, bar, ground)
    sheet.dot(x, ground)
    x += 19
  }
  drawn.add(regulator.ref)
  const box = { x: x + 6, y: bar - 6, w: 26, h: 14 }
  sheet.chip(
    box,
    [regulator.ref, regulator.value],
    [
      { name: "in", number: "1", side: "left", at: bar, lead: 6 },
      { name: "out", number: "3", side: "right", at: bar, lead: 6 },
      { name: "earth", number: "2", side: "bottom", at: box.x + 13, lead: ground - bar - 8 },
    ],
  )
  sheet.dot(box.x + 13, ground)
  sheet.line(margin + 6, bar, x, bar)
  sheet.text(first - 2, bar - 1.4, rail, 2.2, "start")
  x = box.x + box.w + 6
  const start = x
  x += 10
  for (const p of on(five, "capacitor").filter((c) => acrossEarth(c, earth))) {
    drawn.add(p.ref)
    sheet.dot(x, bar)
    sheet.twoPin(p, x, bar, ground)
    sheet.dot(x, ground)
    x += 19
  }
  sheet.line(start, bar, x, bar)
  sheet.end(x, bar, five, "right")
  sheet.line(first, ground, x - 19, ground)
  sheet.earth(first, ground)
  return ground + 12
}

const acrossEarth = (p: Part, earth: string) => Object.values(p.pins).includes(earth)

/** Each wire's divider, filter and clamp, with the bleed across a flashing wire. */
export const drawInputs: Draw = (sheet, circuit, top, drawn) => {
  const width = 92
  const height = 52
  let x = margin
  let y = top
  const part = (kind: Part["kind"], ...nets: (string | undefined)[]) =>
    circuit.parts.find(
      (p) =>
        p.kind === kind && !drawn.has(p.ref) && nets.every((n) => Object.values(p.pins).includes(n ?? "")),
    )
  for (const input of circuit.inputs) {
    const wire = circuit.nets.find((n) => n.wire === input.wire)?.name
    const upper = part("resistor", wire, input.net)
    const lower = part("resistor", input.net, circuit.earth)
    const filter = part("capacitor", input.net, circuit.earth)
    const clamp = part("diode", input.net)
    if (!wire || !upper || !lower || !filter || !clamp) continue
    const bleed = part("resistor", wire, circuit.earth)
    if (x + width > wide - margin) {
      x = margin
      y += height
    }
    const head = y + 8
    const middle = head + 16
    const ground = middle + 16
    const [xBleed, xDiv, xFilter, xClamp] = [x + 6, x + 25, x + 44, x + 63]
    for (const p of [upper, lower, filter, clamp]) drawn.add(p.ref)
    sheet.flag(xDiv, head - 1, wire)
    sheet.twoPin(upper, xDiv, head, middle)
    sheet.twoPin(lower, xDiv, middle, ground)
    sheet.dot(xDiv, middle)
    sheet.dot(xFilter, middle)
    sheet.twoPin(filter, xFilter, middle, ground)
    sheet.dot(xFilter, ground)
    sheet.dot(xClamp, middle)
    sheet.upward(clamp, xClamp, head, middle)
    sheet.flag(xClamp, head - 1, clamp.pins.K!)
    sheet.line(xDiv, middle, xClamp + 6, middle)
    sheet.end(xClamp + 6, middle, input.net, "right")
    let from = xDiv
    if (bleed) {
      drawn.add(bleed.ref)
      sheet.line(xBleed, head + 2, xDiv, head + 2)
      sheet.dot(xDiv, head + 2)
      sheet.twoPin(bleed, xBleed, head + 2, ground)
      from = xBleed
      sheet.dot(xDiv, ground)
    }
    sheet.line(from, ground, xFilter, ground)
    sheet.earth(from, ground)
    x += width
  }
  return circuit.inputs.length > 0 ? y + height : top
}

/** The controller with its clock and reset, and the programming header. */
export function drawController(
  sheet: Sheet,
  circuit: Circuit,
  top: number,
  drawn: Set<string>,
  ports: PortOf,
): number {
  const chip = circuit.parts.find((p) => p.ref === circuit.controller)
  if (!chip) return top
  drawn.add(chip.ref)
  const { packagePins } = modelOf(chip.stock, "controller")
  const nameOf = new Map(
    Object.entries(packagePins).flatMap(([name, pins]) => pins.map((n) => [n, name] as const)),
  )
  const fixed = Object.entries(chip.pins)
  const role = (name: RegExp) => fixed.filter(([pin]) => name.test(nameOf.get(pin) ?? ""))
  const signals = circuit.signals.map((s) => {
    const port = ports[s.name]
    return {
      net: s.net,
      out: s.direction === "output",
      name: port ?? "any",
      number: port ? (packagePins[port]?.[0] ?? "") : "",
    }
  })
  // Pins that only the programming header uses.
  const taken = new Set(signals.map((s) => s.name))
  const asked = circuit.parts.flatMap((p) => Object.values(p.pins).filter((n) => n.startsWith("@")))
  for (const port of new Set(asked.map((n) => n.slice(1))))
    if (Object.keys(ports).length > 0 && !taken.has(port))
      signals.push({ net: port, out: false, name: port, number: packagePins[port]?.[0] ?? "" })
  const rows = { left: signals.filter((s) => !s.out), right: signals.filter((s) => s.out) }
  const pitch = 5
  const clock = [...role(/^RESET$/), ...role(/^XTAL/)]
  const h = 14 + pitch * Math.max(rows.left.length + clock.length + 2, rows.right.length)
  const box = { x: margin + 74, y: top + 12, w: 60, h }
  const pins: ChipPin[] = []
  const edge = (list: typeof signals, side: "left" | "right", from: number) => {
    list.forEach((s, i) => {
      const at = from + pitch * i
      pins.push({ name: s.name, number: s.number, side, at, lead: 8 })
      sheet.end(side === "left" ? box.x - 8 : box.x + box.w + 8, at, s.net, side)
    })
  }
  edge(rows.left, "left", box.y + 7)
  edge(rows.right, "right", box.y + 7)
  const supply = role(/VCC/)
  supply.forEach(([number, net], i) => {
    const at = box.x + 20 + 20 * i
    pins.push({ name: nameOf.get(number)!, number, side: "top", at, lead: 4 })
    sheet.flag(at, box.y - 5, net)
  })
  role(/^GND$/).forEach(([number], i) => {
    const at = box.x + 20 + 20 * i
    pins.push({ name: "GND", number, side: "bottom", at, lead: 4 })
    sheet.earth(at, box.y + h + 4)
  })
  // Clock and reset hang on their pins directly.
  const y0 = box.y + 7 + pitch * rows.left.length + 3
  const resonator = circuit.parts.find((p) => p.kind === "resonator")
  const [reset, one, two] = [role(/^RESET$/)[0], role(/^XTAL1$/)[0], role(/^XTAL2$/)[0]]
  const yReset = y0
  const yOne = y0 + 8
  const yTwo = yOne + 9
  if (reset) pins.push({ name: "RESET", number: reset[0], side: "left", at: yReset, lead: 8 })
  const pull = circuit.parts.find(
    (p) => p.kind === "resistor" && reset !== undefined && Object.values(p.pins).includes(reset[1]),
  )
  if (pull && reset) {
    drawn.add(pull.ref)
    const five = Object.values(pull.pins).find((n) => n !== reset[1])!
    sheet.line(box.x - 8, yReset, box.x - 16, yReset)
    sheet.dot(box.x - 16, yReset)
    sheet.line(box.x - 16, yReset, box.x - 22, yReset)
    sheet.lying(box.x - 40, box.x - 22, yReset)
    sheet.text(box.x - 31, yReset - 2, `${pull.ref} ${pull.value}`, 2)
    sheet.end(box.x - 40, yReset, five, "left")
    sheet.line(box.x - 16, yReset, box.x - 16, yReset + 3)
    sheet.text(box.x - 15, yReset + 4, reset[1], 2.2, "start")
  }
  if (resonator && one && two) {
    drawn.add(resonator.ref)
    pins.push({ name: "XTAL1", number: one[0], side: "left", at: yOne, lead: 8 })
    pins.push({ name: "XTAL2", number: two[0], side: "left", at: yTwo, lead: 8 })
    const x = box.x - 24
    sheet.line(box.x - 8, yOne, x, yOne)
    sheet.line(box.x - 8, yTwo, x, yTwo)
    const mid = sheet.resonator(resonator, x, yOne, yTwo)
    sheet.earth(mid.x, mid.y)
  }
  sheet.chip(box, [chip.ref, chip.value], pins)
  const header = circuit.parts.find((p) => p.kind === "header")
  if (header) {
    drawn.add(header.ref)
    const at = { x: box.x + box.w + 76, y: box.y, w: 24, h: 26 }
    const netOf = (pin: string) =>
      header.pins[pin]?.replace(/^@(.*)$/, (_m, port: string) => netAt(circuit, ports, port))
    const six = Object.keys(header.pins).sort((a, b) => Number(a) - Number(b))
    const words: Readonly<Record<string, string>> = {
      "1": "MISO",
      "2": "VCC",
      "3": "SCK",
      "4": "MOSI",
      "5": "RST",
      "6": "GND",
    }
    sheet.chip(
      at,
      [header.ref],
      six.map((pin, i) => {
        const side = i % 2 === 0 ? ("left" as const) : ("right" as const)
        const y = at.y + 5 + 8 * Math.floor(i / 2)
        sheet.end(side === "left" ? at.x - 6 : at.x + at.w + 6, y, netOf(pin) ?? "", side)
        return { name: words[pin] ?? "", number: pin, side, at: y, lead: 6 }
      }),
    )
  }
  return box.y + Math.max(h, yTwo - box.y + 8) + 14
}

/** The net of whatever signal stands on a port, or the port's own name. */
function netAt(circuit: Circuit, ports: PortOf, port: string): string {
  return circuit.signals.find((s) => ports[s.name] === port)?.net ?? port
}

/** Each array with the network that holds its inputs up: a row for each section, from 5 V to the channel. */
export const drawArrays: Draw = (sheet, circuit, top, drawn) => {
  let x = margin
  let y = top
  let tallest = 0
  for (const array of circuit.parts.filter((p) => p.kind === "low-side-array")) {
    const model = modelOf(array.stock, "low-side-array")
    const used = model.sectionPins.filter(([input]) => array.pins[input] !== undefined)
    const network = circuit.parts.find(
      (p) =>
        p.kind === "resistor-array" && used.some(([i]) => Object.values(p.pins).includes(array.pins[i]!)),
    )
    const w = 138
    const pitch = 6
    const h = 8 + pitch * used.length
    if (x + w > wide - margin) {
      x = margin
      y += tallest + 14
      tallest = 0
    }
    drawn.add(array.ref)
    const box = { x: x + 76, y: y + 12, w: 30, h }
    const bus = x + 14
    const pins: ChipPin[] = []
    used.forEach(([input, output], k) => {
      const at = box.y + 7 + pitch * k
      const net = array.pins[input]!
      pins.push({ name: `in ${k + 1}`, number: input, side: "left", at, lead: 6 })
      pins.push({ name: `out ${k + 1}`, number: output, side: "right", at, lead: 6 })
      sheet.end(box.x + box.w + 6, at, array.pins[output] ?? "", "right")
      const own = network && Object.entries(network.pins).find(([, n]) => n === net)?.[0]
      if (network && own !== undefined) {
        sheet.lying(bus, bus + 20, at)
        sheet.text(bus + 3, at - 0.8, own, 1.6)
        if (k + 1 < used.length) sheet.dot(bus, at)
        sheet.line(bus + 20, at, box.x - 6, at)
        sheet.text(bus + 24, at - 0.9, net, 2.2, "start")
      } else sheet.end(box.x - 6, at, net, "left")
    })
    if (network && used.length > 0) {
      drawn.add(network.ref)
      const common = modelOf(network.stock, "resistor-array").commonPin
      const first = box.y + 7
      const last = first + pitch * (used.length - 1)
      sheet.line(bus, first - 6, bus, last)
      sheet.flag(bus, first - 7, network.pins[common]!)
      sheet.text(bus + 3, first - 4, `${network.ref} ${network.value} (pin ${common})`, 2, "start")
    }
    pins.push({ name: "earth", number: model.earthPin, side: "bottom", at: box.x + 15, lead: 4 })
    sheet.earth(box.x + 15, box.y + h + 4)
    sheet.chip(box, [array.ref, array.value], pins)
    tallest = Math.max(tallest, h + 20)
    x += w
  }
  return tallest > 0 ? y + tallest + 8 : top
}
