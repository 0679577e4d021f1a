// The controllers there is an image for: where its blocks lie, how much it takes, what it costs, its fuses.
// `firmware/TABLE.md` tells what the blocks hold; the same numbers stand in `firmware/runtime/layout.h`, and a test
// compares the two.

import type { Circuit } from "../3-drive/artefact.ts"
import type { Firmware } from "./artefact.ts"
import { atmega328pFuses, attiny84Fuses } from "./fuses.ts"
import { atmega328pHex, atmega328pSha256 } from "./image-atmega328p.ts"
import { attiny84Hex, attiny84Sha256 } from "./image-attiny84.ts"
import { atmega328pCycles, attiny84Cycles, type PartCycles } from "./tick-cycles.ts"

export interface Controller {
  readonly name: Firmware["controller"]
  /** Key of its stock entry. */
  readonly stock: string
  /** Name of its image's files. */
  readonly image: string
  /** Its name for the compiler, and how its image is optimised. */
  readonly gcc: string
  readonly optimisation: string
  readonly ramStart: number
  readonly imageHex: string
  readonly imageSha256: string
  readonly flashBytes: number
  readonly tableAt: number
  readonly copyAt: number
  readonly tableRoom: number
  readonly safeMapAt: number
  readonly buildIdAt: number
  readonly mostInputs: number
  readonly mostChannels: number
  readonly mostRules: number
  /** Letters of its ports in the order of their numbers, and which pins of each may be used. */
  readonly ports: string
  readonly usable: readonly number[]
  readonly cycles: PartCycles
  readonly fuses: Firmware["fuses"]
}

export const buildIdRoom = 0x20

export const atmega328p: Controller = {
  name: "ATmega328P",
  stock: "controller-atmega328p",
  image: "lampwright-atmega328p",
  gcc: "atmega328p",
  optimisation: "-O2",
  ramStart: 0x100,
  imageHex: atmega328pHex,
  imageSha256: atmega328pSha256,
  flashBytes: 0x8000,
  tableAt: 0x7000,
  copyAt: 0x7400,
  tableRoom: 0x400,
  safeMapAt: 0x7e00,
  buildIdAt: 0x7f00,
  mostInputs: 8,
  mostChannels: 18,
  mostRules: 16,
  ports: "BCD",
  usable: [0x3f, 0x3f, 0xff],
  cycles: atmega328pCycles,
  fuses: atmega328pFuses,
}

export const attiny84: Controller = {
  name: "ATtiny84A",
  stock: "controller-attiny84a",
  image: "lampwright-attiny84",
  gcc: "attiny84",
  optimisation: "-Os",
  ramStart: 0x60,
  imageHex: attiny84Hex,
  imageSha256: attiny84Sha256,
  flashBytes: 0x2000,
  tableAt: 0x1c00,
  copyAt: 0x1d00,
  tableRoom: 0x100,
  safeMapAt: 0x1e00,
  buildIdAt: 0x1f00,
  mostInputs: 4,
  mostChannels: 8,
  mostRules: 6,
  ports: "AB",
  usable: [0xff, 0x04],
  cycles: attiny84Cycles,
  fuses: attiny84Fuses,
}

export const controllers: readonly Controller[] = [attiny84, atmega328p]

/** The circuit's controller; the ATmega328P where its part does not say. */
export function controllerOf(circuit: Circuit): Controller {
  const part = circuit.parts.find((p) => p.ref === circuit.controller)
  return controllers.find((c) => c.stock === part?.stock) ?? atmega328p
}

/** `PB3` → port << 4 | bit; undefined for what is no usable pin. */
export function pinCode(pin: string, { ports, usable }: Controller = atmega328p): number | undefined {
  const [, letter, bit] = /^P([A-D])([0-7])$/.exec(pin) ?? []
  const port = letter === undefined ? -1 : ports.indexOf(letter)
  if (port < 0 || !((usable[port]! >> Number(bit)) & 1)) return undefined
  return (port << 4) | Number(bit)
}

/** Pins that signals may use. */
export const ioPinCount = ({ usable }: Controller): number =>
  usable.reduce((sum, pins) => sum + [0, 1, 2, 3, 4, 5, 6, 7].filter((bit) => (pins >> bit) & 1).length, 0)
