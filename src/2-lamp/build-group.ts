// A group's LEDs in their order: which holes are its own, and who comes first.

import { onAxis } from "../0-ground/photometry/intensity-table.ts"
import { readIes } from "../0-ground/photometry/read-ies.ts"
import { nearMatch } from "../0-ground/text/near-match.ts"
import { showNumber } from "../0-ground/text/show.ts"
import type { Aim, Bin, Group, Hole } from "./artefact.ts"
import type { Built, FindDrawing } from "./build-face.ts"
import { type Located, where } from "./check-shape.ts"
import { lampFindings as report } from "./lamp-findings.ts"
import type { GroupShape } from "./lamp-schema.ts"
import { orderOf } from "./order-leds.ts"
import { quote } from "./read-quantity.ts"

export function buildGroup(
  name: string,
  shape: GroupShape,
  built: Built,
  at: Located,
  find: FindDrawing,
): Group | undefined {
  const { tree, findings } = at
  const { face } = built
  const path = `groups.${name}`
  const chosen: Hole[] = []
  let sound = true
  if (shape.holes === undefined) chosen.push(...face.ledHoles)
  else
    shape.holes.forEach((id, k) => {
      const hole = face.ledHoles.find((h) => h.id === id)
      const twice = hole !== undefined && chosen.includes(hole)
      if (hole !== undefined && !twice) {
        chosen.push(hole)
        return
      }
      sound = false
      const ids = face.ledHoles.map((h) => h.id)
      const near = nearMatch(id, ids)
      findings.push(
        twice
          ? report.state("duplicate-name", {
              severity: "red",
              title: `The hole ${quote(id)} stands twice in ${quote(name)}.`,
              where: where(tree, `${path}.holes.${k}`),
            })
          : report.state("unknown-reference", {
              severity: "red",
              title: `The face ${quote(face.name)} has no LED hole called ${quote(id)}.`,
              where: where(tree, `${path}.holes.${k}`),
              advice: `${near === undefined ? "" : `Did you mean ${near}? `}Known: ${ids.slice(0, 40).join(", ")}.`,
            }),
      )
    })
  if (!sound) return undefined
  if (chosen.length === 0) {
    findings.push(
      report.state("group-empty", {
        severity: "red",
        title: `The face ${quote(face.name)} has no LED holes of ${face.hole} mm for ${quote(name)}.`,
        where: where(tree, path, "key"),
        ...(face.screwHoles.length === 0 ? {} : { advice: otherCircles(face.screwHoles) }),
      }),
    )
    return undefined
  }
  const order = orderOf(name, shape, chosen, built, at, find)
  if (order === undefined) return undefined
  // Equal places keep the drawing's order.
  const sorted = chosen
    .map((hole, i) => ({ hole, i, rank: Math.round(order.rank(hole) * 1e6) }))
    .sort((a, b) => a.rank - b.rank || a.i - b.i)
  const bin = binOf(shape.bin, path, at)
  const aims = aimsOf(shape, chosen, path, at)
  const beam = shape.beam === undefined ? undefined : beamOf(shape.beam, `${path}.beam`, at, find)
  checkPlace(name, shape, path, at)
  if (bin === "bad" || aims === "bad" || beam === "bad") return undefined
  return {
    name,
    face: face.name,
    led: shape.led,
    functions: [...new Set(shape.functions)],
    order: order.name,
    leds: sorted.map(({ hole }, i) => {
      const aim = aims.get(hole.id) ?? shape.aim
      return { ref: `${name}-${i + 1}`, hole, ...(aim && (aim.right !== 0 || aim.up !== 0) ? { aim } : {}) }
    }),
    ...(shape.current === undefined ? {} : { current: shape.current }),
    ...(bin ? { bin } : {}),
    ...(beam ? { beam } : {}),
    ...(shape.lens === undefined ? {} : { lens: shape.lens }),
    ...(shape.place === undefined ? {} : { place: shape.place }),
    ...(shape["dipped-beam"] === undefined ? {} : { dippedBeam: shape["dipped-beam"] }),
    ...(shape.plate === undefined ? {} : { plate: shape.plate }),
  }
}

