// Contradictions within the description: supply, wires, programme, who is carried by which board.

import { described } from "../0-ground/source.ts"
import { nearMatch } from "../0-ground/text/near-match.ts"
import { showNumber } from "../0-ground/text/show.ts"
import type { LedType } from "../1-stock/artefact.ts"
import type { Group } from "./artefact.ts"
import type { Built } from "./build-face.ts"
import { namesIn, stations, wiresOf } from "./check-names.ts"
import { type Located, type Sound, where } from "./check-shape.ts"
import { counted, said, tied } from "./lamp-figures.ts"
import { lampFindings as report } from "./lamp-findings.ts"
import type { ProgrammeShape } from "./lamp-schema.ts"
import { quote } from "./read-quantity.ts"

/** Highest lasting voltage of a 12 V system that is designed for; beyond it the vehicle's charging is at fault. */
const highestSystem = 18
/** What a series diode and a resistor need besides the LED. */
const headroom = 1

export function checkSupply(
  sound: Sound,
  leds: readonly LedType[],
  { tree, findings, figures }: Located,
): void {
  const { supply, ambient } = sound
  if (supply) {
    const path = "vehicle.supply"
    const supplied = (which: "lowest" | "usual" | "highest") =>
      tied(figures, said(tree, `${path}.${which}`, `${which} supply`, supply[which], "V"))
    const order = (low: "lowest" | "usual", high: "usual" | "highest") => {
      if (supply[low] <= supply[high]) return
      findings.push(
        report.judge("supply-order", {
          title: `The ${low} supply voltage, ${supply[low]} V, is above the ${high}, ${supply[high]} V.`,
          where: where(tree, `${path}.${low}`),
          ...supplied(low),
          limit: { kind: "at most", value: supply[high], unit: "V" },
          source: described(`${path}.${high}`),
        }),
      )
    }
    order("lowest", "usual")
    order("usual", "highest")
    for (const key of ["lowest", "usual", "highest"] as const)
      if (supply[key] > highestSystem)
        findings.push(
          report.judge("supply-system", {
            title: `The ${key} supply voltage, ${showNumber(supply[key])} V, is beyond a 12 V system.`,
            where: where(tree, `${path}.${key}`),
            ...supplied(key),
            limit: { kind: "at most", value: highestSystem, unit: "V" },
          }),
        )
    const used = leds.filter((l) => [...sound.groups.values()].some((g) => g.led === l.key))
    const hungriest = used.reduce<LedType | undefined>(
      (a, b) => (a === undefined || b.forwardVoltage.high > a.forwardVoltage.high ? b : a),
      undefined,
    )
    const least = hungriest === undefined ? headroom : hungriest.forwardVoltage.high + headroom
    if (supply.lowest < least)
      findings.push(
        report.judge("supply-low", {
          title: `At ${showNumber(supply.lowest)} V not even one ${hungriest?.label ?? "LED"} lights: it needs ${showNumber(least)} V with its diode and resistor.`,
          where: where(tree, `${path}.lowest`),
          ...supplied("lowest"),
          limit: { kind: "at least", value: least, unit: "V" },
          ...(hungriest ? { source: hungriest.source } : {}),
        }),
      )
  }
  if (ambient && ambient.lowest > ambient.highest)
    findings.push(
      report.judge("ambient-order", {
        title: `The lowest temperature, ${ambient.lowest} °C, is above the highest, ${ambient.highest} °C.`,
        where: where(tree, "vehicle.ambient.lowest"),
        ...tied(
          figures,
          said(tree, "vehicle.ambient.lowest", "lowest ambient temperature", ambient.lowest, "°C"),
        ),
        limit: { kind: "at most", value: ambient.highest, unit: "°C" },
      }),
    )
}

export function checkWires(sound: Sound, at: Located): void {
  const { tree, findings } = at
  const wires = sound.wires
  const names = namesIn(at)
  // A wire that could not be read may be the earth; its own finding stands already.
  const allRead = names.wires.length === wires.size
  if (allRead && ![...wires.values()].some((w) => w.role === "earth"))
    findings.push(
      report.state("no-earth", {
        severity: "red",
        title: "No wire has the role earth.",
        where: where(tree, "vehicle.wires", "key"),
      }),
    )
  for (const [name, wire] of wires) {
    const path = `vehicle.wires.${name}`
    if (wire.role === "flashing") {
      if (wire.flasher === undefined)
        findings.push(
          report.state("missing-key", {
            severity: "red",
            title: `The flashing wire ${quote(name)} does not say which kind of flasher feeds it.`,
            where: where(tree, path, "key"),
            advice: "Add flasher: thermal, load-sensing or electronic.",
          }),
        )
      checkTellTale(name, wire["tell-tale"]?.to, sound, at)
      continue
    }
    for (const key of ["flasher", "rate", "on-share", "ballast", "tell-tale"] as const)
      if (wire[key] !== undefined)
        findings.push(
          report.state("no-effect", {
            severity: "amber",
            title: `${quote(key)} has no effect on ${quote(name)}, which is not a flashing wire.`,
            where: where(tree, `${path}.${key}`, "key"),
            advice: "Remove it, or set role: flashing.",
          }),
        )
  }
}

