// What a 12 V vehicle's supply does: voltages in use, disturbances, and the corners to design for.

import { type Figure, fact } from "../0-ground/figure.ts"
import type { Source } from "../0-ground/source.ts"

const iso2010: Source = { document: "ISO 16750-2:2010 table 1, text excerpt", known: "read" }
const iso: Source = { document: "ISO 16750-2:2010/2012, recalled", known: "memory", confidence: "M" }
const dump: Source = { document: "ISO 16750-2 load dump, table of a journal article", known: "read" }
const clampedDump: Source = { document: "article on ISO 16750-2 load dump, test B", known: "read" }
const transients: Source = {
  document: "ISO 7637-2:2004 levels as printed in a switch's data sheet",
  known: "read",
}
const workshop: Source = { document: "motorcycle charging-system guides", known: "read" }
const habit: Source = { document: "workshop practice, recalled", known: "memory", confidence: "M" }

export const vehicleSupply = {
  /** The standard says it is not meant for motorcycles and mopeds: its levels are stress levels here, no claim. */
  caution: "ISO 16750-2:2023 excludes motorcycles and mopeds; its levels serve as engineering stress only.",
  codes: [
    { code: "A", low: 6, high: 16 },
    { code: "B", low: 8, high: 16 },
    { code: "C", low: 9, high: 16 },
    { code: "D", low: 10.5, high: 16 },
  ],
  usual: {
    volt: 13.5,
    source: { document: "UN R50/R148 test procedure", known: "memory", confidence: "H" } as Source,
  },
  running: { low: 13.5, high: 14.5, source: workshop },
  rest: { low: 12.4, high: 12.8, source: workshop },
  overvoltage: { volt: 18, seconds: 3600, source: iso },
  jumpStart: { volt: 24, seconds: 60, source: iso },
  reversed: { volt: -14, seconds: 60, source: iso },
  clampedDump: { volt: 35, seconds: 0.4, source: clampedDump },
  unclampedDump: {
    low: 79,
    high: 101,
    ohmLow: 0.5,
    ohmHigh: 4,
    secondsLow: 0.04,
    secondsHigh: 0.4,
    source: dump,
  },
  crankingDip: { low: 7, high: 9, seconds: 0.5, source: habit },
  /** ISO 16750-2 starting profile from a resting battery. */
  starting: {
    rest: 12,
    levels: [
      {
        name: "I",
        dip: 8,
        plateau: 9.5,
        seconds: { fall: 0.005, dip: 0.015, rise: 0.05, plateau: 1, back: 0.04 },
      },
      {
        name: "IV",
        dip: 6,
        plateau: 6.5,
        seconds: { fall: 0.005, dip: 0.015, rise: 0.05, plateau: 10, back: 0.1 },
      },
    ],
    source: iso,
  },
  /**
   * ISO 7637-2:2011 pulse 2b, every level: the supply is cut off, then motors that run out feed the net with so much,
   * falling to a tenth.
   */
  runningOut: {
    volt: 10,
    ohm: 0.05,
    cut: 1e-3,
    pause: 1e-3,
    rise: 1e-3,
    seconds: 2,
    source: {
      document: "ISO 7637-2:2011, recalled",
      place: "pulse 2b",
      known: "memory",
      confidence: "M",
    } as Source,
  },
  /** Added to or measured from a 13.5 V supply, level IV. */
  pulses: [
    { name: "1", volt: -100, ohm: 10, seconds: 2e-3 },
    { name: "2a", volt: 50, ohm: 2, seconds: 50e-6 },
    { name: "3a", volt: -150, ohm: 50, seconds: 0.1e-6 },
    { name: "3b", volt: 100, ohm: 50, seconds: 0.1e-6 },
  ],
} as const

export const supplyFacts: readonly Figure[] = [
  ...vehicleSupply.codes.flatMap((c) => [
    fact(`stock.supply.code-${c.code}.low`, `lowest supply, code ${c.code}`, c.low, "V", iso2010),
    fact(`stock.supply.code-${c.code}.high`, `highest supply, code ${c.code}`, c.high, "V", iso2010),
  ]),
  fact("stock.supply.usual", "supply at which light is measured", 13.5, "V", vehicleSupply.usual.source),
  fact("stock.supply.running-low", "running, low", 13.5, "V", workshop),
  fact("stock.supply.running-high", "running, high", 14.5, "V", workshop),
  fact("stock.supply.overvoltage", "failed regulator, an hour", 18, "V", iso),
  fact("stock.supply.jump-start", "jump start, a minute", 24, "V", iso),
  fact(
    "stock.supply.pulse-2b",
    "pulse 2b, motors running out",
    vehicleSupply.runningOut.volt,
    "V",
    vehicleSupply.runningOut.source,
  ),
  fact("stock.supply.reversed", "battery reversed, a minute", -14, "V", iso),
  fact("stock.supply.clamped-dump", "clamped load dump", 35, "V", clampedDump),
  fact("stock.supply.dump-low", "load dump without clamp, low", 79, "V", dump),
  fact("stock.supply.dump-high", "load dump without clamp, high", 101, "V", dump),
  fact("stock.supply.cranking-dip", "dip while starting, small cold battery", 7, "V", habit),
  ...vehicleSupply.starting.levels.flatMap((l) => [
    fact(`stock.supply.starting-${l.name}.dip`, `dip while starting, level ${l.name}`, l.dip, "V", iso),
    fact(
      `stock.supply.starting-${l.name}.plateau`,
      `plateau while starting, level ${l.name}`,
      l.plateau,
      "V",
      iso,
    ),
  ]),
  ...vehicleSupply.pulses.map((p) =>
    fact(`stock.supply.pulse-${p.name}`, `pulse ${p.name}, level IV`, p.volt, "V", transients),
  ),
]
