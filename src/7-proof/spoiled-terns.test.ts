// Ten spoiled Terns: each gets the right finding with a remedy, and the description with that remedy in it no longer
// does. Only the rooms that the finding needs are run. Placing and routing boards takes long and changes nothing of
// what is judged here: LEDs stand behind their holes, a chip on the control board, each signal on a pin it may have.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"
import type { Finding } from "../0-ground/finding.ts"
import { applyRemedy } from "../0-ground/remedy.ts"
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
import { checkFit } from "./fit/face-fit.ts"
import { checkRules } from "./light/check-rules.ts"

const folder = join(import.meta.dirname, "../../examples/tern")
const tern = readFileSync(join(folder, "tern.yaml"), "utf8")

function read(text: string): Lamp {
  const { lamp, findings } = readLamp(text, (file) => readFileSync(join(folder, file), "utf8"))
  if (!lamp) throw new Error(findings.map((f) => f.title).join("\n"))
  return lamp
}

const changed = (text: string, ...changes: readonly (readonly [path: string, value: string | string[]])[]) =>
  changes.reduce((now, [path, value]) => {
    const next = typeof value === "string" ? setValue(now, path, value) : setList(now, path, value)
    if ("refused" in next) throw new Error(`${path}: ${next.refused}`)
    return next.text
  }, text)

/** LEDs and screws where the face has them, and the longest-leaded part of each kind that matters. */
function standing(lamp: Lamp, circuit: Circuit): Boards {
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

type Room = "drive" | "light" | "fit"

/** Findings of a room, from the description on. */
function judged(text: string, room: Room): readonly Finding[] {
  const lamp = read(text)
  const circuit = designDrive(lamp)
  if (room === "drive") return circuit.findings
  const boards = standing(lamp, circuit)
  if (room === "fit") return checkFit(lamp, boards).findings
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

const spoiled: readonly {
  readonly name: string
  readonly room: Room
  readonly code: string
  readonly group?: string
  readonly changes: readonly (readonly [string, string | string[]])[]
}[] = [
  {
    name: "too dim",
    room: "light",
    code: "light.intensity-least",
    group: "sweep-left",
    changes: [["groups.sweep-left.current", "8 mA"]],
  },
  {
    name: "too bright",
    room: "light",
    code: "light.intensity-most",
    group: "tail-stop",
    changes: [["programme.0.level", "18 %"]],
  },
  {
    name: "ratio too low",
    room: "drive",
    code: "drive.stop-ratio",
    changes: [["programme.0.level", "24 %"]],
  },
  {
    name: "sweep too slow",
    room: "light",
    code: "light.sweep-finished",
    group: "sweep-left",
    changes: [["programme.2.sweep.within", "260 ms"]],
  },
  {
    name: "inward sweep",
    room: "light",
    code: "light.sweep-order",
    group: "sweep-left",
    changes: [["groups.sweep-left.order", "inward"]],
  },
  {
    name: "wrong amber",
    room: "light",
    code: "light.colour",
    group: "sweep-left",
    changes: [["groups.sweep-left.bin.wavelength", ["600 nm", "606 nm"]]],
  },
  {
    name: "holes too tight",
    room: "fit",
    code: "fit.leds-enter",
    changes: [["faces.crescent.drill", "5.1 mm"]],
  },
  {
    name: "board too thick",
    room: "fit",
    code: "fit.lead-through",
    changes: [["copper-clad.thickness", "3.2 mm"]],
  },
  {
    name: "regulator too hot",
    room: "drive",
    code: "drive.regulator-heat",
    changes: [["vehicle.ambient.highest", "75 °C"]],
  },
  {
    name: "flasher too fast",
    room: "light",
    code: "light.flash-rate",
    changes: [["vehicle.wires.left.rate", "150 /min"]],
  },
]

test.each(spoiled)("$name", ({ room, code, group, changes }) => {
  const bad = (text: string) =>
    judged(text, room).filter(
      (f) => f.code === code && f.severity !== "green" && (group === undefined || f.where.group === group),
    )
  expect(bad(tern)).toEqual([])
  const text = changed(tern, ...changes)
  const found = bad(text)
  expect(found.length).toBeGreaterThan(0)
  // Every remedy works, not only the first.
  for (const remedy of found[0]!.remedies ?? []) {
    const mended = found.reduce((now, f) => {
      const same = f.remedies?.[found[0]!.remedies!.indexOf(remedy)] ?? f.remedies?.[0]
      const next = applyRemedy(now, same!)
      if ("refused" in next) throw new Error(next.refused)
      return next.text
    }, text)
    expect(bad(mended)).toEqual([])
    // The rest of the description stands as it stood.
    expect(mended.split("\n").filter((l) => l.startsWith("#"))).toEqual(
      tern.split("\n").filter((l) => l.startsWith("#")),
    )
  }
  expect(found[0]!.remedies?.length ?? 0).toBeGreaterThan(0)
})
