// Well-formed texts that go to extremes: their syntax is right, so that what stands behind the parser is reached.
// Huge, tiny and odd numbers, thousands of holes, zero sizes, deep nesting, doubled names, names that lead in circles
// or out of the folder. The same for the same chance.

import { parse, stringify } from "yaml"
import type { Random } from "../../src/0-ground/numbers/random.ts"

const pick = <T>(list: readonly T[], { below }: Random): T => list[below(list.length)]!
const times = <T>(n: number, make: (k: number) => T): T[] => Array.from({ length: n }, (_, k) => make(k))

/** Names a builder, a careless tool or somebody ill-meaning may write. */
export const oddNames = [
  "../../escaped",
  "..",
  ".",
  "/etc/passwd",
  "C:\\windows\\win.ini",
  "a/b",
  "a\\b",
  "CON",
  "nul",
  "com1.txt",
  "-rf",
  "--out",
  "__proto__",
  "constructor",
  "hasOwnProperty",
  "toString",
  "earth",
  "controller",
  "supply",
  "",
  " ",
  "x".repeat(300),
  "Ø 5,2 mm",
  "灯",
  "💡",
  "e\u0301",
  "\u202Eevil",
  "a\u0000b",
  "<script>alert(1)</script>",
  "]]>",
  "%00",
  "a%2f..%2fb",
  "=1+1",
  "U1",
  "R1",
  "X-earth",
  "NaN",
  "null",
  "~",
  "1e9",
]
const amounts = [
  "0",
  "-1",
  "1e-300",
  "1e300",
  "1e9",
  "999999",
  "0.001",
  "0.0000001",
  "12.5",
  "1",
  "2",
  "3",
  "1e15",
]
const units = [
  "mm",
  "V",
  "A",
  "mA",
  "°",
  "%",
  "ms",
  "°C",
  "W",
  "mm²",
  "m",
  "mm/min",
  "/min",
  "µm",
  "Ω",
  "cd",
  "",
  "kg",
]
const wordsOfNumbers: readonly unknown[] = [
  "NaN",
  Number.NaN,
  Number.POSITIVE_INFINITY,
  ".inf",
  "-.inf",
  "0x10",
  "1_000",
  "1,5 mm",
  0,
  -0,
  1e308,
  1e-320,
  2 ** 53,
  true,
  null,
  [],
  {},
  "",
  "off",
]

type Node = unknown
type Tree = Record<string, Node> | Node[]
const isTree = (n: Node): n is Tree => typeof n === "object" && n !== null

/** Every place of the tree that holds something: the tree and the key. */
function places(node: Node, out: { readonly tree: Tree; readonly key: string }[] = []) {
  if (!isTree(node)) return out
  for (const key of Object.keys(node)) {
    out.push({ tree: node, key })
    places((node as Record<string, Node>)[key], out)
  }
  return out
}

const get = (tree: Tree, key: string): Node => (tree as Record<string, Node>)[key]
function put(tree: Tree, key: string, value: Node): void {
  Object.defineProperty(tree, key, { value, enumerable: true, configurable: true, writable: true })
}
const copy = (n: Node): Node => structuredClone(n)

/** Renames a key and keeps its place in the order. */
function rename(tree: Tree, from: string, to: string): void {
  if (Array.isArray(tree)) return
  const entries = Object.entries(tree)
  for (const [k] of entries) delete tree[k]
  for (const [k, v] of entries) put(tree, k === from ? to : k, v)
}

