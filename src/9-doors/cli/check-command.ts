// lampwright check: design and prove, print every finding, thinnest margin first.

import { byMargin, type Finding } from "../../0-ground/finding.ts"
import { packReport } from "../../8-pack/pack-lamp.ts"
import { readLampSource } from "./files.ts"
import { findingLines } from "./print-findings.ts"
import { runDesign } from "./run-design.ts"

export async function checkLamp(path: string, json: boolean, first: boolean): Promise<number> {
  const source = readLampSource(path)
  const { design, times, bringUp } = runDesign(source, { first, bringUp: json })
  if (json) {
    const report = design.lamp
      ? packReport(design, { bringUp })
      : { lamp: null, verdict: design.verdict, findings: design.findings }
    process.stdout.write(`${JSON.stringify({ ...report, stages: times }, null, 2)}\n`)
  } else {
    process.stdout.write(listing(design.findings, path, source.text))
    process.stdout.write(`${summary(design.findings)}\n`)
  }
  return exitCode(design.lamp !== undefined, design.findings)
}

export function listing(findings: readonly Finding[], path: string, text: string): string {
  return [...findings]
    .sort(byMargin)
    .map((f) => `${findingLines(f, path, f.severity === "green" ? undefined : text).join("\n")}\n\n`)
    .join("")
}

/** `2 to fix before you cut, 3 cautions, 61 kept`. */
export function summary(findings: readonly Finding[]): string {
  const count = (s: Finding["severity"]) => findings.filter((f) => f.severity === s).length
  const red = count("red")
  const amber = count("amber")
  return `${red === 0 ? "Nothing to fix" : `${red} to fix`} before you cut, ${amber} caution${amber === 1 ? "" : "s"}, ${count("green")} kept.`
}

export function exitCode(read: boolean, findings: readonly Finding[]): number {
  if (!read) return 1
  return findings.some((f) => f.severity === "red") ? 2 : 0
}
