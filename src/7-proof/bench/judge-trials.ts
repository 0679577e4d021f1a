// Claims about what is left when things go wrong.

import type { Finding } from "../../0-ground/finding.ts"
import { bench as report } from "./bench-findings.ts"
import type { Trial } from "./try-damage.ts"

export function judgeTrials(
  code: "damaged-table" | "after-hang" | "after-reset",
  trials: readonly Trial[],
  limit: number,
  title: string,
): Finding[] {
  if (trials.length === 0) return []
  const worst = trials.reduce((a, b) => (b.dark > a.dark ? b : a))
  return [
    report.judge(code, {
      title: `${title}: longest dark time while the wire is live (${new Set(trials.map((t) => t.what)).size} trials)`,
      where: { text: `group ${worst.group}`, group: worst.group },
      measured: { value: 1000 * worst.dark, unit: "ms" },
      limit: { value: 1000 * limit, unit: "ms", kind: "at most" },
      corner: worst.what,
    }),
  ]
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
