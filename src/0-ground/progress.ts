// Long work is a generator: it yields progress and returns its result. Whoever runs it decides when to stop
// and when to let a screen breathe; the work itself knows neither clocks nor events.

export interface Progress {
  readonly stage: string
  /** 0…1 within the stage. */
  readonly done: number
  readonly note?: string
}

export type Work<T> = Generator<Progress, T, void>

/** Runs work to its end in one go. */
export function finish<T>(work: Work<T>, onProgress?: (p: Progress) => void): T {
  for (;;) {
    const step = work.next()
    if (step.done) return step.value
    onProgress?.(step.value)
  }
}
