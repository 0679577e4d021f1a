// Builds the simavr harness when simavr's headers and a C compiler are there; otherwise names what is missing.

import { spawnSync } from "node:child_process"
import { existsSync, mkdtempSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"

export type Live =
  | { readonly run: (args: readonly string[], input: string) => string }
  | { readonly missing: string }

/** `states` tells the core after instructions, `ports` the ports at every change. */
export function liveSimavr(what: "states" | "ports"): Live {
  if (!existsSync("/usr/include/simavr/sim_avr.h"))
    return { missing: "simavr's headers (Debian package libsimavr-dev)" }
  const program = join(mkdtempSync(join(tmpdir(), "lampwright-simavr-")), "harness")
  const file = join(import.meta.dirname, "harness.c")
  const cc = spawnSync("cc", ["-O2", "-o", program, file, "-lsimavr", "-lelf"], { encoding: "utf8" })
  if (cc.error) return { missing: "a C compiler (cc)" }
  if (cc.status !== 0) throw Error(`the simavr harness does not compile:\n${cc.stderr}`)
  return {
    run: (args, input) => {
      const out = spawnSync(program, [what, ...args], { input, encoding: "utf8", maxBuffer: 1 << 28 })
      if (out.status !== 0) throw Error(`simavr harness ended with ${out.status}: ${out.stderr}`)
      return out.stdout
    },
  }
}
