import { describe, expect, test } from "vitest"
import { readImage, readRecord } from "./read-image.ts"

// Records of check H-1…H-4: Microchip and Texas Instruments help pages, and faulty ones found on public pages.
const valid = [
  [":00000001FF", 0, 1, ""],
  [":0300300002337A1E", 0x30, 0, "02337A"],
  [":020000021200EA", 0, 2, "1200"],
  [":02000004FFFFFC", 0, 4, "FFFF"],
  [":10246200464C5549442050524F46494C4500464C33", 0x2462, 0, "464C5549442050524F46494C4500464C"],
  [":02010002E0001B", 0x100, 2, "E000"],
  [":10010000214601360121470136007EFE09D2190140", 0x100, 0, "214601360121470136007EFE09D21901"],
  [":0400000500000000F7", 0, 5, "00000000"],
  [":02000004000FEB", 0, 4, "000F"],
] as const

const invalid = [
  [":00000001FE", /check-sum is FE and must be FF/],
  [":10000000112233445566778899FFFA", /says 16 data bytes and has 10/],
  [":0300300002337A1F", /check-sum is 1F and must be 1E/],
  ["0300300002337A1E", /does not begin with a colon/],
  [":0300300002337A1", /odd/],
  [":0300300002337G1E", /"G" is not a hexadecimal digit/],
  [":0300300002337920", /check-sum/],
  [":0D011C0000000000C3E0FF0000000000C30F", /check-sum is 0F and must be 71/],
  [":00", /shorter/],
  ["", /colon/],
] as const

describe("H-1 to H-4, records", () => {
  test.each(valid)("%s is read", (line, address, type, data) => {
    const record = readRecord(line)
    expect(record).toEqual({
      address,
      type,
      data: Uint8Array.from(data.match(/../g) ?? [], (d) => Number.parseInt(d, 16)),
    })
  })
  test.each(invalid)("%s is refused", (line, why) => {
    expect(readRecord(line)).toMatch(why)
    const read = readImage(`:020000000102FB\n${line}\n:00000001FF\n`)
    expect("fault" in read && read.fault.record).toBe(2)
  })
})

describe("H-5, files as GNU objcopy writes them", () => {
  const cross64k = `:10FFF000076CD1369B0065CA2F94F95EC3288DF239
:020000021000EC
:1000000057BC2186EB50B51A7FE449AE1378DD4228
:10001000A70C71D63BA0056ACF3499FE63C82D9218
:040000030000FFF00A
:00000001FF
`
  const crossLinear = `:02000004001FDB
:10FFF000076CD1369B0065CA2F94F95EC3288DF239
:020000040020DA
:1000000057BC2186EB50B51A7FE449AE1378DD4228
:10001000A70C71D63BA0056ACF3499FE63C82D9218
:04000005001FFFF0E9
:00000001FF
`
  const sample70 = `:100000000B30557A9FC4E90E33587DA2C7EC1136E8
:100010005B80A5CAEF14395E83A8CDF2173C6186D8
:10002000ABD0F51A3F6489AED3F81D42678CB1D6C8
:10003000FB20456A8FB4D9FE23486D92B7DC0126B8
:060040004B7095BADF04CD
:00000001FF
`
  test.each([
    ["sample70", sample70, 0, 70, 11, 37],
    ["cross64k, segment base and start record", cross64k, 0xfff0, 48, 7, 101],
    ["cross_linear, upper address bits", crossLinear, 0x1ffff0, 48, 7, 101],
  ])("%s", (_, text, from, length, first, step) => {
    const read = readImage(text, 0x210000)
    if ("fault" in read) throw Error(read.fault.reason)
    expect(read.image.runs).toEqual([{ from, length }])
    const wanted = Array.from({ length }, (_, i) => (first + step * i) & 255)
    expect([...read.image.bytes.slice(from)]).toEqual(wanted)
  })
})

describe("refuses what programmers read differently", () => {
  const end = ":00000001FF\n"
  test.each([
    ["no end record", ":0100000055AA\n", 2, /end record is missing/],
    ["text after the end", `${end}:0100000055AA\n`, 2, /after the end record/],
    ["a byte given twice", `:0100000055AA\n:0100000066 99\n${end}`.replace(" ", ""), 2, /given twice/],
    ["data behind the flash", `:02000004000FEB\n:0100000055AA\n${end}`, 2, /behind the flash/],
    ["an unknown type", `:00000006FA\n${end}`, 1, /type 6 is not known/],
    ["an end record with data", ":0100000155A9\n", 1, /0 data bytes, this one 1/],
    ["an empty line", `:0100000055AA\n\n${end}`, 2, /colon/],
    ["nothing", "", 1, /end record is missing/],
  ])("%s", (_, text, record, why) => {
    const read = readImage(text)
    if (!("fault" in read)) throw Error("was read")
    expect(read.fault.record).toBe(record)
    expect(read.fault.reason).toMatch(why)
  })
  test("line ends of any kind are fine", () => {
    for (const eol of ["\n", "\r\n", "\r"])
      expect("image" in readImage(`:0100000055AA${eol}:00000001FF${eol}`)).toBe(true)
  })
})
