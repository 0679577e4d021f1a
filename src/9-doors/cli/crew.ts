// Other hands for the command line: worker threads that do board jobs while this thread does its own.

import { availableParallelism } from "node:os"
import { MessageChannel, type MessagePort, receiveMessageOnPort, Worker } from "node:worker_threads"
import type { Answer, Crew } from "../../0-ground/crew.ts"

interface Hand {
  readonly worker: Worker
  readonly port: MessagePort
  /** It is given nothing before it has said that it is there. */
  state: "starting" | "free" | "busy" | "failed"
}

export interface NodeCrew extends Crew {
  /** Ends the threads; nothing may be given afterwards. */
  dismiss(): void
}

/**
 * One hand for each core but this thread's own, at most three; undefined on a single core.
 * `script` is the thread's program (crew-hand).
 */
export function nodeCrew(script: URL): NodeCrew | undefined {
  const count = Math.min(3, availableParallelism() - 1)
  if (count < 1) return undefined
  const hands: Hand[] = Array.from({ length: count }, () => {
    const { port1, port2 } = new MessageChannel()
    const worker = new Worker(script, { workerData: port2, transferList: [port2], stderr: true })
    const hand: Hand = { worker, port: port1, state: "starting" }
    worker.on("error", () => {
      hand.state = "failed"
    })
    worker.unref()
    port1.unref()
    return hand
  })
  const never = new Int32Array(new SharedArrayBuffer(4))
  return {
    give(job) {
      for (const h of hands) if (h.state === "starting" && receiveMessageOnPort(h.port)) h.state = "free"
      const hand = hands.find((h) => h.state === "free")
      if (!hand) return undefined
      hand.state = "busy"
      hand.port.postMessage(job)
      return answerOf(hand)
    },
    rest() {
      Atomics.wait(never, 0, 0, 1)
    },
    dismiss() {
      for (const { worker, port } of hands) {
        port.close()
        void worker.terminate()
      }
    },
  }
}

/** A thread that died cannot say so while this one never pauses; its silence is taken for loss after this long. */
const patience = 120_000

function answerOf(hand: Hand): Answer {
  const since = performance.now()
  return () => {
    const received = receiveMessageOnPort(hand.port)
    if (!received) {
      if (hand.state !== "failed" && performance.now() - since < patience) return undefined
      hand.state = "failed"
      return "lost"
    }
    hand.state = "free"
    const { result, failed } = received.message as { result?: unknown; failed?: boolean }
    return failed ? "lost" : { result }
  }
}
