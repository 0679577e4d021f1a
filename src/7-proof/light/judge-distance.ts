// How far a measurement from the usual test distance differs from the intensity, which is defined from far away.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import { practice, type Source } from "../../0-ground/source.ts"
import { unGrid } from "../../1-stock/lighting-rules.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import { nothingTold, readOff, type Told } from "../told.ts"
import { directionWords } from "./angle-light.ts"
import { asMeasured } from "./as-measured.ts"
import type { FunctionLight } from "./function-light.ts"
import { light } from "./light-findings.ts"
import { whereOf } from "./rules-for.ts"

/** Metres; the least that is asked, and what laboratories have room for. */
const testDistance = 3
const sources: Readonly<Record<Lamp["vehicle"]["rules"], Source>> = {
  "us-motorcycle": {
    document: "SAE J585:2000 §5.1.5, quoted",
    place: "test distance of at least 3 m",
    known: "read",
  },
  "un-l": {
    document: "UN R50, R148",
    place: "test procedure: so far off that the law of inverse squares holds; 3 m taken",
    known: "memory",
    confidence: "M",
  },
  "un-car": {
    document: "UN R6, R7, R148",
    place: "test procedure: so far off that the law of inverse squares holds; 3 m taken",
    known: "memory",
    confidence: "M",
  },
}
/** Percent; a tenth of what many LED bins span. */
const most = 5

export function judgeDistance(lamp: Lamp, l: FunctionLight): Told {
  const told = nothingTold()
  if (l.function === "plate" || l.group.leds.length === 0 || !(l.strength.usual.value > 0)) return told
  const off = (metres: number, h: number, v: number) => {
    const far = l.strength.usual.value * l.share.usual(h, v)
    return far > 0 ? 100 * (asMeasured(l, l.perLed.usual, metres, h, v) / far - 1) : 0
  }
  const worstAt = (metres: number) =>
    unGrid
      .map((p) => ({ p, off: off(metres, p.h, p.v) }))
      .reduce((a, b) => (Math.abs(b.off) > Math.abs(a.off) + 1e-9 ? b : a))
  const { p, off: worst } = worstAt(testDistance)
  let enough = testDistance
  while (enough < 100 && Math.abs(worstAt(enough).off) > 1) enough += 0.5
  const id = `light.${l.group.name}.${l.function}.test-distance`
  const xs = l.group.leds.map((x) => x.hole.x)
  const ys = l.group.leds.map((x) => x.hole.y)
  const size: Figure = fact(
    `${id}.size`,
    `LEDs of ${l.group.name} from end to end`,
    Math.hypot(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys)),
    "mm",
    readOff(`the drawing of face ${l.group.face}`, "box round the LED holes, corner to corner"),
  )
  const figure = result(
    id,
    `${l.group.name} as ${l.function} measured from ${testDistance} m against from far away, towards ${directionWords(p, l)}`,
    Math.abs(worst),
    "%",
    "|illuminance × distance² ÷ intensity − 1|; illuminance: sum over the LEDs of light towards the photometer from the LED's own place × cosine at the photometer ÷ distance²",
    [
      fact("light.test-distance", "test distance", testDistance, "m", sources[lamp.vehicle.rules]),
      size,
      l.beam,
    ],
  )
  told.figures.push(figure)
  told.findings.push(
    light.judge("test-distance", {
      title: `Measured from ${testDistance} m, ${l.group.name} as ${l.function} seems ${worst < 0 ? "dimmer" : "brighter"} by this, towards ${directionWords(p, l)}`,
      where: whereOf(l),
      ...measuredBy(figure),
      limit: { value: most, unit: "%", kind: "at most" },
      amberBelow: 0,
      atWorst: "amber",
      source: practice(`${most} % is well below what bins and meters differ by: common practice, no source`),
      advice:
        enough < 100
          ? `From ${enough} m on it differs by less than 1 %.`
          : "Even from 100 m it differs by more than 1 %.",
    }),
  )
  return told
}
