// Way in: behaviour and pins → the image as Intel HEX: the prebuilt runtime with the table, its copy, the safe map and
// the build id patched in. No compiler is needed.

import type { Finding } from "../0-ground/finding.ts"
import { contentHash } from "../0-ground/numbers/hash.ts"
import type { Circuit, ControllerSignal } from "../3-drive/artefact.ts"
import type { Behaviour, FirmwareImage } from "./artefact.ts"
import { state } from "./behaviour-findings.ts"
import { type Controller, controllerOf, pinCode } from "./controllers.ts"
import { flasherTiming } from "./flasher-timing.ts"
import { type HexBlock, readHex, writeHex } from "./ihex.ts"
import { type PackedPins, packSafeMap, packTable } from "./pack-table.ts"
import { clockHz } from "./table-layout.ts"

export interface MadeImage extends FirmwareImage {
  /** Pin codes as packed; undefined with red findings: the image carries no table then. */
  readonly codes: PackedPins | undefined
  readonly runtime: readonly HexBlock[]
  /** Bytes of the table, whether or not it fits. */
  readonly tableBytes: number
  readonly findings: readonly Finding[]
}

/**
 * The image before the boards are laid out: a signal takes any pin it may use. Which pins the boards choose later makes
 * no difference to the light. Undefined without a controller, and where the pins or the table do not suffice.
 */
export function imageBeforeBoards(circuit: Circuit, behaviour: Behaviour): FirmwareImage | undefined {
  const taken = new Set<string>()
  const pins: Record<string, string> = {}
  for (const { name, allowed } of circuit.signals) {
    const pin = allowed.find((p) => !taken.has(p))
    if (pin === undefined) return undefined
    taken.add(pin)
    pins[name] = pin
  }
  const image = makeImage(circuit, behaviour, { controller: pins })
  return image?.codes && image.tableBytes <= controllerOf(circuit).tableRoom ? flashed(image) : undefined
}

/** Undefined for a lamp without a controller. With red findings about pins or sizes the image carries no table. */
export function makeImage(
  circuit: Circuit,
  behaviour: Behaviour,
  pins: { readonly controller: Readonly<Record<string, string>> },
): MadeImage | undefined {
  if (circuit.controller === undefined) return undefined
  const controller = controllerOf(circuit)
  const image = runtime(controller)
  const findings: Finding[] = []
  const codes = choosePins(controller, circuit, behaviour, pins.controller, findings)
  const table = codes ? packTable(behaviour, behaviour.timing ?? flasherTiming, codes) : undefined
  const tableBytes = table?.length ?? 0
  const blocks: HexBlock[] =
    codes && table && tableBytes <= controller.tableRoom
      ? [
          ...image,
          { address: controller.tableAt, bytes: table },
          { address: controller.copyAt, bytes: table },
          { address: controller.safeMapAt, bytes: packSafeMap(behaviour, codes) },
        ]
      : [...image]
  const buildId = `LW1 ${contentHash(writeHex(blocks))}`
  return {
    controller: controller.name,
    hex: writeHex([...blocks, { address: controller.buildIdAt, bytes: ascii(`${buildId}\0`) }]),
    buildId,
    pinOf: pins.controller,
    fuses: controller.fuses,
    clockHz,
    codes,
    runtime: image,
    tableBytes,
    findings,
  }
}

/** The image alone, without what was noted while it was made. */
export const flashed = ({
  controller,
  hex,
  buildId,
  pinOf,
  fuses,
  clockHz,
}: FirmwareImage): FirmwareImage => ({
  controller,
  hex,
  buildId,
  pinOf,
  fuses,
  clockHz,
})

function runtime({ imageHex }: Controller): readonly HexBlock[] {
  const blocks = readHex(imageHex)
  if (typeof blocks === "string") throw new Error(`the runtime image cannot be read: ${blocks}`)
  return blocks
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

const ascii = (text: string): Uint8Array => Uint8Array.from(text, (c) => c.charCodeAt(0))
