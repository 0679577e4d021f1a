// The build sheet's part about boards that are cut together from one sheet.

import { showNumber } from "../0-ground/text/show.ts"
import type { PackInput } from "./artefact.ts"
import { drawSheet } from "./draw-sheet.ts"
import { escapeXml, type Scene } from "./scene.ts"
import { code, right, table } from "./sheet-table.ts"

/** Empty where no sheet is shared. `figure`: a scene as the build sheet shows it. */
export function sharedSheetsPart(
  { lamp, plan, boards, copper, proof }: PackInput,
  figure: (scene: Scene, file: string) => string,
  clock: (seconds: number) => string,
): string {
  const sheets = plan.sheets ?? []
  if (sheets.length === 0) return ""
  const laid = new Set(sheets.flatMap((s) => s.places.map((p) => p.board)))
  const alone = boards.boards.filter((b) => !laid.has(b.name)).map((b) => escapeXml(b.name))
  const inOneFile = new Set(
    (plan.extras ?? []).flatMap((e) => (e.kind === "one-file" && e.board !== undefined ? [e.board] : [])),
  )
  const kind = { engrave: "engrave", clear: "clear", drill: "drill", outline: "cut out" } as const
  return `<h2 class="page" id="shared-sheets">Boards from one sheet</h2>
<p>${laid.size} boards lie on ${sheets.length} ${sheets.length === 1 ? "sheet" : "sheets"}: one clamping, one probing and one run for each tool instead of one for each board. Run either these programs or the boards’ own below, not both.${alone.length > 0 ? ` Not among them, for want of room inside the clamping edge: ${alone.join(", ")}; cut by its own programs.` : ""}</p>
${sheets
  .map((sheet) => {
    const proven = proof.sheets?.find((s) => s.sheet === sheet.name)?.boards ?? []
    const rows = sheet.programs.map((p, i) => [
      right(`${i + 1}`),
      kind[p.purpose],
      p.tool,
      code(`cut/${sheet.name}/${inOneFile.has(sheet.name) ? `${sheet.name}-all.ngc` : p.file}`),
      right(clock(p.time)),
    ])
    const places = sheet.places.map((p, i) => {
      const found = proven.find((b) => b.board === p.board)
      return [
        right(`${i + 1}`),
        p.board,
        p.turn === 0 ? "as drawn" : `${p.turn}°`,
        right(found ? `${found.shorts.length} / ${found.opens.length}` : "not found"),
        right(found ? `${showNumber(found.narrowestCopper)} mm` : ""),
      ]
    })
    return `<h3>${escapeXml(sheet.name)}, ${showNumber(sheet.size.w)} × ${showNumber(sheet.size.h)} mm</h3>
${figure(drawSheet(lamp, sheet, boards.boards, copper.boards), `drawings/${sheet.name}.svg`)}
${table(["", "Step", "Tool", "Program", right("Time")], rows)}
${table(["Cut out", "Board", "Turned", right("Shorts / opens"), right("Narrowest copper")], places)}
<ol>
<li>Clamp the sheet on scrap board within the dashed edge; zero x and y at its lower left corner, z on the copper. Leave the clamps and the zero alone until the last program.</li>
<li>Where it is not flat, measure it once for all boards with <code>cut/${escapeXml(sheet.name)}/${escapeXml(sheet.name)}-0-probe.ngc</code> and bend the engraving program with <code>lampwright warp</code>.</li>
<li>Look at every groove of every board before the first drill goes in: after the outlines nothing can be cut again in place.</li>
<li>The boards hang in the sheet by their tabs. Stop the spindle and take the sheet out before the first tab is cut by hand.</li>
</ol>`
  })
  .join("\n")}
`
}