/** A tell-tale hangs between two flashing wires. */
function checkTellTale(name: string, to: string | undefined, sound: Sound, at: Located): void {
  if (to === undefined) return
  const { tree, findings } = at
  const path = `vehicle.wires.${name}.tell-tale.to`
  const other = sound.wires.get(to)
  if (other?.role === "flashing" && to !== name) return
  const flashing = [...sound.wires].filter(([n, w]) => w.role === "flashing" && n !== name).map(([n]) => n)
  const near = nearMatch(to, flashing)
  findings.push(
    report.state("unknown-reference", {
      severity: "red",
      title: `The tell-tale of ${quote(name)} hangs on ${quote(to)}, which is no other flashing wire.`,
      where: where(tree, path),
      advice: near
        ? `Did you mean ${near}?`
        : flashing.length > 0
          ? `Known: ${flashing.join(", ")}.`
          : "A tell-tale between the sides needs two flashing wires.",
    }),
  )
}

/** Programme lines against wires and groups. */
export function checkProgramme(sound: Sound, groups: ReadonlyMap<string, Group>, at: Located): void {
  const { tree, findings, figures } = at
  for (const [i, line] of sound.programme) {
    const path = `programme.${i}`
    for (const wire of new Set(wiresOf(line.when))) {
      const role = sound.wires.get(wire)?.role
      if (role === "supply" || role === "earth")
        findings.push(
          report.state("programme-wire", {
            severity: "red",
            title: `The programme watches ${quote(wire)}, which is the ${role} and says nothing.`,
            where: where(tree, `${path}.when`),
          }),
        )
    }
    const flashes = wiresOf(line.when).some((w) => sound.wires.get(w)?.role === "flashing")
    const known = wiresOf(line.when).every((w) => sound.wires.has(w))
    if (known) checkFlashKeys(line, path, flashes, at)
    const group = groups.get(line.light)
    if (line.sweep && group && group.leds.length < 2)
      findings.push(
        report.state("sweep-single", {
          severity: "red",
          title: `${quote(line.light)} has one LED, which cannot sweep.`,
          where: where(tree, `${path}.sweep`, "key"),
          ...tied(
            figures,
            counted(`groups.${line.light}`, `LEDs of ${line.light}`, group.leds.length, "LED"),
          ),
          limit: { kind: "at least", value: 2, unit: "LED" },
          margin: -0.5,
        }),
      )
  }
  const names = namesIn(at)
  const lines = [...sound.programme.values()]
  // Unread lines may light or watch anything, so nothing is said about what is missing then.
  const allRead = Array.isArray(tree.root.programme) && tree.root.programme.length === lines.length
  if (!allRead) return
  for (const name of names.groups)
    if (!lines.some((l) => l.light === name && l.level > 0))
      findings.push(
        report.state("group-dark", {
          severity: "amber",
          title: `Nothing lights the group ${quote(name)}.`,
          where: where(tree, `groups.${name}`, "key"),
        }),
      )
  for (const [name, wire] of sound.wires)
    if (
      (wire.role === "steady" || wire.role === "flashing") &&
      !lines.some((l) => wiresOf(l.when).includes(name))
    )
      findings.push(
        report.state("wire-unused", {
          severity: "amber",
          title: `No programme line asks for the wire ${quote(name)}.`,
          where: where(tree, `vehicle.wires.${name}`, "key"),
        }),
      )
}

/** Keys that speak of flashes, on lines without any; a share without an on-time. */
function checkFlashKeys(
  line: ProgrammeShape,
  path: string,
  flashes: boolean,
  { tree, findings }: Located,
): void {
  const { sweep } = line
  const silent = (key: string, why: string, advice: string) =>
    findings.push(
      report.state("no-effect", {
        severity: "amber",
        title: `${quote(key)} has no effect here: ${why}.`,
        where: where(tree, `${path}.${key}`, "key"),
        advice,
      }),
    )
  const share = sweep !== undefined && "share" in sweep.within
  if (share && !flashes)
    findings.push(
      report.state("share-without-flasher", {
        severity: "red",
        title: `The sweep of ${quote(line.light)} asks for a share of the on-time, but none of its wires flashes.`,
        where: where(tree, `${path}.sweep.within`),
      }),
    )
  if (sweep?.["at-most"] !== undefined && !share)
    silent("sweep.at-most", "the sweep's time is absolute", "Remove it, or write within as a share.")
  if (flashes) return
  const none = "none of the line's wires flashes"
  if (sweep?.["first-flash"] !== undefined) silent("sweep.first-flash", none, "Remove it.")
  if (line["between-flashes"] !== undefined) silent("between-flashes", none, "Remove it.")
}

