// The circuit as a drawing, symbols in the style of IEC 60617: every string a column from its feed at the top to earth
// at the bottom, sinks and rails with their own parts; then the controller's supply, inputs and chips. Ends with the
// same name are joined. No two conductors cross.

import { modelOf } from "../1-stock/parts.ts"
import type { Circuit, LedString, Part } from "../3-drive/artefact.ts"
import type { PinChoice } from "../5-board/artefact.ts"
import { drawArrays, drawController, drawInputs, drawSupply, type PortOf } from "./circuit-controller.ts"
import { margin, Sheet, wide } from "./circuit-symbols.ts"

const cell = { w: 34, h: 36 } as const

/** `choice`: how the boards used the circuit's freedoms; without it pins and LED order stand as designed. */
export function circuitSvg(
  name: string,
  designed: Circuit,
  warning?: string,
  choice?: Partial<PinChoice>,
): string {
  const { sheet, height } = drawCircuit(name, designed, warning, choice)
  return sheet.svg(height)
}

/** The same on pages no higher than `most` mm at a width of 300 mm, as svg elements. */
export function circuitPages(
  name: string,
  designed: Circuit,
  choice: Partial<PinChoice> | undefined,
  most: number,
): string[] {
  const { sheet, height } = drawCircuit(name, designed, undefined, choice)
  return sheet.pages(height, most)
}

function drawCircuit(
  name: string,
  designed: Circuit,
  warning: string | undefined,
  choice: Partial<PinChoice> | undefined,
): { readonly sheet: Sheet; readonly height: number } {
  const circuit = asBuilt(designed, choice)
  const ports: PortOf = choice?.controller ?? {}
  const sheet = new Sheet()
  sheet.text(margin, 8, `${name}: circuit`, 5, "start", true)
  sheet.text(
    margin,
    14,
    choice
      ? "Ends with the same name are joined. Pins, sections and the order of LEDs are as built."
      : "Ends with the same name are joined. Pins, sections and the order of LEDs are free until the boards are made.",
    3,
    "start",
  )
  if (warning !== undefined) sheet.text(margin, 19, warning, 3, "start", true, "#c0281c")
  const drawn = new Set<string>()
  let y = 28
  for (const group of new Set(circuit.strings.map((s) => s.group))) {
    if (y > 28) sheet.begin(y - 6)
    sheet.text(margin, y, group, 4.2, "start", true)
    y = drawGroup(sheet, circuit, group, y + 4, drawn)
  }
  const pieces: readonly (readonly [string, (top: number) => number])[] = [
    ["Supply of the controller", (top) => drawSupply(sheet, circuit, top, drawn)],
    ["Wires to the controller", (top) => drawInputs(sheet, circuit, top, drawn)],
    ["Controller", (top) => drawController(sheet, circuit, top, drawn, ports)],
    ["Switches", (top) => drawArrays(sheet, circuit, top, drawn)],
  ]
  if (circuit.controller !== undefined)
    for (const [title, draw] of pieces) {
      sheet.begin(y - 6)
      sheet.text(margin, y, title, 4.2, "start", true)
      y = draw(y + 4)
    }
  const left = circuit.parts.filter((p) => !drawn.has(p.ref))
  if (left.length > 0) {
    sheet.begin(y - 6)
    const across = left.every((p) => Object.keys(p.pins).length === 2)
    sheet.text(margin, y, across ? "Across the wires" : "Beside them", 4.2, "start", true)
    y = drawRest(sheet, circuit, left, y + 6)
  }
  return { sheet, height: y + margin }
}

/** Sections exchanged and LEDs in the order of the boards. */
function asBuilt(circuit: Circuit, choice: Partial<PinChoice> | undefined): Circuit {
  if (!choice) return circuit
  return {
    ...circuit,
    parts: circuit.parts.map((part) => {
      const order = choice.sections?.[part.ref]
      const { sections } = part
      if (!order || !sections || order.length !== sections.length) return part
      const pins: Record<string, string> = { ...part.pins }
      sections.forEach((section, i) => {
        section.forEach((pin, k) => {
          const net = part.pins[sections[order[i]!]![k]!]
          if (net === undefined) delete pins[pin]
          else pins[pin] = net
        })
      })
      return { ...part, pins }
    }),
    strings: circuit.strings.map((s) => ({ ...s, leds: choice.strings?.[s.name] ?? s.leds })),
  }
}

