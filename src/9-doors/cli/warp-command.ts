// lampwright warp: a program bent to a measured surface, to the terminal or to a file.

import { resolve } from "node:path"
import { readHeights } from "../../6-copper/height-map.ts"
import { warpProgram } from "../../6-copper/warp-program.ts"
import { exitCode, listing } from "./check-command.ts"
import { readLampSource, writeText } from "./files.ts"
import { Refusal } from "./refusal.ts"

/** Exit 0: bent; 1: one of the files cannot be read or not be bent; 2: bent it would not be safe, nothing is written. */
export async function warpToSurface(
  path: string,
  o: { readonly heights: string; readonly out?: string },
): Promise<number> {
  const program = readLampSource(path).text
  const { map, findings: heightFindings } = readHeights(readLampSource(o.heights).text, o.heights)
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
