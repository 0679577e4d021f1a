// npm run build: bundles the command line (dist/cli) and the app (dist/app).

import { join } from "node:path"
import { installPackages, root, run } from "./setup.mjs"

installPackages()
const vite = join(root, "node_modules", ".bin", "vite")
const cli = run(vite, ["build", "--config", "vite.cli.config.ts", "--logLevel", "warn"])
const app = process.argv.includes("--cli") ? 0 : run(vite, ["build", "--logLevel", "warn"])
process.exit(cli || app)
