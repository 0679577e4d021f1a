// The elements of a drawing that a key of the description can name, `FILE#id`, in the order they stand in the file.
// Only names are read here; whether an element is a face or an edge the reader says once it is chosen.

export interface NamedElement {
  /** `tern-face.svg#crescent`. */
  readonly reference: string
  /** What the drawing has there, in words. */
  readonly kind: string
}

const kinds: Readonly<Record<string, string>> = {
  svg: "whole drawing",
  g: "group",
  path: "path",
  polygon: "polygon",
  polyline: "line",
  rect: "rectangle",
  circle: "circle",
}

/** What may be named: a face has holes beside its edge, an edge is one closed shape, an order follows one line. */
const uses: readonly (readonly [at: RegExp, tags: string])[] = [
  [/^faces\.[^.]+\.drawing$/, "svg g"],
  [/^boards\.[^.]+\.outline$/, "svg g path polygon rect circle"],
  [/^groups\.[^.]+\.order\.along$/, "g path polygon polyline rect"],
]

/** Smaller circles are holes, in the drawing's own units. */
const leastEdge = 5
/** More than anyone looks through; a drawing program may name every stroke. */
const most = 200

/** Undefined for a key that names no element of a drawing. */
export function namedElements(
  path: string,
  drawings: Readonly<Record<string, string>>,
): readonly NamedElement[] | undefined {
  const tags = uses.find(([at]) => at.test(path))?.[1].split(" ")
  if (!tags) return undefined
  return Object.entries(drawings)
    .filter(([file]) => /\.svg$/i.test(file))
    .flatMap(([file, text]) =>
      elementsIn(text, tags).map(({ id, tag }) => ({
        reference: `${file}#${id}`,
        kind: kinds[tag] ?? tag,
      })),
    )
    .slice(0, most)
}

function elementsIn(text: string, tags: readonly string[]): { readonly id: string; readonly tag: string }[] {
  const shown = text
    .replace(/<!--[\s\S]*?-->|<!\[CDATA\[[\s\S]*?\]\]>/g, "")
    // What is only defined there is drawn nowhere.
    .replace(/<(?:[\w-]+:)?(defs|symbol|clipPath|mask|pattern|marker)\b[\s\S]*?<\/(?:[\w-]+:)?\1\s*>/g, "")
  const seen = new Set<string>()
  return [...shown.matchAll(/<(?:[\w-]+:)?([a-z]+)\b((?:"[^"]*"|'[^']*'|[^'">])*)>/g)].flatMap(
    ([, tag = "", attributes = ""]) => {
      const id = attributeOf(attributes, "id") ?? ""
      if (id === "" || /[#"']/.test(id) || seen.has(id) || !tags.includes(tag)) return []
      if (tag === "circle" && !(Number.parseFloat(attributeOf(attributes, "r") ?? "") >= leastEdge)) return []
      seen.add(id)
      return [{ id, tag }]
    },
  )
}

function attributeOf(attributes: string, name: string): string | undefined {
  const found = new RegExp(`(?:^|\\s)${name}\\s*=\\s*(?:"([^"]*)"|'([^']*)')`).exec(attributes)
  return found ? (found[1] ?? found[2]) : undefined
}
