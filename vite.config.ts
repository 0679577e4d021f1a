// The app's page: sources in src/9-doors/app, bundle in dist/app, paths relative so that any folder can serve it.

import { resolve } from "node:path"
import react from "@vitejs/plugin-react"
import { defineConfig } from "vite"

const here = import.meta.dirname

export default defineConfig({
  root: resolve(here, "src/9-doors/app"),
  base: "./",
  publicDir: false,
  cacheDir: resolve(here, "node_modules/.vite-app"),
  plugins: [react()],
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
