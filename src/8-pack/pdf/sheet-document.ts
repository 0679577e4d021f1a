// The build sheet as a document to be set on pages: the same sheet as the HTML, read back from it, so that the two
// never say different things. Measures are points (1/72 inch); drawings keep their true size.

import { SaxesParser } from "saxes"

/** What a page setter understands: runs of text, stacks, lists, tables and drawings as SVG. */
export interface Run {
  readonly text: string
  readonly style?: readonly string[]
}

/** Where a page begins, and whether it lies across. */
interface PageTurn {
  readonly pageBreak?: "before"
  readonly pageOrientation?: "landscape" | "portrait"
}

export type Block =
  | (PageTurn & {
      readonly text: readonly Run[]
      readonly style: readonly string[]
      readonly colSpan?: number
    })
  | (PageTurn & {
      readonly stack: readonly Block[]
      readonly style?: readonly string[]
      readonly unbreakable?: boolean
    })
  | { readonly ul: readonly Block[] }
  | { readonly ol: readonly Block[] }
  | {
      readonly table: {
        readonly headerRows: number
        /** Points, together the width between the margins. */
        readonly widths: readonly number[]
        readonly body: readonly (readonly Block[])[]
        readonly dontBreakRows: true
        /** Rows that stay on the page of the heading. */
        readonly keepWithHeaderRows: number
      }
      readonly style: readonly string[]
      readonly layout: "sheet"
    }
  | { readonly svg: string; readonly width: number; readonly height: number }

export interface SheetDocument {
  readonly title: string
  /** Stands at the head of every page; empty when nothing is red. */
  readonly warning: string
  readonly content: readonly Block[]
}

/** Points in a millimetre. */
export const pointsPerMm = 72 / 25.4
/** Between the margins of A4 at 12 mm each, mm. */
const textWidth = 186
/** Tallest drawing that stands on a page of either paper with its heading, mm. */
const textHeight = 225
/** The same on a page that lies across: as wide as Letter is, as high as A4 is. */
const acrossWidth = 255
const acrossHeight = 165
/** Tallest drawing that is kept with what leads to it, mm. */
const keptHeight = 150

interface Element {
  readonly name: string
  readonly attributes: Readonly<Record<string, string>>
  readonly children: (Element | string)[]
}

/** `html` is a sheet as `buildSheet` writes it: its body is well-formed XML. */
export function sheetDocument(html: string, title: string, warning: string): SheetDocument {
  const body = parseBody(html)
  const content = blocks(body.children).filter((b) => !isStop(b))
  return { title, warning, content: turned(together(content)) }
}

function parseBody(html: string): Element {
  const from = html.indexOf("<body")
  const to = html.lastIndexOf("</body>") + "</body>".length
  const root: Element = { name: "", attributes: {}, children: [] }
  const open = [root]
  const parser = new SaxesParser({ fragment: true })
  parser.on("opentag", ({ name, attributes, isSelfClosing }) => {
    const element: Element = { name, attributes: attributes as Record<string, string>, children: [] }
    open.at(-1)!.children.push(element)
    if (!isSelfClosing) open.push(element)
  })
  parser.on("closetag", ({ isSelfClosing }) => {
    if (!isSelfClosing) open.pop()
  })
  parser.on("text", (text) => {
    open.at(-1)!.children.push(text)
  })
  parser.write(html.slice(from, to)).close()
  return root.children.find((c): c is Element => typeof c !== "string")!
}

const classes = (e: Element) => (e.attributes.class ?? "").split(" ").filter((c) => c !== "")
const isStop = (b: Block) => "style" in b && b.style?.includes("stop") === true

const styled = (b: Block | undefined, ...styles: string[]) =>
  b !== undefined && "style" in b && styles.some((s) => b.style?.includes(s))
const isHeading = (b: Block | undefined): b is Extract<Block, { text: unknown }> =>
  b !== undefined && "text" in b && styled(b, "h2", "h3")

/** No heading stands alone at a page's foot: it goes with its figure or its list, or heads the rows of its table. */
function together(content: readonly Block[]): Block[] {
  const out: Block[] = []
  for (let i = 0; i < content.length; ) {
    const first = content[i]!
    if (!isHeading(first)) {
      out.push(first)
      i++
      continue
    }
    const lead: Block[] = [first]
    while (lead.length < 4 && (isHeading(content[i + lead.length]) || styled(content[i + lead.length], "p")))
      lead.push(content[i + lead.length]!)
    const next = content[i + lead.length]
    i += lead.length
    const last = lead.at(-1)!
    if (next && "table" in next && isHeading(last)) {
      if (lead.length > 1) out.push(kept(lead.slice(0, -1)))
      out.push(headed(last, next))
      i++
    } else if (next && (("ul" in next && next.ul.length < 9) || ("ol" in next && next.ol.length < 9))) {
      out.push(kept([...lead, next]))
      i++
    } else if (next && styled(next, "figure") && !isAcross(next) && heightOf(next) < keptHeight) {
      out.push(kept([...lead, next]))
      i++
    } else out.push(kept(lead))
  }
  return out
}

