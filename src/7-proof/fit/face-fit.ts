// LEDs against the holes of the face, and parts against the room behind it.

import { fact, measuredBy, result } from "../../0-ground/figure.ts"
import { described, practice } from "../../0-ground/source.ts"
import type { LedType } from "../../1-stock/artefact.ts"
import { leds } from "../../1-stock/leds.ts"
import type { Lamp, LedPlace } from "../../2-lamp/artefact.ts"
import type { Board, Boards } from "../../5-board/artefact.ts"
import { nothingTold, readOff, type Told, tell } from "../told.ts"
import { checkScrewHeads } from "./check-screw-heads.ts"
import { checkStack } from "./check-stack.ts"
import { higher, standing, widestHole } from "./check-standing.ts"
import { together } from "./check-together.ts"
import { checkWires } from "./check-wires.ts"
import { air, boardHole, faceHole, lead, leadBend } from "./fit-facts.ts"
import { fit } from "./fit-findings.ts"
import { widerHole } from "./wider-hole.ts"
import { type Entering, entersAll, holeFor } from "./yield.ts"

export function checkFit(lamp: Lamp, boards: Pick<Boards, "boards" | "harness">): Told {
  const told = nothingTold()
  for (const board of boards.boards) {
    for (const group of lamp.groups) {
      const led = leds.find(group.led)
      const here = group.leds.filter((l) => board.parts.some((p) => p.ref === l.ref))
      if (!led || here.length === 0 || board.face !== group.face) continue
      const holes = here.map((l) => l.hole.diameter)
      tell(
        told,
        chance(lamp, board, group.name, led, Math.min(...holes), here),
        standing(lamp, board, group.name, led, Math.max(...holes)),
      )
    }
    tell(
      told,
      partHeight(lamp, board),
      checkStack(lamp, board),
      checkScrewHeads(lamp, board),
      checkWires(lamp, boards, board),
    )
  }
  return told
}

function chance(
  lamp: Lamp,
  board: Board,
  group: string,
  led: LedType,
  hole: number,
  here: readonly LedPlace[],
): Told {
  const count = here.length
  const land = board.lands.find((l) => board.parts.some((p) => p.ref === l.ref && p.kind === "led"))
  const leadHole = land?.hole ?? 1
  const play = Math.max(0, (leadHole - lead.value * Math.SQRT2) / 2)
  const sigma = Math.hypot(faceHole.value, boardHole.value, leadBend.value)
  const e: Entering = {
    hole,
    body: led.body.diameter,
    bodyTolerance: led.body.diameterTolerance,
    play,
    sigma,
  }
  const p = entersAll(e, count)
  const better = holeFor(e, count, 0.99)
  const id = `fit.${board.name}.${group}.leds-enter`
  const figure = result(
    id,
    `chance that all ${count} LEDs of ${group} enter their holes`,
    p * 100,
    "%",
    "(mean over the body's spread of 1 − exp(−c² ÷ 2σ²))ⁿ with c = (hole − body) ÷ 2 + lead play; a body larger than its hole never enters",
    [
      fact(`${id}.hole`, "hole in the face", hole, "mm", described(`groups.${group}`)),
      ...led.facts.filter((f) => f.id.endsWith(".diameter")),
      fact(
        `${id}.spread`,
        "body spread, three standard deviations",
        led.body.diameterTolerance,
        "mm",
        led.source,
      ),
      faceHole,
      boardHole,
      leadBend,
      result(
        `${id}.play`,
        "play of a lead in its hole",
        play,
        "mm",
        "(hole − √2 × side of the lead) ÷ 2, at least 0",
        [
          fact(
            `${id}.lead-hole`,
            "hole of a lead",
            leadHole,
            "mm",
            readOff(`board ${board.name}`, land?.ref),
          ),
          lead,
        ],
      ),
      fact(`${id}.count`, "LEDs", count, "", described(`groups.${group}`)),
    ],
  )
  const finding = fit.judge("leds-enter", {
    title: `All ${count} LEDs of ${group} enter their ${hole} mm holes without filing`,
    where: { text: board.name, board: board.name, group, path: `faces.${board.face}.hole` },
    ...measuredBy(figure),
    limit: { value: 95, unit: "%", kind: "at least" },
    atWorst: "amber",
    amberBelow: 0,
    source: practice("drilling errors as stated: common practice, no source"),
    ...(p < 0.95 && Number.isFinite(better) && better <= widestHole(led) + 1e-9
      ? {
          advice: `Drill the LED holes of ${board.face} to ${better} mm: then all enter in 99 of 100 builds. Or put the LEDs into the face before soldering.`,
          remedies: widerHole(lamp, board.face ?? "", better, {
            value: 100 * entersAll({ ...e, hole: better }, count),
            unit: "%",
          }),
        }
      : {}),
  })
  const told: Told = { findings: [finding], figures: [figure] }
  tell(told, together(lamp, board, group, e, here, better, widestHole(led), figure))
  return told
}

function partHeight(lamp: Lamp, board: Board): Told {
  const request = lamp.boards.find((b) => b.name === board.name)
  const others = board.parts.filter((p) => p.kind !== "led")
  if (!request || others.length === 0) return nothingTold()
  const tallest = others.reduce((a, b) => (b.height > a.height ? b : a))
  const id = `fit.${board.name}.part-height`
  const needed = result(
    id,
    `room the parts of ${board.name} need`,
    tallest.height + air.value,
    "mm",
    "tallest part + air",
    [
      fact(
        `${id}.tallest`,
        `height of ${tallest.ref}`,
        tallest.height,
        "mm",
        readOff(`board ${board.name}`, `${tallest.ref}, package ${tallest.package}`),
      ),
      air,
    ],
  )
  const finding = fit.judge("part-height", {
    title: `Tallest part of ${board.name}, ${tallest.ref}, with ${air.value} mm of air`,
    where: {
      text: `${board.name}, ${tallest.ref}`,
      board: board.name,
      part: tallest.ref,
      x: tallest.x,
      y: tallest.y,
      frame: "board",
      path: `boards.${board.name}.height`,
    },
    ...measuredBy(needed),
    limit: { value: request.height, unit: "mm", kind: "at most" },
    amberBelow: 0,
    source: practice(`${air.value} mm of air: common practice, no source`),
    remedies: needed.value > request.height ? [higher(board.name, Math.ceil(2 * needed.value) / 2)] : [],
  })
  return { findings: [finding], figures: [needed] }
}
