// The lamp as an eye sees it from 25 m, by day and by night: every LED a point of light, blurred by the eye and
// scattered inside it, against what the eye is used to at the time.

import { boundingBox } from "../../0-ground/geometry/polygon.ts"
import { showNumber } from "../../0-ground/text/show.ts"
import { leds } from "../../1-stock/leds.ts"
import type { Face, Lamp } from "../../2-lamp/artefact.ts"
import type { Beam } from "../../7-proof/artefact.ts"
import { escapeXml, fixed } from "../scene.ts"

/** Metres. */
const distance = 25
/** One pixel on the face, mm. */
const pixel = 2
/** Step of the table of the spread, mm. */
const fine = 0.2
/** Round the face, mm. */
const border = 26
const panel = 88
const levels = 28

/**
 * cd/m² that the eye is used to (a bare metal face by day has about as much), and how many tens above it the picture
 * shows: an eye takes in far more than paper.
 */
export const times = [
  { name: "day", used: 3000, tens: 1.7, face: "#aeb1ad", around: "#c9cbc4", ink: "#1c2529" },
  { name: "night", used: 1, tens: 5, face: "#101316", around: "#0a0c0e", ink: "#e8e4da" },
] as const

export const colours = { red: [255, 42, 28], amber: [255, 158, 22], white: [255, 246, 226] } as const

/**
 * Luminance in cd/m² that one lux at the eye makes `arc` minutes beside its source. Inside: a blur of half a minute
 * (a sharp eye's limit); outside a tenth of a degree the scatter of the CIE's glare formula, 10 ÷ θ³ + 5 ÷ θ².
 */
export function spread(arc: number): number {
  const sigma = 0.5
  const perSteradian = (60 * 180) / Math.PI
  const core = (perSteradian ** 2 / (2 * Math.PI * sigma ** 2)) * Math.exp(-(arc ** 2) / (2 * sigma ** 2))
  const theta = Math.max(0.1, arc / 60)
  return core + 10 / theta ** 3 + 5 / theta ** 2
}

/** Minutes of arc that a length on the face takes up. */
const minutes = (mm: number) => (Math.atan(mm / 1000 / distance) * 180 * 60) / Math.PI

