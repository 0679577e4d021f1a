// The lamp as a builder would tell it, one line for each thing. A line opens to its fields; they change the same
// text the other tab shows.

import { type ReactNode, useDeferredValue, useMemo, useState } from "react"
import { type Doc, listAt, namesAt, readDoc, writtenAt } from "../../../0-ground/text/edit-text.ts"
import { show } from "../../../0-ground/text/show.ts"
import { grooveWidth } from "../groove-width.ts"
import { later } from "../later.tsx"
import { page, usePage } from "../store.ts"
import { plain } from "../words.ts"
import { AddNamed, AddProgramme } from "./more-lines.tsx"
import { faultAt, useFaults } from "./use-faults.ts"

const OpenLine = later(async () => (await import("./open-line.tsx")).OpenLine)

export function ShortForm() {
  const draft = useDeferredValue(usePage((s) => s.draft))
  const lamp = usePage((s) => s.lamp)
  const doc = useMemo(() => readDoc(draft), [draft])
  const [open, setOpen] = useState<string>()
  if (!doc)
    return (
      <div className="short-broken">
        <p>The text has a fault in its form; mend it there, and the forms come back.</p>
        <button type="button" className="inline" onClick={() => page.setState({ leftTab: "text" })}>
          Go to the text
        </button>
      </div>
    )
  const at = (path: string) => writtenAt(doc, path) ?? ""
  const list = (path: string) => listAt(doc, path) ?? []
  const line = (path: string, name: string, words: string) => (
    <Line
      key={path}
      doc={doc}
      path={path}
      name={name}
      words={words}
      open={open === path}
      toggle={() => setOpen(open === path ? undefined : path)}
      moved={setOpen}
    />
  )
  return (
    <>
      <Section title="Vehicle">
        {line("name", "lamp", at("name"))}
        {line("vehicle.kind", "vehicle", at("vehicle.kind"))}
        {line("vehicle.rules", "rules", ruleWords[at("vehicle.rules")] ?? at("vehicle.rules"))}
        {line("vehicle.supply", "battery", span(at("vehicle.supply.lowest"), at("vehicle.supply.highest")))}
        {line("vehicle.ambient", "air", span(at("vehicle.ambient.lowest"), at("vehicle.ambient.highest")))}
        {namesAt(doc, "vehicle.wires").map((w) => {
          const path = `vehicle.wires.${w}`
          const role = at(`${path}.role`)
          return line(
            path,
            role === "supply" || role === "earth" ? w : `${w} wire`,
            wireWords(doc, path, role),
          )
        })}
        <AddNamed doc={doc} kind="wire" open={setOpen} />
      </Section>
      <Section title="Faces">
        {namesAt(doc, "faces").map((f) =>
          line(`faces.${f}`, plain(f), words(at(`faces.${f}.metal`), at(`faces.${f}.thickness`))),
        )}
        <AddNamed doc={doc} kind="face" open={setOpen} />
        {namesAt(doc, "groups").map((g) => {
          const count = lamp?.groups.find((known) => known.name === g)?.leds.length
          const led = at(`groups.${g}.led`).replace(/-(\d+)mm$/, " $1 mm")
          return line(`groups.${g}`, plain(g), count === undefined ? led : `${count} × ${led}`)
        })}
        <AddNamed doc={doc} kind="group" open={setOpen} />
      </Section>
      <Section title="Light programme">
        {namesAt(doc, "programme").map((i) => {
          const path = `programme.${i}`
          const name = `${list(`${path}.when`).join(" + ")} → ${plain(at(`${path}.light`))}`
          const sweep = at(`${path}.sweep.within`)
          return line(path, name, words(at(`${path}.level`), sweep === "" ? "" : `sweep in ${sweep}`))
        })}
        <AddProgramme doc={doc} open={setOpen} />
        {line("flashing", "what counts as a flash", given(doc, "flashing", "as usual"))}
      </Section>
      <Section title="Boards">
        {namesAt(doc, "boards").map((b) =>
          line(`boards.${b}`, plain(b), list(`boards.${b}.carries`).map(plain).join(", ")),
        )}
        <AddNamed doc={doc} kind="board" open={setOpen} />
        {line('pins."drive.controller"', "controller", at('pins."drive.controller"') || "chosen by the tool")}
        {line("pins", "choices held by hand", count(doc, "pins", "none"))}
        {line("seed", "seed of the searches", at("seed") || "1")}
        {line("copper-clad", "copper clad", words(at("copper-clad.base"), at("copper-clad.thickness")))}
      </Section>
      <Section title="Cutter">
        {line(
          "cutter.engraver",
          "engraver",
          words(
            at("cutter.engraver.tip"),
            at("cutter.engraver.angle"),
            `${at("cutter.engraver.depth")} deep`,
          ),
        )}
        {lamp && (
          <div className="short-line short-told">
            <span className="short-name">groove at the surface</span>
            <span>{show(grooveWidth(lamp.cutter.engraver), "mm")}</span>
          </div>
        )}
        {line("cutter.drills", "drills", list("cutter.drills").join(", "))}
        {line("cutter.drill-feed", "drill feed", at("cutter.drill-feed"))}
        {line("cutter.router", "router", at("cutter.router.diameter"))}
        {line("cutter.mills", "end mills", count(doc, "cutter.mills", "none"))}
        {line("cutting", "how it is cut", given(doc, "cutting", "as usual"))}
        {line("cutter.machine", "machine", words("flat to", at("cutter.machine.flatness")).replace(",", ""))}
      </Section>
      <Section title="As built">{line("built", "lamps built", count(doc, "built", "none yet"))}</Section>
    </>
  )
}

