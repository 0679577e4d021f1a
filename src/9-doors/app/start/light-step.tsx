// What lights when: a wire, a group, how bright, and whether it sweeps.

import { useId, useState } from "react"
import { Button } from "react-aria-components"
import { addItem, removeEntry } from "../../../0-ground/text/edit-entries.ts"
import { type Doc, listAt, namesAt, setList, setValue, writtenAt } from "../../../0-ground/text/edit-text.ts"
import { plain } from "../words.ts"
import { control, type EditStep, makeChange } from "./make-change.ts"
import { functions, usualWires } from "./usual.ts"

const orders: Readonly<Record<string, string>> = {
  "left-to-right": "left to right",
  "right-to-left": "right to left",
  "top-to-bottom": "top to bottom",
  "bottom-to-top": "bottom to top",
  drawn: "as drawn",
}

export function LightStep({ doc }: { readonly doc: Doc }) {
  const [refused, setRefused] = useState("")
  const lines = namesAt(doc, "programme")
  const groups = namesAt(doc, "groups")
  const wires = namesAt(doc, "vehicle.wires").filter((w) =>
    /^(steady|flashing)$/.test(writtenAt(doc, `vehicle.wires.${w}.role`) ?? ""),
  )
  if (groups.length === 0) return <p>A line lights a group; pick one first.</p>
  if (wires.length === 0) return <p>A line watches a wire; choose one first, such as tail or left.</p>
  return (
    <>
      {lines.map((i) => {
        const when = (listAt(doc, `programme.${i}.when`) ?? []).join(" + ")
        const light = writtenAt(doc, `programme.${i}.light`) ?? ""
        const sweep = writtenAt(doc, `programme.${i}.sweep.within`)
        return (
          <p key={`${i} ${when} ${light}`} className="walk-have">
            <strong>
              {when} → {plain(light)}
            </strong>{" "}
            {writtenAt(doc, `programme.${i}.level`) ?? ""} {sweep === undefined ? "" : `sweep in ${sweep}`}{" "}
            <button
              type="button"
              className="inline"
              aria-label={`Take out the line ${when} to ${plain(light)}`}
              onClick={() =>
                setRefused(makeChange("line of the programme", (t) => removeEntry(t, `programme.${i}`)))
              }
            >
              Take out
            </button>
          </p>
        )
      })}
      <NewLine doc={doc} groups={groups} wires={wires} />
      {refused !== "" && (
        <p className="field-fault" role="alert">
          {refused}
        </p>
      )}
    </>
  )
}

function NewLine({ doc, groups, wires }: { doc: Doc; groups: readonly string[]; wires: readonly string[] }) {
  const id = useId()
  const used = (w: string, g: string) =>
    namesAt(doc, "programme").some(
      (i) =>
        (listAt(doc, `programme.${i}.when`) ?? []).join() === w &&
        writtenAt(doc, `programme.${i}.light`) === g,
    )
  const lit = (g: string) =>
    namesAt(doc, "programme").some((i) => writtenAt(doc, `programme.${i}.light`) === g)
  const watched = (w: string) => wires.some((x) => x === w && groups.some((g) => used(w, g)))
  const [when, setWhen] = useState("")
  const [light, setLight] = useState("")
  const [level, setLevel] = useState("100")
  const [sweeps, setSweeps] = useState(false)
  const [within, setWithin] = useState("180")
  const [order, setOrder] = useState("")
  const [refused, setRefused] = useState("")
  const wire = wires.includes(when) ? when : (wires.find((w) => !watched(w)) ?? wires[0] ?? "")
  const group = groups.includes(light) ? light : (groups.find((g) => !lit(g)) ?? groups[0] ?? "")
  const now = writtenAt(doc, `groups.${group}.order`) ?? "drawn"
  const way = order || (Object.hasOwn(orders, now) ? now : "left-to-right")
  const add = () => {
    const sweep = sweeps ? `, sweep: { within: ${within} ms }, rise: 20 ms, fall: 10 ms` : ""
    const steps: EditStep[] = [
      (text) => addItem(text, "programme", `{ when: ${wire}, light: ${group}, level: ${level} %${sweep} }`),
    ]
    if (sweeps) {
      steps.push(control)
      if (way !== now) steps.push((text) => setValue(text, `groups.${group}.order`, way))
    }
    // What the wire says is what the group is seen as on the road.
    const means = usualWires.find((u) => u.name === wire)?.means
    const seen = listAt(doc, `groups.${group}.functions`) ?? []
    if (
      means &&
      Object.hasOwn(functions, means) &&
      !seen.includes(means) &&
      namesAt(doc, "programme").length > 0 &&
      lit(group)
    )
      steps.push((text) => setList(text, `groups.${group}.functions`, [...seen, means]))
    const why = makeChange("line of the programme", ...steps)
    setRefused(why)
    if (why === "") {
      setWhen("")
      setLight("")
      setSweeps(false)
    }
  }
  const levelSound = Number(level) > 0 && Number(level) <= 100
  const timeSound = Number(within) >= 1 && Number(within) <= 5000
  return (
    <fieldset className="walk-part" aria-label="New line of the light programme">
      <h3>New line</h3>
      <div className="walk-field">
        <label htmlFor={`${id}-when`}>while this wire is live</label>
        <select id={`${id}-when`} value={wire} onChange={(e) => setWhen(e.target.value)}>
          {wires.map((w) => (
            <option key={w}>{w}</option>
          ))}
        </select>
      </div>
      <div className="walk-field">
        <label htmlFor={`${id}-light`}>this group lights</label>
        <select id={`${id}-light`} value={group} onChange={(e) => setLight(e.target.value)}>
          {groups.map((g) => (
            <option key={g} value={g}>
              {plain(g)}
            </option>
          ))}
        </select>
      </div>
      <div className="walk-field">
        <label htmlFor={`${id}-level`}>at, %</label>
        <input
          id={`${id}-level`}
          type="number"
          min={1}
          max={100}
          value={level}
          onChange={(e) => setLevel(e.target.value)}
        />
      </div>
      <label className="walk-check">
        <input type="checkbox" checked={sweeps} onChange={(e) => setSweeps(e.target.checked)} />
        <span>LEDs light one after the other (a sweep)</span>
      </label>
      {sweeps && (
        <>
          <div className="walk-field">
            <label htmlFor={`${id}-within`}>from first to last, ms</label>
            <input
              id={`${id}-within`}
              type="number"
              min={1}
              max={5000}
              step={10}
              value={within}
              onChange={(e) => setWithin(e.target.value)}
            />
          </div>
          <div className="walk-field">
            <label htmlFor={`${id}-order`}>as seen from the road</label>
            <select id={`${id}-order`} value={way} onChange={(e) => setOrder(e.target.value)}>
              {Object.entries(orders).map(([key, says]) => (
                <option key={key} value={key}>
                  {says}
                </option>
              ))}
            </select>
          </div>
          <p className="soft">A sweep needs a controller; a board for it is added where there is none.</p>
        </>
      )}
      <Button
        className="quiet"
        onPress={add}
        isDisabled={!levelSound || (sweeps && !timeSound) || used(wire, group)}
      >
        Add this line
      </Button>
      {used(wire, group) && <p className="soft">{`${wire} lights ${plain(group)} already.`}</p>}
      {refused !== "" && (
        <p className="field-fault" role="alert">
          {refused}
        </p>
      )}
    </fieldset>
  )
}