/** One to five changes of a tree: values to extremes, names exchanged, doubled or odd, parts multiplied or nested. */
function strain(root: Node, chance: Random, most = 5): void {
  const { below } = chance
  for (let n = 1 + below(most); n > 0; n--) {
    const all = places(root)
    if (all.length === 0) return
    const { tree, key } = pick(all, chance)
    const value = get(tree, key)
    switch (below(12)) {
      case 0:
      case 1:
        put(tree, key, `${pick(amounts, chance)} ${pick(units, chance)}`.trim())
        break
      case 2:
      case 3: // Its own unit, another amount.
        put(
          tree,
          key,
          typeof value === "string"
            ? value.replace(/-?\d+(\.\d+)?/g, () => pick(amounts, chance))
            : pick(wordsOfNumbers, chance),
        )
        break
      case 4:
        put(tree, key, pick(wordsOfNumbers, chance))
        break
      case 5:
        put(tree, key, pick(oddNames, chance))
        break
      case 6:
        rename(tree, key, pick(oddNames, chance))
        break
      case 7: {
        // A name from elsewhere: doubled, or a circle.
        const other = pick(all, chance)
        if (below(2) === 0) rename(tree, key, other.key)
        else put(tree, key, other.key)
        break
      }
      case 8: // What stands elsewhere stands here.
        put(tree, key, copy(get(pick(all, chance).tree, pick(all, chance).key) ?? value))
        break
      case 9: {
        let deep: Node = value
        for (let k = below(60); k > 0; k--) deep = below(2) === 0 ? [deep] : { a: deep }
        put(tree, key, deep)
        break
      }
      case 10: {
        const many = 1 + below(below(30) === 0 ? 2000 : 30)
        if (Array.isArray(tree)) for (let k = 0; k < many; k++) tree.push(copy(value))
        else for (let k = 0; k < many; k++) put(tree, `${key}-${k}`, copy(value))
        break
      }
      default:
        if (Array.isArray(tree)) tree.splice(Number(key), 1)
        else delete tree[key]
    }
  }
}

/** A tree of its own each time; each text is parsed once. */
function treeOf(whole: string): Record<string, unknown> {
  const known = parsed.get(whole) ?? (parse(whole) as Record<string, unknown>)
  parsed.set(whole, known)
  return structuredClone(known)
}
const parsed = new Map<string, Record<string, unknown>>()

/** A description of right syntax from a whole one. */
export function extremeYaml(whole: string, chance: Random): string {
  const root = treeOf(whole)
  if (chance.below(12) === 0) crowd(root, chance)
  if (chance.below(8) > 0) strain(root, chance)
  return stringify(root, { aliasDuplicateObjects: chance.below(2) === 0, lineWidth: 0 }).slice(0, 400_000)
}

/** A lamp near a sound one, so that it can be designed from: a few amounts between a tenth and ten times, a few LEDs more or less. */
export function nearbyYaml(whole: string, chance: Random): string {
  const root = parse(whole) as Record<string, unknown>
  const { below } = chance
  if (below(4) === 0)
    put(
      root,
      "name",
      pick(
        oddNames.filter((n) => n.trim() !== ""),
        chance,
      ),
    )
  const scaled = places(root).filter(
    ({ tree, key }) => /^-?[\d.]+ ?\D/.test(String(get(tree, key))) || typeof get(tree, key) === "number",
  )
  for (let n = below(4); n > 0; n--) {
    const { tree, key } = pick(scaled, chance)
    const value = get(tree, key)
    const factor = below(3) === 0 ? pick([0.1, 0.5, 2, 10], chance) : 0.8 + 0.4 * chance.next()
    const to = (v: number) => Number((v * factor).toPrecision(6))
    put(
      tree,
      key,
      typeof value === "number"
        ? Math.max(1, Math.round(to(value)))
        : String(value).replace(/-?\d+(\.\d+)?/g, (v) => String(to(Number(v)))),
    )
  }
  if (below(4) === 0) crowd(root, chance)
  if (below(4) === 0) {
    const { tree, key } = pick(places(root), chance)
    if (Array.isArray(tree)) tree.splice(Number(key), 1)
    else delete tree[key]
  }
  return stringify(root, { lineWidth: 0 })
}

