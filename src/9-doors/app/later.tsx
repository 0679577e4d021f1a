// What is not seen at first is loaded when it is first shown, or before, once the lamp stands on the bench. Loaded once,
// it is drawn at once like everything else.

import { type ComponentType, useEffect, useState } from "react"

const comings: (() => Promise<unknown>)[] = []

export function later<P extends object>(load: () => Promise<ComponentType<P>>): ComponentType<P> {
  let known: ComponentType<P> | undefined
  let coming: Promise<void> | undefined
  const come = () => {
    coming ??= load().then(
      (drawn) => {
        known = drawn
      },
      (error: unknown) => {
        // The server may be back when it is asked for again.
        coming = undefined
        throw error
      },
    )
    return coming
  }
  comings.push(come)
  return function Later(props: P) {
    const [failed, setFailed] = useState<unknown>()
    const [, setCame] = useState(known !== undefined)
    useEffect(() => {
      if (known) return
      let gone = false
      come().then(
        () => gone || setCame(true),
        (error: unknown) => gone || setFailed(error),
      )
      return () => {
        gone = true
      }
    }, [])
    if (failed !== undefined) throw failed
    const Known = known
    return Known ? (
      <Known {...props} />
    ) : (
      <p className="view-words" role="status">
        Loading…
      </p>
    )
  }
}

let rest: Promise<void> | undefined

/** Loads everything that may be shown, one after the other, so that nothing waits for it later. */
export function loadTheRest(): Promise<void> {
  rest ??= (async () => {
    for (const come of comings) await come().catch(() => undefined)
  })()
  return rest
}