export function seenSvg(lamp: Lamp, beams: readonly Beam[], warning?: string): string {
  const out: string[] = []
  const text = (x: number, y: number, words: string, size: number, more = "") =>
    out.push(`<text x="${fixed(x)}" y="${fixed(y)}" font-size="${size}"${more}>${escapeXml(words)}</text>`)
  text(8, 8, `${lamp.name}: as seen from ${distance} m straight behind`, 5, ' font-weight="700"')
  text(
    8,
    13.5,
    "Computed: usual light, blur of half a minute of arc, scatter by the CIE's glare formula (memory). Enlarged, on a scale of tens.",
    3,
  )
  text(8, 18, "Do not look into LEDs at full current from near. A hand-built lamp is not type-approved.", 3)
  if (warning !== undefined) text(8, 22.5, warning, 3.2, ' font-weight="700" fill="#c0281c"')
  let y = 28
  for (const beam of beams) {
    const face = lamp.groups.find((g) => g.name === beam.group)?.face
    const found = lamp.faces.find((f) => f.name === face)
    if (found) y = row(lamp, found, beam, y, out, text)
  }
  const width = 2 * panel + 24
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${fixed(width)}mm" height="${fixed(y)}mm" viewBox="0 0 ${fixed(width)} ${fixed(y)}" font-family="Barlow, 'Segoe UI', 'Noto Sans', sans-serif" fill="#1c2529">
<title>${escapeXml(`${lamp.name} from ${distance} m`)}</title>
<rect width="${fixed(width)}" height="${fixed(y)}" fill="#fff"/>
${out.join("\n")}
</svg>
`
}

function row(
  lamp: Lamp,
  face: Face,
  beam: Beam,
  top: number,
  out: string[],
  text: (x: number, y: number, words: string, size: number, more?: string) => number,
): number {
  const box = boundingBox(face.outline)
  const { map, columns, lines, brightest } = seenFrom(face, beam)
  const [w, h] = [columns * pixel, lines * pixel]
  const scale = panel / w
  const total = beam.lit.reduce((s, l) => s + l.light, 0)
  text(
    8,
    top,
    `${beam.group} as ${beam.function}: ${showNumber(total)} cd on the axis`,
    3.8,
    ' font-weight="700"',
  )
  const led = lamp.groups.find((g) => g.name === beam.group)?.led ?? ""
  const colour = colours[leds.find(led)?.colour ?? "white"]
  const d = `M${face.outline.map((p) => `${fixed(p.x - box.minX + border)} ${fixed(box.maxY + border - p.y)}`).join("L")}Z`
  times.forEach((time, k) => {
    const x = 8 + k * (panel + 8)
    out.push(
      `<g transform="translate(${fixed(x)} ${fixed(top + 3)}) scale(${scale.toFixed(5)})">`,
      `<rect width="${fixed(w)}" height="${fixed(h)}" fill="${time.around}"/><path d="${d}" fill="${time.face}"/>`,
      ...glow(map, columns, lines, time, colour),
      "</g>",
    )
    const contrast = brightest / time.used
    text(x, top + 7 + h * scale, `By ${time.name}: brightest spot ${showNumber(brightest, 2)} cd/m²`, 3)
    text(
      x,
      top + 11 + h * scale,
      `${contrast >= 1 ? `${showNumber(contrast, 2)} times` : `${showNumber(100 * contrast, 2)} % of`} what the eye is used to (${showNumber(time.used)} cd/m²)${contrast < 0.5 ? ": hard to see" : ""}`,
      3,
    )
  })
  return top + 20 + h * scale
}

/** What reaches an eye 25 m behind the face. */
export interface Seen {
  /** cd/m² at each pixel, row by row from the top left. */
  readonly map: Float64Array
  readonly columns: number
  readonly lines: number
  /** Side of a pixel on the face, mm. */
  readonly pixel: number
  /** Face coordinates of the upper left corner, mm. */
  readonly left: number
  readonly top: number
  readonly brightest: number
}

export function seenFrom(face: Face, beam: Beam): Seen {
  const box = boundingBox(face.outline)
  const columns = Math.ceil((box.maxX - box.minX + 2 * border) / pixel)
  const lines = Math.ceil((box.maxY - box.minY + 2 * border) / pixel)
  const [left, top] = [box.minX - border, box.maxY + border]
  const map = luminances(beam, left, top, columns, lines)
  return { map, columns, lines, pixel, left, top, brightest: map.reduce((a, b) => Math.max(a, b), 0) }
}

/** How bright something looks to an eye used to `used` cd/m², 0…1 over `tens` tens: an eye takes in far more than paper. */
export const looks = (luminance: number, { used, tens }: { readonly used: number; readonly tens: number }) =>
  Math.min(1, Math.log10(1 + luminance / used) / tens)

/** cd/m² at each pixel, row by row from the top left. */
function luminances(beam: Beam, left: number, top: number, columns: number, lines: number): Float64Array {
  const map = new Float64Array(columns * lines)
  // The spread changes little over a fifth of a millimetre.
  const reach = Math.hypot(columns, lines) * pixel
  const table = Float64Array.from({ length: Math.ceil(reach / fine) + 2 }, (_, k) =>
    spread(minutes(k * fine)),
  )
  const lit = beam.lit.filter((l) => l.light > 0)
  for (let j = 0; j < lines; j++)
    for (let i = 0; i < columns; i++) {
      const x = left + (i + 0.5) * pixel
      const y = top - (j + 0.5) * pixel
      let sum = 0
      for (const l of lit) {
        const [dx, dy] = [l.x - x, l.y - y]
        sum += (l.light / distance ** 2) * table[Math.round(Math.sqrt(dx * dx + dy * dy) / fine)]!
      }
      map[j * columns + i] = sum
    }
  return map
}

/** Runs of one brightness as pieces of one path. On a scale of tens from what the eye is used to. */
function glow(
  map: Float64Array,
  columns: number,
  lines: number,
  eye: (typeof times)[number],
  [r, g, b]: readonly [number, number, number],
): string[] {
  const runs: string[][] = Array.from({ length: levels + 1 }, () => [])
  for (let j = 0; j < lines; j++) {
    let from = 0
    let before = -1
    for (let i = 0; i <= columns; i++) {
      const light = i === columns ? Number.NaN : map[j * columns + i]!
      const level = Number.isNaN(light) ? -2 : Math.round(levels * looks(light, eye))
      if (level === before) continue
      if (before > 0) runs[before]!.push(`M${from} ${j}h${i - from}v1h${from - i}z`)
      from = i
      before = level
    }
  }
  return [
    `<g transform="scale(${pixel})" shape-rendering="crispEdges">`,
    ...runs.flatMap((run, level) => {
      if (run.length === 0) return []
      const s = level / levels
      const { colour, cover } = seenColour([r, g, b], s)
      return [
        `<path fill="rgb(${colour.join(",")})" fill-opacity="${cover.toFixed(3)}" d="${run.join("")}"/>`,
      ]
    }),
    "</g>",
  ]
}

/** Colour of light that looks `s` bright (0…1) and how much it covers what lies behind. */
export function seenColour(rgb: readonly [number, number, number], s: number) {
  // Far beyond what the eye is used to, colour pales.
  const pale = Math.max(0, (s - 0.9) / 0.1) * 0.75
  return { colour: rgb.map((c) => Math.round(c + (255 - c) * pale)), cover: Math.min(1, s * 1.15) }
}
