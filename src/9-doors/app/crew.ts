// Other hands for the app: workers of the worker, one for each core left over, that do board jobs.

import type { Answer, Crew } from "../../0-ground/crew.ts"
import { giveUp } from "./give-up.ts"

interface Hand {
  readonly worker: Worker
  state: "free" | "busy" | "failed"
  /** The job under way. */
  job: { said?: { result?: unknown; failed?: boolean } } | undefined
}

export interface BrowserCrew extends Crew {
  /** Whether there was nothing left to do here but wait since this was asked last. */
  isResting(): boolean
  /** Resolves when a hand has said something. */
  heard(): Promise<void>
  /** Nobody waits any more for the jobs under way: their hands are free again in a moment. */
  giveUp(): void
}

/** Undefined where there is one core only, or where a worker may not start workers. */
export function browserCrew(): BrowserCrew | undefined {
  const count = Math.min(3, (navigator.hardwareConcurrency ?? 1) - 1)
  if (count < 1 || typeof Worker === "undefined") return undefined
  let resting = false
  let wake = () => {}
  const hands = Array.from({ length: count }, () => newHand(() => wake()))
  return {
    give(job) {
      const hand = hands.find((h) => h.state === "free")
      return hand && start(hand, job)
    },
    // Nothing to sleep on here: the pump that drives the work waits until a hand is heard.
    rest() {
      resting = hands.some((h) => h.state === "busy")
    },
    isResting() {
      const was = resting
      resting = false
      return was
    },
    heard: () =>
      new Promise((resolve) => {
        wake = resolve
      }),
    giveUp() {
      for (const { worker, state } of hands) if (state === "busy") worker.postMessage(giveUp)
    },
  }
}

function newHand(said: () => void): Hand {
  const worker = new Worker(new URL("./crew-hand.ts", import.meta.url), { type: "module" })
  const hand: Hand = { worker, state: "free", job: undefined }
  worker.onmessage = ({ data }) => {
    if (hand.job) hand.job.said = data
    hand.job = undefined
    hand.state = "free"
    said()
  }
  worker.onerror = () => {
    if (hand.job) hand.job.said = { failed: true }
    hand.state = "failed"
    said()
  }
  return hand
}

function start(hand: Hand, job: unknown): Answer {
  const mine: NonNullable<Hand["job"]> = {}
  hand.job = mine
  hand.state = "busy"
  hand.worker.postMessage(job)
  return () => {
    if (!mine.said) return undefined
    return mine.said.failed ? "lost" : { result: mine.said.result }
  }
}
