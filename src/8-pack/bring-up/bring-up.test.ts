// The solver against closed formulas; every single fault of a small lamp revealed and found again.

import { describe, expect, test } from "vitest"
import { designMarker, designTern } from "../../../tests/tern.ts"
import type { Board, Land } from "../../5-board/artefact.ts"
import type { BoardCopper } from "../../6-copper/artefact.ts"
import { bridgeGap } from "./bridges.ts"
import { bringUpCsv } from "./bring-up-table.ts"
import { DcNetwork, diode, holdsVoltage } from "./dc-network.ts"
import { findFaults } from "./find-fault.ts"
import { splitByLink } from "./link-split.ts"
import { planBringUp, solveFaults } from "./plan-bring-up.ts"
import { readReadings } from "./read-readings.ts"
import { steps } from "./readings.ts"
import { resistanceBetween } from "./resistance.ts"

/** The net of the copper at a place, from a picture of it in cells of 0.05 mm, filled row by row. */
function raster(islands: BoardCopper["islands"], { w, h }: Board["size"]) {
  const cell = 0.05
  const [columns, rows] = [Math.ceil(w / cell) + 1, Math.ceil(h / cell) + 1]
  const grid = new Int16Array(columns * rows).fill(-1)
  for (const [k, { ring, holes }] of islands.entries()) {
    const crossings = new Map<number, number[]>()
    for (const r of [ring, ...(holes ?? [])])
      for (const [i, p] of r.entries()) {
        const q = r[(i + 1) % r.length]!
        const [low, high] = p.y < q.y ? [p, q] : [q, p]
        for (let row = Math.ceil(low.y / cell); row * cell < high.y; row++) {
          const x = low.x + ((row * cell - low.y) / (high.y - low.y)) * (high.x - low.x)
          crossings.set(row, [...(crossings.get(row) ?? []), x])
        }
      }
    for (const [row, xs] of crossings) {
      xs.sort((a, b) => a - b)
      for (let i = 0; i + 1 < xs.length; i += 2)
        for (let c = Math.ceil(xs[i]! / cell); c * cell <= xs[i + 1]!; c++) grid[row * columns + c] = k
    }
  }
  return (x: number, y: number): string | undefined => {
    const [c, r] = [Math.round(x / cell), Math.round(y / cell)]
    return c < 0 || r < 0 || c >= columns || r >= rows ? undefined : islands[grid[r * columns + c]!]?.net
  }
}

describe("networks", () => {
  test("twelve equal resistors along a cube's edges: 5/6 R across it (a textbook exercise)", () => {
    const edges = [...Array(8).keys()].flatMap((a) =>
      [1, 2, 4].filter((bit) => (a & bit) === 0).map((bit) => ({ a: `${a}`, b: `${a | bit}`, ohm: 120 })),
    )
    expect(edges).toHaveLength(12)
    expect(resistanceBetween(edges)("0", "7")).toBeCloseTo(100, 3)
  })
  test("a diode behind a resistor keeps its law and the sum of voltages", () => {
    const law = { saturation: 1e-12, emission: 1.5, series: 2 }
    const network = new DcNetwork("0", 1e-12)
    network.branch("in", "0", holdsVoltage(12))
    network.resistor("in", "a", 470)
    network.branch("a", "0", diode(law))
    const v = network.solve()!
    const i = (v.get("in")! - v.get("a")!) / 470
    expect(v.get("a")! - i * 2).toBeCloseTo(1.5 * 0.025852 * Math.log1p(i / 1e-12), 6)
  })
})

