// What cutter, sheet and machine themselves allow: feeds the axes can follow, a spindle that turns so fast or slow,
// a sheet that lies flat. Once for the whole lamp.

import { type Figure, fact, measuredBy, result } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { described } from "../0-ground/source.ts"
import { showNumber } from "../0-ground/text/show.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import { cutFindings as report } from "./copper-findings.ts"
import type { CutterFigures } from "./cut-figures.ts"

export function judgeCutter(
  lamp: Lamp,
  given: CutterFigures,
): { readonly findings: readonly Finding[]; readonly figures: readonly Figure[] } {
  const { machine, engraver, mills } = lamp.cutter
  const { copperClad: clad } = lamp
  const findings: Finding[] = []
  const figures: Figure[] = []
  const where = (path: string) => ({ text: path, path })
  if (machine.greatestFeed !== undefined) {
    const feeds = [
      given.feeds.engrave,
      given.feeds.drill,
      given.feeds.outline,
      ...(mills ?? []).map((m, i) =>
        fact(
          `description.cutter.mills.${i}.feed`,
          `feed of the ${showNumber(m.diameter)} mm end mill`,
          m.feed,
          "mm/min",
          described(`cutter.mills.${i}.feed`),
        ),
      ),
    ]
    const fastest = feeds.reduce((a, f) => (f.value > a.value ? f : a))
    figures.push(fastest)
    findings.push(
      report.judge("feed-of-machine", {
        title: `fastest feed asked for (${fastest.name}) against what the machine follows`,
        where: where("cutter.machine.greatest-feed"),
        ...measuredBy(fastest),
        limit: { kind: "at most", value: machine.greatestFeed, unit: "mm/min" },
        atWorst: "amber",
        amberBelow: 0,
      }),
    )
  }
  if (machine.spindle) {
    const { lowest, highest } = machine.spindle
    const speed = fact(
      "description.cutter.engraver.spindle",
      "spindle speed",
      engraver.spindle,
      "/min",
      described("cutter.engraver.spindle"),
    )
    const fast = engraver.spindle > highest || highest - engraver.spindle < engraver.spindle - lowest
    figures.push(speed)
    findings.push(
      report.judge("speed-of-spindle", {
        title: `spindle speed asked for, of ${showNumber(lowest, 5)} to ${showNumber(highest, 5)} /min that it can turn`,
        where: where("cutter.engraver.spindle"),
        ...measuredBy(speed),
        limit: { kind: fast ? "at most" : "at least", value: fast ? highest : lowest, unit: "/min" },
        atWorst: "amber",
        amberBelow: 0,
      }),
    )
  }
  if (clad.flatness !== undefined) {
    const side = Math.max(clad.sheet.w, clad.sheet.h)
    const bow = result(
      "cut.loose-bow",
      "bow of the loose sheet over its long side",
      clad.flatness * side,
      "mm",
      "bow as a share of length · long side of the sheet",
      [
        fact(
          "description.copper-clad.flatness",
          "bow as a share of length",
          clad.flatness,
          "",
          described("copper-clad.flatness"),
        ),
        fact(
          "description.copper-clad.sheet.long",
          "long side of the sheet",
          side,
          "mm",
          described("copper-clad.sheet"),
        ),
      ],
    )
    figures.push(bow)
    findings.push(
      report.judge("loose-bow", {
        title: "bow of the loose sheet against the flatness counted with",
        where: where("copper-clad.flatness"),
        ...measuredBy(bow),
        limit: { kind: "at most", value: machine.flatness, unit: "mm" },
        atWorst: "amber",
        amberBelow: 0,
      }),
    )
  }
  return { findings, figures }
}
