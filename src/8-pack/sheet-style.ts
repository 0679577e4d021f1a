// How the build sheet looks on screen and on A4 or Letter paper. Colour never carries meaning alone.

export const sheetStyle = `
:root { --paper: #f4f0e7; --ink: #1c2529; --hair: #cfc7b6; --teal: #0b6e6e; --red: #c0281c; --amber: #8a5a00; --green: #3c6332 }
* { box-sizing: border-box }
body { margin: 0 auto; padding: 12mm; max-width: 210mm; background: var(--paper); color: var(--ink);
  font: 10.5pt/1.45 Barlow, "Segoe UI", "Noto Sans", sans-serif; font-variant-numeric: tabular-nums }
h1 { font-size: 20pt; line-height: 1.15; margin: 0 0 2mm }
h2 { font-size: 13.5pt; margin: 8mm 0 2mm; padding-top: 2mm; border-top: 0.4mm solid var(--ink); break-after: avoid }
h3 { font-size: 11pt; margin: 5mm 0 1mm; break-after: avoid }
p, li { max-width: 75ch }
ul, ol { padding-left: 6mm; margin: 1mm 0 }
table { border-collapse: collapse; width: 100%; margin: 2mm 0; font-size: 9pt; line-height: 1.3 }
thead { display: table-header-group }
tr { break-inside: avoid }
th { text-align: left; font-weight: 600; border-bottom: 0.3mm solid var(--ink); padding: 0.8mm 2mm 0.8mm 0; vertical-align: bottom }
td { border-bottom: 0.15mm solid var(--hair); padding: 0.8mm 2mm 0.8mm 0; vertical-align: top; overflow-wrap: break-word }
td.red, td.amber, td.green { white-space: nowrap }
table.small { font-size: 8pt }
td.n, th.n { text-align: right; white-space: nowrap }
code { font-family: ui-monospace, "DejaVu Sans Mono", monospace; font-size: 0.92em; overflow-wrap: anywhere }
td:first-child code { white-space: nowrap }
.cautions { border: 0.6mm solid var(--ink); padding: 3mm 5mm; margin: 4mm 0 }
.cautions h2 { border: 0; margin: 0; padding: 0 }
.verdict { font-size: 13pt; font-weight: 700 }
.red { color: var(--red); font-weight: 700 } .amber { color: var(--amber); font-weight: 600 } .green { color: var(--green) }
.quiet { color: #5d5a50 }
figure { margin: 4mm 0; break-inside: avoid }
figure svg { display: block; background: #fff }
figure svg.wide { max-width: 100%; height: auto }
.tick::before { content: "☐ "; font-size: 1.1em }
@page { margin: 12mm }
@page across { size: landscape; margin: 12mm }
@media print {
  body { max-width: none; padding: 0; background: #fff; font-size: 9.5pt; line-height: 1.32 }
  p { margin: 1.5mm 0 }
  h2 { margin-top: 6mm } h3 { margin-top: 3.5mm }
  table { font-size: 8.4pt; line-height: 1.22 } table.small { font-size: 7.6pt }
  td, th { padding-top: 0.5mm; padding-bottom: 0.5mm }
  figure svg.wide { max-width: 100%; height: auto }
  figure.across { page: across; break-before: page; break-after: page; margin: 0 }
  figure.across svg { max-height: 165mm }
  h2.page { break-before: page; border-top: 0 }
}
`

/** Added when something is red: the words stand on the screen's upper edge and in the margin of every printed page. */
export const stopStyle = `
.stop { position: sticky; top: 0; margin: -12mm -12mm 6mm; background: #fff; color: var(--red);
  border-bottom: 0.6mm solid var(--red); font-size: 13pt; font-weight: 700; text-align: center; padding: 1.5mm; z-index: 1 }
@page { margin-top: 18mm; @top-center { content: "DO NOT CUT: at least one finding is red."; font: bold 13pt sans-serif; color: #c0281c } }
@media print { .stop { position: static; margin: 0 0 4mm } }
`
