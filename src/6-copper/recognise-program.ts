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

export interface ProgramPart extends ProgramUse {
  /** The part alone, its lines at their numbers in the whole; ended by M30. */
  readonly text: string
}

/**
 * One file for several tools, as ours stop between them (M0, M1 or M6): a part for each comment `(tool: …)` that says
 * what it is for. Undefined for a program of one tool.
 */
export function programParts(text: string): readonly ProgramPart[] | undefined {
  const lines = text.split(/\r?\n/)
  const heads = lines.flatMap((line, at) => {
    const tool = /^[(;]\s*tool:\s*([^)]*)/i.exec(line.trim())?.[1]
    const use = tool === undefined ? undefined : readUse(tool)
    return use ? [{ at, use }] : []
  })
  const stops = lines.flatMap((line, at) =>
    /^(?:N\d+\s*)?(?:T\d+\s*)?M(?:0|00|1|01|6|06)\b/i.test(line.trim()) ? [at] : [],
  )
  if (heads.length < 2 || stops.length < heads.length - 1) return undefined
  return heads.map(({ use }, k) => {
    const next = heads[k + 1]
    // A part ends with the last stop before the next tool is named.
    const end = next ? Math.max(...stops.filter((s) => s < next.at), 0) : lines.length
    const begin = k === 0 ? 0 : Math.max(...stops.filter((s) => s < heads[k]!.at), 0) + 1
    const own = lines.map((line, at) => (at >= begin && at < end ? line : ""))
    return { ...use, text: next ? `${own.slice(0, end).join("\n")}\nM30\n` : own.join("\n") }
  })
}
