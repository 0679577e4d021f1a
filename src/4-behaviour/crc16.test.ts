import { expect, test } from "vitest"
import { crc16 } from "./crc16.ts"

const ascii = (text: string) => Uint8Array.from(text, (c) => c.charCodeAt(0))

// Published check value of CRC-16/IBM-3740 (catalogue of parametrised CRC algorithms, from memory).
test("gives 0x29B1 for 123456789", () => {
  expect(crc16(ascii("123456789"))).toBe(0x29b1)
})

test("nothing gives the start value", () => {
  expect(crc16(ascii(""))).toBe(0xffff)
})

test("a block followed by its CRC, high byte first, gives 0", () => {
  const block = [1, 2, 3, 250]
  const crc = crc16(Uint8Array.from(block))
  expect(crc16(Uint8Array.from([...block, crc >> 8, crc & 0xff]))).toBe(0)
})
