// The walk: seven steps, each a few choices, each telling in one line what stands now. What is done is read from the
// description itself, so the walk can be left and taken up anywhere.

import { type ReactNode, useDeferredValue, useMemo } from "react"
import { type Doc, namesAt, readDoc, writtenAt } from "../../../0-ground/text/edit-text.ts"
import { FieldSet } from "../description/field-set.tsx"
import { makePack } from "../engine.ts"
import { isMade, page, usePage } from "../store.ts"
import { plain, verdictWords } from "../words.ts"
import { newName } from "./examples.ts"
import { FaceStep } from "./face-step.tsx"
import { GroupStep } from "./group-step.tsx"
import { LightStep } from "./light-step.tsx"
import { type StepName, steps, useWalk, walk } from "./walk-step.ts"
import { WireStep } from "./wire-step.tsx"

const titles: Readonly<Record<StepName, string>> = {
  lamp: "Name the lamp",
  wires: "Choose the wires",
  face: "Bring the face",
  groups: "Group the holes",
  light: "Say what lights when",
  margins: "Clear what is red",
  pack: "Save the pack",
}

export function Walk() {
  const open = useWalk()
  const draft = useDeferredValue(usePage((s) => s.draft))
  const doc = useMemo(() => readDoc(draft), [draft])
  const verdict = usePage((s) => (isMade(s) ? s.design?.verdict : undefined))
  const findings = usePage((s) => s.design?.findings)
  const packed = usePage((s) => s.packing.state === "made")
  if (!doc) return <p>The text has a fault in its form; mend it there first.</p>
  const said: Record<StepName, string> = {
    lamp: writtenAt(doc, "name") === newName ? "" : (writtenAt(doc, "name") ?? ""),
    wires: signals(doc).join(", "),
    face: namesAt(doc, "faces").map(plain).join(", "),
    groups: namesAt(doc, "groups").map(plain).join(", "),
    light: told(doc),
    margins: verdict && findings ? verdictWords(verdict, findings) : "",
    pack: packed ? "saved" : "",
  }
  const done: Record<StepName, boolean> = {
    lamp: said.lamp !== "",
    wires: said.wires !== "",
    face: said.face !== "",
    groups: said.groups !== "",
    light: said.light !== "",
    margins: verdict !== undefined && verdict !== "do not cut",
    pack: packed,
  }
  const bodies: Record<StepName, ReactNode> = {
    lamp: (
      <>
        <FieldSet doc={doc} path="name" />
        <FieldSet doc={doc} path="vehicle.kind" />
        <FieldSet doc={doc} path="vehicle.rules" />
      </>
    ),
    wires: <WireStep doc={doc} />,
    face: <FaceStep doc={doc} />,
    groups: <GroupStep doc={doc} />,
    light: <LightStep doc={doc} />,
    margins: <MarginStep />,
    pack: <PackStep />,
  }
  return (
    <ol className="walk">
      {steps.map((step, i) => {
        const next = steps[i + 1]
        return (
          <li key={step} className="walk-step" data-step={step} data-done={done[step] || undefined}>
            <button
              type="button"
              className="walk-head"
              aria-expanded={open === step}
              onClick={() => walk.setState({ step: open === step ? undefined : step })}
            >
              <span className="walk-number">{i + 1}</span>
              <span className="walk-title">{titles[step]}</span>
              <span className="walk-said soft">{done[step] ? said[step] || "done" : "to do"}</span>
            </button>
            {open === step && (
              <div className="walk-body">
                {bodies[step]}
                {next && (
                  <button
                    type="button"
                    className="quiet walk-next"
                    onClick={() => walk.setState({ step: next })}
                  >
                    Next: {titles[next].toLowerCase()}
                  </button>
                )}
              </div>
            )}
          </li>
        )
      })}
    </ol>
  )
}

const signals = (doc: Doc) =>
  namesAt(doc, "vehicle.wires").filter((w) => writtenAt(doc, `vehicle.wires.${w}.role`) !== "earth")

function told(doc: Doc): string {
  const count = namesAt(doc, "programme").length
  return count === 0 ? "" : count === 1 ? "1 line" : `${count} lines`
}

function MarginStep() {
  const run = usePage((s) => s.run.state)
  const whole = usePage((s) => isMade(s))
  const unread = usePage((s) => s.unread)
  const findings = usePage((s) => (s.early ?? s.design)?.findings)
  const reds = unread.length > 0 ? unread : (findings ?? []).filter((f) => f.severity === "red")
  const first = reds[0]
  return (
    <>
      <p>
        Everything is judged on the right, thinnest first. A red one names what to change; where a change is
        known to clear it, Apply makes it in the description.
      </p>
      {run === "computing" && !whole && (
        <p role="status">The boards are being laid out and proven; this takes a little.</p>
      )}
      {first ? (
        <p>
          <button type="button" className="inline" onClick={() => page.getState().select(first)}>
            Show the first of {reds.length} to fix
          </button>
        </p>
      ) : (
        findings && <p>Nothing is red so far.</p>
      )}
    </>
  )
}

function PackStep() {
  const ready = usePage((s) => isMade(s) && s.run.state !== "computing")
  const searching = usePage((s) => isMade(s) && s.run.state === "computing")
  return (
    <>
      <p>
        The pack is one zip: cutter programs, firmware, drawings, parts list, build sheet and the report. Eye
        protection at the cutter, a fused supply at the bench, the battery off at the vehicle. A hand-built
        lamp is not type-approved.
      </p>
      <p>
        <button type="button" className="quiet" disabled={!ready} onClick={() => void makePack()}>
          Save the pack as zip
        </button>
      </p>
      {searching && (
        <p role="status">Better boards are still being looked for; Stop above keeps the ones there are.</p>
      )}
    </>
  )
}
