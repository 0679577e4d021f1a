// Judges what switches and supplies: arrays and their pull-ups, diodes, regulator, controller, and the inputs.

import type { Finding, Where } from "../0-ground/finding.ts"
import { show } from "../0-ground/text/show.ts"
import { modelOf, partType } from "../1-stock/parts.ts"
import { heatOf } from "./corners.ts"
import { type Figures, stockFact } from "./drive-figures.ts"
import { report } from "./drive-findings.ts"
import { flashingShare, junctionReserve, resistorShare } from "./limits.ts"
import { extreme, type MadeCircuit, solveUnder, wirePlace } from "./made-circuit.ts"
import { deratedPower } from "./rate-resistor.ts"
import { offVolt } from "./read-wires.ts"
import type { WrittenController } from "./write-controller.ts"

const round = (v: number) => Number(v.toPrecision(4))
const at = (text: string, part: string): Where => ({ text, part })

export function judgeSwitching(made: MadeCircuit, figures: Figures): Finding[] {
  const { controller } = made
  return [
    ...judgeDiodes(made, figures),
    ...judgeOtherResistors(made),
    ...(controller
      ? [
          ...judgeArrays(made, controller, figures),
          ...judgeRegulator(made, controller, figures),
          ...judgeRegulatorInput(made, controller),
          ...judgePins(made, controller, figures),
          ...judgeInputs(made, controller, figures),
        ]
      : []),
  ]
}

function judgeDiodes(made: MadeCircuit, figures: Figures): Finding[] {
  const refs = made.body.parts
    .filter((p) => p.kind === "diode" && p.stock === "diode-1n4007")
    .map((p) => p.ref)
  const most = extreme(made.solved, refs, (p, ref) => p.current(ref))
  if (!most) return []
  const model = modelOf("diode-1n4007", "diode")
  // Rated with the leads at 75 °C; from there to the greatest junction temperature in a straight line.
  const { highest } = made.lamp.vehicle.ambient
  const rating =
    model.average * Math.min(1, Math.max(0, (model.maximumJunction - highest) / (model.maximumJunction - 75)))
  const figure = figures.solved(
    "drive.diodes.current",
    "greatest current through a feed or supply diode",
    most.value * 1000,
    "mA",
    [figures.supply("highest"), stockFact("diode-1n4007", "average")],
    most.corner,
  )
  return [
    report.judge("diode-current", {
      title: `diodes carry at most ${show(most.value, "A")} of ${show(rating, "A")}`,
      where: at(`diode ${most.ref}`, most.ref),
      measured: { value: round(most.value * 1000), unit: "mA" },
      limit: { value: round(rating * 1000), unit: "mA", kind: "at most" },
      corner: most.corner,
      source: partType("diode-1n4007").source,
      figure: figure.id,
    }),
  ]
}

