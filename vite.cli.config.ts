import { defineConfig } from "vite"
import packageJson from "./package.json" with { type: "json" }

// Bundles the command line; packages are bundled too, so that starting it is quick.
export default defineConfig({
  publicDir: false,
  define: { __LAMPWRIGHT_VERSION__: JSON.stringify(packageJson.version) },
  build: {
    ssr: true,
    rolldownOptions: {
      input: { main: "src/9-doors/cli/main.ts", "crew-hand": "src/9-doors/cli/crew-hand.ts" },
      output: { entryFileNames: "[name].js" },
    },
    outDir: "dist/cli",
    target: "node20",
    minify: false,
    emptyOutDir: true,
  },
  ssr: { noExternal: true },
})