describe("the marker lamp", () => {
  const design = designMarker()
  const solved = solveFaults(design)
  const { plan, sound, signatures } = solved
  test("every single fault is revealed by a reading", () => {
    expect(plan.faults.length).toBeGreaterThan(20)
    expect(plan.faults.filter((f) => f.revealedBy === undefined)).toEqual([])
  })
  test("a sound lamp keeps every limit; a fault's own reading does not", () => {
    for (const r of plan.readings) {
      expect(sound.get(r.id)!.low).toBeGreaterThanOrEqual(r.low)
      expect(sound.get(r.id)!.high).toBeLessThanOrEqual(r.high)
    }
    for (const f of plan.faults) {
      const r = plan.readings.find((x) => x.id === f.revealedBy)!
      const shown = signatures.get(f.id)!.get(r.id)!
      expect(shown.high < r.low || shown.low > r.high, f.text).toBe(true)
    }
  })
  test("the fault finder names each fault among its first three", () => {
    for (const f of plan.faults) {
      const values = new Map([...signatures.get(f.id)!].map(([id, range]) => [id, range.usual]))
      const first = findFaults(solved, values).suspects.slice(0, 3)
      expect(
        first.flatMap((s) => s.faults),
        f.text,
      ).toContain(f.text)
    }
  })
  test("every net that touches the metal is a fault; those a wire reaches are told by the insulation reading", () => {
    const nets = new Set(design.boards.boards[0]!.lands.map((l) => l.net).filter((n) => n !== undefined))
    const onMetal = plan.faults.filter((f) => f.text.endsWith("touches the metal housing"))
    expect(onMetal).toHaveLength(nets.size)
    const insulation = plan.readings.find((r) => r.probe.startsWith("all vehicle wires twisted"))!
    expect(insulation).toMatchObject({ step: "in its housing, no supply", low: 1e6 })
    for (const net of ["tail", "earth"])
      expect(onMetal.find((f) => f.text.startsWith(`${net} on`))!.revealedBy).toBe(insulation.id)
    // Between two LEDs no meter below 0.3 V reaches the wires; eyes or the lit lamp tell.
    expect(signatures.get("plate tail on housing")!.get(insulation.id)!.high).toBeLessThan(1)
  })
  test("a lamp without boards has nothing to read, and nothing is claimed", () => {
    const bare = { ...design, boards: { ...design.boards, boards: [] } }
    expect(planBringUp(bare).readings).toEqual([])
  })
  test("resistors of 5 % are not taken for wrong ones: a sound lamp with all of them at an end keeps every limit", () => {
    const design = designMarker(
      "\npins: { drive.marker.way: resistor-strings, drive.marker.resistor-part: resistor-half-watt-5 }\n",
    )
    const { plan } = solveFaults(design)
    const resistor = design.circuit.parts.find((p) => p.stock === "resistor-half-watt-5")!
    const across = plan.readings.filter((r) => Math.abs(r.expected / resistor.amount! - 1) < 1e-3)
    expect(across.length).toBeGreaterThan(0)
    for (const r of across) {
      expect(r.low).toBeLessThanOrEqual(0.95 * r.expected)
      expect(r.high).toBeGreaterThanOrEqual(1.05 * r.expected)
    }
    expect(plan.faults.filter((f) => f.revealedBy === undefined)).toEqual([])
  })
  test("bring-up.csv with readings written in comes back", () => {
    const lines = bringUpCsv(plan).split("\r\n")
    const column = lines[0]!.split(",").indexOf("measured")
    expect(column).toBeGreaterThan(0)
    const read = readReadings("reading,measured\r\nB1,5600\r\nB2,\r\nB3,OL\r\n", plan)
    expect(read).toEqual({
      values: new Map([
        ["B1", 5600],
        ["B3", 3],
      ]),
    })
    expect(readReadings(bringUpCsv(plan), plan)).toEqual({ values: new Map() })
  })
  test.each([
    ["", 1, /columns/],
    ["reading,measured\nB999,1\n", 2, /no reading B999/],
    ["reading,measured\nB1,=1+1\n", 2, /no number/],
    ["reading,measured\nB1,1\nB1,2\n", 3, /twice/],
    ['reading,measured\nB1,"1\n', 2, /not closed/],
  ])("bad readings %j are told by line", (text, line, reason) => {
    const read = readReadings(text, plan)
    expect(read).toMatchObject({ fault: { line, reason: expect.stringMatching(reason) } })
  })
})