function Section({ title, children }: { readonly title: string; readonly children: ReactNode }) {
  return (
    <section className="short-section">
      <h2>{title}</h2>
      {children}
    </section>
  )
}

interface LineProps {
  readonly doc: Doc
  readonly path: string
  readonly name: string
  readonly words: string
  readonly open: boolean
  readonly toggle: () => void
  /** It stands under another name now. */
  readonly moved: (path: string) => void
}

function Line({ doc, path, name, words: said, open, toggle, moved }: LineProps) {
  const faults = useFaults()
  const fault = faultAt(faults, path, true)
  const panel = `fields-${path.replaceAll(/[."]/g, "-")}`
  return (
    <div
      className="short-line"
      data-path={path}
      data-open={open || undefined}
      data-severity={fault?.severity}
    >
      <button
        type="button"
        className="short-head"
        aria-expanded={open}
        aria-controls={open ? panel : undefined}
        onClick={toggle}
      >
        <span className="short-name">{name}</span>
        <span className="short-words">{said === "" ? "not given" : said}</span>
      </button>
      {fault && !open && <p className="field-fault">{fault.title}</p>}
      {open && (
        <div id={panel} className="short-fields">
          <OpenLine doc={doc} path={path} name={name} close={toggle} moved={moved} />
        </div>
      )}
    </div>
  )
}

const ruleWords: Readonly<Record<string, string>> = {
  "un-l": "UN, two and three wheels",
  "us-motorcycle": "US, motorcycles",
  "un-car": "UN, cars",
}

const words = (...parts: readonly string[]) => parts.filter((p) => p !== "").join(", ")
const span = (low: string, high: string) => (low === "" && high === "" ? "" : `${low} to ${high}`)

function wireWords(doc: Doc, path: string, role: string): string {
  const rate = writtenAt(doc, `${path}.rate`)
  const fuse = writtenAt(doc, `${path}.fuse`)
  if (role === "flashing") return words("flashing", rate ?? "")
  if (role === "supply") return fuse === undefined ? "always live" : `fused ${fuse}`
  return role === "earth" ? "0 V" : role
}

const count = (doc: Doc, path: string, none: string) => {
  const n = namesAt(doc, path).length
  return n === 0 ? none : String(n)
}

const given = (doc: Doc, path: string, none: string) => {
  const names = namesAt(doc, path)
  return names.length === 0 ? none : names.map(plain).join(", ")
}
