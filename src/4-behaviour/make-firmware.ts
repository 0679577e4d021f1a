// Way in: behaviour and pins → the firmware: its image, the same program as source, and how full it is.

import { type Figure, fact, measuredBy, result } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import type { Behaviour, Firmware } from "./artefact.ts"
import { judge } from "./behaviour-findings.ts"
import { type Controller, controllerOf } from "./controllers.ts"
import { flasherTiming } from "./flasher-timing.ts"
import { flashed, makeImage } from "./make-image.ts"
import { isSteep } from "./pack-table.ts"
import { clockHz, frameCycles } from "./table-layout.ts"
import { type PartCycles, type TableSize, tickDeadline, worstTickCycles } from "./tick-cycles.ts"
import { writeSource } from "./write-source.ts"

export { type IdentifiedImage, identifyImage } from "./identify-image.ts"

/** Undefined for a lamp without a controller. With red findings about pins or sizes the image carries no table. */
export function makeFirmware(
  circuit: Circuit,
  behaviour: Behaviour,
  pins: { readonly controller: Readonly<Record<string, string>> },
): Firmware | undefined {
  const image = makeImage(circuit, behaviour, pins)
  if (!image) return undefined
  const controller = controllerOf(circuit)
  const { codes, runtime, tableBytes } = image
  const codeBytes = runtime.reduce((sum, block) => sum + block.bytes.length, 0)
  const codeEnd = Math.max(...runtime.map((b) => b.address + b.bytes.length))
  const cycles = worstTickCycles(sizesOf(behaviour), controller.cycles)
  const figures = figuresOf(controller.cycles, behaviour, cycles, codeEnd, codeBytes, tableBytes)
  const fits = codes !== undefined && tableBytes <= controller.tableRoom
  return {
    ...flashed(image),
    source: fits
      ? writeSource(controller, behaviour, behaviour.timing ?? flasherTiming, codes, image.buildId)
      : [],
    codeBytes,
    tableBytes,
    pwmFrequency: clockHz / frameCycles,
    tickLoad: cycles / tickDeadline,
    findings: [...image.findings, ...judgeSizes(controller, figures)],
    figures: Object.values(figures),
  }
}

export function sizesOf(behaviour: Behaviour): TableSize {
  const sweeps = behaviour.rules.filter((r) => r.sweepWithinMs !== undefined)
  const swept = new Set(sweeps.flatMap((r) => r.targets.map((t) => t.channel)))
  return {
    inputs: behaviour.inputs.length,
    flashingInputs: behaviour.inputs.filter((i) => i.flashing).length,
    channels: behaviour.channels.length,
    sweptChannels: swept.size,
    rules: behaviour.rules.length,
    sweeps: sweeps.length,
    steepSweeps: sweeps.filter(isSteep).length,
    sweepWires: sweeps.reduce((sum, r) => sum + r.live.length, 0),
  }
}

function judgeSizes(
  { tableAt, tableRoom }: Controller,
  { tickLoad, pwmFrequency, codeEnd, table }: FirmwareFigures,
): Finding[] {
  const where = { text: "firmware" }
  return [
    judge("tick-load", {
      title: `The firmware's millisecond is used to ${tickLoad.value} % at worst`,
      where,
      ...measuredBy(tickLoad),
      limit: { value: 80, unit: "%", kind: "at most" },
      corner: "every wire and every LED changing in the same millisecond",
    }),
    judge("flicker", {
      title: `Dimming runs at ${pwmFrequency.value} Hz`,
      where,
      ...measuredBy(pwmFrequency),
      limit: { value: 3000, unit: "Hz", kind: "at least" },
      atWorst: "amber",
    }),
    judge("code-size", {
      title: `The runtime ends at ${codeEnd.value} of ${tableAt} bytes`,
      where,
      ...measuredBy(codeEnd),
      limit: { value: tableAt, unit: "bytes", kind: "at most" },
    }),
    judge("table-size", {
      title: `The table takes ${table.value} of ${tableRoom} bytes`,
      where,
      ...measuredBy(table),
      limit: { value: tableRoom, unit: "bytes", kind: "at most" },
      amberBelow: 0,
    }),
  ]
}

