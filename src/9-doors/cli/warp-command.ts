// lampwright warp: a program bent to a measured surface, to the terminal or to a file.

import { basename, resolve } from "node:path"
import { readHeights } from "../../6-copper/height-map.ts"
import { warpProgram } from "../../6-copper/warp-program.ts"
import { surfaceSvg } from "../../8-pack/draw.ts"
import { exitCode, listing } from "./check-command.ts"
import { readLampSource, writeText } from "./files.ts"
import { Refusal } from "./refusal.ts"

/** `X,Y` or `X,Y,Z`: where the first place of a log lies in the program's coordinates; Z is 0 when left out. */
export function firstPlace(text: string | undefined): { x: number; y: number; z: number } | undefined {
  if (text === undefined) return undefined
  const numbers = text.split(",").map((t) => (t.trim() === "" ? Number.NaN : Number(t)))
  if ((numbers.length !== 2 && numbers.length !== 3) || !numbers.every(Number.isFinite))
    throw new Refusal(`--first ${text}: write the place as X,Y or X,Y,Z in mm, for example 4,4`)
  return { x: numbers[0]!, y: numbers[1]!, z: numbers[2] ?? 0 }
}

/** Exit 0: bent; 1: one of the files cannot be read or not be bent; 2: bent it would not be safe, nothing is written. */
export async function warpToSurface(
  path: string,
  o: { readonly heights: string; readonly first?: string; readonly picture?: string; readonly out?: string },
): Promise<number> {
  const program = readLampSource(path).text
  const { map, findings: heightFindings } = readHeights(
    readLampSource(o.heights).text,
    o.heights,
    firstPlace(o.first),
  )
  if (map && o.picture !== undefined) writeText(o.picture, surfaceSvg(map, basename(o.heights)))
  const bent = map ? warpProgram(program, map, path) : undefined
  const findings = [...heightFindings, ...(bent?.findings ?? [])]
  process.stderr.write(listing(findings, path, program))
  const code = exitCode(bent?.text !== undefined, findings)
  if (code !== 0 || bent?.text === undefined) return code
  if (o.out === undefined) {
    process.stdout.write(bent.text)
    return code
  }
  if (resolve(o.out) === resolve(path))
    throw new Refusal("--out names the program itself; a program bent twice would be wrong, so it is kept")
  writeText(o.out, bent.text)
  return code
}
