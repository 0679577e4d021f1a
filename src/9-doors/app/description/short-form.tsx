// The lamp as a builder would tell it, one line for each thing; each line leads to its place in the text.

import type { ReactNode } from "react"
import { show, showNumber } from "../../../0-ground/text/show.ts"
import type { Lamp, ProgrammeLine, Wire } from "../../../2-lamp/artefact.ts"
import { grooveWidth } from "../groove-width.ts"
import { page, usePage } from "../store.ts"
import { percent, plain } from "../words.ts"

export function ShortForm() {
  const lamp = usePage((s) => s.lamp)
  const unread = usePage((s) => s.unread.length > 0)
  if (!lamp)
    return (
      <p className="soft">{unread ? "The text could not be read yet." : "The description is being read…"}</p>
    )
  const { supply, ambient, wires, rules } = lamp.vehicle
  return (
    <>
      <Section title="Vehicle">
        <Line name="battery, lowest to highest" path="vehicle.supply">
          {showNumber(supply.lowest)} to {show(supply.highest, "V")}
        </Line>
        <Line name="air around the lamp" path="vehicle.ambient">
          {showNumber(ambient.lowest)} to {show(ambient.highest, "°C")}
        </Line>
        <Line name="rules" path="vehicle.rules">
          {ruleWords[rules]}
        </Line>
        {wires.map((w) => (
          <Line
            key={w.name}
            name={w.role === "supply" || w.role === "earth" ? w.name : `${w.name} wire`}
            path={`vehicle.wires.${w.name}`}
          >
            {wireWords(w)}
          </Line>
        ))}
      </Section>
      <Section title="Faces">
        {lamp.faces.map((f) => (
          <Line key={f.name} name={plain(f.name)} path={`faces.${f.name}`}>
            {f.metal}, {show(f.thickness, "mm")}
          </Line>
        ))}
        {lamp.groups.map((g) => (
          <Line key={g.name} name={plain(g.name)} path={`groups.${g.name}`}>
            {g.leds.length} × {g.led.replace(/-(\d+)mm$/, " $1 mm")}
          </Line>
        ))}
      </Section>
      <Section title="Light programme">
        {lamp.programme.map((p, i) => (
          <Line
            key={`${p.light} ${p.when.join(" ")}`}
            name={`${p.when.join(" + ")} → ${plain(p.light)}`}
            path={`programme.${i}`}
          >
            {programmeWords(p)}
          </Line>
        ))}
      </Section>
      <Section title="Boards">
        {lamp.boards.map((b) => (
          <Line key={b.name} name={plain(b.name)} path={`boards.${b.name}`}>
            {b.carries.map(plain).join(", ")}
          </Line>
        ))}
        <Line name="copper clad" path="copper-clad">
          {lamp.copperClad.base}, {show(lamp.copperClad.thickness, "mm")}
        </Line>
      </Section>
      <Section title="Cutter">
        <Line name="tip, angle" path="cutter.engraver">
          {show(lamp.cutter.engraver.tip, "mm")}, {showNumber(lamp.cutter.engraver.angle)}°
        </Line>
        <Line name="depth" path="cutter.engraver.depth">
          {show(lamp.cutter.engraver.depth, "mm")}
        </Line>
        <Line name="groove at the surface" path="cutter.engraver">
          {show(grooveWidth(lamp.cutter.engraver), "mm")}
        </Line>
        <Line name="drills" path="cutter.drills">
          {lamp.cutter.drills.map((d) => showNumber(d)).join(", ")} mm
        </Line>
      </Section>
    </>
  )
}

function Section({ title, children }: { readonly title: string; readonly children: ReactNode }) {
  return (
    <section className="short-section">
      <h2>{title}</h2>
      <dl>{children}</dl>
    </section>
  )
}

function Line({
  name,
  path,
  children,
}: {
  readonly name: string
  readonly path: string
  readonly children: ReactNode
}) {
  const place = usePage((s) => placeOf(s.lamp, path))
  return (
    <div className="short-line">
      <dt>{name}</dt>
      <dd>
        {place ? (
          <button
            type="button"
            onClick={() => page.getState().showLine(place.line, place.column)}
            title={`Line ${place.line} of the text`}
          >
            {children}
          </button>
        ) : (
          children
        )}
      </dd>
    </div>
  )
}

/** The place of a path, or of the nearest path above it. */
function placeOf(lamp: Lamp | undefined, path: string) {
  for (let p = path; lamp && p !== ""; p = p.slice(0, Math.max(0, p.lastIndexOf(".")))) {
    if (Object.hasOwn(lamp.places, p)) return lamp.places[p]
  }
  return undefined
}

const ruleWords: Record<Lamp["vehicle"]["rules"], string> = {
  "un-l": "UN, two and three wheels",
  "us-motorcycle": "US, motorcycles",
  "un-car": "UN, cars",
}

function wireWords(w: Wire): string {
  if (w.role === "flashing" && w.rate !== undefined) return `flashing, ${showNumber(w.rate * 60)} /min`
  if (w.role === "supply") return w.fuse === undefined ? "always live" : `fused ${show(w.fuse, "A")}`
  return w.role === "earth" ? "0 V" : w.role
}

function programmeWords(p: ProgrammeLine): string {
  const sweep = p.sweep ? `sweep in ${show(p.sweep.within, "s")}` : ""
  const level = p.level < 1 || !p.sweep ? percent(p.level) : ""
  return [level, sweep].filter((t) => t !== "").join(", ")
}
