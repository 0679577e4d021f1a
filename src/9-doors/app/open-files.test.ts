import { expect, test } from "vitest"
import { openFiles } from "./open-files.ts"
import { packName } from "./pack-name.ts"

const before = { file: "old.yaml", text: "name: old", drawings: { "kept.svg": "<svg/>" } }
const file = (name: string, text: string) => new File([text], name)

test("a description and its drawings are taken together, other drawings stay", async () => {
  const opened = await openFiles([file("face.svg", "<svg>1</svg>"), file("new.yaml", "name: new")], before)
  expect(opened.source).toEqual({
    file: "new.yaml",
    text: "name: new",
    drawings: { "kept.svg": "<svg/>", "face.svg": "<svg>1</svg>" },
  })
  expect(opened.words).toBe("Opened face.svg, new.yaml.")
})

test("what cannot be taken is named and changes nothing", async () => {
  const opened = await openFiles([file("photo.png", "x")], before)
  expect(opened.changed).toBe(false)
  expect(opened.source).toBe(before)
  expect(opened.words).toBe("Left out: photo.png is neither YAML nor SVG.")
})

test("of two descriptions the first is taken", async () => {
  const opened = await openFiles([file("a.yaml", "a"), file("b.yml", "b")], before)
  expect(opened.source.text).toBe("a")
  expect(opened.words).toContain("b.yml is a second description")
})

test("pack names suit every file system and say when not to cut", () => {
  expect(packName("Tern rear lamp", "ready")).toBe("tern-rear-lamp")
  expect(packName("Con", "ready")).toBe("lamp-con")
  expect(packName("Größe 7/2: äußerst", "do not cut")).toBe("grosse-7-2-ausserst-DO-NOT-CUT")
  expect(packName("灯", "ready")).toBe("lamp")
})
