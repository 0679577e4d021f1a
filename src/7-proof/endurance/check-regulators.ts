// Regulators in the closed housing, with the heat sink that the parts list has.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import { described } from "../../0-ground/source.ts"
import { parts } from "../../1-stock/parts.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit } from "../../3-drive/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import { given, measuredOn, nothingTold, type Told } from "../told.ts"
import { endurance } from "./endurance-findings.ts"

const pin = "drive.regulator.heat-sink"
/** Sheet-metal sinks as they are sold, K/W. */
const sinks = [25, 20, 15, 12, 10, 7, 5] as const
const toSink = fact("endurance.to-sink", "junction to heat sink, washer included", 5, "K/W", {
  document: "TO-220 regulators: junction to case 3–4 K/W, washer 1–2 K/W",
  known: "memory",
  confidence: "M",
})

/** `inside`: air above the outside, K; `mean`: heat of a part, W, over the flashes. */
export function checkRegulators(
  lamp: Lamp,
  circuit: Circuit,
  board: Board,
  inside: Figure,
  mean: (refs: readonly string[]) => number,
  corner: string,
): Told {
  const told = nothingTold()
  const ambient = lamp.vehicle.ambient.highest
  for (const { ref } of board.parts) {
    const part = circuit.parts.find((p) => p.ref === ref)
    const model = part && parts.find(part.stock)?.model
    if (model?.kind !== "regulator" && model?.kind !== "adjustable-regulator") continue
    // Only the 5 V regulator can be given a sink.
    const sink = model.kind === "regulator" ? sinkOf(lamp) : undefined
    const watt = mean([ref])
    const toAir = sink === undefined ? model.thermalResistance : toSink.value + sink
    const id = (name: string) => `endurance.${board.name}.${ref}.${name}`
    const figure = result(
      id("junction"),
      `junction of ${ref} in a closed housing`,
      ambient + inside.value + toAir * watt,
      "°C",
      "highest ambient + air inside above outside + thermal resistance × heat of the regulator",
      [
        given("vehicle.ambient.highest", "highest ambient temperature", ambient, "°C"),
        inside,
        ...(sink === undefined
          ? (parts.find(part!.stock)?.facts.filter((f) => f.id.endsWith(".thermal-resistance")) ?? [])
          : [toSink, fact(id("sink"), "heat sink to air", sink, "K/W", described(`pins."${pin}"`))]),
        fact(
          id("heat"),
          `heat of ${ref}, mean over the flashes`,
          1000 * watt,
          "mW",
          measuredOn("circuit solved", corner),
        ),
      ],
      { corner },
    )
    const limit = model.maximumJunction
    const does = sinks.find((s) => ambient + inside.value + (toSink.value + s) * watt <= 0.95 * limit)
    told.figures.push(figure)
    told.findings.push(
      endurance.judge("regulator-heat", {
        title: `Rule of thumb: junction of ${ref} with the housing of ${board.name} closed${sink === undefined ? ", without a heat sink" : `, on its heat sink of ${sink} K/W`}`,
        where: { text: `${board.name}, ${ref}`, board: board.name, part: ref },
        ...measuredBy(figure),
        limit: { value: limit, unit: "°C", kind: "at most" },
        corner,
        atWorst: "amber",
        source: inside.inputs?.find((f) => f.id === "endurance.film")?.source ?? toSink.source!,
        remedies:
          model.kind === "regulator" &&
          figure.value > 0.95 * limit &&
          does !== undefined &&
          does < (sink ?? 99)
            ? [
                {
                  says: `Screw ${ref} to a heat sink of ${does} K/W, with paste; the tab is earth.`,
                  changes: [{ path: `pins."${pin}"`, value: `${does} K/W` }],
                  gives: { value: ambient + inside.value + (toSink.value + does) * watt, unit: "°C" },
                },
              ]
            : [],
      }),
    )
  }
  return told
}

/** K/W, as the description gives it. */
function sinkOf(lamp: Lamp): number | undefined {
  const value = Number.parseFloat(String(lamp.pins[pin] ?? ""))
  return Number.isFinite(value) && value > 0 ? value : undefined
}
