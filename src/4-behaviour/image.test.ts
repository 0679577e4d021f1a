// The prebuilt runtime: the module is the file, the file is what the compiler makes of the sources.

import { execFileSync, spawnSync } from "node:child_process"
import { createHash } from "node:crypto"
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { expect, test } from "vitest"
import { controllers } from "./controllers.ts"
import { runtimeSources } from "./runtime-sources.ts"

const firmware = join(import.meta.dirname, "../../firmware")
const images = controllers.map(({ image, imageHex, imageSha256 }) => ({
  image,
  imageHex,
  imageSha256,
  text: readFileSync(join(firmware, "image", `${image}.hex`), "utf8"),
}))

test.each(images)(
  "$image: the module holds the very bytes of the image file and its recorded hash",
  ({ image, imageHex, imageSha256, text }) => {
    expect(imageHex).toBe(text)
    const recorded = readFileSync(join(firmware, "image", `${image}.sha256`), "utf8")
    expect(recorded).toBe(`${imageSha256}  ${image}.hex\n`)
    expect(createHash("sha256").update(text).digest("hex")).toBe(imageSha256)
  },
)

test("the sources in every pack are those the image is made of, byte for byte", () => {
  const names = readdirSync(join(firmware, "runtime")).sort()
  expect(Object.keys(runtimeSources).sort()).toEqual(names)
  for (const name of names)
    expect(runtimeSources[name], name).toBe(readFileSync(join(firmware, "runtime", name), "utf8"))
})

test("the compiler makes the same bytes again, here and from a copy in another folder", (ctx) => {
  const version = spawnSync("avr-gcc", ["-dumpversion"], { encoding: "utf8" })
  if (version.status !== 0)
    return ctx.skip("not rebuilt: avr-gcc is absent (Debian: gcc-avr binutils-avr avr-libc)")
  if (version.stdout.trim() !== "5.4.0")
    return ctx.skip(`not rebuilt: avr-gcc is ${version.stdout.trim()}, the image was made by 5.4.0`)
  const folder = mkdtempSync(join(tmpdir(), "lampwright-build-"))
  try {
    cpSync(join(firmware, "runtime"), join(folder, "a name/runtime"), { recursive: true })
    cpSync(join(firmware, "build.sh"), join(folder, "a name/build.sh"))
    for (const [script, out] of [
      [join(firmware, "build.sh"), join(folder, "one")],
      [join(folder, "a name/build.sh"), join(folder, "two")],
    ] as const) {
      execFileSync("sh", [script, out])
      for (const { image, text } of images) expect(readFileSync(join(out, `${image}.hex`), "utf8")).toBe(text)
    }
  } finally {
    rmSync(folder, { recursive: true })
  }
})
