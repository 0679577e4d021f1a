// A process that replaces the pack at its argument again and again until it is killed.
import { contentHash } from "../../0-ground/numbers/hash.ts"
import { writePack } from "./write-pack.ts"

/** A pack of `count` files, each telling `mark`. */
export function somePack(mark: string, count = 24) {
  const files = Array.from({ length: count }, (_, i) => ({
    path: `part-${i % 4}/file-${i}.txt`,
    text: `${mark} ${i}\n`.repeat(200),
  }))
  const told = files.map((f) => ({ path: f.path, hash: contentHash(f.text) }))
  return [
    { path: "report.json", text: "{}" },
    ...files,
    { path: "manifest.json", text: JSON.stringify({ files: told }) },
  ]
}

const out = process.argv[2]
if (out !== undefined && process.argv[1]?.endsWith("write-pack.testing.ts")) {
  process.stdout.write("ready\n")
  for (let round = 0; ; round++) {
    writePack(out, somePack(`round ${round}`))
    await new Promise((done) => setTimeout(done, 1))
  }
}
