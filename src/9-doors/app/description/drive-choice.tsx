// What the tool chooses for the drive, and the builder may hold by hand: the controller, the way a group is driven, its
// resistors. Each is shown by the parts it is made of; what the tool took is named where nothing is held.

import { colourBands } from "../../../1-stock/colour-bands.ts"
import { bodyOf } from "../../../1-stock/part-looks.ts"
import { parts } from "../../../1-stock/parts.ts"
import type { Circuit, Part } from "../../../3-drive/artefact.ts"
import { usePage } from "../store.ts"
import type { Field } from "./fields.ts"
import { PartPicture } from "./part-picture.tsx"
import { PictureChoice, type Pictured } from "./picture-choice.tsx"

interface Props {
  readonly field: Field
  readonly id: string
  readonly change: (value: string) => void
}

/** Which choice of the drive a path of the description is; undefined when it is none. */
export function driveChoice(path: string): { readonly what: string; readonly group: string } | undefined {
  const found = /^pins\."?drive\.(?:([^."]+)\.)?([^."]+)"?$/.exec(path)
  return found ? { group: found[1] ?? "", what: found[2] ?? "" } : undefined
}

const useCircuit = (): Circuit | undefined => usePage((s) => (s.early ?? s.design)?.circuit)

export function DriveChoice({ field, id, change }: Props) {
  const circuit = useCircuit()
  const { what, group } = driveChoice(field.path) ?? { what: "", group: "" }
  const options =
    what === "controller"
      ? controllersOf(field, circuit)
      : what === "way"
        ? waysOf(field, circuit, group)
        : resistorsOf(field, circuit, group)
  return (
    <PictureChoice
      id={id}
      legend={legends[what] ?? field.label}
      written={field.options.find((o) => o.toLowerCase() === field.written?.toLowerCase()) ?? field.written}
      options={options}
      change={change}
      wide
    />
  )
}

const legends: Readonly<Record<string, string>> = {
  controller: "Controller",
  way: "How it is driven",
  "resistor-part": "Its resistors",
}

/** Pixels for a millimetre. */
const scale = { chip: 3, way: 1.9, resistor: 4.2 }

function controllersOf({ options }: Field, circuit: Circuit | undefined): readonly Pictured[] {
  const fitted = circuit?.parts.find((p) => p.kind === "controller")
  const own = fitted ? `takes ${fitted.value}` : circuit ? "needs none" : ""
  return [
    toolChooses(own),
    ...options.flatMap((name) => {
      const part = parts.all.find((p) => p.label.endsWith(` ${name}`))
      return part ? [{ value: name, words: name, ...pictured(part.key, scale.chip) }] : []
    }),
  ]
}

const waysInWords: Readonly<Record<string, { readonly words: string; readonly made: readonly string[] }>> = {
  "resistor-strings": { words: "strings, each with its resistor", made: ["resistor-half-watt"] },
  "two-feed": {
    words: "two feeds, each with its resistor and diode",
    made: ["resistor-half-watt", "diode-1n4007"],
  },
  pwm: { words: "pulses from the controller", made: ["array-uln2803a", "resistor-half-watt"] },
  "current-sinks": {
    words: "a current sink of two transistors for each string",
    made: ["transistor-bc547", "transistor-bc547", "resistor-half-watt"],
  },
  "regulated-rail": { words: "a regulated rail", made: ["regulator-lm317", "resistor-half-watt"] },
  "rail-switched": {
    words: "a regulated rail of two levels, switched by a transistor",
    made: ["regulator-lm317", "transistor-2n5551"],
  },
  "rail-relay": {
    words: "a regulated rail of two levels, switched by a relay",
    made: ["regulator-lm317", "relay-12v"],
  },
}

/** Those that were compared for this group; all of them while nothing is known of it. */
function waysOf(field: Field, circuit: Circuit | undefined, group: string): readonly Pictured[] {
  const compared = (circuit?.candidates ?? []).filter((c) => c.group === group)
  const taken = compared.find((c) => c.taken)
  const own = taken && field.written === undefined ? `takes ${waysInWords[taken.kind]?.words}` : ""
  const can = field.options.filter(
    (o) => compared.length === 0 || o === field.written || compared.some((c) => c.kind === o),
  )
  return [
    toolChooses(own),
    ...can.map((way) => ({
      value: way,
      words: waysInWords[way]?.words ?? way,
      picture: <MadeOf stocks={waysInWords[way]?.made ?? []} />,
    })),
  ]
}

/** The parts a way is made of, by their kind: which size is fitted the circuit says. */
const MadeOf = ({ stocks }: { readonly stocks: readonly string[] }) => (
  <span className="picture-parts">
    {stocks.map((stock, i) => (
      // biome-ignore lint/suspicious/noArrayIndexKey: the same part may stand there twice, and none moves
      <PartPicture key={`${stock} ${i}`} stock={stock} scale={scale.way} />
    ))}
  </span>
)

function resistorsOf(field: Field, circuit: Circuit | undefined, group: string): readonly Pictured[] {
  const fitted = fittedIn(circuit, group)[0]
  const own = fitted && field.written === undefined ? `takes ${parts.find(fitted.stock)?.label}` : ""
  return [
    toolChooses(own),
    ...field.options.map((stock) => ({
      value: stock,
      words: parts.get(stock).label,
      ...pictured(stock, scale.resistor, fitted?.amount),
    })),
  ]
}

const toolChooses = (own: string): Pictured => ({
  value: "",
  words: "the tool chooses",
  ...(own === "" ? {} : { more: `and ${own}` }),
})

const pictured = (stock: string, size: number, ohm?: number) => ({
  more: bodyOf({ stock, package: parts.get(stock).package }),
  picture: <PartPicture stock={stock} ohm={ohm} scale={size} />,
})

/** Resistors of the group's longest strings, full level first. */
export function fittedIn(circuit: Circuit | undefined, group: string): readonly Part[] {
  const strings = (circuit?.strings ?? []).filter((s) => s.group === group)
  const longest = strings.reduce<(typeof strings)[number] | undefined>(
    (most, s) => (most === undefined || s.leds.length > most.leds.length ? s : most),
    undefined,
  )
  const refs = longest?.sink ? [longest.sink.sense] : (longest?.resistors ?? [])
  return refs.flatMap((ref) => circuit?.parts.find((p) => p.ref === ref) ?? [])
}

/** The resistor that is fitted, with its bands, beside the field that holds its value. */
export function FittedResistor({ path }: { readonly path: string }) {
  const circuit = useCircuit()
  const { what, group } = driveChoice(path) ?? { what: "", group: "" }
  const part = fittedIn(circuit, group)[what === "second-resistor" ? 1 : 0]
  const model = part && parts.find(part.stock)?.model
  if (!part || part.amount === undefined || model?.kind !== "resistor") return null
  const colours = colourBands(part.amount, model.tolerance)
  return (
    <p className="fitted-resistor">
      <PartPicture stock={part.stock} ohm={part.amount} scale={scale.resistor} />
      <span className="soft">
        Fitted: {part.value}
        {colours && `, bands ${colours.join(", ")}`}
      </span>
    </p>
  )
}