describe("the Tern lamp", () => {
  const design = designTern()
  const solved = solveFaults(design)
  const { plan, signatures } = solved
  const texts = new Set(plan.faults.map((f) => f.text))
  test("at least 300 single faults, every one revealed", () => {
    expect(plan.faults.length).toBeGreaterThanOrEqual(300)
    expect(plan.faults.filter((f) => f.revealedBy === undefined)).toEqual([])
  })
  test("the fault finder names at least 95 % among its first three, all readings taken", () => {
    const missed = plan.faults.filter((f) => {
      const values = new Map([...signatures.get(f.id)!].map(([id, range]) => [id, range.usual]))
      const first = findFaults(solved, values).suspects.slice(0, 3)
      return !first.some((s) => s.faults.includes(f.text))
    })
    console.info(
      `Tern: ${plan.faults.length} single faults, all revealed by ${plan.readings.length} readings; among the first three: ${plan.faults.length - missed.length}`,
    )
    expect(missed.length).toBeLessThanOrEqual(plan.faults.length * 0.05)
  })
  test("every part is in the list: open, and shorted, reversed or off by a decade where that means something", () => {
    const open = "missing, broken or not soldered"
    const modes: Readonly<Record<string, readonly string[]>> = {
      led: [open, "shorted", "turned round"],
      diode: [open, "shorted", "turned round"],
      clamp: [open, "shorted", "turned round"],
      resistor: [open, "shorted", "of ten times its value", "of a tenth of its value"],
      capacitor: [open, "shorted", "of ten times its value", "of a tenth of its value"],
      regulator: [open, "shorted", "turned round"],
      // A network's and an array's sections fail one by one, below.
      "resistor-array": [open, "turned round", "of ten times its value", "of a tenth of its value"],
      "low-side-array": [open, "turned round"],
      controller: [open, "shorted", "turned round"],
      resonator: [open, "shorted"],
      header: [open],
    }
    for (const part of design.circuit.parts)
      for (const mode of modes[part.kind] ?? ["of an unknown kind"])
        expect(texts, `${part.ref} ${mode}`).toContain(`${part.ref} ${mode}`)
    for (const part of design.circuit.parts.filter((p) => p.pins["+"] !== undefined))
      expect(texts).toContain(`${part.ref} turned round`)
    const sections = plan.faults.filter((f) => / section at pin /.test(f.id))
    // Two networks and two arrays of eight, each section open and shorted.
    expect(sections).toHaveLength(4 * 8 * 2)
  })
  const bridges = plan.faults.filter((f) => f.text.startsWith("solder bridge"))
  const placesOn = (board: string) =>
    new Set(
      [...bridges, ...plan.harmless]
        .filter((f) => f.id.startsWith(`${board} `))
        .flatMap((f) => f.places ?? []),
    )
  const at = (l: Pick<Land, "ref" | "pin">) => `${l.ref}.${l.pin}`
  /** The outline of a land walked in steps, with the way out at each; the sides between its ends in steps too. */
  const rim = (l: Land) => {
    const [long, short] = [Math.max(l.w, l.h) / 2, Math.min(l.w, l.h) / 2]
    const turn = ((l.rotation + (l.w >= l.h ? 0 : 90)) * Math.PI) / 180
    const [cos, sin] = [Math.cos(turn), Math.sin(turn)]
    return [-1, 0, 1].flatMap((along) =>
      Array.from({ length: 90 }, (_, k) => {
        const a = (k * Math.PI) / 45
        const x = short * Math.cos(a) + along * (long - short)
        const y = short * Math.sin(a)
        return {
          x: l.x + x * cos - y * sin,
          y: l.y + x * sin + y * cos,
          out: { x: Math.cos(a) * cos - Math.sin(a) * sin, y: Math.cos(a) * sin + Math.sin(a) * cos },
        }
      }),
    )
  }
  test("bridges of the same two nets are one fault, which names every place", () => {
    const ids = new Set(bridges.map((f) => f.id))
    expect(ids.size).toBe(bridges.length)
    for (const f of bridges) {
      expect(f.places!.length).toBeGreaterThan(0)
      for (const place of f.places!) expect(f.text).toContain(place)
    }
    const pairs = bridges.map((f) => {
      const [, board, points] = /^(\S+) bridge (.*)$/.exec(f.id)!
      return [board, ...points!.split(" ").sort()].join(" ")
    })
    expect(new Set(pairs).size).toBe(pairs.length)
    expect(bridges.some((f) => f.places!.length > 2)).toBe(true)
  })
  test("every two lands of different nets a drop of solder could join are in it, measured on their outlines", () => {
    // Against the distance of segments the list is made with.
    let pairs = 0
    let listed = 0
    for (const { name, lands } of design.boards.boards) {
      const places = placesOn(name)
      listed += [...places].filter((p) => !/copper| over /.test(p)).length
      const named = lands.map((l) => ({ l, points: rim(l) }))
      for (const [i, a] of named.entries())
        for (const b of named.slice(i + 1)) {
          if ((a.l.net !== undefined && a.l.net === b.l.net) || Math.hypot(a.l.x - b.l.x, a.l.y - b.l.y) > 8)
            continue
          let gap = Number.POSITIVE_INFINITY
          for (const p of a.points)
            for (const q of b.points) gap = Math.min(gap, Math.hypot(p.x - q.x, p.y - q.y))
          // Steps of four degrees, and the straight sides between their ends, may miss a little.
          if (gap > bridgeGap - 0.05) continue
          pairs++
          expect(places).toContain(`${at(a.l)}–${at(b.l)}`)
        }
    }
    expect(listed).toBeGreaterThanOrEqual(pairs)
    // Sides that run along each other are walked at their ends only: few more may be listed than were found.
    expect(listed).toBeLessThanOrEqual(pairs * 1.1 + 3)
  })
  test("copper of another net across one groove is in it, found by stepping outward from each land", () => {
    let seen = 0
    for (const board of design.boards.boards) {
      const places = placesOn(board.name)
      const { islands } = design.copper.boards.find((c) => c.board === board.name)!
      const copperAt = raster(islands, board.size)
      /** Nets whose copper is the first of another net on a way out of the land. */
      const around = (l: Land, reach: number) => {
        const nets = new Set<string>()
        for (const { x, y, out } of rim(l))
          for (let d = 0; d <= reach; d += 0.05) {
            const net = copperAt(x + d * out.x, y + d * out.y)
            if (net === undefined || net === l.net) continue
            nets.add(net)
            break
          }
        return nets
      }
      const wide = (l: Land) => around(l, bridgeGap + 0.15)
      for (const land of board.lands.filter((l) => l.net !== undefined)) {
        for (const net of around(land, bridgeGap - 0.1)) {
          seen++
          // Named by the nearest land where there is one.
          const named =
            places.has(`${at(land)}–copper of ${net}`) ||
            board.lands.some(
              (o) =>
                o.net === net && (places.has(`${at(land)}–${at(o)}`) || places.has(`${at(o)}–${at(land)}`)),
            )
          expect(named, `${at(land)} beside ${net} on ${board.name}`).toBe(true)
        }
        const told = [...places].flatMap((p) => {
          const [, from, net] = /^(\S+)–copper of (\S+)$/.exec(p) ?? []
          return from === at(land) && net !== undefined ? [net] : []
        })
        if (told.length > 0)
          for (const net of told) expect(wide(land), `${at(land)} to ${net}`).toContain(net)
      }
    }
    expect(seen).toBeGreaterThan(200)
  })
  test("solder to a pin without a net is a fault where it matters, and told as harmless where it does not", () => {
    const chip = design.circuit.parts.find((p) => p.kind === "controller")!
    const array = design.circuit.parts.find((p) => p.kind === "low-side-array")!
    const input = design.circuit.signals.find((s) => s.direction === "input")!
    const control = design.boards.boards.find((b) => b.lands.some((l) => l.ref === chip.ref))!
    const loose = (ref: string) => control.lands.filter((l) => l.ref === ref && l.net === undefined)
    // Port D pin 3 and port C pin 0 of the ATmega328P lie at 5 and 23; AREF, at 21, is no port pin.
    const [onInput, onEarth] = loose(chip.ref).filter((l) => l.pin !== "21")
    const common = loose(array.ref)[0]!
    expect([onInput, onEarth, common].every((l) => l !== undefined)).toBe(true)
    const place = (l: Land, by: Land): Land => ({
      ...l,
      x: by.x,
      y: by.y,
      w: by.w,
      h: by.h,
      rotation: by.rotation,
    })
    const of = (net: string) => control.lands.findLast((l) => l.net === net)!
    const moved = new Map([
      [onInput, of(input.net)],
      [onEarth, of("earth")],
      [common, of("earth")],
    ])
    const lands = control.lands.map((l) => {
      const by = moved.get(l)
      return by ? place(l, by) : l
    })
    const { plan } = solveFaults({
      ...design,
      copper: { boards: [] },
      boards: {
        ...design.boards,
        boards: design.boards.boards.map((b) => (b === control ? { ...b, lands } : b)),
      },
    })
    const find = (list: readonly { id: string }[], a: string, b: string) =>
      list.find(
        (f) => f.id === `${control.name} bridge ${a} ${b}` || f.id === `${control.name} bridge ${b} ${a}`,
      )
    // Its pull-up lifts a dark input (worked by hand: 5 V across it and the input's own resistors).
    expect(find(plan.faults, at(onInput!), input.net)).toMatchObject({
      revealedBy: expect.stringMatching(/^B/),
    })
    // 5 V across its pull-up of 20 to 50 kΩ: a quarter of a milliampere, which nothing else notices.
    const quiet = plan.harmless.find((h) => h === find(plan.harmless, at(onEarth!), "earth"))!
    expect(quiet.states).toBeGreaterThan(3)
    expect(quiet.ampere).toBeGreaterThan(1e-4)
    expect(quiet.ampere).toBeLessThan(3e-4)
    // The array's common pin leads through its diodes to every output: earthed, it lights what hangs on them.
    expect(find(plan.faults, at(common), "earth")).toMatchObject({ revealedBy: expect.stringMatching(/^B/) })
    expect(plan.faults.filter((f) => f.revealedBy === undefined)).toEqual([])
    expect(plan.harmless.every((h) => !plan.faults.some((f) => f.id === h.id))).toBe(true)
  })
  test("every wire link, every wire of the harness and every net on the metal is in it", () => {
    for (const b of design.boards.boards) {
      for (const link of b.links)
        if (splitByLink(b, link))
          expect(texts).toContain(`wire link ${link.ref} on ${b.name} missing or not soldered`)
      for (const net of new Set(b.lands.flatMap((l) => l.net ?? [])))
        expect(texts).toContain(`${net} on ${b.name} touches the metal housing`)
    }
    for (const { name } of design.boards.harness) expect(texts).toContain(`wire ${name} missing or broken`)
  })
  test("the plan goes from continuity to the vehicle, and tells current, rails and lights on the way", () => {
    const order = steps.filter((s) => plan.readings.some((r) => r.step === s))
    expect(plan.readings.map((r) => steps.indexOf(r.step))).toEqual(
      plan.readings.map((r) => steps.indexOf(r.step)).sort((a, b) => a - b),
    )
    for (const step of [
      "resistors in",
      "everything in, no supply",
      "first power, board alone",
      "in its housing, no supply",
      "programmed",
      "on the vehicle",
    ] as const)
      expect(order).toContain(step)
    for (const r of plan.readings.filter((x) => x.supply)) expect(r.supply!.limit).toBeGreaterThan(0)
    const last = plan.readings.filter((r) => r.step === "on the vehicle")
    // Each light by its switch, each steady wire's voltage, each flasher's rate, the earth's loss.
    expect(last.map((r) => r.probe).join("\n")).toMatch(/flashes of left in one minute/)
    expect(last.find((r) => r.probe.includes("battery's minus"))).toMatchObject({ unit: "V", low: 0 })
    expect(last.find((r) => r.probe.includes("flashes of left"))).toMatchObject({
      expected: 90,
      low: 60,
      high: 120,
    })
    for (const r of last) expect(r.finds).toEqual([])
  })
})
