// Writes the published JSON Schema of a description. Run by hand after a change: npx tsx scripts/write-schema.ts

import { writeFileSync } from "node:fs"
import { lampSchema } from "../src/2-lamp/read-lamp.ts"

const target = new URL("../schema/lampwright.schema.json", import.meta.url)
writeFileSync(target, `${JSON.stringify(lampSchema(), null, 2)}\n`)
