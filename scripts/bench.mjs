// npm run bench: how long each stage of the Tern chain takes, cold and after a change, how the search for a board
// grows from 26 to 400 LEDs, and the bench's speed against real time in Node and in a browser worker.
// npm run bench -- NAME runs bench/NAME.ts instead.

import { existsSync } from "node:fs"
import { join } from "node:path"
import { installPackages, root, run } from "./setup.mjs"

installPackages()
const name = process.argv[2] ?? "chain"
const file = join(root, "bench", `${name}.ts`)
if (!existsSync(file)) {
  console.error(`There is no bench/${name}.ts`)
  process.exit(1)
}
// These tell what the built command takes, so they are built like it: as sources some steps take a fifth longer. Their
// other hands are worker threads, which run the command's bundle.
const built = ["chain", "first-boards"].includes(name)
if (built) {
  if (run(process.execPath, [join(root, "scripts", "build.mjs"), "--cli"]) !== 0) process.exit(1)
  const { build } = await import("vite")
  await build({
    root,
    configFile: false,
    publicDir: false,
    logLevel: "warn",
    build: {
      ssr: true,
      rolldownOptions: { input: { [name]: file }, output: { entryFileNames: "[name].js" } },
      outDir: "dist/bench",
      target: "node20",
      minify: false,
    },
    ssr: { noExternal: true },
  })
}
const tsx = join(root, "node_modules", ".bin", "tsx")
const failed = built
  ? run(process.execPath, [join(root, "dist", "bench", `${name}.js`), ...process.argv.slice(3)])
  : run(tsx, [file, ...process.argv.slice(3)])
const also = process.argv[2] ? [] : ["growth", "emulator"]
process.exit(also.reduce((bad, more) => bad || run(tsx, [join(root, "bench", `${more}.ts`)]), failed))
