// Said once, to someone who opens the page for the first time.

import { useState } from "react"
import { Button } from "react-aria-components"
import { page, usePage } from "../store.ts"
import { walk } from "./walk-step.ts"

const key = "lampwright.been-here"

const been = (): boolean => {
  try {
    return localStorage.getItem(key) !== null
  } catch {
    // Where nothing is kept every visit would be the first.
    return true
  }
}

export function FirstVisit() {
  const untouched = usePage((s) => s.isDemo && s.history.past.every((step) => step.was.text === s.draft))
  const [known, setKnown] = useState(been)
  if (known || !untouched) return null
  const leave = () => {
    try {
      localStorage.setItem(key, "yes")
    } catch {
      // Asked again next time.
    }
    setKnown(true)
  }
  const begin = async () => {
    const { newLamp } = await import("./examples.ts")
    leave()
    page.getState().begin(newLamp, "a new lamp")
    page.setState({ leftTab: "start" })
    walk.setState({ step: "lamp" })
  }
  return (
    <p className="first-visit">
      This is the Tern, an example. Seven short steps make a small lamp of your own, from a drawing to a pack.{" "}
      <Button className="inline" onPress={() => void begin()}>
        Make a first lamp
      </Button>{" "}
      <Button className="inline" onPress={leave}>
        Look round first
      </Button>
    </p>
  )
}
