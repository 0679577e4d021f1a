// Judges what switches and supplies: arrays and their pull-ups, diodes, regulator, controller, and the inputs.

import { fact, measuredBy } from "../0-ground/figure.ts"
import type { Finding, Where } from "../0-ground/finding.ts"
import type { Remedy } from "../0-ground/remedy.ts"
import { computed, described } from "../0-ground/source.ts"
import { show } from "../0-ground/text/show.ts"
import { modelOf, partType } from "../1-stock/parts.ts"
import { type CornerCase, heatOf } from "./corners.ts"
import { type Figures, solvedAs, stockFact, workedOut } from "./drive-figures.ts"
import { report } from "./drive-findings.ts"
import { resistorsOf } from "./group-figures.ts"
import { bleedFigure, figureInput } from "./input-figures.ts"
import { flashingShare, junctionReserve, resistorShare } from "./limits.ts"
import { extreme, isFed, type MadeCircuit, solveUnder, wirePlace } from "./made-circuit.ts"
import { heatSink } from "./pinned.ts"
import { deratedPower } from "./rate-resistor.ts"
import { offVolt } from "./read-wires.ts"
import { resistorHeat } from "./resistor-heat.ts"
import type { WrittenController } from "./write-controller.ts"

const round = (v: number) => Number(v.toPrecision(4))
const at = (text: string, part: string): Where => ({ text, part })