function judgeArrays(made: MadeCircuit, controller: WrittenController, figures: Figures): Finding[] {
  const model = modelOf("array-uln2803a", "low-side-array")
  const source = partType("array-uln2803a").source
  const findings: Finding[] = []
  const sections = controller.arrays.flatMap((ref) => {
    const { pins } = made.part.get(ref)!
    return model.sectionPins
      .filter(([input]) => pins[input] !== undefined)
      .map(([input, output]) => ({ ref, input, output }))
  })
  const outputs = sections.map((s) => `${s.ref}.${s.output}`)
  const most = extreme(made.solved, outputs, (p, ref) => p.current(ref))
  if (most) {
    const figure = figures.solved(
      "drive.array.section-current",
      "greatest current of an array section",
      most.value * 1000,
      "mA",
      [stockFact("array-uln2803a", "maximum-current")],
      most.corner,
    )
    findings.push(
      report.judge("section-current", {
        title: `array sections carry at most ${show(most.value, "A")}`,
        where: at(`section ${most.ref}`, most.ref.split(".")[0]!),
        measured: { value: round(most.value * 1000), unit: "mA" },
        limit: { value: model.maximumCurrent * 1000, unit: "mA", kind: "at most" },
        corner: most.corner,
        source,
        figure: figure.id,
      }),
    )
  }
  const hot = extreme(
    made.solved,
    controller.arrays,
    (p, ref, c) => c.celsius + model.thermalResistance * heatOf(made.part.get(ref)!, p),
  )
  if (hot) {
    const figure = figures.solved(
      "drive.array.junction",
      "temperature inside the hottest array",
      hot.value,
      "°C",
      [figures.ambient("highest"), stockFact("array-uln2803a", "thermal-resistance")],
      hot.corner,
      "ambient + thermal resistance × heat of all sections",
    )
    findings.push(
      report.judge("array-heat", {
        title: `arrays reach ${round(hot.value)} °C inside`,
        where: at(`array ${hot.ref}`, hot.ref),
        measured: { value: round(hot.value), unit: "°C" },
        limit: { value: model.maximumJunction - junctionReserve.value, unit: "°C", kind: "at most" },
        corner: hot.corner,
        amberBelow: 0,
        atWorst: hot.value > model.maximumJunction ? "red" : "amber",
        source,
        figure: figure.id,
      }),
    )
  }

  // The controller silent: only the pull-ups hold the inputs.
  const { supply, ambient, wires } = made.lamp.vehicle
  const live = new Map(wires.filter((w) => w.role !== "earth").map((w) => [w.name, supply.lowest]))
  const silent = solveUnder(made, { wires: live, parts: "weakest", celsius: ambient.lowest })
  let least: { value: number; need: number; ref: string } | undefined
  for (const { ref, input, output } of sections) {
    const value = silent.current(`${ref}.${input}`)
    const load = silent.current(`${ref}.${output}`)
    // 250 µA carry 100 mA, and each further milliampere asks for a microampere (data sheet pairs).
    const need = model.baseCurrent + (Math.max(load, 0) - 0.1) * 1e-3
    if (least === undefined || value / need < least.value / least.need)
      least = { value, need, ref: `${ref}.${input}` }
  }
  if (least) {
    const figure = figures.solved(
      "drive.array.pull-up-drive",
      "input current of an array section held by its pull-up alone",
      least.value * 1e6,
      "µA",
      [
        figures.supply("lowest"),
        stockFact("pull-up-8x10k", "resistance"),
        stockFact("array-uln2803a", "input-resistance"),
        stockFact("array-uln2803a", "base-current"),
      ],
      "controller silent, lowest supply, weakest parts",
    )
    findings.push(
      report.judge("array-drive", {
        title: `pull-ups alone give the sections ${show(least.value, "A")} of the ${show(least.need, "A")} they need`,
        where: at(`section ${least.ref}`, least.ref.split(".")[0]!),
        measured: { value: round(least.value * 1e6), unit: "µA" },
        limit: { value: round(least.need * 1e6), unit: "µA", kind: "at least" },
        corner: `controller silent, all wires at ${supply.lowest} V, ${ambient.lowest} °C, weakest parts`,
        source,
        figure: figure.id,
      }),
    )
  }
  return findings
}

function judgeRegulator(made: MadeCircuit, controller: WrittenController, figures: Figures): Finding[] {
  const model = modelOf("regulator-lm2940", "regulator")
  const chip = modelOf("controller-atmega328p", "controller")
  const source = partType("regulator-lm2940").source
  const findings: Finding[] = []
  // Only where something feeds the rail.
  const fed = made.solved.filter((s) =>
    s.at.live.some((w) => controller.supplyDiodes.some((d) => d.wire === w)),
  )
  const volt = extreme(
    fed,
    [controller.five],
    (p, net) => p.voltage(net) - p.voltage(made.body.earth),
    "least",
  )
  if (volt) {
    const figure = figures.solved(
      "drive.controller.supply-low",
      "lowest 5 V supply of the controller",
      volt.value,
      "V",
      [
        figures.supply("lowest"),
        stockFact("regulator-lm2940", "out-low"),
        stockFact("regulator-lm2940", "dropout"),
      ],
      volt.corner,
    )
    findings.push(
      report.judge("regulator-dropout", {
        title: `the controller has at least ${round(volt.value)} V`,
        where: at("5 V supply", controller.regulator),
        measured: { value: round(volt.value), unit: "V" },
        limit: { value: chip.supply.low, unit: "V", kind: "at least" },
        corner: volt.corner,
        source: partType("controller-atmega328p").source,
        figure: figure.id,
      }),
    )
  }
  const hot = extreme(
    fed,
    [controller.regulator],
    (p, ref, c) => c.celsius + model.thermalResistance * heatOf(made.part.get(ref)!, p),
  )
  if (hot) {
    const current = extreme(fed, [controller.regulator], (p, ref) => p.current(ref))!
    const amps = figures.solved(
      "drive.controller.supply-current",
      "greatest current out of the 5 V supply",
      current.value * 1000,
      "mA",
      [stockFact("controller-atmega328p", "supply-current"), stockFact("array-uln2803a", "input-resistance")],
      current.corner,
    )
    const figure = figures.solved(
      "drive.regulator.junction",
      "temperature inside the regulator",
      hot.value,
      "°C",
      [
        figures.supply("highest"),
        figures.ambient("highest"),
        amps,
        stockFact("regulator-lm2940", "quiescent"),
        stockFact("regulator-lm2940", "thermal-resistance"),
      ],
      hot.corner,
      "ambient + thermal resistance × ((in − out) × current + in × own current)",
    )
    findings.push(
      report.judge("regulator-heat", {
        title: `the regulator reaches ${round(hot.value)} °C inside`,
        where: at(`regulator ${hot.ref}`, hot.ref),
        measured: { value: round(hot.value), unit: "°C" },
        limit: { value: model.maximumJunction - junctionReserve.value, unit: "°C", kind: "at most" },
        corner: hot.corner,
        amberBelow: 0,
        atWorst: hot.value > model.maximumJunction ? "red" : "amber",
        source,
        figure: figure.id,
      }),
    )
  }
  return findings
}

