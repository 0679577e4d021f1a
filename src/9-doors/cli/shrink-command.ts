// lampwright shrink: how small a board can become, as a table of the sizes tried; the description of the smallest.

import { existsSync } from "node:fs"
import { resolve } from "node:path"
import type { Crew } from "../../0-ground/crew.ts"
import { readLamp } from "../../2-lamp/read-lamp.ts"
import { type Shrunk, shrinkBoard, type Tried } from "../../shrink-board.ts"
import { nodeCrew } from "./crew.ts"
import { type LampSource, readLampSource, writeText } from "./files.ts"
import { Refusal } from "./refusal.ts"

export interface ShrinkAsk {
  readonly links?: string
  readonly out?: string
}

/** Exit 0: a smaller board was found; 2: none smaller is made; 1: nothing could be tried. */
export async function shrinkOnTerminal(
  path: string,
  board: string | undefined,
  o: ShrinkAsk,
): Promise<number> {
  const mostLinks = o.links === undefined ? undefined : Number(o.links)
  if (mostLinks !== undefined && !(Number.isInteger(mostLinks) && mostLinks >= 0))
    throw new Refusal(`--links takes a number of wire links, such as 0 or 2, not ${o.links}`)
  if (o.out !== undefined && resolve(o.out) === resolve(path))
    throw new Refusal("--out names the description itself; it is kept as it is, name another file")
  if (o.out !== undefined && existsSync(o.out))
    throw new Refusal(`${o.out} is there already; name a new file`)
  const source = readLampSource(path)
  const name = board ?? onlyBoard(source)
  const crew = nodeCrew(new URL("./crew-hand.js", import.meta.url))
  try {
    const found = await pump(source, name, mostLinks, crew)
    if (found.refused !== undefined) throw new Refusal(found.refused)
    process.stdout.write(`${report(found).join("\n")}\n`)
    const [first] = found.tried
    if (!found.smallest || found.text === undefined || found.smallest === first) return 2
    if (o.out !== undefined) {
      writeText(o.out, found.text)
      process.stdout.write(`\nThe description with that outline: ${o.out}\n`)
    }
    return 0
  } finally {
    crew?.dismiss()
  }
}

function onlyBoard({ text, drawing }: LampSource): string {
  const boards = readLamp(text, drawing).lamp?.boards.filter((b) => b.outline !== undefined) ?? []
  if (boards.length === 1) return boards[0]!.name
  throw new Refusal(
    boards.length === 0
      ? "no board has an outline of its own; boards that follow their face keep its size"
      : `name the board: ${boards.map((b) => b.name).join(", ")}`,
  )
}

/** Runs the search; the first Ctrl-C ends it after the size at hand with the best so far, the second leaves at once. */
async function pump(
  { text, drawing }: LampSource,
  name: string,
  mostLinks: number | undefined,
  crew: Crew | undefined,
): Promise<Shrunk> {
  const show = process.stderr.isTTY === true
  let stopped = false
  const stop = () => {
    if (stopped) process.exit(130)
    stopped = true
    process.stderr.write(`${show ? "\r\x1b[K" : ""}Ending after this size; the best so far is proven then.\n`)
  }
  process.on("SIGINT", stop)
  const work = shrinkBoard(text, drawing, name, {
    crew,
    enough: () => stopped,
    onTried: (t) => process.stderr.write(`${show ? "\r\x1b[K" : ""}${line(t, false)}\n`),
    ...(mostLinks === undefined ? {} : { mostLinks }),
  })
  try {
    let shown = 0
    for (;;) {
      const next = work.next()
      if (next.done || performance.now() - shown > 100) {
        shown = performance.now()
        if (show)
          process.stderr.write(
            next.done
              ? "\r\x1b[K"
              : `\r\x1b[K${Math.round(next.value.done * 100)} % · ${next.value.note ?? next.value.stage}`,
          )
        // A key press is heard only when this thread lets go.
        await new Promise((go) => setImmediate(go))
      }
      if (next.done) return next.value
    }
  } finally {
    process.off("SIGINT", stop)
  }
}

function report({ board, tried, smallest, asFewLinks }: Shrunk): string[] {
  const first = tried[0]
  if (!first) return []
  const out = [
    `Board ${board}: sizes tried, largest first`,
    "",
    "    size, mm        area   links   grooves   under bodies",
    ...[...tried].sort((a, b) => b.area - a.area || b.w - a.w).map((t) => line(t, t === smallest)),
    "",
  ]
  if (first.outcome !== "made")
    return [...out, `It is not made at its described size: ${first.why ?? first.outcome}.`]
  if (!smallest || smallest === first) return [...out, "No smaller size was made: the described size stays."]
  const share = Math.round((100 * smallest.area) / first.area)
  out.push(
    `Smallest found: ${sizeOf(smallest)}, ${share} % of the described area, with the whole lamp proven again.`,
    `It costs ${difference((smallest.links ?? 0) - (first.links ?? 0))}; ` +
      `grooves ${Math.round(smallest.grooves ?? 0)} mm instead of ${Math.round(first.grooves ?? 0)} mm, ` +
      `${Math.round(smallest.bodies ?? 0)} % of it under bodies instead of ${Math.round(first.bodies ?? 0)} %: less room for the iron.`,
  )
  if (asFewLinks)
    out.push(
      `With no more wire links than now (${first.links}): ${sizeOf(asFewLinks)}, ${Math.round((100 * asFewLinks.area) / first.area)} %.`,
    )
  return [...out, "It is the smallest found in a bounded search, not the smallest there is."]
}

const sizeOf = (t: Tried): string => `${t.w} × ${t.h} mm`

function line(t: Tried, chosen: boolean): string {
  const start = `${chosen ? " →" : "  "}  ${sizeOf(t).padEnd(15)} ${String(Math.round(t.area)).padStart(5)}`
  if (t.outcome !== "made") return `${start}   ${t.outcome}: ${t.why ?? ""}`
  return `${start}   ${String(t.links).padStart(5)}   ${`${Math.round(t.grooves ?? 0)} mm`.padStart(7)}   ${`${Math.round(t.bodies ?? 0)} %`.padStart(8)}`
}

function difference(links: number): string {
  if (links === 0) return "no more wire links"
  return links > 0
    ? `${links} more wire link${links > 1 ? "s" : ""}`
    : `${-links} wire link${links < -1 ? "s" : ""} less`
}