/** Faces that are large, crowded or of no size, with holes and LEDs to match. */
function crowd(root: Record<string, unknown>, chance: Random): void {
  const faces = root.faces
  if (!isTree(faces)) return
  const key = pick(Object.keys(faces), chance)
  const { below } = chance
  const w = pick([0, 1e-6, 1, 60, 400, 5000, 1e7], chance)
  const h = pick([0, 1e-6, 1, 24, 400, 5000, 1e7], chance)
  const count = pick([0, 1, 2, 40, 400, 500, 3000, 1e9], chance)
  const hole = pick(["0 mm", "0.001 mm", "5.2 mm", "300 mm", "1e9 mm"], chance)
  const at = (v: number) => `${(v * below(1000)) / 1000} mm`
  const holes: unknown = pick(
    [
      { along: "line", from: [at(w), at(h)], to: [at(w), at(h)], count },
      { along: "arc", centre: [at(w), at(h)], radius: at(w), from: "0°", to: `${below(100000)}°`, count },
      { along: "list", points: times(Math.min(count, 4000), () => [at(w), at(h)]) },
      times(Math.min(count, 500), (k) => ({
        along: "line",
        from: [at(w), at(h)],
        to: [at(w), at(h)],
        count: 500,
        name: `h${k}`,
      })),
    ],
    chance,
  )
  const corner = pick(["0 mm", "4 mm", "1e6 mm"], chance)
  const points = times(pick([0, 1, 2, 3, 5, 500, 5000], chance), () => [at(w), at(h)])
  const outline = below(3) === 0 ? { points } : { rectangle: `${w} × ${h} mm`, corner }
  put(faces, key, { outline, holes, metal: "aluminium", thickness: "2 mm", hole })
}

/** Another document of right syntax: a tree as JSON. */
export function extremeJson(whole: string, chance: Random): string {
  let root: unknown
  try {
    root = JSON.parse(whole)
  } catch {
    return whole
  }
  strain(root, chance, 2)
  return JSON.stringify(root)
}

const numbers = [
  "0",
  "-0",
  "1",
  "-1",
  "0.5",
  "2.6",
  "100",
  "1e-9",
  "1e-300",
  "1e9",
  "1e154",
  "1e300",
  "-1e9",
  "354",
  "110",
  "0.0001",
]
const number = (chance: Random) =>
  chance.below(3) === 0 ? pick(numbers, chance) : String((chance.below(8000) - 2000) / 20)

/** A drawing of right syntax with the given groups: shapes of every kind, transforms within transforms. */
export function extremeSvg(groups: readonly string[], chance: Random): string {
  const { below } = chance
  const n = () => number(chance)
  const transform = () =>
    pick(
      [
        () => "",
        () => ` transform="translate(${n()} ${n()})"`,
        () => ` transform="rotate(${n()} ${n()} ${n()})"`,
        () => ` transform="scale(${n()} ${n()})"`,
        () => ` transform="matrix(${n()} ${n()} ${n()} ${n()} ${n()} ${n()})"`,
        () => ` transform="skewX(${n()}) scale(-1)"`,
      ],
      chance,
    )()
  const path = () =>
    times(1 + below(below(12) === 0 ? 900 : 9), (k) =>
      k === 0
        ? `M${n()} ${n()}`
        : pick(
            [
              () => `L${n()} ${n()}`,
              () => `l${n()} ${n()}`,
              () => `A${n()} ${n()} ${n()} ${below(2)} ${below(2)} ${n()} ${n()}`,
              () => `C${n()} ${n()} ${n()} ${n()} ${n()} ${n()}`,
              () => `q${n()} ${n()} ${n()} ${n()}`,
              () => `t${n()} ${n()}`,
              () => `H${n()}`,
              () => "Z",
              () => `Zm${n()} ${n()}`,
            ],
            chance,
          )(),
    ).join(" ")
  const shape = (k: number) => {
    const id =
      below(3) === 0
        ? ` id="${pick(["u1", "l1", "same", "__proto__", "../x", "灯"], chance)}"`
        : ` id="s${k}"`
    return pick(
      [
        () => `<circle${id} cx="${n()}" cy="${n()}" r="${n()}"${transform()}/>`,
        () => `<circle${id} cx="${below(300)}" cy="${below(100)}" r="2.6"/>`,
        () => `<ellipse${id} cx="${n()}" cy="${n()}" rx="${n()}" ry="${n()}"${transform()}/>`,
        () => `<rect${id} x="${n()}" y="${n()}" width="${n()}" height="${n()}" rx="${n()}"${transform()}/>`,
        () => `<polygon${id} points="${times(below(40), () => `${n()},${n()}`).join(" ")}"/>`,
        () => `<path${id} d="${path()} Z"${transform()}/>`,
        () => `<path${id} d="M0 0L300 0L300 100L0 100Z"/>`,
        () => `<text${id}>${"&lt;script&gt;"}</text>`,
      ],
      chance,
    )()
  }
  const many = () => below(below(60) === 0 ? 3000 : 30)
  const group = (id: string) => {
    const deep = below(6) === 0 ? below(200) : 0
    return `<g id="${id}"${transform()}>${times(deep, () => `<g${transform()}>`).join("")}${times(many(), shape).join("")}${"</g>".repeat(deep)}</g>`
  }
  const unit = pick(["mm", "in", "pt", "px", "", "cm", "%"], chance)
  const size =
    below(3) === 0
      ? `width="${n()}${unit}" height="${n()}${unit}" viewBox="${n()} ${n()} ${n()} ${n()}"`
      : 'width="354mm" height="110mm" viewBox="0 0 354 110"'
  return `<svg xmlns="http://www.w3.org/2000/svg" ${size}>${groups.map(group).join("\n")}</svg>`
}