interface FirmwareFigures {
  readonly tickLoad: Figure
  readonly pwmFrequency: Figure
  readonly codeEnd: Figure
  readonly code: Figure
  readonly table: Figure
}

function figuresOf(
  partCycles: PartCycles,
  behaviour: Behaviour,
  cycles: number,
  codeEnd: number,
  codeBytes: number,
  tableBytes: number,
): Record<keyof FirmwareFigures, Figure> {
  const how = { document: "layout of the firmware", place: "firmware/TABLE.md", known: "chosen" } as const
  const clock = fact("behaviour.firmware.clock", "clock", clockHz, "Hz", {
    document: "ceramic resonator of the circuit",
    known: "chosen",
  })
  const frame = fact("behaviour.firmware.frame", "cycles of a dimming frame", frameCycles, "", how)
  const deadline = fact(
    "behaviour.firmware.deadline",
    "cycles until new levels must be ready",
    tickDeadline,
    "",
    how,
  )
  const image = { document: "the compiled runtime", place: "read in its image", known: "computed" } as const
  return {
    tickLoad: result(
      "behaviour.firmware.tick-load",
      "share of the millisecond used at worst",
      Math.round((1000 * cycles) / tickDeadline) / 10,
      "%",
      "cycles ÷ deadline",
      [workOf(partCycles, sizesOf(behaviour), cycles, frame), deadline],
    ),
    pwmFrequency: result(
      "behaviour.firmware.pwm-frequency",
      "dimming frequency",
      clockHz / frameCycles,
      "Hz",
      "clock ÷ cycles of a frame",
      [clock, frame],
    ),
    codeEnd: fact("behaviour.firmware.code-end", "where the runtime ends", codeEnd, "bytes", image),
    code: fact("behaviour.firmware.code", "bytes of the runtime", codeBytes, "bytes", image),
    table: fact("behaviour.firmware.table", "bytes of the table", tableBytes, "bytes", {
      document: "the table as written into the image",
      place: "layout in firmware/TABLE.md",
      known: "computed",
    }),
  }
}

const partNames: Readonly<Record<keyof TableSize, readonly [id: string, name: string]>> = {
  inputs: ["inputs", "inputs"],
  flashingInputs: ["flashing-inputs", "inputs on flashing wires"],
  channels: ["channels", "outputs"],
  sweptChannels: ["swept-channels", "outputs that some sweep lights"],
  rules: ["rules", "lines of the table"],
  sweeps: ["sweeps", "lines with a sweep"],
  steepSweeps: ["steep-sweeps", "lines with a rise under 1/255 of their sweep"],
  sweepWires: ["sweep-wires", "wires that pace a sweep"],
}

/** Cycles of the fullest millisecond, part by part. */
function workOf(partCycles: PartCycles, size: TableSize, cycles: number, frame: Figure): Figure {
  const id = "behaviour.firmware"
  const measured = {
    document: "measured on the compiled runtime with everything starting at once, rounded up",
    known: "computed",
  } as const
  const parts = (Object.keys(partNames) as (keyof TableSize)[]).map((part) => {
    const [key, name] = partNames[part]
    return result(
      `${id}.${key}-cycles`,
      `cycles for ${name}`,
      partCycles[part] * size[part],
      "",
      "each × number",
      [
        fact(`${id}.${key}-each`, `cycles for one of the ${name}`, partCycles[part], "", measured),
        fact(`${id}.${key}`, name, size[part], "", { document: "counted in the table", known: "computed" }),
      ],
    )
  })
  return result(
    `${id}.tick-cycles`,
    "cycles of the fullest millisecond, at most",
    cycles,
    "",
    "work + interrupts × frames begun, where work = fixed part + all parts, frames begun = work ÷ (frame − interrupts), rounded up",
    [
      fact(`${id}.base`, "cycles of the fixed part", partCycles.base, "", measured),
      ...parts,
      fact(
        `${id}.interrupts`,
        "cycles the dimming takes in each frame",
        partCycles.interruptsPerFrame,
        "",
        measured,
      ),
      frame,
    ],
  )
}
