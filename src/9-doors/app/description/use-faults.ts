// What the reader found in the text as it stands: faults beside the field they speak of.

import { useMemo } from "react"
import type { Finding } from "../../../0-ground/finding.ts"
import { isMade, usePage } from "../store.ts"

/** Reds and ambers of the description itself; empty while a newer text is still being read. */
export function useFaults(): readonly Finding[] {
  const unread = usePage((s) => s.unread)
  const findings = usePage((s) =>
    s.early?.text === s.draft ? s.early.findings : isMade(s) ? s.design?.findings : undefined,
  )
  return useMemo(
    () =>
      (unread.length > 0 ? unread : (findings ?? []).filter((f) => f.code.startsWith("lamp."))).filter(
        (f) => f.severity !== "green",
      ),
    [unread, findings],
  )
}

/** The worst that was found at a path, or also below it. */
export function faultAt(faults: readonly Finding[], path: string, below = false): Finding | undefined {
  const here = faults.filter(
    ({ where }) => where.path === path || (below && where.path?.startsWith(`${path}.`)),
  )
  return here.find((f) => f.severity === "red") ?? here[0]
}
