// Runs the design with progress on the terminal, stage times, and a way out (Ctrl-C leaves nothing half-made).

import type { Crew } from "../../0-ground/crew.ts"
import { type Designed, designLamp } from "../../design-lamp.ts"
import { nodeCrew } from "./crew.ts"
import type { LampSource } from "./files.ts"

export interface Run {
  readonly design: Designed
  /** Milliseconds by stage, in order. */
  readonly times: Readonly<Record<string, number>>
}

/** `first`: with the first whole boards, without the search for better ones. */
export function runDesign(source: LampSource, first = false): Run {
  const crew = nodeCrew(new URL("./crew-hand.js", import.meta.url))
  try {
    return pump(source, crew, first)
  } finally {
    crew?.dismiss()
  }
}

function pump({ text, drawing }: LampSource, crew: Crew | undefined, first: boolean): Run {
  const times: Record<string, number> = {}
  const show = process.stderr.isTTY === true
  const work = designLamp(text, drawing, {
    strict: true,
    crew,
    ...(first ? { onFirst: () => "enough" as const } : {}),
  })
  let stage = ""
  let since = performance.now()
  let shown = 0
  const close = () => {
    if (stage !== "") times[stage] = Math.round((times[stage] ?? 0) + performance.now() - since)
    since = performance.now()
  }
  for (;;) {
    const step = work.next()
    if (step.done) {
      close()
      if (show) process.stderr.write("\r\x1b[K")
      return { design: step.value, times }
    }
    if (step.value.stage !== stage) {
      close()
      stage = step.value.stage
      shown = 0
    }
    if (show && performance.now() - shown > 100) {
      shown = performance.now()
      const { done, note } = step.value
      process.stderr.write(`\r\x1b[K${stage} ${Math.round(done * 100)} %${note ? ` · ${note}` : ""}`)
    }
  }
}
