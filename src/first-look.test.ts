import { readFileSync } from "node:fs"
import { expect, test } from "vitest"
import { finish } from "./0-ground/progress.ts"
import { recallFrom } from "./0-ground/recall.ts"
import { readLamp } from "./2-lamp/read-lamp.ts"
import { designDrive } from "./3-drive/design-drive.ts"
import { designBehaviour } from "./4-behaviour/design-behaviour.ts"
import { makeFirmware } from "./4-behaviour/make-firmware.ts"
import { defaultStimulus, playLamp } from "./7-proof/play-lamp.ts"
import { drivenBy, type EarlyDesign, lightFirst, lookFirst } from "./first-look.ts"

const tern = readFileSync("examples/tern/tern.yaml", "utf8")
const face = readFileSync("examples/tern/tern-face.svg", "utf8")

test("the first look judges drive, light, rules and how LEDs sit, each with its derivation and its line", () => {
  const seen: string[] = []
  const look = lookFirst(
    tern,
    () => face,
    (lamp) => seen.push(lamp.name),
  )
  if (look.lamp === undefined) throw new Error("not read")
  expect(seen).toEqual(["Tern rear lamp"])
  const rooms = new Set(look.findings.map((f) => f.code.split(".")[0]))
  for (const room of ["drive", "light", "fit", "behaviour"]) expect([...rooms]).toContain(room)
  const ids = new Set<string>()
  const walk = (figures: typeof look.figures) => {
    for (const f of figures) {
      ids.add(f.id)
      walk(f.inputs ?? [])
    }
  }
  walk(look.figures)
  for (const f of look.findings)
    if (f.measured && f.limit?.kind !== "exactly") expect(ids.has(f.figure ?? ""), f.title).toBe(true)
  expect(look.findings.filter((f) => f.where.path?.startsWith("vehicle.")).every((f) => f.where.line)).toBe(
    true,
  )
  expect(look.findings.some((f) => f.severity === "red")).toBe(false)
})

test("it follows the description", () => {
  const bright = lookFirst(tern.replace("within: 180 ms", "within: 450 ms"), () => face)
  const usual = lookFirst(tern, () => face)
  const sweep = (l: typeof usual) => l.findings.find((f) => f.code === "behaviour.sweep-end")?.measured?.value
  expect(sweep(bright)).not.toBe(sweep(usual))
})

test("a text that cannot be read is told, not thrown", () => {
  expect(lookFirst("a: [", () => undefined)).toMatchObject({ lamp: undefined, verdict: "do not cut" })
})

test("the drive reads nothing of a lamp but what its circuit is remembered by", () => {
  const only = <T extends object>(what: string, thing: T, keys: readonly string[]): T =>
    new Proxy(thing, {
      get(of, key) {
        if (typeof key === "string" && !keys.includes(key)) throw new Error(`${what}.${key} was read`)
        return Reflect.get(of, key)
      },
      // A copy with something changed takes along what may be read.
      ownKeys: () => [...keys],
    })
  for (const [text, drawing] of [
    [tern, face],
    [readFileSync("examples/marker/marker.yaml", "utf8"), ""],
  ] as const) {
    const { lamp } = readLamp(text, () => drawing)
    const known = drivenBy(lamp!)
    const boards = lamp!.boards.map((b) => only("board", b, Object.keys(known.boards[0]!)))
    const seen = only("lamp", { ...lamp!, boards }, [...Object.keys(known), "places"])
    expect(designDrive(seen, { lamps: 2 }).parts.length).toBeGreaterThan(5)
  }
})

test("with a memory the same is told as without, wherever the lines have moved to", () => {
  const recall = recallFrom(new Map())
  const texts = [
    tern,
    `# A line above everything.\n${tern}`,
    tern.replace("inset: 3 mm", "inset: 2.5 mm"),
    tern.replace("level: 12 %", "level: 15 %"),
  ]
  // A recalled circuit keeps the lines of its own findings; what is told has the lines of this text.
  const told = (look: ReturnType<typeof lookFirst>) =>
    look.lamp && { ...(look as EarlyDesign), circuit: { ...(look as EarlyDesign).circuit, findings: [] } }
  for (const text of texts)
    expect(told(lookFirst(text, () => face, undefined, recall))).toEqual(told(lookFirst(text, () => face)))
})

test("the first light is the light of any other pins that the boards may choose", () => {
  const look = lookFirst(tern, () => face) as EarlyDesign
  const lit = finish(lightFirst(look))!
  expect(lit.trace.samples * lit.trace.step).toBeCloseTo(8)
  expect(Math.max(...Object.values(lit.trace.leds).map((l) => Math.max(...l)))).toBe(255)
  const { circuit, behaviour } = look
  const pins = circuit.signals.map((s) => lit.firmware!.pinOf[s.name]!)
  for (const turned of [1, 7]) {
    const controller = Object.fromEntries(
      circuit.signals.map((s, i) => [s.name, pins[(i + turned) % pins.length]!]),
    )
    const firmware = makeFirmware(circuit, designBehaviour(look.lamp, circuit), { controller })
    expect(firmware?.hex).not.toBe(lit.firmware?.hex)
    const trace = playLamp(
      { lamp: look.lamp, circuit, behaviour, firmware },
      defaultStimulus(look.lamp),
      8,
      lit.trace.step,
    )
    expect(trace.wires).toEqual(lit.trace.wires)
    // Ports are written one after the other: a few cycles of a sample's 64 000.
    for (const [led, levels] of Object.entries(trace.leds))
      for (const [i, level] of levels.entries())
        if (Math.abs(level - lit.trace.leds[led]![i]!) > 1)
          throw new Error(`${led} at ${i}: ${level}, at first ${lit.trace.leds[led]![i]}`)
  }
})
