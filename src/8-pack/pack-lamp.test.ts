import { SaxesParser } from "saxes"
import { describe, expect, test } from "vitest"
import { contentHash } from "../0-ground/numbers/hash.ts"
import type { PackInput } from "./artefact.ts"
import { solderingOrder } from "./build-sheet.ts"
import { csv } from "./csv.ts"
import { design, named, redDesign } from "./design.testing.ts"
import { marked, packLamp } from "./pack-lamp.ts"
import { pulsesCsv } from "./pulses-table.ts"
import { firmwareFile, limitFor } from "./sheet-testing.ts"

const filesOf = (d: PackInput, withhold = false) =>
  new Map(packLamp(d, { withhold }).files.map((f) => [f.path, f.text]))
const files = filesOf(design)
const sheet = files.get("build-sheet.html")!

/** RFC 4180, written apart from the writer. */
function parseCsv(text: string): string[][] {
  const rows: string[][] = []
  let row: string[] = []
  let cell = ""
  let quoted = false
  for (let i = 0; i < text.length; i++) {
    const c = text[i]!
    if (quoted) {
      if (c !== '"') cell += c
      else if (text[i + 1] === '"') {
        cell += '"'
        i++
      } else quoted = false
    } else if (c === '"') quoted = true
    else if (c === ",") {
      row.push(cell)
      cell = ""
    } else if (c === "\r" && text[i + 1] === "\n") {
      rows.push([...row, cell])
      row = []
      cell = ""
      i++
    } else cell += c
  }
  return rows
}

describe("the pack", () => {
  test("holds what the workshop needs", () => {
    expect([...files.keys()]).toEqual([
      "build-sheet.html",
      "report.json",
      "parts.csv",
      "wiring.csv",
      "pulses.csv",
      "links.csv",
      "bring-up.csv",
      "description.yaml",
      "drawings/circuit.svg",
      "drawings/face-plate.svg",
      "drawings/plate-copper.svg",
      "drawings/plate-components.svg",
      "drawings/plate-solder-side.svg",
      "drawings/plate-drill.svg",
      "drawings/plate-grooves.svg",
      "drawings/plate-as-cut.svg",
      "cut/plate/plate-1-engrave.ngc",
      "order/plate-copper.gbr",
      "order/plate-mask.gbr",
      "order/plate-edge.gbr",
      "order/plate-holes.drl",
      "order/plate-nets.ipc",
      "manifest.json",
    ])
    expect(files.get("cut/plate/plate-1-engrave.ngc")).toBe("G21\nG90\nM2\n")
  })
  test("is the same bytes twice", () => expect(packLamp(design)).toEqual(packLamp(design)))
  test("the manifest has the hash of every other file", () => {
    const manifest = JSON.parse(files.get("manifest.json")!)
    expect(manifest.files.map((f: { path: string }) => f.path)).toEqual(
      [...files.keys()].filter((p) => p !== "manifest.json"),
    )
    for (const f of manifest.files) expect(f.hash).toBe(contentHash(files.get(f.path)!))
    expect(manifest.description).toBe(contentHash(design.text))
  })
  test("a comment in the description changes its hash, not the lamp's", () => {
    const moved = {
      ...design,
      text: `# hello\n${design.text}`,
      lamp: { ...design.lamp, places: { name: { line: 3, column: 7 } } },
    }
    const [a, b] = [design, moved].map((d) => JSON.parse(filesOf(d).get("manifest.json")!))
    expect(a.lampContent).toBe(b.lampContent)
    expect(a.description).not.toBe(b.description)
  })
})

