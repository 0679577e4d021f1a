// Tables for a spreadsheet: RFC 4180, and no cell that a spreadsheet would run as a formula.

/** CRLF line ends, quotes doubled, a header line first. Cells beginning with = + - @ or a control mark get a ' before. */
export function csv(header: readonly string[], rows: readonly (readonly (string | number)[])[]): string {
  return [header, ...rows].map((row) => `${row.map(cell).join(",")}\r\n`).join("")
}

function cell(value: string | number): string {
  // A number cannot be a formula, and must stay one.
  if (typeof value === "number") return Number.isFinite(value) ? String(value) : ""
  const safe = /^[=+\-@\t\r\n]/.test(value) ? `'${value}` : value
  return /[",\r\n]/.test(safe) ? `"${safe.replace(/"/g, '""')}"` : safe
}