/** Every LED hole belongs to one group; those of none stay dark. */
export function checkHoles(
  built: ReadonlyMap<string, Built>,
  groups: readonly Group[],
  sound: Sound,
  at: Located,
): void {
  const { tree, findings } = at
  for (const [name, { face, spots }] of built) {
    const mine = groups.filter((g) => g.face === name)
    const owner = new Map<string, string>()
    const told = new Set<string>()
    for (const group of mine)
      for (const { hole } of group.leds) {
        const other = owner.get(hole.id)
        owner.set(hole.id, group.name)
        if (other === undefined || told.has(`${other} ${group.name}`)) continue
        told.add(`${other} ${group.name}`)
        const explicit = sound.groups.get(group.name)?.holes !== undefined
        findings.push(
          report.state("hole-shared", {
            severity: "red",
            title: explicit
              ? `The groups ${quote(other)} and ${quote(group.name)} both use the hole ${quote(hole.id)}.`
              : `The groups ${quote(other)} and ${quote(group.name)} both use all holes of ${quote(name)}.`,
            where: where(tree, `groups.${group.name}.${explicit ? "holes" : "face"}`),
          }),
        )
      }
    // Groups that could not be read may own the rest.
    const every = [...sound.groups.values()].filter((g) => g.face === name).length === mine.length
    if (!every || sound.groups.size !== namesIn(at).groups.length) continue
    const dark = face.ledHoles.filter((h) => !owner.has(h.id))
    if (dark.length === 0) continue
    const spot = spots.get(dark[0]!.id)
    findings.push(
      report.state("hole-unused", {
        severity: "amber",
        title: `${dark.length} of ${face.ledHoles.length} LED holes of ${quote(name)} have no LED: ${dark
          .slice(0, 8)
          .map((h) => h.id)
          .join(", ")}${dark.length > 8 ? " …" : ""}.`,
        where: {
          ...where(tree, `faces.${name}`, "key"),
          ...(spot?.file === undefined ? {} : { text: spot.file }),
        },
      }),
    )
  }
}

/** Each group and each station on exactly one board, and each board able to hold what it carries. */
export function checkBoards(sound: Sound, at: Located): void {
  const { tree, findings } = at
  const names = namesIn(at)
  const carriers = new Map<string, string[]>()
  for (const [name, board] of sound.boards) {
    const path = `boards.${name}`
    if (board.carries.length === 0)
      findings.push(
        report.state("board-empty", {
          severity: "red",
          title: `The board ${quote(name)} carries nothing.`,
          where: where(tree, `${path}.carries`),
        }),
      )
    board.carries.forEach((what, k) => {
      carriers.set(what, [...(carriers.get(what) ?? []), name])
      const here = where(tree, `${path}.carries.${k}`)
      if ((stations as readonly string[]).includes(what)) {
        if (board["room-for"] === "leds-only")
          findings.push(
            report.state("board-room", {
              severity: "red",
              title: `The board ${quote(name)} has room for LEDs only and cannot carry the ${what}.`,
              where: here,
            }),
          )
        return
      }
      const group = sound.groups.get(what)
      const lost = board.behind !== undefined && !names.faces.includes(board.behind)
      if (group && names.faces.includes(group.face) && !lost && board.behind !== group.face)
        findings.push(
          report.state("board-face", {
            severity: "red",
            title: `${quote(what)} shines through ${quote(group.face)}, but the board ${quote(name)} lies ${board.behind === undefined ? "behind no face" : `behind ${quote(board.behind)}`}.`,
            where: here,
          }),
        )
    })
  }
  for (const [what, boards] of carriers) {
    if (boards.length < 2) continue
    const second = boards[1]!
    const k = sound.boards.get(second)!.carries.lastIndexOf(what)
    findings.push(
      report.state("board-twice", {
        severity: "red",
        title:
          boards[0] === second
            ? `The board ${quote(second)} names ${quote(what)} twice.`
            : `${quote(what)} is carried by ${boards.map(quote).join(" and ")}.`,
        where: where(tree, `boards.${second}.carries.${k}`),
      }),
    )
  }
  // A board that could not be read may carry anything.
  if (sound.boards.size !== names.boards.length) return
  for (const name of names.groups)
    if (!carriers.has(name))
      findings.push(
        report.state("board-missing", {
          severity: "red",
          title: `No board carries the group ${quote(name)}.`,
          where: where(tree, `groups.${name}`, "key"),
        }),
      )
  for (const [i, line] of sound.programme) {
    const absent = stations.filter((s) => !carriers.has(s))
    if (!line.sweep || absent.length === 0) continue
    findings.push(
      report.state("sweep-controller", {
        severity: "red",
        title: `The sweep of ${quote(line.light)} needs a controller, but no board carries: ${absent.join(", ")}.`,
        where: where(tree, `programme.${i}.sweep`, "key"),
      }),
    )
    break
  }
}