describe("report.json", () => {
  const report = JSON.parse(files.get("report.json")!)
  test("keeps the contract's names", () => {
    expect(report).toMatchObject({
      lamp: "Marker",
      verdict: "ready with cautions",
      firmware: null,
      stages: { read: null, drive: null },
    })
    expect(report.boards).toMatchObject([
      {
        name: "plate",
        size: { w: 56.123, h: 20.5 },
        parts: 4,
        nets: 5,
        links: 1,
        linksLowerBound: 0,
        cutLength: 54,
        cutTime: 75.4,
        travel: 12.5,
        depthWindow: null,
        narrowestTrack: 0.412,
      },
    ])
    expect(report.findings).toEqual(JSON.parse(JSON.stringify(design.findings)))
  })
  test("figures stand by id, inputs as ids that exist", () => {
    expect(report.figures["drive.marker.current"]).toMatchObject({
      value: 0.0123,
      unit: "A",
      inputs: ["stock.white-5mm.forward-voltage"],
    })
    for (const f of Object.values(report.figures) as { inputs?: string[] }[])
      for (const id of f.inputs ?? []) expect(report.figures[id]).toBeDefined()
  })
})

describe("tables", () => {
  test("come back as they went in", () => {
    const rows = [
      ["a,b", 'say "hi"', "two\r\nlines", "470 Ω", ""],
      ["plain", "x", "y", "z", "w"],
    ]
    expect(parseCsv(csv(["1", "2", "3", "4", "5"], rows))).toEqual([["1", "2", "3", "4", "5"], ...rows])
  })
  test("no cell begins a formula", () => {
    const bad = ["=1+1", "+1", "-1", "@x", "\t=1", "\r=1"]
    for (const [cell] of parseCsv(
      csv(
        ["h"],
        bad.map((b) => [b]),
      ),
    ).slice(1))
      expect(cell).toMatch(/^'/)
    for (const [path, text] of files)
      if (path.endsWith(".csv"))
        for (const row of parseCsv(text)) for (const cell of row) expect(cell).not.toMatch(/^[=+\-@\t\r]/)
  })
  test("parts.csv counts every part once, with rating and source", () => {
    const [header, ...rows] = parseCsv(files.get("parts.csv")!)
    expect(header).toEqual([
      "refs",
      "quantity",
      "value",
      "rating",
      "package",
      "board",
      "purpose",
      "stock label",
      "source",
      "bands",
      "body",
    ])
    expect(rows.flatMap((r) => r[0]!.split(" "))).toEqual(design.circuit.parts.map((p) => p.ref))
    expect(rows.find((r) => r[0] === "R1")!.slice(0, 6)).toEqual([
      "R1",
      "1",
      "470 Ω",
      "0.25 W, 1 %",
      "axial-quarter-watt",
      "plate",
    ])
    for (const r of rows) expect(r[8]).not.toBe("")
  })
  test("pulses.csv tells of every part in every pulse", () => {
    expect(parseCsv(files.get("pulses.csv")!)).toEqual([
      ["event", "what", "part", "highest V", "lowest V", "greatest A", "energy J"],
    ])
    const pulse = { event: "pulse 2a", what: "50 V on 13.5 V", part: "R1", highest: 40.5, lowest: 0 }
    const circuit = { ...design.circuit, pulses: [{ ...pulse, current: 0.08, energy: 6e-5 }] }
    expect(parseCsv(pulsesCsv({ circuit }))[1]).toEqual([
      "pulse 2a",
      "50 V on 13.5 V",
      "R1",
      "40.5",
      "0",
      "0.08",
      "0.00006",
    ])
  })

  test("wiring.csv and links.csv", () => {
    expect(parseCsv(files.get("wiring.csv")!)[1]).toEqual([
      "tail",
      "vehicle wire tail",
      "board plate, pad X-tail",
      "tail",
      "grey",
      "0.75 mm²",
      "red, 0.5–1.5 mm²",
      "2 m",
      "5 A",
      "12.3 mA",
    ])
    // 10 mm of span, 1.6 mm of board and 3 mm of tail at either end.
    expect(parseCsv(files.get("links.csv")!)[1]).toEqual([
      "plate",
      "W1",
      "tail",
      "10",
      "20",
      "0.6 mm tinned copper",
    ])
  })
})

/** The sheet as XML: HTML's two void tags in the head closed, so that a strict parser judges the nesting. */
function strict(html: string): string[] {
  const words: string[] = []
  const parser = new SaxesParser()
  parser.on("error", (e) => {
    throw e
  })
  parser.on("opentag", (t) => words.push(t.name))
  parser.write(html.replace(/^<!DOCTYPE html>\n/, "").replace(/<meta ([^>]*)>/g, "<meta $1/>")).close()
  return words
}

describe("the build sheet", () => {
  test("is well nested and fetches nothing", () => {
    const tags = strict(sheet)
    expect(tags).not.toContain("script")
    expect(tags).not.toContain("link")
    expect(tags).not.toContain("img")
    expect(sheet).not.toMatch(/\b(src|href)=|url\(|@import/)
  })
  test("begins with the cautions", () => {
    const order = [
      'id="cautions"',
      "<h2>Verdict",
      "<h2>What to buy",
      "Cutting</h2>",
      "Soldering</h2>",
      "<h2>Wiring",
      "Findings</h2>",
    ]
    const at = order.map((o) => sheet.indexOf(o))
    expect(at.every((n) => n > 0)).toBe(true)
    expect(at).toEqual([...at].sort((a, b) => a - b))
    for (const words of [
      "eye protection",
      "current limit",
      "Disconnect the battery",
      "Dust",
      "not type-approved",
      "local law",
      "licensed practice",
    ])
      expect(sheet.slice(at[0], at[1])).toContain(words)
  })
  test("nothing the builder wrote reaches the page as markup", () => {
    const evil = '</title><script>alert("x")</script><img src=x onerror=y>'
    const base = named(evil)
    const wires = base.lamp.vehicle.wires.map((w) => ({ ...w, colour: evil }))
    const d: PackInput = {
      ...base,
      lamp: {
        ...base.lamp,
        vehicle: { ...base.lamp.vehicle, kind: evil, wires },
        faces: base.lamp.faces.map((f) => ({
          ...f,
          metal: evil,
          ledHoles: f.ledHoles.map((h) => ({ ...h, id: evil })),
        })),
      },
      findings: base.findings.map((f) => ({ ...f, title: evil, advice: evil, where: { text: evil } })),
    }
    const pack = filesOf(d)
    const html = pack.get("build-sheet.html")!
    expect(html).not.toContain("<script")
    expect(html).not.toContain("<img")
    expect(html).toContain("&lt;script&gt;")
    expect(strict(html)).not.toContain("script")
    // Were anything let through, the page's own policy would still run none of it and fetch nothing.
    expect(html).toContain(
      `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">`,
    )
    for (const [path, text] of pack) if (path.endsWith(".svg")) expect(text).not.toContain("<script")
  })
  test("drawings stand in it at full size", () => {
    // Face, copper side, drill template, component side, solder side; the circuit has no scale.
    expect(sheet.match(/<svg (?!class="wide)[^>]*width="[\d.]+mm"/g)).toHaveLength(5)
  })
  test("a drawing wider than the paper says that it is not to scale", () => {
    const long = design.lamp.faces.map((f) => ({
      ...f,
      outline: f.outline.map((p) => ({ x: p.x * 3, y: p.y })),
    }))
    const html = filesOf({ ...design, lamp: { ...design.lamp, faces: long } }).get("build-sheet.html")!
    expect(html.match(/<svg class="wide"/g)).toHaveLength(1)
    expect(html).toContain("Too wide for the paper at full size; print <code>drawings/face-plate.svg</code>")
    for (const [, mm] of html.matchAll(/<svg xmlns[^>]* width="([\d.]+)mm"/g))
      expect(Number(mm)).toBeLessThanOrEqual(186)
  })
  test("parts are soldered in the order their readings ask for, LEDs after all of them, wires last", () => {
    expect(solderingOrder(design.boards.boards[0]!).map((s) => s.parts.map((p) => p.ref))).toEqual([
      ["R1"],
      ["D1"],
      ["marker-1", "marker-2"],
      ["X-tail"],
    ])
  })
  test("current limits leave half as much again and never less than 20 mA", () => {
    expect([0.001, 0.0123, 0.1, 0.333].map(limitFor)).toEqual([0.02, 0.02, 0.15, 0.5])
    expect(sheet).toContain("12.3 mA")
  })
})

describe("a lamp with a red finding", () => {
  const red = filesOf(redDesign)
  test("is marked on every sheet, drawing and program", () => {
    expect(red.get("DO-NOT-CUT.txt")).toContain("LED current at the highest supply")
    expect(red.get("build-sheet.html")).toContain("@top-center")
    for (const [, heading] of red.get("build-sheet.html")!.matchAll(/<h[23][^>]*>(.*?)<\/h[23]>/g))
      expect(heading).toContain("Do not cut")
    for (const [path, text] of red) {
      if (path.endsWith(".svg") || path.endsWith(".ngc")) expect(text).toMatch(/DO NOT CUT/)
      if (path === "report.json" || path === "manifest.json")
        expect(JSON.parse(text).verdict).toBe("do not cut")
    }
  })
  test("can be packed without anything a machine would run", () => {
    const held = filesOf(redDesign, true)
    expect([...held.keys()].filter((p) => /^(cut|firmware)\//.test(p))).toEqual([])
    expect(held.get("build-sheet.html")).toContain("held back")
  })
  test("a program keeps its tape mark first", () => {
    expect(marked("%\nG21\n%\n")).toMatch(/^%\n\(DO NOT CUT[^)]*\)\nG21\n%\n$/)
    expect(marked("G21\n")).toMatch(/^\(DO NOT CUT[^)]*\)\nG21\n$/)
  })
  test("a good lamp carries no mark", () => {
    for (const [path, text] of files) if (!path.endsWith(".json")) expect(text).not.toMatch(/do not cut/i)
  })
})

describe("firmware", () => {
  const hex = ":00000001FF\n"
  const pack = filesOf({
    ...named("Tern: rear / lamp"),
    firmware: {
      controller: "ATmega328P",
      hex,
      buildId: "abc",
      pinOf: { "output-0": "PB3" },
      fuses: { low: 0xe6, high: 7, extended: 0xfc, why: "16 MHz <resonator>" },
      source: [{ name: "lamp.h", text: "#define LEVEL 255\n" }],
      codeBytes: 3000,
      tableBytes: 500,
      clockHz: 16e6,
      pwmFrequency: 4000,
      tickLoad: 0.7,
      findings: [],
      figures: [],
    },
  })
  test("takes no name some system keeps for a device, whatever the lamp is called", () => {
    for (const [name, file] of [
      ["CON", "lamp-con.hex"],
      ["com1", "lamp-com1.hex"],
      ["../../x", "x.hex"],
      ["灯", "lamp.hex"],
      ["nul.", "lamp-nul.hex"],
      ["Conductor", "conductor.hex"],
    ] as const)
      expect(firmwareFile(name)).toBe(file)
  })
  test("stands under a plain name, its fuses and pins on the sheet", () => {
    expect(pack.get("firmware/tern-rear-lamp.hex")).toBe(hex)
    expect(pack.get("firmware/source/lamp.h")).toBe("#define LEVEL 255\n")
    const html = pack.get("build-sheet.html")!
    for (const words of [
      "0xE6",
      "0x07",
      "0xFC",
      "PB3",
      "16 MHz &lt;resonator&gt;",
      "firmware/tern-rear-lamp.hex",
    ])
      expect(html).toContain(words)
    expect(JSON.parse(pack.get("report.json")!).firmware).toMatchObject({
      bytes: 3500,
      pwmFrequency: 4000,
      tickLoad: 0.7,
    })
  })
})
