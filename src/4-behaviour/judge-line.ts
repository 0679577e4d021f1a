// What is wrong with one line by itself: its times against the flasher, the rules and the table.

import { type Figure, measuredBy } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { FlasherTiming } from "./artefact.ts"
import type { LineFigures, SweepFigures } from "./behaviour-figures.ts"
import { judge, state } from "./behaviour-findings.ts"
import { shortestLegalOffMs, shortestLegalOnMs } from "./flasher-timing.ts"
import type { Line } from "./programme-line.ts"
import { floorCode, longestFadeMs, longestSweepMs } from "./table-layout.ts"
import { percent, round, whereOf } from "./where-line.ts"

/** Everything that can be judged about one line by itself. */
export function judgeLine(lamp: Lamp, timing: FlasherTiming, l: Line, figures: LineFigures): Finding[] {
  const { line, group, index } = l
  const out: Finding[] = []
  const at = (key: string) => whereOf(lamp, index, key, { group: group.name })
  const most = (
    code: Parameters<typeof judge>[0],
    key: string,
    title: string,
    figure: Figure,
    limit: number,
    more: object = {},
  ) =>
    out.push(
      judge(code, {
        title,
        where: at(key),
        ...measuredBy(figure),
        limit: { value: limit, unit: "ms", kind: "at most" },
        ...more,
      }),
    )
  const fall = 1000 * line.fall
  const { firstLight, fullLight, lightAfterFall } = figures
  const name = group.name
  most(
    "first-light",
    "when",
    `${name} begins to light within ${firstLight.value} ms of its wire`,
    firstLight,
    firstLightMs,
    // A filter that the description asks for is the builder's own choice, within bounds.
    slowWire(lamp, l) && firstLight.value <= 2 * firstLightMs ? { atWorst: "amber" } : {},
  )
  if (l.flashing.length > 0) {
    most(
      "light-after-fall",
      "fall",
      `${name} is dark ${lightAfterFall.value} ms after its wire fell`,
      lightAfterFall,
      Math.max(darkAfterMs, Math.min(50, fall + 12)),
      { atWorst: "amber" },
    )
    most("fall-in-gap", "fall", `${name} is dark before the next flash`, lightAfterFall, shortestLegalOffMs, {
      atWorst: "amber",
    })
  }
  if (fall > 0 && !staysFed(lamp, l))
    out.push(
      state("fall-unseen", {
        severity: fall >= noticedMs ? "amber" : "green",
        title: `${name} goes dark with its wire: a fall of ${round(fall)} ms cannot be seen`,
        where: at("fall"),
      }),
    )
  for (const key of ["rise", "fall"] as const)
    if (figures[key].value > longestFadeMs)
      most("fade-too-long", key, `The ${key} of ${name} is too long to be timed`, figures[key], longestFadeMs)
  if (line.level > 0 && line.level * 255 < floorCode)
    out.push(
      state("level-floor", {
        severity: "amber",
        title: `${name} at ${percent(line.level)} is shown at ${percent(floorCode / 255)}`,
        where: at("level"),
      }),
    )
  if (group.functions.includes("stop") && l.flashing.length === 0)
    most("stop-rise", "rise", `${name} reaches its stop level within ${fullLight.value} ms`, fullLight, 50, {
      atWorst: "amber",
    })
  if (figures.sweep && line.level > 0) judgeSweep(lamp, timing, l, figures.rise, figures.sweep, most, out)
  else if (l.flashing.length > 0)
    most(
      "rise-in-flash",
      "rise",
      `${name} is at its level within the shortest flash`,
      fullLight,
      shortestLegalOnMs,
    )
  return out
}

/** A settled wire is lit within the one and dark within the other, input network and filter included. */
const firstLightMs = 5
const darkAfterMs = 20

/** One of the line's wires has a filter of its own that is longer than the usual one. */
const slowWire = (lamp: Lamp, l: Line): boolean =>
  lamp.vehicle.wires.some((w) => l.line.when.includes(w.name) && (w.liveAfter ?? 0) > 0.003)

/** A fall this long would be missed by whoever asked for it. */
const noticedMs = 50

/** Some wire of the group other than those of the line may still feed it when the line ends. */
function staysFed(lamp: Lamp, l: Line): boolean {
  const feeds = lamp.programme.filter((o) => o.light === l.group.name).flatMap((o) => o.when)
  return l.line.when.length > 1 || feeds.some((w) => !l.line.when.includes(w))
}

type Most = (
  code: Parameters<typeof judge>[0],
  key: string,
  title: string,
  figure: Figure,
  limit: number,
  more?: object,
) => void

function judgeSweep(
  lamp: Lamp,
  timing: FlasherTiming,
  l: Line,
  rise: Figure,
  sweep: SweepFigures,
  most: Most,
  out: Finding[],
): void {
  const { line, group } = l
  const within = 1000 * line.sweep!.within
  const name = group.name
  if (Math.max(0, ...l.turns) === 0)
    out.push(
      state("nothing-to-sweep", {
        severity: "amber",
        title:
          l.channels.length === 1
            ? `${name} has a sweep but only one output`
            : `${name} has a sweep but all its LEDs light in one step`,
        where: whereOf(lamp, l.index, "sweep", { group: name }),
      }),
    )
  if (within > longestSweepMs)
    most(
      "sweep-too-long",
      "sweep",
      `The sweep of ${name} is too long to be timed`,
      sweep.within,
      longestSweepMs,
    )
  if (group.functions.includes("direction-indicator"))
    most(
      "sweep-end",
      "sweep",
      `The sweep of ${name} ends ${sweep.end.value} ms after its first light`,
      sweep.end,
      200,
      { atWorst: "amber", corner: "slowest clock" },
    )
  most("rise-in-sweep", "rise", `The rise of an LED of ${name} fits into its sweep`, rise, round(within), {
    amberBelow: 0,
  })
  if (l.flashing.length === 0) return
  if (!lamp.vehicle.wires.some((w) => w.role === "supply"))
    out.push(
      state("sweep-without-supply", {
        severity: "red",
        title: `${name} could never sweep: no supply wire keeps the controller alive between flashes`,
        where: whereOf(lamp, l.index, "sweep", { group: name }),
      }),
    )
  most(
    "sweep-in-flash",
    "sweep",
    `All of ${name} is lit before the shortest accepted flash ends`,
    sweep.inFlash,
    timing.shortestOnMs,
    { corner: `first flash, ${timing.shortestOnMs} ms on` },
  )
  if (!sweep.described || line.sweep!.share !== undefined) return
  const { onTime, room } = sweep.described
  if (room.value < within)
    out.push(
      state("sweep-shortened", {
        severity: "amber",
        title: `The sweep of ${name} will take ${room.value} ms instead of ${round(within)} ms: its wire is live for ${round(onTime.value)} ms`,
        where: whereOf(lamp, l.index, "sweep", { group: name }),
        ...measuredBy(room),
        limit: { value: round(within), unit: "ms", kind: "at least" },
        margin: room.value / within - 1,
      }),
    )
}
