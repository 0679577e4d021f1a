// The pack's folder: the lamp's name as every file system takes it, with the verdict where it matters.

import type { Verdict } from "../../0-ground/finding.ts"

export function packName(lamp: string, verdict: Verdict): string {
  const plain = lamp
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .replace(/ß/g, "ss")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 60)
  // Names some systems keep for devices.
  const taken = /^(con|prn|aux|nul|com\d|lpt\d)$/.test(plain)
  const name = plain === "" ? "lamp" : taken ? `lamp-${plain}` : plain
  return verdict === "do not cut" ? `${name}-DO-NOT-CUT` : name
}