/** Lines of numbers under a header. */
export function extremeCsv(header: string, names: readonly string[], chance: Random): string {
  const { below } = chance
  const columns = header.split(",").length
  const odd = () =>
    pick([...numbers, "", "NaN", "Infinity", "-", "OL", "open", '"1"', "1e999", "\u0661"], chance)
  const rows = times(below(below(20) === 0 ? 20_000 : 60), (k) =>
    times(columns, (c) =>
      c === 0 && names.length > 0
        ? pick([...names, names[k % names.length]!, "nobody"], chance)
        : below(5) > 0
          ? String(below(900) / 10)
          : odd(),
    ).join(","),
  )
  return [header, ...rows].join(pick(["\n", "\r\n"], chance))
}

/** A program in words a controller understands. */
export function extremeProgram(chance: Random): string {
  const { below } = chance
  const n = () => number(chance)
  const short = () => String((below(2000) - 200) / 10)
  const word = () => (below(8) === 0 ? n() : short())
  const lines = times(10 + below(below(20) === 0 ? 4000 : 120), () =>
    pick(
      [
        () => `G1 X${word()} Y${word()} F${word()}`,
        () => `G0 X${word()} Y${word()} Z${word()}`,
        () => `X${word()} Y${word()}`,
        () => `G2 X${word()} Y${word()} I${word()} J${word()}`,
        () => `G3 X${word()} Y${word()} R${word()}`,
        () => `G81 X${word()} Y${word()} Z-2 R1 F${word()}`,
        () => `G4 P${word()}`,
        () =>
          pick(
            [
              "G20",
              "G21",
              "G90",
              "G91",
              "G17",
              "G18",
              "G94",
              "M3 S12000",
              "M5",
              "M0",
              "T1 M6",
              "G80",
              "G54",
              "(PASS)",
              "M30",
              "M2",
            ],
            chance,
          ),
        () => `G1 Z-0.1 F${word()}`,
        () => "G0 Z3",
      ],
      chance,
    )(),
  )
  return ["G21 G90 G94", ...lines, "M2", ""].join("\n")
}

