// Tells for each group which way of driving it was taken, what it scored, and why every other way lost.

import { type Figure, fact, measuredBy } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import type { Source } from "../0-ground/source.ts"
import { showNumber } from "../0-ground/text/show.ts"
import type { Candidate } from "./artefact.ts"
import { type Figures, limitFigures, solvedAs, workedOut } from "./drive-figures.ts"
import { report } from "./drive-findings.ts"
import { groupPlace, type MadeCircuit } from "./made-circuit.ts"
import { points } from "./score-candidate.ts"

const scale: Source = {
  document: "chosen by this program",
  place: "points lost: what a builder pays for, weighed against each other",
  known: "chosen",
}

export function judgeCandidates(
  made: MadeCircuit,
  candidates: readonly Candidate[],
  figures: Figures,
): Finding[] {
  return made.groups.flatMap((group) => {
    const { name } = group.plan.group
    const mine = candidates.filter((c) => c.group === name)
    const taken = mine.find((c) => c.taken)
    if (!taken) return []
    mine.forEach((c, k) => {
      scoreFigure(`drive.${name}.way-${k + 1}`, c, figures)
    })
    const figure = figures.get(`drive.${name}.way-${mine.indexOf(taken) + 1}`)!
    const others = mine.filter((c) => c !== taken)
    const rival = others.find((c) => c.fails.length === 0)
    const held = group.pinned.way !== undefined || group.pinned.inSeries !== undefined
    const wrong = group.pinned.way !== undefined && group.pinned.way !== taken.kind
    const told = others.map((c) => `${c.label}: ${c.why}`).join(". ")
    const worse = rival !== undefined && (rival.score < taken.score || taken.fails.length > 0)
    return [
      report.state("way", {
        severity: wrong || taken.fails.length > 0 || (held && worse) ? "amber" : "green",
        title: `${name}: ${taken.label}, ${showNumber(taken.score)} points lost, ${taken.why}${
          wrong ? `; ${group.pinned.way} cannot do what its programme asks` : ""
        }${rival ? `; next ${rival.label} with ${showNumber(rival.score)}` : ""}`,
        where: groupPlace(made, group),
        ...measuredBy(figure),
        ...(others.length > 0 ? { advice: `What lost: ${told}.` } : {}),
        source: scale,
      }),
    ]
  })
}

function scoreFigure(id: string, c: Candidate, figures: Figures): Figure {
  const conditions = [figures.supply("lowest"), figures.supply("usual"), figures.supply("highest")]
  const ratio = c.ratio
  return figures.result(
    id,
    `points lost by ${c.label} in ${c.group}${c.fails.length > 0 ? ` (${c.fails.join("; ")})` : ""}`,
    c.score,
    "",
    `${points.dim} × ln(1 ÷ share left at the lowest supply) + greatest current ÷ limit + ${points.spread} × ln(greatest ÷ least ratio of the levels) + ${points.heat} × heat in W + ${points.part} × parts + ${points.area} × cm²${c.missed === undefined ? "" : ` + ${points.yield} × share of lamps by lot that miss + ${points.pulse} × greatest share of what is borne in a pulse`}${c.kind === "pwm" && ratio ? ` + ${points.silent} as both levels look alike with the controller dead` : ""}`,
    [
      solvedAs(
        `${id}.weakest`,
        "share of the usual current left at the lowest supply",
        c.weakestShare * 100,
        "%",
        conditions,
      ),
      solvedAs(`${id}.strongest`, "greatest LED current", c.strongest * 1000, "mA", conditions),
      limitFigures.ledShare,
      ...(ratio
        ? [
            solvedAs(`${id}.ratio-least`, "brighter against lower level, least", ratio.least, "", conditions),
            solvedAs(
              `${id}.ratio-greatest`,
              "brighter against lower level, greatest",
              ratio.greatest,
              "",
              conditions,
            ),
          ]
        : []),
      solvedAs(`${id}.heat`, "heat beside the LEDs", c.heat * 1000, "mW", conditions),
      fact(`${id}.parts`, "parts beside the LEDs", c.parts, "", counted),
      ...(c.missed === undefined || !c.pulse
        ? []
        : [
            solvedAs(`${id}.missed`, "lamps by lot that miss a limit", c.missed * 100, "%", conditions),
            solvedAs(
              `${id}.pulse`,
              `greatest share of what is borne in a pulse: ${c.pulse.worst}`,
              c.pulse.share * 100,
              "%",
              [figures.supply("usual")],
            ),
          ]),
      workedOut(`${id}.area`, "board under them", c.area / 100, "cm²", "sum of the parts' bodies", [
        fact(`${id}.parts`, "parts beside the LEDs", c.parts, "", counted),
      ]),
    ],
  )
}

const counted: Source = { document: "counted in the candidate's design", known: "computed" }