export function judgeSwitching(made: MadeCircuit, figures: Figures): Finding[] {
  const { controller } = made
  return [
    ...judgeDiodes(made, figures),
    ...judgeOtherResistors(made, figures),
    ...(controller
      ? [
          ...judgeArrays(made, controller, figures),
          ...judgeRegulator(made, controller, figures),
          ...judgeRegulatorInput(made, controller, figures),
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
  const hottest = extreme(
    made.solved,
    refs,
    (p, ref, c) => c.celsius + model.thermalResistance * heatOf(made.part.get(ref)!, p),
  )!
  const heat = solvedAs(
    "drive.diodes.heat",
    `heat in ${hottest.ref}`,
    heatOf(made.part.get(hottest.ref)!, hottest.point) * 1000,
    "mW",
    [...figures.conditions(hottest.at), stockFact("diode-1n4007", "forward-voltage")],
    hottest.corner,
  )
  const junction = figures.result(
    "drive.diodes.junction",
    "temperature inside the hottest feed or supply diode",
    hottest.value,
    "°C",
    "temperature of the air + thermal resistance × heat, solved again until it stands still",
    [figures.air(hottest.at.celsius), stockFact("diode-1n4007", "thermal-resistance"), heat],
    hottest.corner,
  )
  const figure = figures.solved(
    "drive.diodes.current",
    "greatest current through a feed or supply diode",
    most.value * 1000,
    "mA",
    [...figures.conditions(most.at), ...fedAt(made, most.at).flatMap((g) => resistorsOf(made, g, figures))],
    most.corner,
  )
  return [
    report.judge("diode-heat", {
      title: `diodes reach ${show(junction.value, "°C")} inside`,
      where: at(`diode ${hottest.ref}`, hottest.ref),
      ...measuredBy(junction),
      limit: { value: model.maximumJunction - junctionReserve.value, unit: "°C", kind: "at most" },
      corner: hottest.corner,
      amberBelow: 0,
      atWorst: hottest.value > model.maximumJunction ? "red" : "amber",
      source: partType("diode-1n4007").source,
    }),
    report.judge("diode-current", {
      title: `diodes carry at most ${show(figure.value, "mA")} of ${show(rating, "A")}`,
      where: at(`diode ${most.ref}`, most.ref),
      ...measuredBy(figure),
      limit: { value: round(rating * 1000), unit: "mA", kind: "at most" },
      corner: most.corner,
      source: partType("diode-1n4007").source,
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
      [
        ...figures.conditions(most.at),
        ...fedAt(made, most.at)
          .filter((g) => g.plan.topology === "switched")
          .flatMap((g) => resistorsOf(made, g, figures)),
      ],
      most.corner,
    )
    findings.push(
      report.judge("section-current", {
        title: `array sections carry at most ${show(figure.value, "mA")}`,
        where: at(`section ${most.ref}`, most.ref.split(".")[0]!),
        ...measuredBy(figure),
        limit: { value: model.maximumCurrent * 1000, unit: "mA", kind: "at most" },
        corner: most.corner,
        source,
      }),
    )
  }
  const hot = extreme(
    made.solved,
    controller.arrays,
    (p, ref, c) => c.celsius + model.thermalResistance * heatOf(made.part.get(ref)!, p),
  )
  if (hot) {
    const heat = solvedAs(
      "drive.array.heat",
      `heat of all sections and inputs of ${hot.ref}`,
      heatOf(made.part.get(hot.ref)!, hot.point) * 1000,
      "mW",
      [
        figures.get("drive.array.section-current"),
        stockFact("array-uln2803a", "drop-20"),
        stockFact("array-uln2803a", "input-resistance"),
      ],
      hot.corner,
    )
    const figure = figures.result(
      "drive.array.junction",
      "temperature inside the hottest array",
      hot.value,
      "°C",
      "temperature of the air + thermal resistance × heat",
      [figures.air(hot.at.celsius), stockFact("array-uln2803a", "thermal-resistance"), heat],
      hot.corner,
    )
    findings.push(
      report.judge("array-heat", {
        title: `arrays reach ${show(figure.value, "°C")} inside`,
        where: at(`array ${hot.ref}`, hot.ref),
        ...measuredBy(figure),
        limit: { value: model.maximumJunction - junctionReserve.value, unit: "°C", kind: "at most" },
        corner: hot.corner,
        amberBelow: 0,
        atWorst: hot.value > model.maximumJunction ? "red" : "amber",
        source,
      }),
    )
  }

  // The controller silent: only the pull-ups hold the inputs.
  const { supply, ambient, wires } = made.lamp.vehicle
  const live = new Map(wires.filter((w) => w.role !== "earth").map((w) => [w.name, supply.lowest]))
  const silent = solveUnder(made, { wires: live, parts: "weakest", celsius: ambient.lowest })
  let least: { value: number; load: number; need: number; ref: string } | undefined
  for (const { ref, input, output } of sections) {
    const value = silent.current(`${ref}.${input}`)
    const load = Math.max(silent.current(`${ref}.${output}`), 0)
    // 250 µA carry 100 mA, and each further milliampere asks for a microampere (data sheet pairs).
    const need = model.baseCurrent + (load - 0.1) * 1e-3
    if (least === undefined || value / need < least.value / least.need)
      least = { value, load, need, ref: `${ref}.${input}` }
  }
  if (least) {
    const corner = `controller silent, all wires at ${supply.lowest} V, ${ambient.lowest} °C, weakest parts`
    const need = figures.result(
      "drive.array.drive-needed",
      "input current an array section needs for its load",
      least.need * 1e6,
      "µA",
      "input current for 100 mA + 1 µA for each milliampere above 100 mA (less for each below)",
      [
        stockFact("array-uln2803a", "base-current"),
        solvedAs(
          "drive.array.drive-needed.load",
          `load of section ${least.ref}`,
          least.load * 1000,
          "mA",
          made.groups
            .filter((g) => g.plan.topology === "switched")
            .flatMap((g) => resistorsOf(made, g, figures)),
          corner,
        ),
      ],
      corner,
    )
    const figure = figures.solved(
      "drive.array.pull-up-drive",
      "input current of an array section held by its pull-up alone",
      least.value * 1e6,
      "µA",
      [
        figures.supply("lowest"),
        figures.ambient("lowest"),
        stockFact("regulator-lm2940", "out-low"),
        stockFact("pull-up-8x10k", "resistance"),
        stockFact("pull-up-8x10k", "tolerance"),
        stockFact("array-uln2803a", "input-resistance"),
      ],
      corner,
    )
    findings.push(
      report.judge("array-drive", {
        title: `pull-ups alone give the sections ${show(figure.value, "µA")} of the ${show(need.value, "µA")} they need`,
        where: at(`section ${least.ref}`, least.ref.split(".")[0]!),
        ...measuredBy(figure),
        limit: { value: need.value, unit: "µA", kind: "at least" },
        corner,
        source,
      }),
    )
  }
  return findings
}

function judgeRegulator(made: MadeCircuit, controller: WrittenController, figures: Figures): Finding[] {
  const model = modelOf("regulator-lm2940", "regulator")
  const chip = modelOf(controller.stock, "controller")
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
        ...figures.conditions(volt.at),
        stockFact("diode-1n4007", "forward-voltage"),
        stockFact("regulator-lm2940", "out-low"),
        stockFact("regulator-lm2940", "dropout"),
      ],
      volt.corner,
    )
    findings.push(
      report.judge("regulator-dropout", {
        title: `the controller has at least ${show(figure.value, "V")}`,
        where: at("5 V supply", controller.regulator),
        ...measuredBy(figure),
        limit: { value: chip.supply.low, unit: "V", kind: "at least" },
        corner: volt.corner,
        source: partType(controller.stock).source,
      }),
    )
  }
  const sink = heatSink(made.lamp)
  const toAir = sink === undefined ? model.thermalResistance : toSink.value + sink
  const hot = extreme(
    fed,
    [controller.regulator],
    (p, ref, c) => c.celsius + toAir * heatOf(made.part.get(ref)!, p),
  )
  if (hot) {
    const current = extreme(fed, [controller.regulator], (p, ref) => p.current(ref))!
    const amps = figures.solved(
      "drive.controller.supply-current",
      "greatest current out of the 5 V supply",
      current.value * 1000,
      "mA",
      [stockFact(controller.stock, "supply-current"), stockFact("array-uln2803a", "input-resistance")],
      current.corner,
    )
    const part = made.part.get(hot.ref)!
    const across = (pin: string) => hot.point.voltage(part.pins[pin]!) - hot.point.voltage(part.pins["2"]!)
    const heat = workedOut(
      "drive.regulator.heat",
      "heat in the regulator",
      heatOf(part, hot.point) * 1000,
      "mW",
      "(in − out) × current + in × own current",
      [
        solvedAs("drive.regulator.in", "regulator in", across("1"), "V", [
          ...figures.conditions(hot.at),
          stockFact("diode-1n4007", "forward-voltage"),
        ]),
        solvedAs("drive.regulator.out", "regulator out", across("3"), "V", [
          stockFact("regulator-lm2940", "out-high"),
        ]),
        solvedAs(
          "drive.regulator.current",
          "current out of the regulator",
          hot.point.current(hot.ref) * 1000,
          "mA",
          [amps],
        ),
        stockFact("regulator-lm2940", "quiescent"),
      ],
      hot.corner,
    )
    const figure = figures.result(
      "drive.regulator.junction",
      "temperature inside the regulator",
      hot.value,
      "°C",
      "temperature of the air + thermal resistance × heat",
      [
        figures.air(hot.at.celsius),
        ...(sink === undefined
          ? [stockFact("regulator-lm2940", "thermal-resistance")]
          : [
              toSink,
              fact(
                "drive.regulator.heat-sink",
                "heat sink to air",
                sink,
                "K/W",
                described("pins: drive.regulator.heat-sink"),
              ),
            ]),
        heat,
      ],
      hot.corner,
    )
    findings.push(
      report.judge("regulator-heat", {
        title: `the regulator reaches ${show(figure.value, "°C")} inside`,
        where: at(`regulator ${hot.ref}`, hot.ref),
        ...measuredBy(figure),
        limit: { value: model.maximumJunction - junctionReserve.value, unit: "°C", kind: "at most" },
        corner: hot.corner,
        amberBelow: 0,
        atWorst: hot.value > model.maximumJunction ? "red" : "amber",
        source,
        remedies: cooler(
          hot.at.celsius,
          heatOf(part, hot.point),
          figure.value,
          model.maximumJunction - junctionReserve.value,
        ),
      }),
    )
  }
  return findings
}

/** Junction to heat sink of a TO-220 case with its washer. */
const toSink = fact("drive.regulator.to-sink", "junction to heat sink, washer included", 5, "K/W", {
  document: "TO-220 regulators: junction to case 3–4 K/W, washer 1–2 K/W",
  known: "memory",
  confidence: "M",
})
/** Sheet-metal sinks as they are sold, K/W. */
const sinks = [25, 20, 15, 12, 10, 7, 5] as const

/** The smallest heat sink that does. */
function cooler(air: number, watt: number, now: number, limit: number): Remedy[] {
  const does = now > limit ? sinks.find((r) => air + (toSink.value + r) * watt <= limit) : undefined
  if (does === undefined) return []
  return [
    {
      says: `Screw the regulator to a heat sink of ${does} K/W, with paste; the tab is earth.`,
      changes: [{ path: 'pins."drive.regulator.heat-sink"', value: `${does} K/W` }],
      gives: { value: air + (toSink.value + does) * watt, unit: "°C" },
    },
  ]
}

/** Steady voltage at the regulator's input, at the highest supply. */
function judgeRegulatorInput(made: MadeCircuit, controller: WrittenController, figures: Figures): Finding[] {
  const model = modelOf("regulator-lm2940", "regulator")
  const most = extreme(
    made.solved,
    [controller.rail],
    (p, net) => p.voltage(net) - p.voltage(made.body.earth),
  )
  if (!most) return []
  const figure = figures.solved(
    "drive.regulator.highest-input",
    "highest steady voltage at the regulator's input",
    most.value,
    "V",
    [...figures.conditions(most.at), stockFact("diode-1n4007", "forward-voltage")],
    most.corner,
  )
  return [
    report.judge("regulator-input", {
      title: `the regulator is fed with at most ${show(figure.value, "V")}`,
      where: at("controller's supply rail", controller.regulator),
      ...measuredBy(figure),
      limit: { value: model.maximumInput, unit: "V", kind: "at most" },
      corner: most.corner,
      source: partType("regulator-lm2940").source,
    }),
  ]
}

/** Resistors beside the strings': dividers, bleeds, pull-ups; a bleed on a flashing wire is live part of the time. */
function judgeOtherResistors(made: MadeCircuit, figures: Figures): Finding[] {
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
  const figure = resistorHeat("drive.other-resistors.heat", made, figures, most, share(most.ref), [
    ...figures.conditions(most.at),
    fact(
      `drive.${part.ref.toLowerCase()}.resistance`,
      `${part.ref}, ${part.purpose}`,
      part.amount!,
      "Ω",
      computed("chosen with the circuit, see the parts list"),
    ),
    stockFact(part.stock, "tolerance"),
  ])
  return [
    report.judge("resistor-heat", {
      title: `${part.ref} (${part.value}) is ${show(most.value * 100, "%")} loaded: it ${part.purpose}`,
      where: at(`resistor ${part.ref}`, part.ref),
      ...measuredBy(figure),
      limit: { value: round(resistorShare.value * rated(most.ref) * 1000), unit: "mW", kind: "at most" },
      corner: most.corner,
      amberBelow: 0,
      atWorst: most.value > 1 ? "red" : "amber",
      source: resistorShare.source,
    }),
  ]
}

function judgePins(made: MadeCircuit, controller: WrittenController, figures: Figures): Finding[] {
  const chip = modelOf(controller.stock, "controller")
  const refs = made.body.signals
    .filter((s) => s.direction === "output")
    .map((s) => `${controller.ref}.${s.name}`)
  const source = partType(controller.stock).source
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
      ...figures.conditions(one.at),
      stockFact("regulator-lm2940", "out-high"),
      stockFact("array-uln2803a", "input-resistance"),
      stockFact("pull-up-8x10k", "resistance"),
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
      fact(
        "drive.controller.outputs",
        "outputs",
        refs.length,
        "",
        computed("counted in the circuit: one output for each LED of a sweep, one for any other group"),
      ),
      stockFact(controller.stock, "supply-current"),
    ],
    all.corner,
  )
  const where = at(`controller ${controller.ref}`, controller.ref)
  return [
    report.judge("controller-pins", {
      title: `controller pins carry at most ${show(pin.value, "mA")}`,
      where,
      ...measuredBy(pin),
      limit: { value: chip.recommendedPinCurrent * 1000, unit: "mA", kind: "at most" },
      corner: one.corner,
      source,
    }),
    report.judge("controller-pins", {
      title: `all controller pins together carry ${show(sum.value, "mA")}`,
      where,
      ...measuredBy(sum),
      limit: { value: chip.totalCurrent * 1000, unit: "mA", kind: "at most" },
      corner: all.corner,
      source,
    }),
  ]
}

