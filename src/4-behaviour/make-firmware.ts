// Way in: behaviour and pins → the firmware as Intel HEX: the prebuilt runtime with the table, its copy, the safe map
// and the build id patched in. No compiler is needed.

import { type Figure, fact, measuredBy, result } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { contentHash } from "../0-ground/numbers/hash.ts"
import type { Circuit, ControllerSignal } from "../3-drive/artefact.ts"
import type { Behaviour, Firmware } from "./artefact.ts"
import { judge, state } from "./behaviour-findings.ts"
import { type Controller, controllerOf, pinCode } from "./controllers.ts"
import { flasherTiming } from "./flasher-timing.ts"
import { type HexBlock, readHex, writeHex } from "./ihex.ts"
import { isSteep, type PackedPins, packSafeMap, packTable } from "./pack-table.ts"
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
  if (circuit.controller === undefined) return undefined
  const controller = controllerOf(circuit)
  const image = runtime(controller)
  const findings: Finding[] = []
  const codes = choosePins(controller, circuit, behaviour, pins.controller, findings)
  const codeBytes = image.reduce((sum, block) => sum + block.bytes.length, 0)
  const codeEnd = Math.max(...image.map((b) => b.address + b.bytes.length))
  const table = codes ? packTable(behaviour, behaviour.timing ?? flasherTiming, codes) : undefined
  const tableBytes = table?.length ?? 0
  const cycles = worstTickCycles(sizesOf(behaviour), controller.cycles)
  const tickLoad = cycles / tickDeadline
  const figures = figuresOf(controller.cycles, behaviour, cycles, codeEnd, codeBytes, tableBytes)
  findings.push(...judgeSizes(controller, figures))
  const fits = table !== undefined && tableBytes <= controller.tableRoom
  const blocks: HexBlock[] = fits
    ? [
        ...image,
        { address: controller.tableAt, bytes: table },
        { address: controller.copyAt, bytes: table },
        { address: controller.safeMapAt, bytes: packSafeMap(behaviour, codes!) },
      ]
    : [...image]
  const buildId = `LW1 ${contentHash(writeHex(blocks))}`
  return {
    controller: controller.name,
    hex: writeHex([...blocks, { address: controller.buildIdAt, bytes: ascii(`${buildId}\0`) }]),
    buildId,
    pinOf: pins.controller,
    fuses: controller.fuses,
    source: fits
      ? writeSource(controller, behaviour, behaviour.timing ?? flasherTiming, codes!, buildId)
      : [],
    codeBytes,
    tableBytes,
    clockHz,
    pwmFrequency: clockHz / frameCycles,
    tickLoad,
    findings,
    figures: Object.values(figures),
  }
}

function runtime({ imageHex }: Controller): readonly HexBlock[] {
  const blocks = readHex(imageHex)
  if (typeof blocks === "string") throw new Error(`the runtime image cannot be read: ${blocks}`)
  return blocks
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

/** Pin codes of all inputs and channels, or undefined when one is missing, not allowed or used twice. */
function choosePins(
  controller: Controller,
  circuit: Circuit,
  behaviour: Behaviour,
  chosen: Readonly<Record<string, string>>,
  findings: Finding[],
): PackedPins | undefined {
  const before = findings.length
  const taken = new Map<string, string>()
  const pinOf = (signal: ControllerSignal | undefined, name: string): number => {
    const pin = signal ? chosen[signal.name] : undefined
    const code = pin === undefined ? undefined : pinCode(pin, controller)
    const where = { text: `controller signal ${name}`, path: `pins.${name}` }
    if (pin === undefined || code === undefined || !signal?.allowed.includes(pin)) {
      const title =
        pin === undefined ? `Signal ${name} has no controller pin` : `Signal ${name} cannot use pin ${pin}`
      findings.push(state("pin-missing", { severity: "red", title, where }))
      return 0
    }
    const other = taken.get(pin)
    if (other !== undefined)
      findings.push(
        state("pin-taken", {
          severity: "red",
          title: `Signals ${other} and ${name} share pin ${pin}`,
          where,
        }),
      )
    taken.set(pin, name)
    return code
  }
  const inputs = behaviour.inputs.map((input) =>
    pinOf(
      circuit.signals.find((s) => s.name === input.signal),
      input.signal,
    ),
  )
  const channels = behaviour.channels.map((channel) =>
    pinOf(
      circuit.signals.find((s) => s.direction === "output" && s.channel === channel.index),
      `output-${channel.index}`,
    ),
  )
  const room =
    inputs.length <= controller.mostInputs &&
    channels.length <= controller.mostChannels &&
    behaviour.rules.length <= controller.mostRules
  return findings.length === before && room ? { inputs, channels } : undefined
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

const ascii = (text: string): Uint8Array => Uint8Array.from(text, (c) => c.charCodeAt(0))