/** A group by what sets its current. */
function drawGroup(sheet: Sheet, circuit: Circuit, group: string, top: number, drawn: Set<string>): number {
  const regulator = railOf(circuit, group)
  if (regulator) return drawRailGroup(sheet, circuit, group, regulator, top, drawn)
  if (circuit.strings.some((s) => s.group === group && s.sink))
    return drawSinks(sheet, circuit, group, top, drawn)
  return drawColumns(sheet, circuit, group, top, drawn)
}

/** Strings in rows of columns; each feed is a bar over its strings. */
function drawColumns(sheet: Sheet, circuit: Circuit, group: string, top: number, drawn: Set<string>): number {
  const part = new Map(circuit.parts.map((p) => [p.ref, p]))
  const strings = circuit.strings.filter((s) => s.group === group)
  const feedOf = (s: LedString, ref: string) =>
    Object.values(part.get(ref)!.pins).find((n) => !s.nets.includes(n)) ?? s.nets[0]!
  const longest = Math.max(...strings.map((s) => s.leds.length))
  // Room for the resistors that come in beside a column.
  const column = 17 + 9 * (Math.max(...strings.map((s) => s.resistors.length)) - 1)
  const height = 62 + 13 * longest
  const perRow = Math.floor((wide - 2 * margin) / column)
  // The further feeds, each with a letter where there are several.
  const further = [...new Set(strings.flatMap((s) => s.resistors.slice(1).map((ref) => feedOf(s, ref))))]
  const letterOf = (net: string) => (further.length > 1 ? String(further.indexOf(net) + 1) : "")
  // A row is filled with whole bars where they fit.
  let x = margin
  let y = top
  let k = 0
  while (k < strings.length) {
    const feed = feedOf(strings[k]!, strings[k]!.resistors[0]!)
    const same = strings.slice(k).findIndex((s) => feedOf(s, s.resistors[0]!) !== feed)
    const count = Math.min(same < 0 ? strings.length - k : same, perRow - 1)
    const diodes = circuit.parts.filter((p) => p.kind === "diode" && p.pins.K === feed && !drawn.has(p.ref))
    const width = column * (Math.max(1, diodes.length) + count)
    if (x + width > wide - margin && x > margin) {
      x = margin
      y += height
    }
    const bar = y + 20
    // Its wires come in from the left, each through its diode.
    diodes.forEach((d, i) => {
      drawn.add(d.ref)
      sheet.flag(x + 6 + i * column, y + 3, d.pins.A!)
      sheet.twoPin(d, x + 6 + i * column, y + 4, bar)
      sheet.dot(x + 6 + i * column, bar)
    })
    const first = x + column * Math.max(1, diodes.length) + 6
    if (diodes.length === 0) sheet.flag(x + 6, bar - 1, feed)
    const end = first + (count - 1) * column
    sheet.line(x + 6, bar, Math.max(end, x + 6), bar)
    sheet.text(first - 2, bar - 1.4, feed, 2.2, "start")
    const earth = y + height - 13
    let grounded = false
    strings.slice(k, k + count).forEach((s, i) => {
      const cx = first + i * column
      const joint = bar + 18
      sheet.dot(cx, bar)
      const [own, ...others] = s.resistors
      drawn.add(own!)
      sheet.twoPin(part.get(own!)!, cx, bar, joint, others.length > 0)
      others.forEach((ref, o) => {
        // A further feed comes in beside the column and is named, so that its bar need not cross this one.
        drawn.add(ref)
        const ox = cx + 8 * (o + 1)
        sheet.flag(ox, bar + 4.2, letterOf(feedOf(s, ref)))
        sheet.twoPin(part.get(ref)!, ox, bar + 5.2, joint)
        sheet.line(ox, joint, cx, joint)
        sheet.dot(cx, joint)
      })
      s.leds.forEach((ref, n) => {
        drawn.add(ref)
        sheet.twoPin(part.get(ref)!, cx, joint + 13 * n, joint + 13 * (n + 1))
      })
      const foot = joint + 13 * s.leds.length
      if (s.nets[s.nets.length - 1] === circuit.earth) {
        sheet.line(cx, foot, cx, earth)
        sheet.dot(cx, earth)
        grounded = true
      } else {
        sheet.line(cx, foot, cx, foot + 2)
        sheet.flag(cx, foot + 6.4, s.nets[s.nets.length - 1]!, true)
      }
    })
    if (grounded) {
      sheet.line(first, earth, end, earth)
      sheet.earth(first, earth)
    }
    x += width + 4
    k += count
  }
  y += height
  // The further feeds once, with their diodes.
  const row = further.flatMap((net) => circuit.parts.filter((p) => p.kind === "diode" && p.pins.K === net))
  if (row.length === 0) return y
  const words =
    further.length > 1
      ? `The right-hand resistors of the columns hang on: ${further.map((net, i) => `${i + 1} ${net}`).join(", ")}`
      : "The right-hand resistor of every column hangs on:"
  sheet.text(margin, y - 3, words, 2.8, "start")
  row.forEach((d, i) => {
    drawn.add(d.ref)
    sheet.named(d, margin + 14 + i * cell.w, y)
  })
  return y + cell.h
}

