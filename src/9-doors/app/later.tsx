// What is not seen at first is loaded when it is first shown, or before, once the lamp stands on the bench. Loaded once,
// it is drawn at once like everything else.

import { type ComponentType, type ReactNode, useEffect, useState } from "react"

interface Coming<P> {
  known: ComponentType<P> | undefined
  come(): Promise<void>
}

const comings: Pick<Coming<never>, "come">[] = []

export function later<P extends object>(load: () => Promise<ComponentType<P>>): (props: P) => ReactNode {
  let under: Promise<void> | undefined
  const of: Coming<P> = {
    known: undefined,
    come() {
      under ??= load().then(
        (drawn) => {
          of.known = drawn
        },
        (error: unknown) => {
          // The server may be back when it is asked for again.
          under = undefined
          throw error
        },
      )
      return under
    },
  }
  comings.push(of)
  return (props) => <Later of={of} props={props} />
}

function Later<P extends object>({ of, props }: { readonly of: Coming<P>; readonly props: P }) {
  const [failed, setFailed] = useState<unknown>()
  const [, setCame] = useState(of.known !== undefined)
  useEffect(() => {
    if (of.known) return
    let gone = false
    of.come().then(
      () => gone || setCame(true),
      (error: unknown) => gone || setFailed(error),
    )
    return () => {
      gone = true
    }
  }, [of])
  if (failed !== undefined) throw failed
  const Known = of.known
  if (Known) return <Known {...props} />
  return (
    <p className="view-words" role="status">
      Loading…
    </p>
  )
}

/** Loads everything that may be shown, one after the other, so that nothing waits for it later. */
export async function loadTheRest(): Promise<void> {
  for (const { come } of comings) await come().catch(() => undefined)
}
