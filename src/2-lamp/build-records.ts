// The lamp as built: its readings are taken in as text, its photos stay names.

import type { BuiltRecord } from "./artefact.ts"
import type { FindDrawing } from "./build-face.ts"
import { type Located, where } from "./check-shape.ts"
import { lampFindings as report } from "./lamp-findings.ts"
import type { BuiltShape } from "./lamp-schema.ts"
import { quote } from "./read-quantity.ts"

export function buildRecords(
  shapes: readonly BuiltShape[],
  { tree, findings }: Located,
  fileText: FindDrawing,
): BuiltRecord[] {
  const tell = (path: string, title: string) =>
    findings.push(report.state("built-file", { severity: "amber", title, where: where(tree, path) }))
  return shapes.map(({ revision, date, by, readings, photos, changes }, i) => {
    const path = `built.${i}`
    const text = readings === undefined ? undefined : fileText(readings)
    if (readings !== undefined && text === undefined)
      tell(`${path}.readings`, `There is no file ${quote(readings)} beside the description.`)
    for (const [k, photo] of photos.entries())
      if (!beside(photo))
        tell(`${path}.photos.${k}`, `${quote(photo)} lies outside the description's folder.`)
    return {
      revision,
      date,
      ...(by === undefined ? {} : { by }),
      ...(readings === undefined
        ? {}
        : { readings: { file: readings, ...(text === undefined ? {} : { text }) } }),
      photos: photos.filter(beside),
      changes,
    }
  })
}

/** A plain path below the description: no drive, no address, no way up. */
const beside = (file: string) => !/^[/\\]|:|(^|[/\\])\.\.([/\\]|$)/.test(file)
