// Writes the manual's reference pages from what the program itself knows: every finding, every field of the
// description, every command. Run by hand after a change: npx tsx scripts/write-reference.ts

import { writeFileSync } from "node:fs"
import { join } from "node:path"
import { referencePages } from "./reference-pages.ts"

const folder = join(import.meta.dirname, "../docs")
for (const [file, text] of await referencePages()) writeFileSync(join(folder, file), text)
