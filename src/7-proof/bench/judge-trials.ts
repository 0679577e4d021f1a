// Claims about what is left when things go wrong.

import { fact, measuredBy } from "../../0-ground/figure.ts"
import type { Finding } from "../../0-ground/finding.ts"
import { nothingTold, type Told } from "../told.ts"
import { bench as report } from "./bench-findings.ts"
import { seenIn } from "./seen.ts"
import type { Trial } from "./try-damage.ts"

export function judgeTrials(
  code: "damaged-table" | "after-hang" | "after-reset",
  trials: readonly Trial[],
  limit: number,
  title: string,
): Told {
  if (trials.length === 0) return nothingTold()
  const worst = trials.reduce((a, b) => (b.dark > a.dark ? b : a))
  const count = new Set(trials.map((t) => t.what)).size
  const dark = fact(
    `bench.${code}`,
    `${title.toLowerCase()}: longest dark time of a group while its wire is live`,
    1000 * worst.dark,
    "ms",
    seenIn(`worst of ${count} trials: ${worst.what}, group ${worst.group}`),
  )
  const finding = report.judge(code, {
    title: `${title}: longest dark time while the wire is live (${count} trials)`,
    where: { text: `group ${worst.group}`, group: worst.group },
    ...measuredBy(dark),
    limit: { value: 1000 * limit, unit: "ms", kind: "at most" },
    corner: worst.what,
  })
  return { findings: [finding], figures: [dark] }
}

export function judgeEmptyChip(dark: readonly string[]): Finding {
  return report.judge("dead-controller", {
    title:
      dark.length > 0
        ? `Dark with an empty controller: ${dark.join(", ")}`
        : "With an empty controller every LED lights when its wire is live",
    where: { text: dark[0] ?? "all switched LEDs" },
    measured: { value: dark.length, unit: "" },
    limit: { value: 0, unit: "", kind: "exactly" },
  })
}