/** Steady voltage at the regulator's input, at the highest supply. */
function judgeRegulatorInput(made: MadeCircuit, controller: WrittenController): Finding[] {
  const model = modelOf("regulator-lm2940", "regulator")
  const most = extreme(
    made.solved,
    [controller.rail],
    (p, net) => p.voltage(net) - p.voltage(made.body.earth),
  )
  if (!most) return []
  return [
    report.judge("regulator-input", {
      title: `the regulator is fed with at most ${round(most.value)} V`,
      where: at("controller's supply rail", controller.regulator),
      measured: { value: round(most.value), unit: "V" },
      limit: { value: model.maximumInput, unit: "V", kind: "at most" },
      corner: most.corner,
      source: partType("regulator-lm2940").source,
    }),
  ]
}

/** Resistors beside the strings': dividers, bleeds, pull-ups; a bleed on a flashing wire is live part of the time. */
function judgeOtherResistors(made: MadeCircuit): Finding[] {
  const { highest } = made.lamp.vehicle.ambient
  const strings = new Set(made.strings.flatMap((s) => s.resistors))
  const flashing = new Set(made.lamp.vehicle.wires.filter((w) => w.role === "flashing").map((w) => w.name))
  const share = (ref: string) => {
    const nets = Object.values(made.part.get(ref)!.pins)
    const onFlash = made.body.nets.some(
      (n) => n.wire !== undefined && flashing.has(n.wire) && nets.includes(n.name),
    )
    return onFlash ? flashingShare.value : 1
  }
  const rated = (ref: string) => deratedPower(modelOf(made.part.get(ref)!.stock, "resistor").rated, highest)
  const refs = made.body.parts.filter((p) => p.kind === "resistor" && !strings.has(p.ref)).map((p) => p.ref)
  const most = extreme(
    made.solved,
    refs,
    (p, ref) => (heatOf(made.part.get(ref)!, p) * share(ref)) / rated(ref),
  )
  if (!most) return []
  const part = made.part.get(most.ref)!
  return [
    report.judge("resistor-heat", {
      title: `${part.ref} (${part.value}) is ${round(most.value * 100)} % loaded: it ${part.purpose}`,
      where: at(`resistor ${part.ref}`, part.ref),
      measured: { value: round(most.value * rated(most.ref) * 1000), unit: "mW" },
      limit: { value: round(resistorShare.value * rated(most.ref) * 1000), unit: "mW", kind: "at most" },
      corner: most.corner,
      amberBelow: 0,
      atWorst: most.value > 1 ? "red" : "amber",
      source: resistorShare.source,
    }),
  ]
}

