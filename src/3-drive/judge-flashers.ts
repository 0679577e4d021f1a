// What the vehicle's flashers and its tell-tale make of LEDs: a load that is watched, and the resistor that would make
// up for it; a tell-tale bulb that returns through the idle side.

import { type Figure, fact, measuredBy } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { described, practice } from "../0-ground/source.ts"
import { show, showNumber } from "../0-ground/text/show.ts"
import { nearest, previous, showOhm } from "../1-stock/e-series.ts"
import { flashers } from "../1-stock/flashers.ts"
import type { Wire } from "../2-lamp/artefact.ts"
import { type Figures, limitFigures, solvedAs, stockFact, workedOut } from "./drive-figures.ts"
import { report } from "./drive-findings.ts"
import { anyLoadFlasher } from "./drive-remedies.ts"
import { resistorsOf } from "./group-figures.ts"
import { bleedFigure } from "./input-figures.ts"
import { wireLoads } from "./judge-abuse.ts"
import { flashingShare } from "./limits.ts"
import { ledsOf, type MadeCircuit, solveUnder, wirePlace } from "./made-circuit.ts"

export function judgeFlashers(made: MadeCircuit, figures: Figures): Finding[] {
  return made.lamp.vehicle.wires
    .filter((w) => w.role === "flashing" && made.body.nets.some((n) => n.wire === w.name))
    .flatMap((wire) => [...judgeLoad(made, wire, figures), ...judgeTellTale(made, wire, figures)])
}

const told = (path: string, name: string, value: number, unit: string) =>
  fact(`description.${path}`, name, value, unit, described(path))

/** Metal-cased resistors come in these powers, W; mounted on metal they carry that, in free air about half. */
const cased = [5, 10, 25, 50, 100] as const

function judgeLoad(made: MadeCircuit, wire: Wire, figures: Figures): Finding[] {
  const { name, flasher, replaces, ballast } = wire
  const usual = made.solved.find((s) => s.at.parts === "usual" && s.at.live.includes(name))
  const kind = flashers[flasher ?? "electronic"]
  if (kind.leastShare <= 0 || replaces === undefined || !usual) return []
  const { supply } = made.lamp.vehicle
  const id = `drive.wire.${name}`
  const path = `vehicle.wires.${name}`
  const amps = usual.point.current(`wire:${name}`)
  const bulb = told(`${path}.replaces`, `bulb on ${name} before`, replaces, "W")
  const fitted =
    ballast === undefined
      ? undefined
      : told(`${path}.ballast`, `load resistor fitted across ${name}`, ballast, "Ω")
  const beside = ballast === undefined ? 0 : usual.at.supply ** 2 / ballast
  const load = figures.result(
    `${id}.load`,
    `power the flasher sees on ${name}`,
    amps * usual.at.supply + beside,
    "W",
    fitted
      ? "usual supply × current of the wire + usual supply² ÷ load resistor"
      : "usual supply × current of the wire",
    [
      figures.supply("usual"),
      solvedAs(
        `${id}.load.current`,
        `current of ${name}`,
        amps,
        "A",
        wireLoads(made, figures, wire, usual.at),
        usual.at.name,
      ),
      fitted,
    ],
    usual.at.name,
  )
  const least = kind.leastShare * replaces
  const findings: Finding[] = []
  const missing = Math.max(0, least - amps * usual.at.supply)
  const ideal = usual.at.supply ** 2 / Math.max(missing, 1e-3)
  const near = nearest(ideal, "E12")
  const ohm = ballast ?? (near <= ideal ? near : previous(near, "E12"))
  const watt = supply.highest ** 2 / ohm
  const body = cased.find((c) => c >= watt) ?? cased[cased.length - 1]!
  const words = `fit ${showOhm(ohm)}, metal-cased, ${body} W on bare metal, from ${name} to earth outside the lamp; it turns ${show(watt, "W")} to heat while lit, ${show(watt * flashingShare.value, "W")} over the flashing at most`
  findings.push(
    report.judge("flasher-load", {
      title: `${name}: ${show(load.value, "W")} instead of the ${replaces} W bulb on a ${kind.label}`,
      where: wirePlace(made, name),
      ...measuredBy(load),
      limit: { value: Number(least.toPrecision(4)), unit: "W", kind: "at least" },
      corner: usual.at.name,
      atWorst: "amber",
      advice: `Change to a load-independent flasher (and write flasher: electronic); or ${words}, and write ballast: ${ohm} Ω.`,
      source: kind.source,
      remedies: load.value < least ? anyLoadFlasher(name, `${ohm} Ω`) : [],
    }),
  )
  if (missing <= 0 && ballast === undefined) return findings
  const which = ballast === undefined ? "would need" : "has"
  const value =
    fitted ??
    figures.result(
      `${id}.ballast`,
      `load resistor ${name} would need`,
      ohm,
      "Ω",
      "largest E12 value at or below usual supply² ÷ (least share × bulb − what the lamp takes)",
      [figures.supply("usual"), stockFact(`flasher.${flasher}`, "least-share"), bulb, load],
    )
  const heat = figures.result(
    `${id}.ballast-heat`,
    `heat of the load resistor ${name} ${which}, while lit`,
    watt,
    "W",
    "highest supply² ÷ resistance",
    [figures.supply("highest"), value],
  )
  const rated = workedOut(
    `${id}.ballast-rating`,
    `metal-cased size for the load resistor of ${name}`,
    body,
    "W",
    "smallest of 5, 10, 25, 50, 100 W, mounted on metal, above its heat while lit",
    [heat],
  )
  figures.keep(rated)
  findings.push(
    report.judge("flasher-ballast", {
      title: `${name} ${which} a load resistor of ${showOhm(ohm)}: ${show(heat.value, "W")} of heat while lit (${body} W size on bare metal)`,
      where: wirePlace(made, name),
      ...measuredBy(heat),
      // Touched metal of a small resistor: what stays below this only gets warm.
      limit: { value: 5, unit: "W", kind: "at most" },
      atWorst: "amber",
      advice: `Better change the flasher. Otherwise ${words}: it gets hot enough to burn and melt.`,
      source: practice("common practice: above 5 W a resistor needs metal to cool it and room around it"),
    }),
  )
  return findings
}

