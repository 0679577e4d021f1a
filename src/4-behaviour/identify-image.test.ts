import MemoryMap from "nrf-intel-hex"
import { expect, test } from "vitest"
import { atmega328p } from "./controllers.ts"
import { designBehaviour } from "./design-behaviour.ts"
import { identifyImage } from "./identify-image.ts"
import { makeFirmware } from "./make-firmware.ts"
import { circuit, pinsInOrder, wings } from "./wings.testing.ts"

const { tableAt, copyAt, safeMapAt, imageHex } = atmega328p
const made = circuit(wings)
const firmware = makeFirmware(made, designBehaviour(wings, made), pinsInOrder(made))!

/** As a programmer reads it back: the whole flash, erased bytes too, in records of 32. */
function readBack(change: (flash: Uint8Array) => void = () => {}): string {
  const flash = MemoryMap.fromHex(firmware.hex).slicePad(0, 0x8000, 0xff)
  change(flash)
  return new MemoryMap([[0, flash]]).asHexString(32)
}
const told = (hex: string) => {
  const image = identifyImage(hex)
  return typeof image === "string" ? [image] : image.faults
}

test("the image as written and as read back in full are known and intact, with what they do", () => {
  for (const hex of [firmware.hex, readBack()]) {
    const image = identifyImage(hex)
    if (typeof image === "string") throw new Error(image)
    expect(image).toMatchObject({
      controller: "ATmega328P",
      buildId: firmware.buildId,
      intact: true,
      faults: [],
      lines: 2,
    })
    expect(image.inputs).toEqual([
      { pin: "PB0", flashing: true },
      { pin: "PB1", flashing: true },
    ])
    expect(image.outputs.map((o) => o.pin)).toContain("PD5")
    expect(image.outputs.length).toBe(16)
  }
})

test("one turned bit anywhere is told, with where it is", () => {
  const flip = (at: number) => readBack((flash) => (flash[at]! ^= 4))
  expect(told(flip(tableAt + 40))).toEqual([expect.stringContaining("the table is damaged")])
  expect(told(flip(copyAt + 40))).toEqual([expect.stringContaining("copy of the table is damaged")])
  expect(told(flip(safeMapAt + 5))).toEqual([expect.stringContaining("safe map is damaged")])
  expect(told(flip(0x600))).toEqual([expect.stringContaining("1 bytes of the program")])
  const id = identifyImage(
    readBack(
      (flash) =>
        (flash[atmega328p.buildIdAt + 4] = 0x30 + (flash[atmega328p.buildIdAt + 4]! === 0x30 ? 1 : 0)),
    ),
  )
  expect(id).toMatchObject({
    intact: false,
    faults: [expect.stringContaining("build id belongs to other contents")],
  })
})

test("records far beyond the flash, as compilers give for fuses and data memory, cost no memory and change nothing", () => {
  // 04: upper half of the address FF00; one byte there (Intel HEX, 1988).
  const far = [":02000004FF00FB", ":0100000055AA"].join("\n")
  const withFar = firmware.hex.replace(":00000001FF", `${far}\n:00000001FF`)
  const before = process.memoryUsage().arrayBuffers
  expect(told(withFar)).toEqual([])
  expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(2 ** 24)
})

test("what is no image of ours is told as that", () => {
  expect(identifyImage("not hex")).toContain("cannot be read")
  expect(identifyImage(new MemoryMap([[0, new Uint8Array(64).fill(0xff)]]).asHexString())).toContain("erased")
  expect(identifyImage(imageHex)).toContain("no build id")
})
