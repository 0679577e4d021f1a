// An image read back from a chip → which build it is, whether every byte of it is as it was built, and what it does.
// A reader may give the whole flash or only what is not erased; both are taken.

import { contentHash } from "../0-ground/numbers/hash.ts"
import { buildIdRoom, type Controller, controllers } from "./controllers.ts"
import { crc16 } from "./crc16.ts"
import { type HexBlock, readHex, writeHex } from "./ihex.ts"
import { tableHeader } from "./table-layout.ts"

export interface IdentifiedImage {
  readonly controller: Controller["name"]
  /** As it stands in the chip: `LW1 ` and 16 hexadecimal digits. */
  readonly buildId: string
  /** Every byte of runtime, table, copy and safe map is as the build id says. */
  readonly intact: boolean
  /** What is not as it should be, in words; empty when intact. */
  readonly faults: readonly string[]
  readonly inputs: readonly { readonly pin: string; readonly flashing: boolean }[]
  readonly outputs: readonly { readonly pin: string }[]
  readonly lines: number
}

/** A string says why it is no image of ours: not readable, erased, or something else. */
export function identifyImage(hex: string): IdentifiedImage | string {
  const blocks = readHex(hex)
  if (typeof blocks === "string") return `the file cannot be read: ${blocks}`
  // What lies beyond the flash (compilers put fuses and data memory at high addresses) is not looked at.
  const flash = new Uint8Array(Math.max(...controllers.map((c) => c.flashBytes))).fill(0xff)
  for (const { address, bytes } of blocks)
    if (address < flash.length) flash.set(bytes.subarray(0, flash.length - address), address)
  if (flash.every((b) => b === 0xff)) return "the chip is erased: every byte is FF"
  const found = controllers.find((c) => idAt(flash, c) !== undefined)
  if (found) return describe(flash, found, idAt(flash, found)!)
  return "it carries no build id of Lampwright: another program, or only a part of the flash was read"
}

function idAt(flash: Uint8Array, { buildIdAt }: Controller): string | undefined {
  const text = String.fromCharCode(...flash.subarray(buildIdAt, buildIdAt + buildIdRoom))
  return /^(LW1 [0-9a-f]{16})\0/.exec(text)?.[1]
}

function describe(flash: Uint8Array, controller: Controller, buildId: string): IdentifiedImage {
  const { tableAt, copyAt, safeMapAt, tableRoom, ports } = controller
  const faults: string[] = []
  const runtime = runtimeOf(controller)
  const changed = runtime.reduce(
    (sum, b) => sum + b.bytes.reduce((n, byte, i) => n + (flash[b.address + i] === byte ? 0 : 1), 0),
    0,
  )
  if (changed > 0)
    faults.push(
      `${changed} bytes of the program are not those of this version of Lampwright: another version made it, or it is damaged`,
    )
  const table = tableOf(flash, tableAt, tableRoom)
  const copy = tableOf(flash, copyAt, tableRoom)
  if (!table) faults.push("the table is damaged; the lamp runs from its copy")
  if (!copy)
    faults.push(
      table ? "the copy of the table is damaged" : "the copy is damaged too: only the safe map is left",
    )
  if (table && copy && table.some((byte, i) => byte !== copy[i])) faults.push("the table and its copy differ")
  const safe = safeMapOf(flash, safeMapAt)
  if (!safe) faults.push("the safe map is damaged")
  const whole = table ?? copy
  if (table && copy && safe) {
    const parts = [
      ...runtime.map((b) => ({ ...b, bytes: flash.slice(b.address, b.address + b.bytes.length) })),
      { address: tableAt, bytes: table },
      { address: copyAt, bytes: copy },
      { address: safeMapAt, bytes: safe },
    ]
    if (faults.length === 0 && buildId !== `LW1 ${contentHash(writeHex(parts))}`)
      faults.push("the build id belongs to other contents: it was changed by hand after it was built")
  }
  const [inputs, outputs] = whole ? [whole[3]!, whole[4]!] : [0, 0]
  const pin = (at: number) => `P${ports[whole![at]! >> 4] ?? "?"}${whole![at]! & 7}`
  return {
    controller: controller.name,
    buildId,
    intact: faults.length === 0,
    faults,
    inputs: Array.from({ length: inputs }, (_, i) => {
      const at = tableHeader + 4 * i
      return { pin: pin(at), flashing: (whole![at + 1]! & 1) === 1 }
    }),
    outputs: Array.from({ length: outputs }, (_, c) => ({ pin: pin(tableHeader + 4 * inputs + 4 * c) })),
    lines: whole?.[5] ?? 0,
  }
}

function runtimeOf({ imageHex }: Controller): readonly HexBlock[] {
  const blocks = readHex(imageHex)
  if (typeof blocks === "string") throw new Error(`the runtime image cannot be read: ${blocks}`)
  return blocks
}

/** The table at an address, check-word included, when it is whole. */
function tableOf(flash: Uint8Array, at: number, room: number): Uint8Array | undefined {
  const length = flash[at + 6]! | (flash[at + 7]! << 8)
  if (flash[at] !== 0x4c || flash[at + 1] !== 0x54 || length < tableHeader + 2 || length > room)
    return undefined
  return closed(flash.slice(at, at + length))
}

function safeMapOf(flash: Uint8Array, at: number): Uint8Array | undefined {
  if (flash[at] !== 0x4c || flash[at + 1] !== 0x53) return undefined
  return closed(flash.slice(at, at + 4 + 2 * flash[at + 2]! + 3 * flash[at + 3]! + 2))
}

function closed(bytes: Uint8Array): Uint8Array | undefined {
  const end = bytes.length - 2
  return crc16(bytes.subarray(0, end)) === (bytes[end]! | (bytes[end + 1]! << 8)) ? bytes : undefined
}