/** The bulb lies in series between the live side and the idle one. */
function judgeTellTale(made: MadeCircuit, wire: Wire, figures: Figures): Finding[] {
  const { tellTale } = wire
  const other = made.lamp.vehicle.wires.find((w) => w.name === tellTale?.to)
  if (!tellTale || !other || !made.body.nets.some((n) => n.wire === other.name)) return []
  return [
    ...backFeed(made, wire, other, tellTale.bulb, figures),
    ...backFeed(made, other, wire, tellTale.bulb, figures),
  ]
}

const netOf = (made: MadeCircuit, wire: string) => made.body.nets.find((n) => n.wire === wire)!.name

function backFeed(made: MadeCircuit, live: Wire, idle: Wire, watt: number, figures: Figures): Finding[] {
  const groups = made.groups.filter((g) =>
    g.plan.feeds.some((f) => f.wires.some((w) => w.name === idle.name)),
  )
  const { supply, wires } = made.lamp.vehicle
  const ohm = supply.usual ** 2 / watt
  const volts = new Map(
    wires.flatMap((w) => (w.role === "supply" || w === live || w === idle ? [[w.name, supply.usual]] : [])),
  )
  const setting = {
    wires: volts,
    behind: new Map([[idle.name, ohm]]),
    parts: "strongest" as const,
    celsius: 25,
  }
  // The controller keeps the idle side dark only while its wire surely reads dead.
  const dark = solveUnder(made, { ...setting, drive: (s) => (s.direction === "output" ? "low" : "open") })
  const input = made.inputs.find((i) => i.wire === idle.name)
  const reads =
    input !== undefined &&
    dark.voltage(netOf(made, idle.name)) - dark.voltage(made.body.earth) > input.deadBelow
  const point = input === undefined || reads ? solveUnder(made, setting) : dark
  const corner = `${live.name} live at ${supply.usual} V, a ${watt} W tell-tale between it and ${idle.name}`
  return groups.flatMap((group): Finding[] => {
    const { name } = group.plan.group
    let most = { ref: group.plan.group.leds[0]!.ref, value: 0 }
    for (const ref of ledsOf(group))
      if (point.current(ref) > most.value) most = { ref, value: point.current(ref) }
    const path = `vehicle.wires.${live.tellTale ? live.name : idle.name}.tell-tale.bulb`
    const bulb = workedOut(
      `drive.tell-tale.${live.name}.bulb`,
      "resistance of the tell-tale's bulb, lit",
      ohm,
      "Ω",
      "usual supply² ÷ its power",
      [figures.supply("usual"), told(path, "power of the tell-tale's bulb", watt, "W")],
    )
    const figure: Figure = figures.result(
      `drive.${name}.tell-tale`,
      `light in ${name} while only ${live.name} is live, through the tell-tale`,
      (most.value / group.strings.full) * 100,
      "%",
      "greatest LED current ÷ full LED current",
      [
        solvedAs(
          `drive.${name}.tell-tale.current`,
          `current of ${most.ref}`,
          most.value * 1000,
          "mA",
          [bulb, bleedFigure(idle), ...resistorsOf(made, group, figures)],
          corner,
        ),
        figures.get(`drive.${name}.full-current`),
        limitFigures.room,
      ],
      corner,
    )
    return [
      report.judge("tell-tale", {
        title: `${name} shows ${showNumber(figure.value)} % of its light while only ${live.name} flashes: the tell-tale feeds it back`,
        where: wirePlace(made, idle.name),
        ...measuredBy(figure),
        limit: { value: 1, unit: "%", kind: "at most" },
        corner,
        source: practice("common practice: below 1 % of full current nobody sees it as a signal"),
      }),
    ]
  })
}
