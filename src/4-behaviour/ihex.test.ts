import fc from "fast-check"
import MemoryMap from "nrf-intel-hex"
import { describe, expect, test } from "vitest"
import { type HexRecord, readHex, readRecord, writeHex, writeRecord } from "./ihex.ts"

const hex = (bytes: ArrayLike<number>) =>
  Array.from(bytes, (b) => b.toString(16).toUpperCase().padStart(2, "0")).join("")
const bytes = (text: string) => Uint8Array.from(text.match(/../g) ?? [], (b) => Number.parseInt(b, 16))

/** `a · i + b` modulo 256, the contents of the sample files. */
const ramp = (length: number, a: number, b: number) => Uint8Array.from({ length }, (_, i) => a * i + b)
const sample70 = ramp(70, 37, 11)
const sample48 = bytes(
  "076CD1369B0065CA2F94F95EC3288DF257BC2186EB50B51A7FE449AE1378DD42A70C71D63BA0056ACF3499FE63C82D92",
)

// Written by GNU objcopy from the bytes above.
const sample70Hex = `:100000000B30557A9FC4E90E33587DA2C7EC1136E8
:100010005B80A5CAEF14395E83A8CDF2173C6186D8
:10002000ABD0F51A3F6489AED3F81D42678CB1D6C8
:10003000FB20456A8FB4D9FE23486D92B7DC0126B8
:060040004B7095BADF04CD
:00000001FF
`
const cross64kHex = `:10FFF000076CD1369B0065CA2F94F95EC3288DF239
:020000021000EC
:1000000057BC2186EB50B51A7FE449AE1378DD4228
:10001000A70C71D63BA0056ACF3499FE63C82D9218
:040000030000FFF00A
:00000001FF
`
const crossLinearHex = `:02000004001FDB
:10FFF000076CD1369B0065CA2F94F95EC3288DF239
:020000040020DA
:1000000057BC2186EB50B51A7FE449AE1378DD4228
:10001000A70C71D63BA0056ACF3499FE63C82D9218
:04000005001FFFF0E9
:00000001FF
`

describe("H-1: records printed in public documents (vendor help pages), sums recomputed", () => {
  for (const [line, type, address, data] of [
    [":0300300002337A1E", 0, 0x30, "02337A"],
    [":10246200464C5549442050524F46494C4500464C33", 0, 0x2462, "464C5549442050524F46494C4500464C"],
    [":02000004FFFFFC", 4, 0, "FFFF"],
    [":020000021200EA", 2, 0, "1200"],
    [":02010002E0001B", 2, 0x100, "E000"],
    [":10010000214601360121470136007EFE09D2190140", 0, 0x100, "214601360121470136007EFE09D21901"],
    [":0400000500000000F7", 5, 0, "00000000"],
    [":02000004000FEB", 4, 0, "000F"],
  ] as const)
    test(line, () => {
      const record = readRecord(line) as HexRecord
      expect([record.type, record.address, hex(record.data)]).toEqual([type, address, data])
      expect(writeRecord(address, type, bytes(data))).toBe(line)
    })

  test("a linear base of FFFF before address 2462 gives FFFF2462", () => {
    const blocks = readHex(
      ":02000004FFFFFC\n:10246200464C5549442050524F46494C4500464C33\n:00000001FF\n",
    ) as readonly { address: number }[]
    expect(blocks.map((b) => b.address)).toEqual([0xffff2462])
  })
})

test("H-2: the end record", () => {
  expect(writeRecord(0, 1, [])).toBe(":00000001FF")
})

describe("H-3 and H-4: faulty records are refused, three of them from public pages", () => {
  for (const [line, why] of [
    [":00000001FE", "check-sum"],
    [":10000000112233445566778899FFFA", "count says 16"],
    [":0D011C0000000000C3E0FF0000000000C30F", "check-sum"],
    [":0300300002337A1F", "check-sum"],
    ["0300300002337A1E", "no colon"],
    [":0300300002337A1", "odd number"],
    [":0300300002337G1E", "not a hexadecimal digit"],
    [":0300300002337920", "check-sum"],
  ] as const)
    test(`${line}: ${why}`, () => {
      expect(readRecord(line)).toContain(why)
      expect(readHex(`${line}\n:00000001FF\n`)).toContain("line 1: ")
    })

  test("the right check-sum of the third is 71", () => {
    expect(typeof readRecord(":0D011C0000000000C3E0FF0000000000C371")).toBe("object")
  })
})

describe("H-5: whole files written by GNU objcopy", () => {
  for (const [name, text, address, content] of [
    ["sample70", sample70Hex, 0, sample70],
    ["cross64k", cross64kHex, 0xfff0, sample48],
    ["cross_linear", crossLinearHex, 0x1ffff0, sample48],
  ] as const)
    test(`${name} holds its bytes at ${address.toString(16)}`, () => {
      const blocks = readHex(text)
      expect(blocks).toEqual([{ address, bytes: content }])
    })
})

test("H-6: our writer gives the records of objcopy", () => {
  expect(writeHex([{ address: 0, bytes: sample70 }])).toBe(sample70Hex)
})

test("files with a fault say where: no end, something after the end, bytes given twice", () => {
  const data = ":0300300002337A1E"
  expect(readHex(`${data}\n`)).toContain("no end record")
  expect(readHex(`${data}\n:00000001FF\n${data}\n`)).toContain("line 3")
  expect(readHex(`${data}\n${data}\n:00000001FF\n`)).toContain("twice")
})

test("any blocks survive writing and reading, by us and by a general-purpose reader (seed 7)", () => {
  const block = fc.record({
    address: fc.integer({ min: 0, max: 0xff }).map((n) => n * 0x100),
    bytes: fc.uint8Array({ minLength: 1, maxLength: 0x100 }),
  })
  fc.assert(
    fc.property(fc.uniqueArray(block, { maxLength: 5, selector: (b) => b.address }), (blocks) => {
      const text = writeHex(blocks)
      const flat = new Map<number, number>()
      for (const b of blocks) for (const [i, v] of b.bytes.entries()) flat.set(b.address + i, v)
      const ours = readHex(text)
      if (typeof ours === "string") throw new Error(ours)
      const theirs = MemoryMap.fromHex(text)
      for (const found of [ours.map((b) => [b.address, b.bytes] as const), [...theirs.entries()]]) {
        const seen = new Map<number, number>()
        for (const [address, content] of found)
          for (const [i, v] of content.entries()) seen.set(address + i, v)
        expect(new Map([...seen].sort(([a], [b]) => a - b))).toEqual(
          new Map([...flat].sort(([a], [b]) => a - b)),
        )
      }
    }),
    { seed: 7, numRuns: 100 },
  )
})