function judgeInputs(made: MadeCircuit, controller: WrittenController, figures: Figures): Finding[] {
  const chip = partType(controller.stock).source
  return made.inputs.flatMap((input) => {
    const wire = made.lamp.vehicle.wires.find((w) => w.name === input.wire)!
    const net = made.body.nets.find((n) => n.wire === input.wire)!.name
    const where = wirePlace(made, input.wire)
    const dividers = controller.inputs.find((i) => i.wire === input.wire)!
    const id = `drive.input.${input.wire}`
    figureInput(figures, input, controller.stock)
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
    const kind = wire.flasher ?? "electronic"
    const level = figures.result(
      `${id}.dead-level`,
      `greatest voltage left on ${input.wire} while it is dead`,
      idle,
      "V",
      "the greater of what leaks through the flasher, open voltage × bleed ÷ (bleed + resistance), and what the lamp itself feeds back",
      [
        ...(wire.role === "flashing"
          ? [
              stockFact(`flasher.${kind}`, "off-volt"),
              stockFact(`flasher.${kind}`, "off-ohm"),
              bleedFigure(wire),
            ]
          : []),
        fedAcross
          ? solvedAs(
              `${id}.fed-across`,
              `voltage the lamp feeds back onto ${input.wire}`,
              fedAcross.value,
              "V",
              figures.conditions(fedAcross.at),
              fedAcross.corner,
            )
          : fact(
              `${id}.fed-across`,
              `voltage the lamp feeds back onto ${input.wire}`,
              0,
              "V",
              computed("no wire of this lamp is live without it"),
            ),
      ],
    )
    const lowest =
      low &&
      figures.solved(
        `${id}.live-level`,
        `lowest voltage at the lamp on ${input.wire} while it is live`,
        low.value,
        "V",
        [...figures.conditions(low.at), figures.conductor(wire), figures.earth],
        low.corner,
      )
    return [
      ...(lowest
        ? [
            report.judge("input-live", {
              title: `${input.wire} at ${show(lowest.value, "V")} reads live (from ${show(input.liveAbove, "V")})`,
              where,
              ...measuredBy(lowest),
              limit: { value: round(input.liveAbove), unit: "V", kind: "at least" },
              corner: low.corner,
              source: chip,
            }),
          ]
        : []),
      report.judge("input-dead", {
        title: `${input.wire} dead: at most ${show(level.value, "V")} is left on it, dead below ${show(input.deadBelow, "V")}`,
        where: { ...where, ...(dividers.bleed === undefined ? {} : { part: dividers.bleed }) },
        ...measuredBy(level),
        limit: { value: round(input.deadBelow), unit: "V", kind: "at most" },
        corner: leak >= (fedAcross?.value ?? 0) ? "flasher off and leaking" : (fedAcross?.corner ?? ""),
        source: chip,
      }),
    ]
  })
}

/** Groups that have a live wire in a corner. */
const fedAt = (made: MadeCircuit, { live }: CornerCase) => made.groups.filter((g) => isFed(g, live))
