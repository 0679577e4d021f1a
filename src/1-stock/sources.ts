// The documents our facts come from, named once. Part numbers stand for the data sheet a figure was seen in.

import type { Source } from "../0-ground/source.ts"

const read = (document: string, edition?: string): Source =>
  edition === undefined ? { document, known: "read" } : { document, edition, known: "read" }
const memory = (document: string, confidence: "H" | "M" | "L" = "M"): Source => ({
  document,
  known: "memory",
  confidence,
})

/** The same document, with the place in it. */
export const at = (source: Source, place: string): Source => ({ ...source, place })

export const lamp5mm = read("data sheet of the 5 mm AlInGaP lamp series HLMP-EGxx/-ELxx")
export const lamp3mm = read("data sheet of the 3 mm AlInGaP lamp series HLMP-Yxxx")
export const lampWhite5mm = read("data sheet of the 5 mm warm-white LED 135-00123")
export const lampHeat = read("data sheet of the AlInGaP lamp HLMA-SH05, ratings and derating")
export const ledMemory = memory("LED data sheets, recalled")
export const ledBins = memory("intensity bins of one maker's 5 mm series, recalled")
export const ledFit = { document: "fit of the diode law to the forward voltage", known: "computed" } as const
export const filmResistor = read("data sheet of the MFR metal-film resistor series")
export const carbonMemory = memory("data sheets of carbon-film resistors, recalled")
export const driftMemory = memory("film resistor data sheets, temperature coefficient, recalled")
export const landPractice = read("board design notes quoting IPC-2221/2222, land sizes")
export const landMemory = memory("package drawings, recalled")
export const rectifier = read("data sheets of the rectifier series 1N4001…1N4007")
export const rectifierMemory = memory("data sheets of the rectifier series 1N4001…1N4007, recalled")
export const smallDiode = memory("data sheet of the small-signal diode 1N4148, recalled", "H")
export const suppressor = memory("data sheet of the suppressor series P6KE, recalled")
export const array = memory("data sheet of the eight-section darlington array ULN2803A, recalled")
export const regulator = read("data sheet of the LM2940 regulator, description page")
export const regulatorMemory = memory("data sheet of the LM2940 regulator, recalled")
export const controller = read("ATmega48A…328/P data sheet", "8271H")
export const tinyMemory = memory("ATtiny24A/44A/84A data sheet, recalled", "M")
export const controllerMemory = memory("ATmega48A…328/P data sheet, recalled", "H")
export const resonatorMemory = memory("three-pin ceramic resonator data sheets, recalled")
export const networkMemory = memory("bussed resistor network data sheets, recalled", "H")
export const capacitorMemory = memory("capacitor data sheets, recalled", "H")
export const headerMemory = memory("pin header drawings, recalled", "H")
export const smallTransistor = read("data sheets of the NPN transistor BC547, 1997 and summary")
export const smallTransistorMemory = memory("data sheets of the NPN transistor BC547, recalled")
export const highTransistorMemory = memory("data sheets of the NPN transistor 2N5551, recalled")
export const adjustable = read("data sheets of the adjustable regulator LM317, TO-220")
export const adjustableMemory = memory("dropout curve of the adjustable regulator LM317, recalled")
export const relay = read("data sheet of the twin vehicle mini relay, series 40")
export const relayMemory = memory("small relay data sheets, recalled")
export const relayOutline = memory("outline of the change-over cube relay, recalled", "L")
export const transistorOutline = read("TO-92 dimensions in a MOSFET's data sheet; leads formed to 2.54 mm")
