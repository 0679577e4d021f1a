// What each drawing in the page holds, looked at in the worker as drawings come and go.

import { useEffect, useState } from "react"
import type { SeenDrawing } from "../../../2-lamp/see-drawing.ts"
import { seeDrawing } from "../quick.ts"
import { usePage } from "../store.ts"

export type Seen = SeenDrawing & { readonly file: string }

export function useSeenDrawings(): readonly Seen[] {
  const drawings = usePage((s) => s.drawings)
  const [seen, setSeen] = useState<readonly Seen[]>([])
  useEffect(() => {
    let gone = false
    const names = Object.keys(drawings).filter((n) => /\.svg$/i.test(n))
    void Promise.all(names.map(async (file) => ({ file, ...(await seeDrawing(drawings[file] ?? "")) }))).then(
      (all) => {
        if (!gone) setSeen(all)
      },
    )
    return () => {
      gone = true
    }
  }, [drawings])
  return seen
}

/** The diameter that is most likely an LED hole: the most frequent one an LED body passes. */
export const usualHole = (circles: SeenDrawing["parts"][number]["circles"]): number =>
  (circles.find((c) => c.diameter >= 3 && c.diameter <= 6) ?? circles[0])?.diameter ?? 5.2