function kept(lead: readonly Block[]): Block {
  const [first] = lead
  if (lead.length === 1) return first!
  const turn = "pageBreak" in first! && first.pageBreak ? ({ pageBreak: "before" } as const) : {}
  const inner = "text" in first! ? [{ text: first.text, style: first.style }, ...lead.slice(1)] : lead
  return { stack: inner, unbreakable: true, ...turn }
}

/** The heading as the table's first row, which comes again on every page of it. */
function headed(
  { text, style, pageBreak }: Extract<Block, { text: unknown }>,
  t: Extract<Block, { table: unknown }>,
): Block {
  const { table } = t
  const columns = table.widths.length
  const nothing: Block = { text: [], style: [] }
  const row: Block[] = [
    { text, style, colSpan: columns },
    ...Array.from({ length: columns - 1 }, () => nothing),
  ]
  const own: Block = {
    ...t,
    style: [...t.style, "headed"],
    table: { ...table, headerRows: table.headerRows + 1, body: [row, ...table.body] },
  }
  return pageBreak ? { stack: [own], pageBreak } : own
}

/** Height of a figure's drawings, mm. */
const heightOf = (b: Block): number =>
  "svg" in b
    ? b.height / pointsPerMm
    : "stack" in b
      ? b.stack.reduce((sum, inner) => sum + heightOf(inner), 0)
      : 0
const isAcross = (b: Block) => styled(b, "across")

/** A drawing that lies across has a page of that kind; what follows stands upright again. */
function turned(content: readonly Block[]): Block[] {
  return content.map((b, i) => {
    if (isAcross(b)) return { ...b, pageBreak: "before", pageOrientation: "landscape" } as Block
    if (i === 0 || !isAcross(content[i - 1]!)) return b
    const upright = { pageBreak: "before", pageOrientation: "portrait" } as const
    return "text" in b || "stack" in b ? { ...b, ...upright } : { stack: [b], ...upright }
  })
}

const inline = new Set(["b", "code", "span", "i", "em", "strong", "a", "br"])

/** Neighbouring text and inline elements become one paragraph; block elements stand for themselves. */
function blocks(children: readonly (Element | string)[]): Block[] {
  const out: Block[] = []
  let runs: (Element | string)[] = []
  const flush = () => {
    if (runs.some((r) => typeof r !== "string" || r.trim() !== ""))
      out.push({ text: trimmed(runsOf(runs, [])), style: ["p"] })
    runs = []
  }
  for (const c of children) {
    if (typeof c === "string" || inline.has(c.name)) runs.push(c)
    else {
      flush()
      out.push(...block(c))
    }
  }
  flush()
  return out
}

function block(e: Element): Block[] {
  const own = classes(e)
  switch (e.name) {
    case "h1":
    case "h2":
    case "h3":
    case "p":
    case "figcaption": {
      const at = own.includes("page") ? ({ pageBreak: "before" } as const) : {}
      return [{ text: trimmed(runsOf(e.children, [])), style: [e.name, ...own], ...at }]
    }
    case "ul":
    case "ol": {
      const items = e.children.filter((c): c is Element => typeof c !== "string").map(item)
      return [e.name === "ul" ? { ul: items } : { ol: items }]
    }
    case "table":
      return [tableOf(e)]
    case "svg":
      return [drawing(e)]
    case "figure":
      return [{ stack: blocks(e.children), unbreakable: true, style: ["figure", ...own] }]
    default:
      return [{ stack: blocks(e.children), style: [e.name, ...own] }]
  }
}

function item(e: Element): Block {
  const tick = classes(e).includes("tick") ? ["[   ]\u00a0 "] : []
  const inner = blocks([...tick, ...e.children])
  return inner.length === 1 ? inner[0]! : { stack: inner }
}

