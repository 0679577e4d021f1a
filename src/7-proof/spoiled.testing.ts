// Descriptions spoiled by one change each, and the rooms that the finding needs: the board room is passed over.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import type { Finding } from "../0-ground/finding.ts"
import { setList, setValue } from "../0-ground/text/edit-text.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import { readLamp } from "../2-lamp/read-lamp.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import { designDrive } from "../3-drive/design-drive.ts"
import { designBehaviour } from "../4-behaviour/design-behaviour.ts"
import { makeFirmware } from "../4-behaviour/make-firmware.ts"
import type { Board, Boards } from "../5-board/artefact.ts"
import { defaultStimulus } from "./bench/default-stimulus.ts"
import { lightTrace } from "./bench/light-trace.ts"
import { startBench } from "./bench/start-bench.ts"
import { channelLight } from "./bench/watch-outputs.ts"
import { checkEndurance } from "./endurance/check-endurance.ts"
import { checkFit } from "./fit/face-fit.ts"
import { checkRules } from "./light/check-rules.ts"

const folder = join(import.meta.dirname, "../../examples")
const drawings = join(folder, "tern")

/** Text of an example's description. */
export const example = (name: string) => readFileSync(join(folder, name, `${name}.yaml`), "utf8")

export function read(text: string): Lamp {
  const { lamp, findings } = readLamp(text, (file) => readFileSync(join(drawings, file), "utf8"))
  if (!lamp) throw new Error(findings.map((f) => f.title).join("\n"))
  return lamp
}

export const changed = (
  text: string,
  ...changes: readonly (readonly [path: string, value: string | string[]])[]
) =>
  changes.reduce((now, [path, value]) => {
    const next = typeof value === "string" ? setValue(now, path, value) : setList(now, path, value)
    if ("refused" in next) throw new Error(`${path}: ${next.refused}`)
    return next.text
  }, text)

/** LEDs and screws where the face has them, and the longest-leaded part of each kind that matters. */
export function standing(lamp: Lamp, circuit: Circuit): Boards {
  const pins = new Set<string>()
  const controller = Object.fromEntries(
    circuit.signals.map((s) => {
      const pin = s.allowed.find((p) => !pins.has(p))!
      pins.add(pin)
      return [s.name, pin]
    }),
  )
  return {
    boards: lamp.boards.map((b): Board => {
      const own = lamp.groups.filter((g) => b.carries.includes(g.name))
      const part = (ref: string, kind: string, pkg: string, x: number, y: number, height: number) => ({
        ref,
        kind,
        package: pkg,
        value: "",
        x,
        y,
        rotation: 0,
        body: [],
        height,
        pins: {},
      })
      const leds = own.flatMap((g) =>
        g.leds.map((l) => part(l.ref, "led", "led-5mm", l.hole.x, l.hole.y, 8.71)),
      )
      const chip = b.carries.includes("drivers") ? [part("U2", "low-side-array", "dip-18", 20, 20, 5)] : []
      return {
        name: b.name,
        pose: { originX: 0, originY: 0 },
        ...(b.behind ? { face: b.behind } : {}),
        outline: [...(b.outline ?? lamp.faces.find((f) => f.name === b.behind)!.outline)] as Board["outline"],
        size: { w: 100, h: 60 },
        screws: b.screws.map((s) => ({ x: s.x, y: s.y, diameter: s.diameter, keepOut: 3.5 })),
        parts: [...leds, ...chip],
        lands: leds.map((l) => ({
          ref: l.ref,
          pin: "A",
          x: l.x,
          y: l.y,
          shape: "round" as const,
          w: 2,
          h: 2,
          rotation: 0,
          hole: 1,
        })),
        tracks: [],
        links: [],
        linksLowerBound: 0,
        unrouted: [],
        clearance: 0.3,
        trackWidth: 0.4,
      }
    }),
    harness: [],
    pinChoice: { controller, sections: {}, strings: {} },
    figures: [],
    findings: [],
  }
}

const solved = new Map<string, Circuit>()

/** Solved once for what bears on currents; faces, bins and heights do not. */
function circuitOf(lamp: Lamp): Circuit {
  const { vehicle, groups, programme, pins, seed, boards } = lamp
  const key = JSON.stringify([
    { ...vehicle, kind: "" },
    groups.map((g) => [g.name, g.led, g.current, g.functions, g.leds.map((l) => l.ref)]),
    programme,
    pins,
    seed,
    boards.map((b) => b.carries),
  ])
  const known = solved.get(key) ?? designDrive(lamp)
  solved.set(key, known)
  return known
}

/** `light` plays the programme on the bench; `light-still` judges what needs no bench. */
export type Room = "drive" | "light" | "light-still" | "fit" | "endurance"

/** Findings of a room, from the description on. */
export function judged(text: string, room: Room): readonly Finding[] {
  const lamp = read(text)
  const circuit = room === "drive" ? designDrive(lamp) : circuitOf(lamp)
  if (room === "drive") return circuit.findings
  if (room === "light-still") return checkRules(lamp, circuit, undefined).findings
  const boards = standing(lamp, circuit)
  if (room === "fit") return checkFit(lamp, boards).findings
  if (room === "endurance") return checkEndurance(lamp, circuit, boards).findings
  const behaviour = designBehaviour(lamp, circuit)
  const firmware = makeFirmware(circuit, behaviour, boards.pinChoice)
  const made = { lamp, circuit, behaviour, boards, firmware, programs: [] }
  const { bench, controller } = startBench(made)
  if (!controller || controller.unreadable !== undefined) throw new Error("no controller on the bench")
  const stimulus = defaultStimulus(lamp)
  const run = controller.run(stimulus)
  const seconds = 4
  run.advance(seconds)
  const trace = lightTrace(made, bench, run, stimulus, seconds, 0.004, channelLight(run))
  return checkRules(lamp, circuit, trace).findings
}
