// The controller and what it needs: supply with its diodes, clamp and regulator, clock, reset, programming header,
// switches with pull-ups (so that everything lights while the controller is silent), and an input network per wire.

import { modelOf } from "../1-stock/parts.ts"
import type { Lamp, Wire } from "../2-lamp/artefact.ts"
import type { Home } from "./artefact.ts"
import { nameOfStock } from "./choose-controller.ts"
import type { CircuitDraft } from "./circuit-draft.ts"
import { supplyWires } from "./feed-wires.ts"
import { flashingShare, surgeVolt } from "./limits.ts"
import { sizeFor } from "./rate-resistor.ts"
import { bleedFor, type InputNetwork, inputValues } from "./read-wires.ts"
import type { ChannelShare } from "./share-channels.ts"
import type { Nets } from "./write-group.ts"

const controllerHome: Home = { kind: "controller" }
const driversHome: Home = { kind: "drivers" }
const supplyHome: Home = { kind: "supply" }

export interface WrittenController {
  readonly ref: string
  /** Stock key of the controller. */
  readonly stock: string
  readonly rail: string
  readonly five: string
  readonly clamp: string
  readonly regulator: string
  readonly arrays: readonly string[]
  readonly pullUps: readonly string[]
  /** Supply diodes with the wire each belongs to. */
  readonly supplyDiodes: readonly { readonly ref: string; readonly wire: string }[]
  readonly inputs: readonly InputNetwork[]
}

export function writeController(
  draft: CircuitDraft,
  lamp: Lamp,
  nets: Nets,
  share: ChannelShare,
): WrittenController {
  const { earth } = nets
  const rail = draft.net("rail", "supply")
  const five = draft.net("5V", "supply")
  const supplyDiodes = [...supplyWires(lamp), ...share.inputs].map((wire) => ({
    wire: wire.name,
    ref: draft.diode(
      "diode-1n4007",
      nets.wire.get(wire.name)!,
      rail,
      `feeds the controller from ${wire.name}, keeps a reversed battery out`,
      supplyHome,
    ),
  }))
  const clampKey = chooseClamp(lamp)
  const clamp = draft.add({
    kind: "clamp",
    stock: clampKey,
    value: clampKey.replace("clamp-", "").toUpperCase(),
    pins: { A: earth, K: rail },
    purpose: "takes short surges on the controller's supply",
    home: supplyHome,
  })
  draft.capacitor(
    "capacitor-22u-63v",
    "22 µF 63 V",
    22e-6,
    rail,
    earth,
    "holds the supply over contact bounce",
    supplyHome,
  )
  draft.capacitor(
    "capacitor-100n-100v",
    "100 nF 100 V",
    100e-9,
    rail,
    earth,
    "keeps the regulator stable, input side",
    supplyHome,
  )
  const regulator = draft.add({
    kind: "regulator",
    stock: "regulator-lm2940",
    value: "LM2940CT-5",
    pins: { "1": rail, "2": earth, "3": five },
    purpose: "makes 5 V for the controller",
    home: supplyHome,
  })
  draft.capacitor(
    "capacitor-47u-25v",
    "47 µF 25 V",
    47e-6,
    five,
    earth,
    "keeps the regulator stable, output side",
    supplyHome,
  )

  const reset = draft.net("reset", "signal")
  const xtal1 = draft.net("xtal1", "signal")
  const xtal2 = draft.net("xtal2", "signal")
  const stock = share.controller
  const { packagePins, ioPins } = modelOf(stock, "controller")
  const fixed: Readonly<Record<string, string>> = {
    VCC: five,
    AVCC: five,
    GND: earth,
    RESET: reset,
    XTAL1: xtal1,
    XTAL2: xtal2,
  }
  const ref = draft.add({
    kind: "controller",
    stock,
    value: nameOfStock(stock),
    pins: Object.fromEntries(
      Object.entries(fixed).flatMap(([name, net]) => (packagePins[name] ?? []).map((pin) => [pin, net])),
    ),
    purpose: "runs the light programme",
    home: controllerHome,
  })
  for (const pin of ["VCC", "AVCC"]) {
    if (packagePins[pin] === undefined) continue
    draft.capacitor(
      "capacitor-100n",
      "100 nF",
      100e-9,
      five,
      earth,
      `steadies ${pin}, close to the pin`,
      controllerHome,
    )
  }
  draft.resistor(10000, five, reset, "keeps the controller out of reset", controllerHome)
  draft.add({
    kind: "resonator",
    stock: "resonator-16mhz",
    value: "16 MHz",
    pins: { "1": xtal1, "2": earth, "3": xtal2 },
    purpose: "clock",
    home: controllerHome,
  })
  draft.add({
    kind: "header",
    stock: "header-2x3",
    value: "2 × 3",
    // MISO VCC SCK MOSI RESET GND
    pins: {
      "1": `@${programmingPins[nameOfStock(stock)].miso}`,
      "2": five,
      "3": `@${programmingPins[nameOfStock(stock)].sck}`,
      "4": `@${programmingPins[nameOfStock(stock)].mosi}`,
      "5": reset,
      "6": earth,
    },
    purpose: "programming",
    home: controllerHome,
  })

  const inputs = share.inputs.map((wire) => writeInput(draft, lamp, nets, five, wire))
  for (const input of inputs) {
    draft.signals.push({
      name: `input-${input.wire}`,
      net: input.net,
      direction: "input",
      wire: input.wire,
      allowed: ioPins,
    })
  }
  const { arrays, pullUps } = writeSwitches(draft, earth, five, ioPins)
  return { ref, stock, rail, five, clamp, regulator, arrays, pullUps, supplyDiodes, inputs }
}

