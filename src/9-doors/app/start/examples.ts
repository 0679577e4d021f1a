// Lamps to start from, and the bare beginnings of a new one.

import front from "../../../../examples/front/front.yaml?raw"
import marker from "../../../../examples/marker/marker.yaml?raw"
import { demo, type LampSource } from "../demo.ts"

export interface Example {
  readonly name: string
  readonly about: string
  readonly source: LampSource
}

export const examples: readonly Example[] = [
  {
    name: "Tern rear lamp",
    about:
      "38 LEDs behind three faces: tail and stop in a crescent, an indicator that sweeps on either side.",
    source: demo,
  },
  {
    name: "Tern side marker",
    about: "Four white LEDs on one wire, without a controller: the smallest lamp.",
    source: { file: "marker.yaml", text: marker, drawings: {} },
  },
  {
    name: "Tern front lamps",
    about:
      "Two round lamps without a controller: an amber indicator round a white position light. Wires leave at a notch, both boards come from one sheet.",
    source: { file: "front.yaml", text: front, drawings: {} },
  },
]

export const newName = "New lamp"

/** Everything a lamp needs that has a usual value; faces, groups, programme and boards are the builder's. */
export const newLamp: LampSource = {
  file: "new-lamp.yaml",
  drawings: {},
  text: `# Begun from nothing. Every value can be changed here or in the forms.
lampwright: 1
name: ${newName}

vehicle:
  kind: three-wheeler
  rules: un-l
  supply: { lowest: 9 V, usual: 13.5 V, highest: 16 V, surge: clamped }
  ambient: { lowest: -20 °C, highest: 50 °C }
  wires:
    earth: { role: earth, size: 0.75 mm², length: 1 m, colour: brown }

faces: {}

groups: {}

programme: []

boards: {}

${marker.slice(marker.indexOf("copper-clad:"))}`,
}