/** A recording of wires with any scale, step and count. */
export function extremeVcd(wires: readonly string[], chance: Random): string {
  const { below } = chance
  const letters = wires.map((_, i) => String.fromCharCode(33 + i))
  const deep = below(5) === 0 ? below(300) : 1
  let now = 0
  const far = pick([1, 330, 1e6, 1e12, 2 ** 53, 1e30], chance)
  const changes = times(below(below(20) === 0 ? 30_000 : 300), () => {
    now += below(3) === 0 ? 0 : far * chance.next()
    const letter = below(letters.length)
    const value = pick(["0", "1", "x", "z", "b1010 ", "r13.5 ", "r-1e300 ", "rNaN "], chance)
    return `#${now < 1e15 ? Math.round(now) : BigInt(Math.round(Math.min(now, 1e200)))}\n${value}${letters[letter]}`
  })
  return [
    `$timescale ${pick(["1", "10", "100"], chance)} ${pick(["s", "ms", "us", "ns", "ps", "fs"], chance)} $end`,
    ...times(deep, (k) => `$scope module m${k} $end`),
    ...wires.map(
      (w, i) =>
        `$var ${pick(["wire 1", "real 64", "wire 32"], chance)} ${letters[i]} ${below(8) === 0 ? "same" : w} $end`,
    ),
    ...times(deep, () => "$upscope $end"),
    "$enddefinitions $end",
    ...changes,
  ].join("\n")
}

/** A photometric file whose counts agree with its numbers. */
export function extremeIes(chance: Random): string {
  const { below } = chance
  const wild = below(3) > 0
  const count = () => 1 + below(below(15) === 0 ? 400 : 12)
  const [v, h] = [count(), count()]
  const steps = (k: number, to: number) =>
    times(k, (i) => (k === 1 ? "0" : wild && below(20) === 0 ? number(chance) : String((to * i) / (k - 1))))
  const candela = times(v * h, () => (wild && below(30) === 0 ? number(chance) : String(below(5000))))
  const declared =
    wild && below(10) === 0 ? [pick(numbers, chance), pick(numbers, chance)] : [String(v), String(h)]
  const wrap = (words: readonly string[]) => {
    const out: string[] = []
    for (let i = 0; i < words.length; i += 12) out.push(words.slice(i, i + 12).join(" "))
    return out
  }
  const type = pick(["1", "2", "3"], chance)
  return [
    pick(["IESNA:LM-63-2002", "IESNA:LM-63-1995", "IESNA91"], chance),
    "[TEST] T1",
    `[${pick(["LAMP", "__proto__", "MORE", "_X"], chance)}] ${pick(oddNames, chance).replace(/\0/g, "")}`,
    "TILT=NONE",
    `1 ${pick(["-1", "1000", "1e300"], chance)} ${wild ? number(chance) : "1"} ${declared.join(" ")} ${type} 2 ${number(chance)} 0 0`,
    `1 1 ${number(chance)}`,
    ...wrap(steps(v, pick([90, 180], chance))),
    ...wrap(steps(h, pick([0, 90, 180, 360], chance))),
    ...wrap(candela),
    "",
  ].join("\r\n")
}

/** Records with right sums: any place, length and kind. */
export function extremeHex(chance: Random): string {
  const { below } = chance
  const record = (address: number, type: number, data: readonly number[]) => {
    const bytes = [data.length, (address >> 8) & 255, address & 255, type, ...data]
    const sum = (256 - (bytes.reduce((a, b) => a + b, 0) & 255)) & 255
    return `:${[...bytes, sum].map((b) => b.toString(16).toUpperCase().padStart(2, "0")).join("")}`
  }
  const far = () => times(2, () => below(256))
  const lines = times(1 + below(below(15) === 0 ? 6000 : 80), (k) =>
    pick(
      [
        () =>
          record(
            (k * 16) & 65535,
            0,
            times(16, () => below(256)),
          ),
        () =>
          record(
            (k * 16) & 65535,
            0,
            times(16, () => below(256)),
          ),
        () =>
          record(
            below(65536),
            0,
            times(below(256), () => below(256)),
          ),
        () => record(0, 4, far()),
        () => record(0, 2, far()),
        () => record(0, pick([3, 5], chance), [...far(), ...far()]),
        () =>
          record(
            below(65536),
            below(8),
            times(below(6), () => below(256)),
          ),
      ],
      chance,
    )(),
  )
  return [...lines, ":00000001FF", ""].join("\n")
}