/** Feed diodes in columns onto a bar that begins at `x`; gives the x after them. */
function drawFeeds(
  sheet: Sheet,
  circuit: Circuit,
  feed: string,
  at: { readonly x: number; readonly y: number; readonly bar: number },
  drawn: Set<string>,
): number {
  // A bar that goes on in another row has its diodes in the first.
  const diodes = circuit.parts.filter((p) => p.kind === "diode" && p.pins.K === feed && !drawn.has(p.ref))
  if (diodes.length === 0) sheet.flag(at.x, at.bar - 1, feed)
  diodes.forEach((d, i) => {
    drawn.add(d.ref)
    const x = at.x + 17 * i
    sheet.flag(x, at.y + 3, d.pins.A!)
    sheet.twoPin(d, x, at.y + 4, at.bar)
    sheet.dot(x, at.bar)
  })
  return at.x + 17 * Math.max(1, diodes.length)
}

/** Columns that end in a sink: LEDs, the pass transistor, its sense resistor; beside it what holds the current. */
function drawSinks(sheet: Sheet, circuit: Circuit, group: string, top: number, drawn: Set<string>): number {
  const part = new Map(circuit.parts.map((p) => [p.ref, p]))
  const strings = circuit.strings.filter((s) => s.group === group)
  const longest = Math.max(...strings.map((s) => s.leds.length))
  const column = 40
  const height = 70 + 13 * longest
  let y = top
  let k = 0
  while (k < strings.length) {
    const feed = strings[k]!.nets[0]!
    const bar = y + 20
    const from = drawFeeds(sheet, circuit, feed, { x: margin + 6, y, bar }, drawn)
    const room = Math.max(1, Math.floor((wide - margin - from - 4) / column))
    const same = strings.slice(k).findIndex((s) => s.nets[0] !== feed)
    const count = Math.min(same < 0 ? strings.length - k : same, room)
    const ground = y + height - 13
    const first = from + 14
    sheet.text(from - 8, bar - 1.4, feed, 2.2, "start")
    let grounded: number | undefined
    let lastFoot = first
    strings.slice(k, k + count).forEach((s, i) => {
      const cx = first + 14 + i * column
      const hx = cx - 14
      const sink = s.sink!
      const [pass, hold, sense, bias] = [sink.pass, sink.hold, sink.sense, sink.bias].map(
        (r) => part.get(r)!,
      ) as [Part, Part, Part, Part]
      for (const p of [pass, hold, sense, bias]) drawn.add(p.ref)
      sheet.dot(cx, bar)
      s.leds.forEach((ref, n) => {
        drawn.add(ref)
        sheet.twoPin(part.get(ref)!, cx, bar + 13 * n, bar + 13 * (n + 1))
      })
      const foot = bar + 13 * s.leds.length
      const base = sheet.npn(pass, cx, foot, foot + 10)
      const node = base.y
      // Bias from the bar to the base, and the holding transistor below it.
      sheet.dot(hx, bar)
      sheet.twoPin(bias, hx, bar, node, true)
      sheet.dot(hx, node)
      sheet.line(base.x, node, hx, node)
      const taken = sheet.npn(hold, hx, node, node + 16, true)
      const joint = taken.y
      sheet.line(taken.x, joint, cx, joint)
      sheet.line(cx, foot + 10, cx, joint)
      sheet.dot(cx, joint)
      const low = joint + 16
      sheet.twoPin(sense, cx, joint, low)
      sheet.line(hx, node + 16, hx, low)
      if (sink.foot === circuit.earth) {
        sheet.line(hx, low, hx, ground)
        sheet.line(cx, low, cx, ground)
        sheet.dot(cx, ground)
        if (grounded !== undefined) sheet.dot(hx, ground)
        grounded ??= hx
        lastFoot = cx
      } else {
        sheet.line(hx, low, cx, low)
        sheet.dot(cx, low)
        sheet.line(cx, low, cx, low + 2)
        sheet.flag(cx, low + 6.4, sink.foot, true)
      }
    })
    sheet.line(margin + 6, bar, first + 14 + (count - 1) * column, bar)
    if (grounded !== undefined) {
      sheet.line(grounded, ground, lastFoot, ground)
      sheet.earth(grounded, ground)
    }
    y += height
    k += count
  }
  return y
}

