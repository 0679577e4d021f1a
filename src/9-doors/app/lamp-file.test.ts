import { strToU8, zipSync } from "fflate"
import { expect, test } from "vitest"
import { lampFile, lampFileName, unpacked } from "./lamp-file.ts"
import { openFiles } from "./open-files.ts"

const lamp = {
  file: "wing.yaml",
  text: 'drawing: "face.svg#a"',
  drawings: { "face.svg": "<svg/>", "old.svg": "<svg id='x'/>" },
}

test("a lamp comes back out of its one file, with the drawings it names and no others", async () => {
  const bytes = await lampFile(lamp)
  expect(lampFileName(lamp)).toBe("wing.lamp.zip")
  const files = await unpacked(new File([bytes as BlobPart], "wing.lamp.zip"))
  if ("refused" in files) throw new Error(files.refused)
  const empty = { file: "", text: "", drawings: {} }
  const opened = await openFiles([...files], empty)
  expect(opened.source).toEqual({ file: "wing.yaml", text: lamp.text, drawings: { "face.svg": "<svg/>" } })
  expect(await lampFile(lamp)).toEqual(bytes)
})

test("a description in a folder is found with its neighbours; a zip without one is refused in words", async () => {
  const zip = (files: Record<string, string>) =>
    new File(
      [zipSync(Object.fromEntries(Object.entries(files).map(([n, t]) => [n, strToU8(t)]))) as BlobPart],
      "a.zip",
    )
  const files = await unpacked(
    zip({ "x/deep/other.yaml": "b", "x/lamp.yaml": "a", "x/face.svg": "s", "y.svg": "n" }),
  )
  expect(Array.isArray(files) && files.map((f) => f.name)).toEqual(["lamp.yaml", "face.svg"])
  expect(await unpacked(zip({ "a.txt": "" }))).toEqual({ refused: "a.zip holds no description" })
  expect(await unpacked(new File(["no zip"], "b.zip"))).toHaveProperty("refused")
})