function tableOf(e: Element): Block {
  const rows = (part: string) =>
    find(e, part).flatMap((p) =>
      find(p, "tr").map((tr) => tr.children.filter((c): c is Element => typeof c !== "string")),
    )
  const head = rows("thead")
  const body = [...head, ...rows("tbody")]
  const columns = Math.max(...body.map((r) => r.length))
  const cell = (c: Element | undefined): Block =>
    c === undefined
      ? { text: [], style: [] }
      : { text: trimmed(runsOf(c.children, [])), style: [c.name, ...classes(c)] }
  return {
    table: {
      headerRows: head.length,
      widths: shareOut(
        Array.from({ length: columns }, (_, k) => body.map((r) => r[k])),
        classes(e).includes("small") ? 7 : 8,
      ),
      body: body.map((r) => Array.from({ length: columns }, (_, k) => cell(r[k]))),
      dontBreakRows: true,
      keepWithHeaderRows: 1,
    },
    style: ["table", ...classes(e)],
    layout: "sheet",
  }
}

/** Blank kept between two columns, points; the page setter's tables have it at the right of each cell. */
export const columnGap = 6

/**
 * Widths of columns, points: each as much as its longest word (or number) asks, the rest in proportion to its
 * longest text, which makes the rows lowest. A letter is taken as 0.57 of the size wide.
 */
function shareOut(columns: readonly (readonly (Element | undefined)[])[], size: number): number[] {
  const letter = 0.57 * size
  const asked = columns.map((cells) => {
    const words = cells.flatMap((c) => {
      const text = textOf(c)
      return c && classes(c).some((k) => ["n", "red", "amber", "green"].includes(k))
        ? [text]
        : text.split(/\s+|(?<=[-/,;…])/)
    })
    const longest = Math.max(0, ...words.map((w) => w.length))
    const full = Math.max(0, ...cells.map((c) => textOf(c).length))
    return { least: (Math.min(longest, 34) + 0.5) * letter, more: Math.max(0, Math.min(full, 140) - longest) }
  })
  const room = textWidth * pointsPerMm - columns.length * columnGap
  const least = asked.reduce((sum, a) => sum + a.least, 0)
  if (least >= room) return asked.map((a) => (a.least * room) / least)
  const more = asked.reduce((sum, a) => sum + a.more, 0)
  // Where nobody asks for more the last column takes it.
  return asked.map((a, k) =>
    more > 0
      ? a.least + ((room - least) * a.more) / more
      : a.least + (k === columns.length - 1 ? room - least : 0),
  )
}

function drawing(e: Element): Block {
  const mm = (name: string) => Number.parseFloat(e.attributes[name] ?? "0")
  const [most, high] = classes(e).includes("across") ? [acrossWidth, acrossHeight] : [textWidth, textHeight]
  const scale = classes(e).includes("wide") ? Math.min(1, most / mm("width"), high / mm("height")) : 1
  const width = mm("width") * scale * pointsPerMm
  const height = mm("height") * scale * pointsPerMm
  // The one font the sheet is set in carries the drawing's words too.
  const attributes = {
    ...e.attributes,
    width: String(width),
    height: String(height),
    "font-family": "Roboto",
  }
  return { svg: xml({ ...e, attributes }), width, height }
}

function runsOf(children: readonly (Element | string)[], style: readonly string[]): Run[] {
  return children.flatMap((c): Run[] => {
    if (typeof c === "string") {
      const text = c.replace(/\s+/g, " ")
      return text === "" ? [] : [style.length > 0 ? { text, style } : { text }]
    }
    if (c.name === "br") return [{ text: "\n" }]
    return runsOf(c.children, [...style, c.name, ...classes(c)])
  })
}

/** No blank at either end. */
function trimmed(runs: readonly Run[]): Run[] {
  return runs
    .map((r, i) => {
      let { text } = r
      if (i === 0) text = text.trimStart()
      if (i === runs.length - 1) text = text.trimEnd()
      return { ...r, text }
    })
    .filter((r) => r.text !== "")
}

const find = (e: Element, name: string) =>
  e.children.filter((c): c is Element => typeof c !== "string" && c.name === name)
const textOf = (e: Element | string | undefined): string =>
  e === undefined ? "" : typeof e === "string" ? e : e.children.map(textOf).join("")

function xml(e: Element | string): string {
  if (typeof e === "string") return escaped(e)
  if (e.name === "text" && e.attributes["paint-order"] === "stroke") {
    // The page setter paints strokes last: the white edge goes under the word as a word of its own.
    const { stroke, "stroke-width": width, "paint-order": order, ...plain } = e.attributes
    return (
      xml({ ...e, attributes: { ...plain, stroke: stroke!, "stroke-width": width! } }) +
      xml({ ...e, attributes: plain })
    )
  }
  const attributes = Object.entries(e.attributes).map(([k, v]) => ` ${k}="${escaped(v)}"`)
  return `<${e.name}${attributes.join("")}>${e.children.map(xml).join("")}</${e.name}>`
}

const escaped = (text: string) =>
  text.replace(/[&<>"]/g, (c) => ({ "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" })[c]!)
