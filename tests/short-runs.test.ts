// The command sets V8's flags at its start; V8 tells on stderr of a flag it does not know.

import { spawnSync } from "node:child_process"
import { join } from "node:path"
import { pathToFileURL } from "node:url"
import { expect, test } from "vitest"

const script = pathToFileURL(join(import.meta.dirname, "../scripts/short-runs.mjs")).href

function node(code: string) {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    ["--input-type=module", "-e", `import { flagsFor, tuneForShortRuns } from "${script}"; ${code}`],
    { encoding: "utf8" },
  )
  return { status, stdout: stdout.trim(), stderr }
}

test("setting them says nothing on this Node", () => {
  expect(node("tuneForShortRuns(); console.log('on')")).toEqual({ status: 0, stdout: "on", stderr: "" })
})

test("this Node lists every flag that is set on it, and a V8 nobody has looked at gets none", () => {
  const listed = spawnSync(process.execPath, ["--v8-options"], { encoding: "utf8" }).stdout
  const flags = JSON.parse(
    node("console.log(JSON.stringify(flagsFor(process.versions.v8)))").stdout,
  ) as string[]
  for (const flag of flags) {
    const name = flag.replace(/^--(no-)?/, "").replace(/=.*/, "")
    expect(listed, flag).toMatch(new RegExp(`^\\s*--(\\[no-\\]|no-)?${name}\\b`, "m"))
  }
  expect(node("console.log(flagsFor('999.0.1').length)").stdout).toBe("0")
  expect(node("tuneForShortRuns('999.0.1'); console.log('on')")).toMatchObject({ stdout: "on", stderr: "" })
})
