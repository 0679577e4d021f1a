// Claims about places: LEDs behind their holes, lands under their packages, the router round the edge.

import { fact, measuredBy, result } from "../../0-ground/figure.ts"
import { practice } from "../../0-ground/source.ts"
import type { PackageType } from "../../1-stock/artefact.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import type { CutterProgram } from "../../6-copper/artefact.ts"
import { proof } from "../proof-findings.ts"
import { measuredOn, nothingTold, readOff, type Told } from "../told.ts"
import { spot } from "./board-place.ts"
import { checkOutline } from "./check-outline.ts"
import { checkLands, checkLedPlaces, type LedPlaces, type Misplaced } from "./check-places.ts"
import type { ProgramReading } from "./read-cut-program.ts"
import type { Hole } from "./simulate-cut.ts"

/** How far an LED or a land may be from its place, mm. */
const allowed = 0.05
/** Tabs that hold a board. */
const enoughTabs = 2

export function judgePlaces(
  lamp: Lamp,
  board: Board,
  holes: readonly Hole[],
  packages: (name: string) => PackageType | undefined,
): Told {
  const told = nothingTold()
  const leds = checkLedPlaces(lamp, board, holes, allowed)
  if (leds.worst) judgeLeds(board, leds, leds.worst, told)
  let sound = 0
  for (const part of board.parts) {
    const type = packages(part.package)
    if (!type) continue
    const place = checkLands(board, part, type)
    if (place.off <= allowed) {
      sound++
      continue
    }
    const known = Number.isFinite(place.off)
    const off = fact(
      `proof.${board.name}.${part.ref.toLowerCase()}.off-package`,
      `lands of ${part.ref} off its package`,
      known ? place.off : 0,
      "mm",
      measuredOn(`lands of board ${board.name}`, `against package ${part.package}, mirrored and turned`),
    )
    if (known) told.figures.push(off)
    told.findings.push(
      proof.state("package-mirrored", {
        severity: "red",
        title: place.mirrored
          ? `${part.ref} on ${board.name} is mirrored: its pins fit from the copper side only`
          : `${part.ref} on ${board.name} has its lands ${known ? `${place.off.toFixed(2)} mm` : "or pins"} off its package`,
        where: {
          text: `${board.name}, ${part.ref}`,
          board: board.name,
          part: part.ref,
          x: part.x,
          y: part.y,
          frame: "board",
        },
        ...(known
          ? { ...measuredBy(off), limit: { value: allowed, unit: "mm", kind: "at most" as const } }
          : {}),
      }),
    )
  }
  if (sound > 0 && sound === board.parts.filter((p) => packages(p.package)).length) {
    told.findings.push(
      proof.state("package-mirrored", {
        severity: "green",
        title: `${board.name}: lands of all ${sound} parts lie as the package looks from the copper side`,
        where: { text: board.name, board: board.name },
        measured: { value: 0, unit: "" },
        limit: { value: 0, unit: "", kind: "exactly" },
        margin: 0,
        advice: "Nothing to do.",
      }),
    )
  }
  return told
}