/** The regulator that feeds a group's strings. */
function railOf(circuit: Circuit, group: string): Part | undefined {
  const mine = circuit.strings.filter((s) => s.group === group)
  const of = (ref: string) => circuit.parts.find((p) => p.ref === ref)!
  return circuit.parts.find((p) => {
    if (p.kind !== "adjustable-regulator") return false
    const rail = p.pins[modelOf(p.stock, "adjustable-regulator").pins.output]
    return mine.some((s) => s.resistors.some((r) => Object.values(of(r).pins).includes(rail!)))
  })
}

/** Feeds, the regulator with what sets it, then the strings on the rail. */
function drawRailGroup(
  sheet: Sheet,
  circuit: Circuit,
  group: string,
  regulator: Part,
  top: number,
  drawn: Set<string>,
): number {
  const { pins } = modelOf(regulator.stock, "adjustable-regulator")
  const [feed, rail, set] = [pins.input, pins.output, pins.set].map((p) => regulator.pins[p]!) as [
    string,
    string,
    string,
  ]
  const { earth } = circuit
  const between = (kind: Part["kind"], a: string, b?: string) =>
    circuit.parts.find((p) => {
      const nets = Object.values(p.pins)
      return p.kind === kind && !drawn.has(p.ref) && nets.includes(a) && (b === undefined || nets.includes(b))
    })
  const bar = top + 20
  const setLine = bar + 26
  const relay = circuit.parts.find(
    (p) =>
      p.kind === "relay" &&
      !drawn.has(p.ref) &&
      between("resistor", set, p.pins[modelOf(p.stock, "relay").pins.rest]) !== undefined,
  )
  const ground = bar + (relay ? 74 : 66)
  let x = drawFeeds(sheet, circuit, feed, { x: margin + 6, y: top, bar }, drawn)
  const left = x
  const down = (p: Part | undefined, at: number, from: number, to: number) => {
    if (!p) return
    drawn.add(p.ref)
    sheet.twoPin(p, at, from, to)
  }
  const capacitor = between("capacitor", feed, earth)
  if (capacitor) {
    sheet.dot(x, bar)
    down(capacitor, x, bar, ground)
    sheet.dot(x, ground)
    x += 20
  }
  const tap = relay?.pins[modelOf(relay.stock, "relay").pins.rest]
  const lower = between("resistor", set, tap ?? earth)
  const upper = between("resistor", rail, set)
  const main = circuit.parts.find(
    (p) => p.kind === "transistor" && p.pins.E === earth && between("resistor", set, p.pins.C) !== undefined,
  )
  let setFrom: number | undefined
  if (main) {
    const [dim, beside] = [main.pins.B!, main.pins.C!]
    const inverter = circuit.parts.find((p) => p.kind === "transistor" && p.pins.C === dim && p !== main)!
    const bright = inverter.pins.B!
    drawn.add(main.ref)
    drawn.add(inverter.ref)
    const level = bar + 42
    // Base of the inverter: from the brighter wire, held down by a resistor.
    const baseLine = level + 10
    const off = between("resistor", bright, earth)
    down(off, x + 2, baseLine, ground)
    sheet.dot(x + 2, ground)
    const drivers = circuit.parts.filter(
      (p) => p.kind === "resistor" && !drawn.has(p.ref) && Object.values(p.pins).includes(bright),
    )
    drivers.forEach((r, i) => {
      const at = x + 2 + 17 * i
      const from = Object.values(r.pins).find((n) => n !== bright)!
      sheet.flag(at, baseLine - 21, from)
      down(r, at, baseLine - 20, baseLine)
      sheet.dot(at, baseLine)
    })
    x += 2 + 17 * Math.max(1, drivers.length)
    const inverted = sheet.npn(inverter, x + 6, level, level + 20)
    sheet.line(
      drivers.length > 0 ? x - 17 * Math.max(1, drivers.length) : x - 17,
      inverted.y,
      inverted.x,
      inverted.y,
    )
    sheet.line(x + 6, level + 20, x + 6, ground)
    sheet.dot(x + 6, ground)
    const collector = x + 6
    x += 24
    const rest = between("resistor", dim, earth)
    down(rest, x, level, ground)
    sheet.dot(x, level)
    sheet.dot(x, ground)
    x += 18
    const hold = between("resistor", feed, dim)
    sheet.dot(x, bar)
    down(hold, x, bar, level)
    sheet.dot(x, level)
    const holdAt = x
    x += 22
    const base = sheet.npn(main, x, level - 5, level + 5)
    sheet.line(collector, level, base.x, level)
    sheet.dot(holdAt, level)
    sheet.line(x, level + 5, x, ground)
    sheet.dot(x, ground)
    down(between("resistor", set, beside), x, setLine, level - 5)
    setFrom = x
    x += 18
  }
  let contactAt: number | undefined
  const tapLine = setLine + 20
  if (relay) {
    const { pins: terminals } = modelOf(relay.stock, "relay")
    drawn.add(relay.ref)
    const coilNet = relay.pins[terminals.coil[0]]!
    const top = bar + 42
    const middle = (top + ground) / 2
    // Several brighter wires come together through their diodes.
    const inward = circuit.parts.filter(
      (p) => p.kind === "diode" && p.pins.K === coilNet && !drawn.has(p.ref),
    )
    const start = x + 2
    for (const d of inward) {
      sheet.flag(x + 2, top - 21, d.pins.A!)
      down(d, x + 2, top - 20, top)
      sheet.dot(x + 2, top)
      x += 17
    }
    // The way on for the coil's current: a diode upwards and a suppressor that gives way.
    const clamp = circuit.parts.find((p) => p.kind === "clamp" && p.pins.A === coilNet && p.pins.K !== earth)
    const back = clamp?.pins.K
    const wheel = circuit.parts.find((p) => p.kind === "diode" && p.pins.K === back && p.pins.A === earth)
    const wheelAt = x + 2
    if (clamp && wheel) {
      drawn.add(clamp.ref)
      drawn.add(wheel.ref)
      sheet.twoPin(clamp, wheelAt, top, middle, false, true)
      sheet.twoPin(wheel, wheelAt, middle, ground, false, true)
      sheet.dot(wheelAt, ground)
    }
    const coilAt = wheelAt + 30
    sheet.line(inward.length > 0 ? start : wheelAt, top, coilAt, top)
    if (inward.length === 0) {
      sheet.flag(coilAt, top - 5, coilNet)
      sheet.line(coilAt, top - 4, coilAt, top)
      sheet.dot(coilAt, top)
    } else sheet.dot(wheelAt, top)
    sheet.coil(relay, coilAt, top, ground)
    sheet.dot(coilAt, ground)
    contactAt = coilAt + 18
    const blade = sheet.breakContact(terminals, contactAt, {
      top: tapLine,
      m: middle,
      bottom: ground,
    })
    sheet.link(coilAt + 4.4, middle, blade.x, blade.y)
    sheet.dot(contactAt, ground)
    x = contactAt
  }
  const box = { x: x + 6, y: bar - 7, w: 30, h: 14 }
  drawn.add(regulator.ref)
  const pin = box.x + 15
  sheet.chip(
    box,
    [regulator.ref, regulator.value],
    [
      { name: "in", number: pins.input, side: "left", at: bar, lead: 6 },
      { name: "out", number: pins.output, side: "right", at: bar, lead: 6 },
      { name: "set", number: pins.set, side: "bottom", at: pin, lead: setLine - bar - 7 },
    ],
  )
  sheet.line(margin + 6, bar, x, bar)
  sheet.text(left - 8, bar - 1.4, feed, 2.2, "start")
  sheet.line(setFrom ?? pin, setLine, box.x + box.w + 14, setLine)
  if (setFrom !== undefined) sheet.dot(pin, setLine)
  if (contactAt !== undefined) {
    down(lower, pin, setLine, tapLine)
    sheet.line(contactAt, tapLine, pin, tapLine)
    sheet.dot(pin, tapLine)
    down(between("resistor", tap!, earth), pin, tapLine, ground)
  } else down(lower, pin, setLine, ground)
  if (setFrom === undefined) sheet.dot(pin, setLine)
  const right = box.x + box.w + 14
  sheet.dot(right, bar)
  down(upper, right, bar, setLine)
  const end = right + 14
  sheet.line(box.x + box.w + 6, bar, end, bar)
  sheet.end(end, bar, rail, "right")
  const firstEarth = capacitor ? left : pin
  sheet.line(Math.min(firstEarth, left), ground, pin, ground)
  sheet.earth(Math.min(firstEarth, left), ground)
  return drawColumns(sheet, circuit, group, ground + 14, drawn)
}