function judgePins(made: MadeCircuit, controller: WrittenController, figures: Figures): Finding[] {
  const chip = modelOf("controller-atmega328p", "controller")
  const refs = made.body.signals
    .filter((s) => s.direction === "output")
    .map((s) => `${controller.ref}.${s.name}`)
  const source = partType("controller-atmega328p").source
  const one = extreme(made.solved, refs, (p, ref) => Math.abs(p.current(ref)))
  if (!one) return []
  const all = extreme(made.solved, [controller.ref], (p, ref) => {
    let sum = p.current(ref)
    for (const r of refs) sum += Math.abs(p.current(r)) || 0
    return sum
  })!
  const pin = figures.solved(
    "drive.controller.pin-current",
    "greatest current of a controller pin",
    one.value * 1000,
    "mA",
    [
      stockFact("array-uln2803a", "input-resistance"),
      stockFact("controller-atmega328p", "recommended-pin-current"),
    ],
    one.corner,
  )
  const sum = figures.solved(
    "drive.controller.total-current",
    "greatest current of all controller pins and the controller itself",
    all.value * 1000,
    "mA",
    [
      pin,
      stockFact("controller-atmega328p", "supply-current"),
      stockFact("controller-atmega328p", "total-current"),
    ],
    all.corner,
  )
  const where = at(`controller ${controller.ref}`, controller.ref)
  return [
    report.judge("controller-pins", {
      title: `controller pins carry at most ${show(one.value, "A")}`,
      where,
      measured: { value: round(one.value * 1000), unit: "mA" },
      limit: { value: chip.recommendedPinCurrent * 1000, unit: "mA", kind: "at most" },
      corner: one.corner,
      source,
      figure: pin.id,
    }),
    report.judge("controller-pins", {
      title: `all controller pins together carry ${show(all.value, "A")}`,
      where,
      measured: { value: round(all.value * 1000), unit: "mA" },
      limit: { value: chip.totalCurrent * 1000, unit: "mA", kind: "at most" },
      corner: all.corner,
      source,
      figure: sum.id,
    }),
  ]
}

function judgeInputs(made: MadeCircuit, controller: WrittenController, figures: Figures): Finding[] {
  const chip = partType("controller-atmega328p").source
  return made.inputs.flatMap((input) => {
    const wire = made.lamp.vehicle.wires.find((w) => w.name === input.wire)!
    const net = made.body.nets.find((n) => n.wire === input.wire)!.name
    const where = wirePlace(made, input.wire)
    const dividers = controller.inputs.find((i) => i.wire === input.wire)!
    const id = `drive.input.${input.wire}`
    const live = figures.result(
      `${id}.live-above`,
      `${input.wire} surely reads live above`,
      input.liveAbove,
      "V",
      "greatest input threshold × greatest 5 V ÷ least share of the divider, with leakage",
      [
        stockFact("controller-atmega328p", "input-high"),
        stockFact("regulator-lm2940", "out-high"),
        stockFact("controller-atmega328p", "leakage"),
        stockFact("resistor-quarter-watt", "tolerance"),
      ],
    )
    const dead = figures.result(
      `${id}.dead-below`,
      `${input.wire} surely reads dead below`,
      input.deadBelow,
      "V",
      "least input threshold × least 5 V ÷ greatest share of the divider, with leakage",
      [
        stockFact("controller-atmega328p", "input-low"),
        stockFact("regulator-lm2940", "out-low"),
        stockFact("controller-atmega328p", "leakage"),
        stockFact("resistor-quarter-watt", "tolerance"),
      ],
    )
    const low = extreme(
      made.solved.filter((s) => s.at.live.includes(input.wire)),
      [net],
      (p, n) => p.voltage(n) - p.voltage(made.body.earth),
      "least",
    )
    const fedAcross = extreme(
      made.solved.filter((s) => !s.at.live.includes(input.wire)),
      [net],
      (p, n) => p.voltage(n) - p.voltage(made.body.earth),
    )
    const leak = wire.role === "flashing" ? offVolt(wire) : 0
    const idle = Math.max(leak, fedAcross?.value ?? 0)
    return [
      ...(low
        ? [
            report.judge("input-live", {
              title: `${input.wire} at ${round(low.value)} V reads live (from ${round(input.liveAbove)} V)`,
              where,
              measured: { value: round(low.value), unit: "V" },
              limit: { value: round(input.liveAbove), unit: "V", kind: "at least" },
              corner: low.corner,
              source: chip,
              figure: live.id,
            }),
          ]
        : []),
      report.judge("input-dead", {
        title: `${input.wire} dead: at most ${round(idle)} V is left on it, dead below ${round(input.deadBelow)} V`,
        where: { ...where, ...(dividers.bleed === undefined ? {} : { part: dividers.bleed }) },
        measured: { value: round(idle), unit: "V" },
        limit: { value: round(input.deadBelow), unit: "V", kind: "at most" },
        corner: leak >= (fedAcross?.value ?? 0) ? "flasher off and leaking" : (fedAcross?.corner ?? ""),
        source: chip,
        figure: dead.id,
      }),
    ]
  })
}