/** Port pins of serial programming (data sheets, from memory). */
const programmingPins = {
  ATmega328P: { miso: "PB4", sck: "PB5", mosi: "PB3" },
  ATtiny84A: { miso: "PA5", sck: "PA4", mosi: "PA6" },
} as const

/** The smallest stock clamp that does not try to swallow the clamped load dump, which lasts far too long for it. */
function chooseClamp(lamp: Lamp): string {
  if (lamp.vehicle.supply.surge === "unclamped") return "clamp-p6ke30a"
  const keys = ["clamp-p6ke30a", "clamp-p6ke33a", "clamp-p6ke39a"]
  return keys.find((k) => modelOf(k, "clamp").breakdownLow > surgeVolt.value) ?? keys[keys.length - 1]!
}

/** Eight channels to an array, its inputs held up by a network, so that open inputs mean light. */
export function writeSwitches(draft: CircuitDraft, earth: string, five: string, allowed: readonly string[]) {
  const model = modelOf("array-uln2803a", "low-side-array")
  const network = modelOf("pull-up-8x10k", "resistor-array")
  const arrays: string[] = []
  const pullUps: string[] = []
  for (let first = 0; first < draft.channels.length; first += model.sections) {
    const mine = draft.channels.slice(first, first + model.sections)
    const arrayPins: Record<string, string> = { [model.earthPin]: earth }
    const networkPins: Record<string, string> = { [network.commonPin]: five }
    mine.forEach((channel, k) => {
      const net = draft.net(`signal-${channel.index}`, "signal")
      const [input, output] = model.sectionPins[k]!
      arrayPins[input] = net
      arrayPins[output] = channel.net
      networkPins[network.sectionPins[k]!] = net
      draft.signals.push({
        name: `output-${channel.index}`,
        net,
        direction: "output",
        channel: channel.index,
        allowed,
      })
    })
    arrays.push(
      draft.add({
        kind: "low-side-array",
        stock: "array-uln2803a",
        value: "ULN2803A",
        pins: arrayPins,
        purpose: `switches channels ${mine[0]!.index}–${mine[mine.length - 1]!.index}`,
        home: driversHome,
        sections: model.sectionPins,
      }),
    )
    pullUps.push(
      draft.add({
        kind: "resistor-array",
        stock: "pull-up-8x10k",
        value: "8 × 10 kΩ",
        amount: network.resistance,
        pins: networkPins,
        purpose: "keeps the lights on while the controller is silent",
        home: driversHome,
        sections: network.sectionPins.map((pin) => [pin]),
      }),
    )
  }
  return { arrays, pullUps }
}

function writeInput(draft: CircuitDraft, lamp: Lamp, nets: Nets, five: string, wire: Wire): InputNetwork {
  const { earth } = nets
  const from = nets.wire.get(wire.name)!
  const net = draft.net(`input-${wire.name}`, "signal")
  const upper = draft.resistor(
    inputValues.upper,
    from,
    net,
    `divides ${wire.name} down for the controller`,
    controllerHome,
  )
  const lower = draft.resistor(
    inputValues.lower,
    net,
    earth,
    `divides ${wire.name} down for the controller`,
    controllerHome,
  )
  const filter = draft.capacitor(
    "capacitor-4n7",
    "4.7 nF",
    inputValues.filter,
    net,
    earth,
    `filters ${wire.name}`,
    controllerHome,
  )
  const clamp = draft.diode(
    "diode-1n4148",
    net,
    five,
    `keeps the pin of ${wire.name} from rising above 5 V`,
    controllerHome,
  )
  const bleedOhm = bleedFor(wire)
  let bleed: string | undefined
  if (bleedOhm !== undefined && !draft.bled.has(from)) {
    draft.bled.add(from)
    const { supply, ambient } = lamp.vehicle
    const power = (supply.highest ** 2 / bleedOhm) * flashingShare.value
    bleed = draft.resistor(
      bleedOhm,
      from,
      earth,
      `drains what leaks through the flasher on ${wire.name}`,
      controllerHome,
      sizeFor(power / 0.99, ambient.highest),
    )
  }
  return {
    wire: wire.name,
    net,
    upper,
    lower,
    filter,
    clamp,
    ...(bleed === undefined ? {} : { bleed, bleedOhm: bleedOhm! }),
  }
}