/** What is said of the group's place but bears on none of its functions. */
function checkPlace(name: string, shape: GroupShape, path: string, { tree, findings }: Located): void {
  const silent = (key: string, why: string, advice: string) =>
    findings.push(
      report.state("no-effect", {
        severity: "amber",
        title: `${quote(key)} has no effect on ${quote(name)}: ${why}.`,
        where: where(tree, `${path}.${key}`, "key"),
        advice,
      }),
    )
  if (shape.plate !== undefined && !shape.functions.includes("plate"))
    silent("plate", "its functions hold no plate light", "Remove it, or add plate to the functions.")
  if (
    shape["dipped-beam"] !== undefined &&
    !(shape.functions.includes("direction-indicator") && shape.place === "front")
  )
    silent(
      "dipped-beam",
      "it is no front indicator",
      "Remove it, or say place: front for a group with direction-indicator.",
    )
}

/** The packet's own figures; "bad" when an edge stands on the wrong side. */
function binOf(shape: GroupShape["bin"], path: string, at: Located): Bin | undefined | "bad" {
  if (!shape) return undefined
  let sound = true
  const edges = (
    key: "light" | "wavelength" | "colour-temperature",
    unit: string,
    name: keyof Bin = key as keyof Bin,
  ) => {
    const pair = shape[key]
    if (!pair) return {}
    const [low, high] = pair
    if (low > high) {
      sound = false
      at.findings.push(
        report.state("bin-order", {
          severity: "red",
          title: `${quote(`${path}.bin.${key}`)} runs from ${showNumber(low)} to ${showNumber(high)} ${unit}.`,
          where: where(at.tree, `${path}.bin.${key}`),
        }),
      )
    }
    return { [name]: { low, high } }
  }
  const bin: Bin = {
    ...edges("light", "cd"),
    ...edges("wavelength", "nm"),
    ...edges("colour-temperature", "K", "temperature"),
    ...(shape.beam === undefined ? {} : { beam: shape.beam }),
  }
  return sound ? bin : "bad"
}

/** Aims by hole; "bad" when one names a hole that is not the group's. */
function aimsOf(
  shape: GroupShape,
  chosen: readonly Hole[],
  path: string,
  { tree, findings }: Located,
): ReadonlyMap<string, Aim> | "bad" {
  const out = new Map<string, Aim>()
  let sound = true
  for (const [id, aim] of Object.entries(shape.aims ?? {})) {
    out.set(id, aim)
    if (chosen.some((h) => h.id === id)) continue
    sound = false
    const ids = chosen.map((h) => h.id)
    const near = nearMatch(id, ids)
    findings.push(
      report.state("unknown-reference", {
        severity: "red",
        title: `The group has no LED hole called ${quote(id)}.`,
        where: where(tree, `${path}.aims.${id}`, "key"),
        advice: `${near === undefined ? "" : `Did you mean ${near}? `}Known: ${ids.slice(0, 40).join(", ")}.`,
      }),
    )
  }
  return sound ? out : "bad"
}

/** The photometric file of a group's LEDs. */
function beamOf(
  file: string,
  path: string,
  { tree, findings }: Located,
  find: FindDrawing,
): Group["beam"] | "bad" {
  const here = where(tree, path)
  const refuse = (title: string, line?: number, advice?: string): "bad" => {
    findings.push(
      report.state("beam-file", {
        severity: "red",
        title,
        where: line === undefined ? here : { text: `${file}, line ${line}`, path, file, line, column: 1 },
        ...(advice === undefined ? {} : { advice }),
      }),
    )
    return "bad"
  }
  if (/^([a-z][a-z+.-]*:|[\\/])|(^|[\\/])\.\.([\\/]|$)|\0/i.test(file))
    return refuse(
      `The photometric file ${quote(file)} lies outside the description's folder.`,
      undefined,
      "Put the file in the same folder as the description.",
    )
  const text = find(file)
  if (text === undefined)
    return refuse(
      `There is no photometric file ${quote(file)} beside the description.`,
      undefined,
      "Put the file in the same folder as the description and check its name.",
    )
  const read = readIes(text)
  if ("fault" in read) return refuse(`${file}: ${read.fault.says}.`, read.fault.line)
  if (!(onAxis(read.file.table) > 0))
    return refuse(
      `${file}: the LED gives no light on its axis, so its strength cannot be tied to the bin.`,
      1,
    )
  return { file, table: read.file.table }
}

/** Which circles were drawn instead: the face's hole diameter is often just another one. */
function otherCircles(holes: readonly Hole[]): string {
  const count = new Map<string, number>()
  for (const { diameter } of holes) {
    const shown = showNumber(diameter)
    count.set(shown, (count.get(shown) ?? 0) + 1)
  }
  const list = [...count].slice(0, 6).map(([d, n]) => `${n} of ${d} mm`)
  return `The face has circles ${list.join(", ")}: set its hole to the one that is meant.`
}