function judgeLeds(board: Board, leds: LedPlaces, worst: Misplaced, told: Told): void {
  const where = {
    text: `${board.name}, ${worst.ref}`,
    board: board.name,
    part: worst.ref,
    x: worst.x,
    y: worst.y,
    frame: "board" as const,
  }
  const mirrored = `${board.name} is mirrored: ${leds.wrong.length} LEDs stand on the wrong side`
  if (!worst.drilled) {
    told.findings.push(
      proof.state("led-place", {
        severity: "red",
        title: leds.mirrored ? mirrored : `${worst.ref} on ${board.name} has no pair of holes for its leads`,
        where,
      }),
    )
    return
  }
  const id = `proof.${board.name}.led-place`
  const face = readOff(`the drawing of face ${board.face}`, `hole of ${worst.ref}`)
  const pose = readOff(`board ${board.name}`, "its place behind the face")
  const drilled = measuredOn(`drill programs of ${board.name}`, "middle between the two holes of the leads")
  const off = result(
    id,
    `${worst.ref} off its hole in the face`,
    // The programs are written to a tenth of a micrometre; rounded up, so that nothing passes by rounding.
    Math.ceil(worst.off * 1e4 - 1e-6) / 1e4,
    "mm",
    "√((drilled x − (board's origin x − face x))² + (drilled y − (face y − board's origin y))²): board x runs the other way than face x; rounded up to 0.0001 mm",
    [
      fact(`${id}.drilled-x`, "drilled x", worst.drilled.x, "mm", drilled),
      fact(`${id}.drilled-y`, "drilled y", worst.drilled.y, "mm", drilled),
      fact(`${id}.face-x`, "face x", board.pose.originX - worst.x, "mm", face),
      fact(`${id}.face-y`, "face y", worst.y + board.pose.originY, "mm", face),
      fact(`${id}.origin-x`, "board's origin x on the face", board.pose.originX, "mm", pose),
      fact(`${id}.origin-y`, "board's origin y on the face", board.pose.originY, "mm", pose),
    ],
  )
  told.figures.push(off)
  told.findings.push(
    proof.judge("led-place", {
      title: leds.mirrored
        ? mirrored
        : `Drilled LED places of ${board.name} against the face, worst of ${leds.checked}: ${worst.ref}`,
      where,
      ...measuredBy(off),
      limit: { value: allowed, unit: "mm", kind: "at most" },
      amberBelow: 0,
    }),
  )
}

export function judgeOutline(
  lamp: Lamp,
  board: Board,
  programs: readonly CutterProgram[],
  readings: ReadonlyMap<CutterProgram, ProgramReading>,
): Told {
  const told = nothingTold()
  const outline = programs.filter((p) => p.purpose === "outline")
  if (outline.length === 0) return told
  const moves = outline.flatMap((p) => readings.get(p)!.moves)
  const { file, toolDiameter } = outline[0]!
  const cut = checkOutline(board, moves, toolDiameter, lamp.copperClad.thickness)
  const red = (title: string, at: { readonly x: number; readonly y: number }) =>
    told.findings.push(
      proof.state("outline", { severity: "red", title, where: { ...spot(board, at.x, at.y), file } }),
    )
  if (cut.uncut > 1) red(`${cut.uncut.toFixed(1)} mm of ${board.name}'s edge are not cut`, cut.uncutAt)
  if (cut.eaten.length > 0)
    red(`the router cuts into ${board.name} at ${cut.eaten.length} places along its edge`, cut.eaten[0]!)
  if (told.findings.length > 0) return told
  const held = cut.tabCount >= enoughTabs
  const tabs = fact(
    `proof.${board.name}.tabs`,
    `tabs that hold ${board.name}`,
    cut.tabCount,
    "",
    measuredOn(file, "edge looked at every 0.2 mm, 0.15 mm outside: cut less deep than the board is thick"),
  )
  told.figures.push(tabs)
  told.findings.push(
    proof.state("outline", {
      severity: held ? "green" : "amber",
      title: held
        ? `${board.name} is cut all round and held by ${cut.tabCount} tabs, ${cut.tabs.toFixed(1)} mm of ${cut.edge.toFixed(0)} mm`
        : `${board.name} is cut all round with ${cut.tabCount} tabs`,
      where: { text: `${board.name}, outline`, board: board.name, file },
      ...measuredBy(tabs),
      limit: { value: enoughTabs, unit: "", kind: "at least" },
      margin: cut.tabCount / enoughTabs - 1,
      advice: held
        ? "Nothing to do."
        : "A board that comes loose under the router is thrown: tape it down or add tabs.",
      source: practice("two tabs or more hold a board: common practice, no source"),
    }),
  )
  return told
}