/** Two-pin parts in a grid, then the parts with many pins as boxes with the net of every pin. */
function drawRest(sheet: Sheet, circuit: Circuit, parts: readonly Part[], top: number): number {
  const small = parts.filter((p) => Object.keys(p.pins).length === 2)
  const big = parts.filter((p) => Object.keys(p.pins).length > 2)
  const perRow = Math.floor((wide - 2 * margin) / cell.w)
  small.forEach((p, i) => {
    sheet.named(p, margin + 14 + (i % perRow) * cell.w, top + Math.floor(i / perRow) * cell.h, circuit.earth)
  })
  let y = top + Math.ceil(small.length / perRow) * cell.h
  let x = margin
  let tallest = 0
  for (const p of big) {
    const signals = circuit.controller === p.ref ? circuit.signals.map((s) => ["pin as placed", s.net]) : []
    const pins = [...Object.entries(p.pins).sort(([a], [b]) => Number(a) - Number(b)), ...signals]
    const w = 64
    const h = 9 + 3.6 * pins.length
    if (x + w > wide - margin) {
      x = margin
      y += tallest + 8
      tallest = 0
    }
    sheet.box(x, y, w - 24, h, `${p.ref} ${p.value}`)
    pins.forEach(([pin, net], i) => {
      const py = y + 8 + 3.6 * i
      sheet.text(x + w - 26, py + 0.8, pin!, 2.2, "end")
      sheet.line(x + w - 24, py, x + w - 20, py)
      sheet.text(x + w - 19, py + 0.8, net!, 2.2, "start")
    })
    x += w + 4
    tallest = Math.max(tallest, h)
  }
  return y + tallest
}
