// The lamp's light against the lighting rules, clause by clause. A clause known only from memory can warn, not refuse.

import type { Finding } from "../../0-ground/finding.ts"
import { computed } from "../../0-ground/source.ts"
import { ruleCaution } from "../../1-stock/lighting-rules.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit } from "../../3-drive/artefact.ts"
import type { Beam, LightTrace } from "../artefact.ts"
import { nothingTold, type Told, tell } from "../told.ts"
import { beamOf } from "./beam-grid.ts"
import { functionLights } from "./function-light.ts"
import { judgeBeam } from "./judge-beam.ts"
import { judgeColour } from "./judge-colour.ts"
import { judgeDistance } from "./judge-distance.ts"
import { judgeIntensity } from "./judge-intensity.ts"
import { judgePlate } from "./judge-plate.ts"
import { judgeRatios } from "./judge-ratio.ts"
import { judgeApart, judgeArea, judgeOneLamp } from "./judge-surface.ts"
import { judgeFlashing, judgeStart, judgeSweeps } from "./judge-sweep.ts"
import { light } from "./light-findings.ts"

export function checkRules(
  lamp: Lamp,
  circuit: Circuit,
  trace: LightTrace | undefined,
): Told & { readonly beams: readonly Beam[] } {
  const lights = functionLights(lamp, circuit, trace)
  const told = nothingTold()
  told.findings.push(caution(lamp))
  tell(
    told,
    ...lights.map((l) => judgeIntensity(lamp, l)),
    ...lights.map((l) => judgeBeam(lamp, circuit, l)),
    ...lights.map((l) => judgeDistance(lamp, l)),
    ...lights.map((l) => judgePlate(lamp, l)),
    judgeRatios(lamp, circuit, lights),
    judgeFlashing(lamp),
    judgeStart(lamp, trace),
    judgeSweeps(lamp, trace),
    judgeOneLamp(lamp),
    judgeApart(lamp),
    ...lights.map((l) => judgeColour(lamp, l)),
    judgeArea(lamp),
  )
  told.findings.splice(0, told.findings.length, ...told.findings.map(lookedUp))
  return { ...told, beams: lights.map((l) => beamOf(lamp, circuit, l)) }
}

/** A rule known from memory says where it stands, so that it can be looked up. */
function lookedUp(f: Finding): Finding {
  const { source, severity } = f
  if (severity === "green" || source?.known !== "memory") return f
  const sure = source.confidence
    ? `, ${{ H: "high", M: "medium", L: "low" }[source.confidence]} confidence`
    : ""
  const place = source.place ? `, ${source.place}` : ""
  return {
    ...f,
    advice: `${f.advice} The rule is from memory${sure}; look it up: ${source.document}${place}.`,
  }
}

const caution = (lamp: Lamp): Finding =>
  light.state("not-approved", {
    severity: "amber",
    title: ruleCaution,
    where: { text: lamp.name, path: "vehicle.rules" },
    source: computed("stands on every report; it does not go away by numbers"),
  })
