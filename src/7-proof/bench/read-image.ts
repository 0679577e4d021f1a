// Intel HEX text → the bytes of the flash. This reader is the proof's own: it shares nothing with the writer of
// the image and refuses whatever a programmer might read differently.
// Record: colon, count, address, type, data, check-sum; all bytes of a record add up to 0 modulo 256
// (Intel, Hexadecimal Object File Format Specification, revision A, 1988).

export interface FlashImage {
  /** Flash from address 0, as long as the highest address written; gaps are erased (0xFF). */
  readonly bytes: Uint8Array
  /** 1 where a record gave the byte. */
  readonly given: Uint8Array
  /** Runs of given bytes, in address order: first address and length. */
  readonly runs: readonly { readonly from: number; readonly length: number }[]
}

export interface ImageFault {
  /** Line of the text, from 1. */
  readonly record: number
  readonly reason: string
}

export type ReadImage = { readonly image: FlashImage } | { readonly fault: ImageFault }

export interface HexRecord {
  readonly address: number
  readonly type: number
  readonly data: Uint8Array
}

/** Reads a whole file. `size` is the flash it must fit into; overlapping, late and missing records are refused. */
export function readImage(text: string, size = 32768): ReadImage {
  const loaded = new Uint8Array(size).fill(0xff)
  const given = new Uint8Array(size)
  const lines = text.split(/\r\n|\n|\r/)
  let base = 0
  let linear = true
  let end = 0
  let finished = false
  const refuse = (line: number, reason: string): ReadImage => ({ fault: { record: line + 1, reason } })
  for (const [line, content] of lines.entries()) {
    if (content === "" && (finished || line === lines.length - 1)) continue
    if (finished) return refuse(line, "there is text after the end record")
    const record = readRecord(content)
    if (typeof record === "string") return refuse(line, record)
    const { type, data } = record
    const wanted = { 1: 0, 2: 2, 3: 4, 4: 2, 5: 4 }[type]
    if (wanted !== undefined && data.length !== wanted)
      return refuse(line, `a type ${type} record has ${wanted} data bytes, this one ${data.length}`)
    if (type === 1) finished = true
    else if (type === 2 || type === 4) {
      linear = type === 4
      base = ((data[0]! << 8) | data[1]!) * (linear ? 0x10000 : 16)
    } else if (type === 0) {
      for (const [i, byte] of data.entries()) {
        // Within a segment the offset wraps at 64 KB; linear addresses run on.
        const at = base + (linear ? record.address + i : (record.address + i) & 0xffff)
        if (at >= size)
          return refuse(line, `address 0x${at.toString(16)} lies behind the flash of ${size} bytes`)
        if (given[at]) return refuse(line, `address 0x${at.toString(16)} is given twice`)
        loaded[at] = byte
        given[at] = 1
        if (at >= end) end = at + 1
      }
    } else if (type > 5) return refuse(line, `record type ${type} is not known`)
  }
  if (!finished) return refuse(lines.length - 1, "the end record is missing: the file was cut short")
  return { image: { bytes: loaded.slice(0, end), given: given.slice(0, end), runs: runsOf(given) } }
}

/** One record, or the reason why it is none. */
export function readRecord(line: string): HexRecord | string {
  if (!line.startsWith(":")) return "the record does not begin with a colon"
  const digits = line.slice(1)
  const odd = /[^0-9A-Fa-f]/.exec(digits)
  if (odd) return `"${odd[0]}" is not a hexadecimal digit`
  if (digits.length % 2 === 1) return "the number of hexadecimal digits is odd"
  const bytes = Uint8Array.from(digits.match(/../g) ?? [], (d) => Number.parseInt(d, 16))
  if (bytes.length < 5) return "the record is shorter than its fixed fields"
  const count = bytes[0]!
  if (bytes.length !== count + 5) return `the record says ${count} data bytes and has ${bytes.length - 5}`
  const sum = bytes.reduce((a, b) => a + b, 0) & 255
  if (sum !== 0) {
    const right = (bytes.at(-1)! - sum) & 255
    const show = (n: number) => n.toString(16).toUpperCase().padStart(2, "0")
    return `the check-sum is ${show(bytes.at(-1)!)} and must be ${show(right)}`
  }
  return { address: (bytes[1]! << 8) | bytes[2]!, type: bytes[3]!, data: bytes.slice(4, -1) }
}

function runsOf(given: Uint8Array): FlashImage["runs"] {
  const runs: { from: number; length: number }[] = []
  for (let at = 0; at < given.length; at++) {
    if (!given[at]) continue
    const last = runs.at(-1)
    if (last && last.from + last.length === at) last.length++
    else runs.push({ from: at, length: 1 })
  }
  return runs
}
