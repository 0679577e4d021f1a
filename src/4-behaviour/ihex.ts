// Intel HEX, read and written. A record is `:count address type data check-sum`, all in hexadecimal; every byte of a
// record, check-sum included, adds up to 0 modulo 256. Types: 00 data, 01 end, 02 segment base × 16,
// 03 and 05 start address, 04 upper half of the address.

export interface HexRecord {
  readonly address: number
  readonly type: number
  readonly data: Uint8Array
}

/** A run of bytes at a fixed address. */
export interface HexBlock {
  readonly address: number
  readonly bytes: Uint8Array
}

/** Reads one record; a string says what is wrong with it. */
export function readRecord(line: string): HexRecord | string {
  if (!line.startsWith(":")) return "no colon at the start"
  if (line.length % 2 === 0) return "odd number of digits"
  if (!/^:[0-9A-Fa-f]*$/.test(line)) return "a sign that is not a hexadecimal digit"
  const bytes = Uint8Array.from({ length: (line.length - 1) / 2 }, (_, i) =>
    Number.parseInt(line.slice(1 + 2 * i, 3 + 2 * i), 16),
  )
  if (bytes.length < 5) return "shorter than a record can be"
  const count = bytes[0]!
  if (bytes.length !== count + 5) return `count says ${count} bytes, ${bytes.length - 5} follow`
  const sum = bytes.reduce((a, b) => a + b, 0) & 0xff
  if (sum !== 0) return `check-sum wrong by ${sum}`
  const type = bytes[3]!
  if (type > 5) return `unknown type ${type}`
  const fixed = [undefined, 0, 2, 4, 2, 4][type]
  if (fixed !== undefined && count !== fixed) return `type ${type} carries ${fixed} bytes, not ${count}`
  return { address: (bytes[1]! << 8) | bytes[2]!, type, data: bytes.slice(4, 4 + count) }
}

/**
 * Reads a whole file into blocks in the order of their addresses, neighbours joined. A string says what is wrong, with
 * the line. Refuses a file without an end record, records after it, and bytes given twice.
 */
export function readHex(text: string): readonly HexBlock[] | string {
  const parts: HexBlock[] = []
  let base = 0
  let wrapAt = 0
  let ended = false
  for (const [i, line] of text.split(/\r?\n/).entries()) {
    if (line === "") continue
    const record = readRecord(line)
    if (typeof record === "string") return `line ${i + 1}: ${record}`
    if (ended) return `line ${i + 1}: a record after the end record`
    const { type, data, address } = record
    if (type === 0) {
      // Within a segment the address wraps round at 64 KB; with a linear base it runs on.
      const room = wrapAt ? Math.max(0, wrapAt - address) : data.length
      parts.push({ address: base + address, bytes: data.slice(0, room) })
      if (room < data.length) parts.push({ address: base, bytes: data.slice(room) })
    } else if (type === 1) ended = true
    else if (type === 2) {
      base = ((data[0]! << 8) | data[1]!) * 16
      wrapAt = 0x10000
    } else if (type === 4) {
      base = ((data[0]! << 8) | data[1]!) * 0x10000
      wrapAt = 0
    }
  }
  if (!ended) return "no end record"
  return joined(parts)
}

function joined(parts: readonly HexBlock[]): readonly HexBlock[] | string {
  const sorted = parts.filter((p) => p.bytes.length > 0).sort((a, b) => a.address - b.address)
  const blocks: { address: number; bytes: number[] }[] = []
  for (const part of sorted) {
    const last = blocks.at(-1)
    const end = last ? last.address + last.bytes.length : -1
    if (last && part.address < end) return `address ${part.address.toString(16)} is given twice`
    if (last && part.address === end) last.bytes.push(...part.bytes)
    else blocks.push({ address: part.address, bytes: [...part.bytes] })
  }
  return blocks.map((b) => ({ address: b.address, bytes: Uint8Array.from(b.bytes) }))
}

/** One record as text, upper case, without a line end. */
export function writeRecord(address: number, type: number, data: ArrayLike<number>): string {
  const bytes = [data.length, address >> 8, address & 0xff, type, ...Array.from(data)]
  const sum = -bytes.reduce((a, b) => a + b, 0) & 0xff
  return `:${[...bytes, sum].map((b) => b.toString(16).toUpperCase().padStart(2, "0")).join("")}`
}

/** Blocks in records of 16 bytes and the end record; LF line ends. Addresses below 64 KB. */
export function writeHex(blocks: readonly HexBlock[]): string {
  const lines: string[] = []
  for (const { address, bytes } of [...blocks].sort((a, b) => a.address - b.address)) {
    if (address + bytes.length > 0x10000)
      throw new Error(`block ends at ${address + bytes.length}, beyond 64 KB`)
    for (let i = 0; i < bytes.length; i += 16)
      lines.push(writeRecord(address + i, 0, bytes.subarray(i, i + 16)))
  }
  return `${[...lines, writeRecord(0, 1, [])].join("\n")}\n`
}
