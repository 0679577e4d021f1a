// The app's page: sources in src/9-doors/app, bundle in dist/app, paths relative so that any folder can serve it.

import { createHash } from "node:crypto"
import { readdirSync, readFileSync, writeFileSync } from "node:fs"
import { dirname, resolve } from "node:path"
import react from "@vitejs/plugin-react"
import { defineConfig, type Plugin } from "vite"

const here = import.meta.dirname

/** Writes the worker that keeps the app's files in the browser, with the list of what was built. */
function offline(): Plugin {
  let folder = ""
  return {
    name: "lampwright-offline",
    apply: "build",
    configResolved(config) {
      folder = resolve(config.root, config.build.outDir)
    },
    closeBundle() {
      const names = (readdirSync(folder, { recursive: true }) as string[])
        .map((n) => n.replaceAll("\\", "/"))
        // Browsers that keep files read the smaller kind of typeface.
        .filter((n) => /^assets\/.*\.(js|css|svg|woff2)$/.test(n))
        .sort()
      const hash = createHash("sha256")
      for (const n of [...names, "index.html"]) hash.update(n).update(readFileSync(resolve(folder, n)))
      const text = readFileSync(resolve(here, "src/9-doors/app/offline-worker.js"), "utf8")
        .replace("__VERSION__", `lampwright ${hash.digest("hex").slice(0, 16)}`)
        .replace('["__FILES__"]', JSON.stringify(["./", ...names.map((n) => `./${n}`)]))
      writeFileSync(resolve(folder, "service-worker.js"), text)
    },
  }
}

/** Builds the workers together with the page, so that what several of them need is one file, loaded once. */
function besideThePage(): Plugin {
  return {
    name: "lampwright-workers",
    apply: "build",
    enforce: "pre",
    transform(code, id) {
      if (!code.includes("new Worker(")) return undefined
      return code.replace(
        /new Worker\(new URL\("(\.\/[\w-]+)\.ts", import\.meta\.url\)/g,
        (_, file: string) => {
          const chunk = {
            type: "chunk",
            id: resolve(dirname(id), `${file}.ts`),
            name: file.slice(2),
          } as const
          return `new Worker(import.meta.ROLLUP_FILE_URL_${this.emitFile(chunk)}`
        },
      )
    },
  }
}

/**
 * Leaves out what writes a JSON Schema: the app reads the published one. Were it asked for after all, it would say so.
 */
function withoutSchemaWriter(): Plugin {
  return {
    name: "lampwright-no-schema-writer",
    apply: "build",
    enforce: "pre",
    load(id) {
      if (!/zod\/v4\/core\/(json-schema-processors|to-json-schema)\.js$/.test(id)) return undefined
      const text = readFileSync(id, "utf8")
      const own = [...text.matchAll(/^export (?:function|const) (\w+)/gm)].map(([, name]) => name)
      const renamed = [...text.matchAll(/^export \{ \w+ as (\w+) \}/gm)].map(([, name]) => name)
      return [
        `const leftOut = () => { throw new Error("the app's bundle writes no JSON Schema") }`,
        `export { ${[...own, ...renamed].map((name) => `leftOut as ${name}`).join(", ")} }`,
      ].join("\n")
    },
  }
}

export default defineConfig({
  root: resolve(here, "src/9-doors/app"),
  base: "./",
  publicDir: false,
  cacheDir: resolve(here, "node_modules/.vite-app"),
  plugins: [react(), besideThePage(), withoutSchemaWriter(), offline()],
  worker: { format: "es" },
  // The demo lamp is read from examples/, above the root.
  server: { host: "127.0.0.1", fs: { allow: [here] } },
  build: {
    outDir: resolve(here, "dist/app"),
    emptyOutDir: true,
    target: "es2022",
    chunkSizeWarningLimit: 1200,
  },
})
