// Way in: what a cutter program on disk is for, from its header or its file's name. Ours say it in the header, which
// most editors keep; a file from elsewhere says it in its name, or the person who asks says it.

import type { Mm } from "../0-ground/units/brand.ts"
import type { CutterProgram } from "./artefact.ts"

export interface ProgramUse {
  readonly purpose: CutterProgram["purpose"]
  /** mm; undefined: the described one. A drill and an end mill always have their own. */
  readonly diameter: Mm | undefined
}

/** Reads `engrave`, `clear 0.8`, `end mill 0.8 mm`, `drill 0.8`, `drill:0.8`, `drill-0.8 mm`, `outline` or `outline 1.5`; undefined when it is none. */
export function readUse(words: string): ProgramUse | undefined {
  const m = /(engrav\w*|end[ -]?mill|clear|drill|outline|router)[\s:_-]*(\d+(?:\.\d+)?)?/i.exec(words)
  if (!m) return undefined
  const word = m[1]!.toLowerCase()
  const diameter = m[2] === undefined ? undefined : Number(m[2])
  if (word.startsWith("engrav")) return { purpose: "engrave", diameter: undefined }
  if (/^(end|clear)/.test(word)) return diameter ? { purpose: "clear", diameter } : undefined
  if (word === "drill") return diameter ? { purpose: "drill", diameter } : undefined
  return { purpose: "outline", diameter }
}

/** By the comment `(tool: …)` of its header, else by its file's name; undefined when neither says it. */
export function recogniseProgram(file: string, text: string): ProgramUse | undefined {
  const head = text.slice(0, 4000)
  const tool = /[(;]\s*tool:\s*([^)\r\n]*)/i.exec(head)?.[1]
  const name = file.slice(1 + Math.max(file.lastIndexOf("/"), file.lastIndexOf("\\"))).replace(/\.\w+$/, "")
  return (tool === undefined ? undefined : readUse(tool)) ?? readUse(name)
}
