// One revision of a lamp as it is compared: a pack's files, read with nothing taken for granted.

import { parse } from "yaml"
import { z } from "zod"

const quantity = z.object({ value: z.number(), unit: z.string() })

const report = z.object({
  lamp: z.string(),
  verdict: z.string(),
  findings: z.array(
    z.object({
      code: z.string(),
      severity: z.enum(["red", "amber", "green"]),
      title: z.string(),
      where: z.object({ text: z.string() }),
      measured: quantity.optional(),
    }),
  ),
  figures: z.record(
    z.string(),
    z.object({ name: z.string(), value: z.number().nullable(), unit: z.string() }),
  ),
  boards: z.array(
    z.object({ name: z.string(), size: z.object({ w: z.number(), h: z.number() }), links: z.number() }),
  ),
  parts: z.array(
    z.object({ refs: z.array(z.string()), value: z.string(), label: z.string(), board: z.string() }),
  ),
})

const manifest = z.object({ files: z.array(z.object({ path: z.string(), hash: z.string() })) })

export interface Revision {
  readonly report: z.output<typeof report>
  /** Path in the description → value as text. */
  readonly described: ReadonlyMap<string, string>
  /** Path in the pack → content hash. */
  readonly files: ReadonlyMap<string, string>
}

/** `file` gives the text of a pack's file by its path. Says in words what is not as a pack has it. */
export function readRevision(file: (path: string) => string | undefined): Revision | string {
  const read = <T extends z.ZodType>(path: string, shape: T): z.output<T> | string => {
    const text = file(path)
    if (text === undefined) return `${path} is missing`
    let content: unknown
    try {
      content = JSON.parse(text)
    } catch {
      return `${path} is damaged: it is no JSON`
    }
    const found = shape.safeParse(content)
    if (found.success) return found.data
    const issue = found.error.issues[0]!
    return `${path} is not of this version: ${issue.path.join(".")}: ${issue.message}`
  }
  const told = read("report.json", report)
  if (typeof told === "string") return told
  const listed = read("manifest.json", manifest)
  if (typeof listed === "string") return listed
  const text = file("description.yaml")
  if (text === undefined) return "description.yaml is missing"
  const described = new Map<string, string>()
  try {
    flatten(parse(text, { maxAliasCount: 100, logLevel: "error" }), "", described)
  } catch {
    return "description.yaml is damaged: it is no YAML"
  }
  return { report: told, described, files: new Map(listed.files.map((f) => [f.path, f.hash])) }
}

/** Lists of plain values are one value; anything else is followed to its leaves. */
function flatten(value: unknown, path: string, out: Map<string, string>): void {
  const plain = (v: unknown) => typeof v !== "object" || v === null
  if (plain(value)) out.set(path, String(value))
  else if (Array.isArray(value) && value.every(plain)) out.set(path, value.join(", "))
  else
    for (const [key, inner] of Object.entries(value as object))
      flatten(inner, path === "" ? key : `${path}.${key}`, out)
}
